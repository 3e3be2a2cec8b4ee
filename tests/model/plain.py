"""The meaning of a model in plain Python: one draw, one entry, one month at a time, with loops and floats only.

It shares no code with the arrays of `tco.model`: every node is read here a second time.
"""

import math
from itertools import pairwise

from tco.model import nodes


def level(sum_lent, rate, months):
    """What pays it off: the sum over what payments of 1 are worth, added up without the annuity formula."""
    return sum_lent / sum((1 + rate) ** -month for month in range(1, round(months) + 1))


OPERATIONS = {
    "+": lambda a, b: a + b,
    "-": lambda a, b: a - b,
    "*": lambda a, b: a * b,
    "/": lambda a, b: a / b,
    "safe /": lambda a, b: 0.0 if b == 0 else a / b,
    "power": lambda a, b: a**b,
    "growth": lambda rate, years: (1 + rate) ** years,
    "level payment": level,
    "=": lambda a, b: float(a == b),
    "<": lambda a, b: float(a < b),
    "<=": lambda a, b: float(a <= b),
    ">": lambda a, b: float(a > b),
    ">=": lambda a, b: float(a >= b),
    "and": lambda a, b: float(bool(a) and bool(b)),
    "or": lambda a, b: float(bool(a) or bool(b)),
    "not": lambda a: 1.0 - a,
    "min": min,
    "max": max,
    "up": math.ceil,
    "down": math.floor,
    "mod": lambda a, b: a - b * math.floor(a / b),
}


class Plain:
    """One draw of a model; `figures` replaces columns or single figures by key: a list of entries."""

    def __init__(self, model, figures=None):
        self.model, self.figures = model, figures or {}
        self.columns = range(model.columns)
        self.known = {}

    def table(self, key):
        """All entries by all months of a line."""
        line = self.model[key]
        entries = len(line.shape.axis) if line.shape.axis else 1
        months = self.model.columns if line.shape.months else 1
        return [[self.of(line, entry, month) for month in range(months)] for entry in range(entries)]

    def of(self, line, entry, month):
        """The value of a line in a month, for an entry of its axis; what has no axis or months says the same."""
        place = (line, entry if line.shape.axis else 0, month if line.shape.months else 0)
        if place not in self.known:
            if line.value is None:
                self.known[place] = float(self.tell(line.expr, place[1] if line.shape.axis else entry, month))
            else:
                self.known[place] = float(self.figures.get(line.id, line.value[:, 0])[place[1]])
        return self.known[place]

    def row(self, line, entry):
        return [self.of(line, entry, month) for month in self.columns]

    def tell(self, node, entry, month):
        match node:
            case nodes.Number(value=value):
                return value
            case nodes.Of(line=line):
                return self.of(line, entry, month)
            case nodes.Before(line=line):
                if month:
                    return self.of(line, entry, month - 1)
                return 0.0 if line.opening is None else self.tell(line.opening, entry, 0)
            case nodes.Apply(op=op, args=args):
                return OPERATIONS[op](*(self.tell(part, entry, month) for part in args))
            case nodes.Bridge(part=part):
                return self.tell(part, entry, month)
            case nodes.Stacked(args=args):
                return self.tell(args[entry], 0, month)
            case nodes.Entry(line=line, place=place):
                return self.of(line, place, month)
            case nodes.Joined(lines=lines):
                return sum(self.of(line, entry, month) for line in lines)
            case nodes.Table():
                return self.looked_up(node, month)
            case _:
                return self.summed(node, entry, month)

    def looked_up(self, node, month):
        wanted = self.tell(node.key, 0, month)
        entries = range(len(node.values.shape.axis))
        if node.how == "at":
            return next((self.of(node.values, one, 0) for one in entries if one + 1 == wanted), 0.0)
        keys = [self.of(node.keys, one, 0) for one in entries]
        if node.how == "equal":
            return sum(self.of(node.values, one, 0) for one in entries if keys[one] == wanted)
        found = 0.0
        for one in entries:
            if keys[one] <= wanted:
                found = self.of(node.values, one, 0)
        return found

    def summed(self, node, entry, month):
        match node:
            case nodes.Running(flow=flow, opens=opens):
                first = max((m for m in range(month + 1) if opens is not None and self.of(opens, entry, m)), default=0)
                return sum(self.of(flow, entry, m) for m in range(first, month + 1))
            case nodes.Across(factors=factors):
                axis = factors[0].shape.axis
                return sum(math.prod(self.of(line, one, month) for line in factors) for one in range(len(axis)))
            case nodes.Gathered(flow=flow, number=number):
                return sum(self.of(flow, 0, m) for m in self.columns if self.of(number, 0, m) == entry + 1)
            case nodes.Delayed(flow=flow, lag=lag):
                source = month - self.of(lag, 0, month)
                return self.of(flow, entry, int(source)) if source in self.columns else 0.0
            case nodes.Over(how="total", lines=(flow,)):
                return sum(self.row(flow, entry))
            case nodes.Over(how="present", lines=(flow, factor)):
                return sum(a * b for a, b in zip(self.row(flow, entry), self.row(factor, entry), strict=True))
            case nodes.Over(how="highest", lines=(flow,)):
                return max(self.row(flow, entry))
            case nodes.Over(how="lowest", lines=(flow,)):
                return min(self.row(flow, entry))
            case nodes.Over(how="first month", lines=(state,)):
                return next((m + 1 for m in self.columns if self.of(state, entry, m)), 0)
            case nodes.Over(how="irr", lines=(flow,)):
                return rate_of_return(self.row(flow, entry))
        raise AssertionError(node)


def rate_of_return(row):
    """Halve the interval around the one root; 0 where the signs do not turn exactly once."""
    signs = [amount > 0 for amount in row if amount]
    if sum(a != b for a, b in pairwise(signs)) != 1:
        return 0.0

    def worth(rate):
        return sum(amount / (1 + rate) ** month for month, amount in enumerate(row))

    low, high = -0.99, 1e4
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if (worth(middle) > 0) == (worth(low) > 0) else (low, middle)
    return low

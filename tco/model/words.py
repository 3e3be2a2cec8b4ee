"""Lines as plain words: what a figure is made of, in the labels a reader knows.

Renderers return (text, precedence); unit bridges are looked through. The text names lines as [Label], with the block's
label before it when the line stands in another block.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeAlias

from tco.model.nodes import (
    Across,
    Apply,
    Before,
    Bridge,
    Delayed,
    Entry,
    Gathered,
    Home,
    Joined,
    Line,
    Node,
    Number,
    Of,
    Over,
    Running,
    Stacked,
    Table,
)

Told: TypeAlias = tuple[str, int]
ATOM, PRODUCT, SUM, COMPARE, LOGIC = 5, 4, 3, 2, 1


def _wrap(told: Told, least: int) -> str:
    text, precedence = told
    return text if precedence >= least else f"({text})"


def _infix(sign: str, precedence: int, *, strict: bool = False) -> Callable[..., Told]:
    """A sign between two parts; `strict` brackets an equal right-hand side, as subtraction and division need."""
    return lambda a, b: (f"{_wrap(a, precedence)} {sign} {_wrap(b, precedence + strict)}", precedence)


def _function(words: str) -> Callable[..., Told]:
    return lambda *parts: (f"{words} ({'; '.join(text for text, _ in parts)})", ATOM)


def _largest(*parts: Told) -> Told:
    if len(parts) == 2 and parts[0][0] == "0":
        return f"({parts[1][0]}, if above 0)", ATOM
    return _function("the larger of")(*parts)


PHRASES: Final[dict[str, Callable[..., Told]]] = {
    "+": _infix("+", SUM),
    "-": _infix("−", SUM, strict=True),
    "*": _infix("×", PRODUCT),
    "/": _infix("÷", PRODUCT, strict=True),
    "safe /": lambda a, b: (f"{_wrap(a, PRODUCT)} ÷ {_wrap(b, ATOM)} (0 where that is 0)", PRODUCT),
    "power": lambda a, b: (f"{_wrap(a, ATOM)} to the power of {_wrap(b, ATOM)}", PRODUCT),
    "growth": lambda a, b: (f"(1 + {_wrap(a, SUM)}) to the power of {_wrap(b, ATOM)}", PRODUCT),
    "level payment": _function("the level payment on (principal; rate a month; months)"),
    "=": _infix("equals", COMPARE),
    "<": _infix("is below", COMPARE),
    "<=": _infix("is at most", COMPARE),
    ">": _infix("is above", COMPARE),
    ">=": _infix("is at least", COMPARE),
    "and": _infix("and", LOGIC),
    "or": _infix("or", LOGIC),
    "not": lambda a: (f"not {_wrap(a, ATOM)}", ATOM),
    "min": _function("the smaller of"),
    "max": _largest,
    "up": _function("rounded up"),
    "down": _function("whole part of"),
    "mod": lambda a, b: (f"remainder of {_wrap(a, ATOM)} by {_wrap(b, ATOM)}", PRODUCT),
}


def words(line: Line) -> str:
    """How a line comes about: its formula in words, or where its figure comes from."""
    if line.expr is None:
        return line.text or "a figure of the scenario"
    text, _ = _tell(line.expr, line.block)
    if line.opening is not None:
        text += f"; before the first month {_tell(line.opening, line.block)[0]}"
    return text


def _called(line: Line, here: Home) -> str:
    return f"[{line.label}]" if line.block is here or line in here.used else f"[{line.block.label}: {line.label}]"


def _tell(node: Node, here: Home) -> Told:
    match node:
        case Number(value=value):
            return str(value).replace("-", "−"), ATOM
        case Of(line=line):
            return _called(line, here), ATOM
        case Before(line=line):
            return f"last month's {_called(line, here)}", ATOM
        case Bridge(part=part):
            return _tell(part, here)
        case Apply(op=op, args=args):
            return PHRASES[op](*(_tell(part, here) for part in args))
        case Running(flow=flow, opens=opens):
            start = "the first month" if opens is None else _called(opens, here)
            return f"{_called(flow, here)}, added up since {start}", LOGIC
        case Across(factors=factors):
            axis = factors[0].shape.axis
            product = " × ".join(_called(line, here) for line in factors)
            return f"over every {axis.name if axis else 'entry'}, the sum of {product}", LOGIC
        case Over(how=how, lines=lines):
            return _over(how, [_called(line, here) for line in lines]), LOGIC
        case _:
            return _table(node, here)


def _over(how: str, names: list[str]) -> str:
    phrases = {
        "total": "the sum of {0} over all months",
        "present": "the sum over all months of {0} × {1}",
        "highest": "the highest month of {0}",
        "lowest": "the lowest month of {0}",
        "first month": "the first month in which {0}",
        "irr": "the rate a month at which {0} comes to nothing in today's money",
    }
    return phrases[how].format(*names)


def _table(node: Node, here: Home) -> Told:
    match node:
        case Table(how="at", values=values, key=key):
            return f"{_called(values, here)} at position {_wrap(_tell(key, here), ATOM)}", PRODUCT
        case Table(how="band", values=values, key=key):
            return f"{_called(values, here)} of the band that holds {_wrap(_tell(key, here), ATOM)}", PRODUCT
        case Table(values=values, key=key):
            return f"{_called(values, here)} for {_wrap(_tell(key, here), ATOM)} (0 where there is none)", PRODUCT
        case Gathered(axis=axis, flow=flow, number=number):
            return f"{_called(flow, here)}, added up for every {axis.name} by {_called(number, here)}", LOGIC
        case Delayed(flow=flow, lag=lag):
            return f"{_called(flow, here)}, {_called(lag, here)} months later", LOGIC
        case Entry(line=line, place=place):
            along = line.shape.axis
            return f"{_called(line, here)} of {along.labels[place] if along else place}", ATOM
        case Stacked(axis=axis, args=args):
            texts = dict.fromkeys(_tell(part, here)[0] for part in args)
            return f"for every {axis.name}: " + "; ".join(texts), LOGIC
        case Joined(lines=lines):
            return " + ".join(_called(line, here) for line in lines) or "none", SUM
    raise AssertionError(f"no words for {type(node).__name__}")

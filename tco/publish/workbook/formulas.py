"""Lines as spreadsheet formulas: the last of the four tables of the vocabulary.

Renderers return (text, precedence), because a unit bridge may hide that its content is a sum or a comparison. A
comparison is the one thing that is no number in a spreadsheet, so wherever a number is needed it is multiplied by 1.
Formulas of months are templates: `THIS` stands for the column of the month and `LAST` for the column before.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, TypeAlias

from tco.model.kinds import ModelError
from tco.model.nodes import (
    Across,
    Apply,
    Before,
    Bridge,
    Delayed,
    Entry,
    Gathered,
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
from tco.publish.workbook.layout import NUMBER_COLUMN, Layout, Place, column_name, quoted

Spelled: TypeAlias = tuple[str, int]
ATOM, POWER, PRODUCT, SUM, COMPARE = 5, 4, 3, 2, 1
THIS, LAST = "\ue000", "\ue001"

ALLOWED_FUNCTIONS: Final = frozenset(
    {"ABS", "AND", "EDATE", "IF", "IFERROR", "INDEX", "INT", "IRR", "MATCH", "MAX", "MIN", "MOD", "OR", "PMT", "ROWS"}
    | {"SUM", "SUMIF", "SUMPRODUCT"}
)


def _wrap(spelled: Spelled, least: int) -> str:
    text, precedence = spelled
    return text if precedence >= least else f"({text})"


def _number(spelled: Spelled) -> Spelled:
    """Make 1 or 0 of a comparison: TRUE is not equal to 1 in a spreadsheet."""
    text, precedence = spelled
    return (f"1 * ({text})", PRODUCT) if precedence == COMPARE else spelled


def _infix(sign: str, precedence: int) -> Callable[..., Spelled]:
    """A sign between two parts, read from left to right, so an equal right-hand side is bracketed."""
    return lambda a, b: (f"{_wrap(a, precedence)} {sign} {_wrap(b, precedence + 1)}", precedence)


def _compare(sign: str) -> Callable[..., Spelled]:
    return lambda a, b: (f"{_wrap(_number(a), SUM)} {sign} {_wrap(_number(b), SUM)}", COMPARE)


def _function(name: str) -> Callable[..., Spelled]:
    return lambda *parts: (f"{name}({', '.join(_number(part)[0] for part in parts)})", ATOM)


def _logic(name: str) -> Callable[..., Spelled]:
    """AND and OR of flags, as a number; one inside the other need not become a number first."""
    return lambda *parts: (f"1 * {name}({', '.join(_truth(part) for part in parts)})", PRODUCT)


def _truth(spelled: Spelled) -> str:
    text, precedence = spelled
    is_logic = precedence == PRODUCT and text.startswith(("1 * AND(", "1 * OR("))
    return text.removeprefix("1 * ") if is_logic else text


def _safe_divide(part: Spelled, whole: Spelled) -> Spelled:
    whole = _number(whole)
    return f"IF({_wrap(whole, SUM)} = 0, 0, {_wrap(part, PRODUCT)} / {_wrap(whole, POWER)})", ATOM


def _power(base: Spelled, exponent: Spelled) -> Spelled:
    """Both sides are bracketed unless they are one reference: 2 ^ 3 ^ 2 is read from the left, and - comes first."""
    return f"{_wrap(base, ATOM)} ^ {_wrap(exponent, ATOM)}", POWER


SPELLINGS: Final[dict[str, Callable[..., Spelled]]] = {
    "+": _infix("+", SUM),
    "-": _infix("-", SUM),
    "*": _infix("*", PRODUCT),
    "/": _infix("/", PRODUCT),
    "safe /": _safe_divide,
    "power": _power,
    "growth": lambda rate, years: (f"(1 + {_wrap(rate, PRODUCT)}) ^ {_wrap(years, ATOM)}", POWER),
    "level payment": lambda principal, rate, months: (
        f"PMT({_number(rate)[0]}, {_number(months)[0]}, -1 * {_wrap(principal, POWER)})",
        ATOM,
    ),
    "=": _compare("="),
    "<": _compare("<"),
    "<=": _compare("<="),
    ">": _compare(">"),
    ">=": _compare(">="),
    "and": _logic("AND"),
    "or": _logic("OR"),
    "not": lambda a: (f"1 - {_wrap(a, PRODUCT)}", SUM),
    "min": _function("MIN"),
    "max": _function("MAX"),
    "up": lambda a: (f"-1 * INT(-1 * {_wrap(a, POWER)})", PRODUCT),
    "down": _function("INT"),
    "mod": _function("MOD"),
}


@dataclass(frozen=True)
class _Here:
    """The cell a formula is written for: its line, and the entry of its axis counted from 0."""

    line: Line
    entry: int
    layout: Layout

    def place(self, line: Line) -> Place:
        """Where the formula reads a line: figures through the link rows of its own block."""
        return self.layout.seen_from(self.line.block, line)

    def sheet(self, place: Place) -> str:
        return "" if place.sheet == self.layout.homes[self.line].sheet else f"{quoted(place.sheet)}!"

    def cell(self, line: Line, entry: int | None = None, column: str = THIS) -> str:
        place = self.place(line)
        row = place.row + 1
        if line.shape.axis is not None:
            row += self.entry if entry is None else entry
        if line.shape.months:
            return f"{self.sheet(place)}{column}{row}"
        fixed = "" if line.shape.axis is not None and entry is None else "$"
        return f"{self.sheet(place)}${column_name(place.column)}{fixed}{row}"

    def down(self, line: Line) -> str:
        """All entries of a line along its axis: of this month, or of the column."""
        place, count = self.place(line), len(line.shape.axis) if line.shape.axis is not None else 1
        name, fixed = (THIS, "") if line.shape.months else (f"${column_name(place.column)}", "$")
        first, last = place.row + 1, place.row + count
        return f"{self.sheet(place)}{name}{fixed}{first}:{name}{fixed}{last}"

    def numbers(self, line: Line) -> str:
        """The column that counts the entries of the table a line stands in."""
        place, count = self.place(line), len(line.shape.axis) if line.shape.axis is not None else 1
        name = f"${column_name(NUMBER_COLUMN)}$"
        return f"{self.sheet(place)}{name}{place.row + 1}:{name}{place.row + count}"

    def across(self, line: Line, *, fixed: bool = False) -> str:
        """All months of a row."""
        place = self.place(line)
        row = place.row + 1 + (self.entry if line.shape.axis is not None else 0)
        mark = "$" if fixed else ""
        first, last = self.layout.first_month, self.layout.last_month
        return f"{self.sheet(place)}${first}{mark}{row}:${last}{mark}{row}"


def formula(line: Line, entry: int, layout: Layout) -> str:
    """Spell the expression of a line for one entry of its axis, without the leading sign of equality.

    Raises
    ------
    ModelError
        The line is a figure, or adds up a row inside a larger expression.
    """
    if line.expr is None:
        raise ModelError(f"{line.id} is a figure and has no formula")
    here, root = _Here(line, entry, layout), _bare(line.expr)
    if isinstance(root, Running):
        return _running(root, here)
    return _number(_tell(root, here))[0]


def opening(line: Line, entry: int, layout: Layout) -> str:
    """Spell what stands before the first month of a line."""
    if line.opening is None:
        return "0"
    return _number(_tell(line.opening, _Here(line, entry, layout)))[0]


def month(template: str, column: int) -> str:
    """Fill a template for one month; columns count from 0."""
    return template.replace(THIS, column_name(column)).replace(LAST, column_name(column - 1))


def total(line: Line, entry: int, layout: Layout) -> str | None:
    """Spell the total of a row of months: its sum, its last balance, or nothing."""
    row = layout.homes[line].row + entry + 1
    if line.total == "sum":
        return f"SUM(${layout.first_month}{row}:${layout.last_month}{row})"
    return f"${layout.last_month}{row}" if line.total == "closing" else None


def is_running(line: Line) -> bool:
    """Whether the formula of a line reads its own last month although the line declares no opening value."""
    return line.expr is not None and isinstance(_bare(line.expr), Running)


def _bare(node: Node) -> Node:
    while isinstance(node, Bridge):
        node = node.part
    return node


def _running(node: Running, here: _Here) -> str:
    """Last month's sum and this month's flow: the one formula that reads its own row."""
    own = here.cell(here.line, column=LAST)
    before = own if node.opens is None else f"IF({here.cell(node.opens)} = 0, {own}, 0)"
    return f"{before} + {here.cell(node.flow)}"


def _tell(node: Node, here: _Here) -> Spelled:
    match node:
        case Number(value=value):
            return str(value), ATOM if value >= 0 else PRODUCT
        case Of(line=line):
            return here.cell(line), ATOM
        case Before(line=line):
            return here.cell(line, column=LAST), ATOM
        case Bridge(part=part):
            return _tell(part, here)
        case Apply(op=op, args=args):
            return SPELLINGS[op](*(_tell(part, here) for part in args))
        case Entry(line=line, place=place):
            return here.cell(line, place), ATOM
        case Stacked(args=args):
            return _tell(args[here.entry], here)
        case Joined(lines=lines):
            return " + ".join(here.cell(line) for line in lines) or "0", SUM if len(lines) > 1 else ATOM
        case _:
            return _reduced(node, here), ATOM


def _reduced(node: Node, here: _Here) -> str:
    match node:
        case Across(factors=(only,)):
            return f"SUM({here.down(only)})"
        case Across(factors=factors):
            return f"SUMPRODUCT({', '.join(here.down(line) for line in factors)})"
        case Over(how=how, lines=lines):
            return _OVER[how].format(*(here.across(line) for line in lines))
        case Table(how="at", values=values, key=key):
            return f"SUMIF({here.numbers(values)}, {_number(_tell(key, here))[0]}, {here.down(values)})"
        case Table(how="band", values=values, keys=Line() as keys, key=key):
            wanted = _number(_tell(key, here))[0]
            return f"IFERROR(INDEX({here.down(values)}, MATCH({wanted}, {here.down(keys)}, 1)), 0)"
        case Table(values=values, keys=Line() as keys, key=key):
            return f"SUMIF({here.down(keys)}, {_number(_tell(key, here))[0]}, {here.down(values)})"
        case Gathered(flow=flow, number=number):
            own = f"${column_name(NUMBER_COLUMN)}{here.layout.homes[here.line].row + here.entry + 1}"
            return f"SUMIF({here.across(number, fixed=True)}, {own}, {here.across(flow, fixed=True)})"
        case Delayed(flow=flow, lag=lag, month=months):
            return (
                f"SUMIF({here.across(months, fixed=True)}, {here.cell(months)} - {here.cell(lag)}, {here.across(flow)})"
            )
    raise ModelError(f"{here.line.id}: {type(node).__name__} must be the whole expression of a line")


_OVER: Final = {
    "total": "SUM({0})",
    "present": "SUMPRODUCT({0}, {1})",
    "highest": "MAX({0})",
    "lowest": "MIN({0})",
    "first month": "IFERROR(MATCH(1, {0}, 0), 0)",
    "irr": "IFERROR(IRR({0}, 1 / 12 / 12), 0)",
}

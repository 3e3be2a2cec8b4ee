"""Expressions of the cost model: a closed vocabulary of nodes, each with a unit and a shape known when it is built.

Rooms write ordinary arithmetic on lines; what they get is a tree. Nothing is computed here. The meaning of each
operation stands in four tables with the same keys: `unit_rules.UNIT_RULES`, `evaluate.OPERATIONS`, `words.PHRASES` and
the spreadsheet's `formulas.SPELLINGS`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal, TypeAlias

from tco.model.kinds import SCALAR, Array, Axis, Kind, ModelError, Origin, Role, Shape, Timing, Total
from tco.model.unit_rules import A_MONTH, MONTH, UNIT_RULES
from tco.units import ANY, NONE, Unit, same, times, unit


class Operand:
    """Arithmetic shared by lines and nodes. Equality stays identity; use `equals` for the comparison."""

    def __add__(self, other: Term) -> Node:
        if isinstance(other, int) and other == 0 and other is not False:
            return lift(self)  # the way to make a node of a line; nothing is added anywhere
        return Apply("+", (lift(self), lift(other)))

    def __radd__(self, other: Term) -> Node:
        return Apply("+", (lift(other), lift(self)))

    def __sub__(self, other: Term) -> Node:
        return Apply("-", (lift(self), lift(other)))

    def __rsub__(self, other: Term) -> Node:
        return Apply("-", (lift(other), lift(self)))

    def __mul__(self, other: Term) -> Node:
        return Apply("*", (lift(self), lift(other)))

    def __rmul__(self, other: Term) -> Node:
        return Apply("*", (lift(other), lift(self)))

    def __truediv__(self, other: Term) -> Node:
        return Apply("/", (lift(self), lift(other)))

    def __rtruediv__(self, other: Term) -> Node:
        return Apply("/", (lift(other), lift(self)))

    def __lt__(self, other: Term) -> Node:
        return Apply("<", (lift(self), lift(other)))

    def __le__(self, other: Term) -> Node:
        return Apply("<=", (lift(self), lift(other)))

    def __gt__(self, other: Term) -> Node:
        return Apply(">", (lift(self), lift(other)))

    def __ge__(self, other: Term) -> Node:
        return Apply(">=", (lift(self), lift(other)))

    def __and__(self, other: Term) -> Node:
        return Apply("and", (lift(self), lift(other)))

    def __or__(self, other: Term) -> Node:
        return Apply("or", (lift(self), lift(other)))

    def __invert__(self) -> Node:
        return Apply("not", (lift(self),))

    def __bool__(self) -> bool:
        raise ModelError("a line has no truth value while the model is built: use & | ~ and 0/1 flags, not and/or/if")


class Node(Operand):
    """One node of an expression: its unit, its shape and the nodes below it."""

    unit: Unit
    shape: Shape

    @property
    def parts(self) -> tuple[Node, ...]:
        """The expressions this one is made of, in reading order."""
        return ()


class Home:
    """Where lines stand: a block, as far as the nodes know it."""

    id: str
    label: str
    scope: str
    lines: list[Line]
    used: list[Line]


@dataclass(eq=False)
class Line(Operand):
    """One named quantity: a figure or an expression; one value or one per month; optionally along an axis.

    `value` of a figure has the shape (entries or 1, months or 1). Where a column is made of figures written in several
    places, `entry_keys` and `entry_origins` name each of them.
    """

    id: str
    label: str
    unit: Unit
    shape: Shape
    block: Home
    role: Role
    expr: Node | None = None
    value: Array | None = None
    opening: Node | None = None
    kind: Kind = ""
    timing: Timing = ""
    total: Total = "none"
    origin: Origin = field(default_factory=Origin)
    percent: bool = False
    text: str = ""
    entry_keys: tuple[str, ...] = ()
    entry_origins: tuple[Origin, ...] = ()

    def __repr__(self) -> str:
        return f"<{self.id}>"

    @property
    def is_input(self) -> bool:
        """A number the user may change: it is replaced by arrays and typed over in the workbook."""
        return self.role == "input"

    def becomes(self, term: Term) -> Line:
        """Close a line that was declared first: the only two-step line, for balances that need their own past."""
        if self.expr is not None or self.value is not None:
            raise ModelError(f"{self.id} already has an expression")
        expr = lift(term)
        self._check(expr)
        self.expr = expr
        return self

    def _check(self, expr: Node) -> None:
        same(self.unit, expr.unit, f"[{self.label}] of {self.block.id} and its expression")
        if expr.shape.with_(self.shape, self.label) != self.shape:
            raise ModelError(f"{self.id}: the expression is {expr.shape}, the line {self.shape}")


Term: TypeAlias = "Operand | int"


@dataclass(frozen=True, eq=False)
class Number(Node):
    """A literal. Only −1, 0, 1 and the twelve months of a year may stand in an expression."""

    value: int
    unit: Unit
    shape: Shape = SCALAR


ZERO: Final = Number(0, ANY)
MONTHS_A_YEAR: Final = Number(12, unit("month/year"))
TWELVE: Final = Number(12, NONE)


@dataclass(frozen=True, eq=False)
class Of(Node):
    """The value of a line, same month."""

    line: Line

    def __post_init__(self) -> None:
        object.__setattr__(self, "unit", self.line.unit)
        object.__setattr__(self, "shape", self.line.shape)


@dataclass(frozen=True, eq=False)
class Before(Node):
    """The value a line had last month; before the first month it is the opening value of that line."""

    line: Line

    def __post_init__(self) -> None:
        _needs_months(self.line)
        object.__setattr__(self, "unit", self.line.unit)
        object.__setattr__(self, "shape", self.line.shape)


@dataclass(frozen=True, eq=False)
class Apply(Node):
    """An operation entry by entry and month by month."""

    op: str
    args: tuple[Node, ...]

    def __post_init__(self) -> None:
        where = f"{self.op} of " + " and ".join(name(part) for part in self.args)
        object.__setattr__(self, "unit", UNIT_RULES[self.op](tuple(part.unit for part in self.args), where))
        shape = SCALAR
        for part in self.args:
            shape = shape.with_(part.shape, where)
        object.__setattr__(self, "shape", shape)

    @property
    def parts(self) -> tuple[Node, ...]:
        """The expressions below."""
        return self.args


@dataclass(frozen=True, eq=False)
class Bridge(Node):
    """A change of unit without arithmetic: an amount booked in a month, or what a flow brings within one month."""

    to: Literal["booked", "this month"]
    part: Node

    def __post_init__(self) -> None:
        object.__setattr__(self, "unit", times(self.part.unit, A_MONTH if self.to == "booked" else MONTH))
        object.__setattr__(self, "shape", self.part.shape)

    @property
    def parts(self) -> tuple[Node, ...]:
        """The expressions below."""
        return (self.part,)


@dataclass(frozen=True, eq=False)
class Running(Node):
    """A flow added up since the first month, or since the latest month in which `opens` was 1."""

    flow: Line
    opens: Line | None

    def __post_init__(self) -> None:
        _needs_months(self.flow)
        shape = self.flow.shape
        if self.opens is not None:
            _needs_months(self.opens)
            shape = shape.with_(self.opens.shape, f"{self.flow.label} since {self.opens.label}")
        object.__setattr__(self, "unit", times(self.flow.unit, MONTH))
        object.__setattr__(self, "shape", shape)


@dataclass(frozen=True, eq=False)
class Across(Node):
    """The sum along an axis of the product of lines."""

    factors: tuple[Line, ...]

    def __post_init__(self) -> None:
        shape, measure = SCALAR, NONE
        for line in self.factors:
            _needs_line(line)
            if line.shape.axis is None:
                raise ModelError(f"{line.label}: not along an axis, so it cannot be summed across one")
            shape, measure = shape.with_(line.shape, f"sum of products with {line.label}"), times(measure, line.unit)
        object.__setattr__(self, "unit", measure)
        object.__setattr__(self, "shape", Shape(shape.months, None))


@dataclass(frozen=True, eq=False)
class Over(Node):
    """One value from a whole row of months."""

    how: Literal["total", "present", "highest", "lowest", "first month", "irr"]
    lines: tuple[Line, ...]

    def __post_init__(self) -> None:
        shape = SCALAR
        for line in self.lines:
            _needs_months(line)
            shape = shape.with_(line.shape, f"{self.how} of {line.label}")
        measure = self.lines[0].unit
        if self.how == "present":
            measure = times(measure, self.lines[1].unit)
        if self.how in ("total", "present"):
            measure = times(measure, MONTH)
        if self.how in ("first month", "irr"):
            measure = NONE
        object.__setattr__(self, "unit", measure)
        object.__setattr__(self, "shape", Shape(False, shape.axis))


@dataclass(frozen=True, eq=False)
class Table(Node):
    """A look-up in a column: by position, by the band that holds the key, or by equal key (0 where none is equal)."""

    how: Literal["at", "band", "equal"]
    values: Line
    keys: Line | None
    key: Node

    def __post_init__(self) -> None:
        _needs_line(self.values)
        if self.values.shape.axis is None or self.values.shape.months:
            raise ModelError(f"{self.values.label}: a look-up needs a column along an axis")
        if self.keys is None:
            UNIT_RULES["not"]((self.key.unit,), f"position in {self.values.label}")
        else:
            _needs_line(self.keys)
            if self.keys.shape != self.values.shape:
                raise ModelError(f"{self.keys.label} is no key column of {self.values.label}")
            same(self.keys.unit, self.key.unit, f"look-up of {self.keys.label}")
        if self.key.shape.axis is not None:
            raise ModelError(f"{self.values.label}: the key of a look-up has no axis")
        object.__setattr__(self, "unit", self.values.unit)
        object.__setattr__(self, "shape", self.key.shape)

    @property
    def parts(self) -> tuple[Node, ...]:
        """The expressions below."""
        return (self.key,)


@dataclass(frozen=True, eq=False)
class Gathered(Node):
    """A flow added up by the number another row holds, for instance by fiscal year: one value per entry."""

    axis: Axis
    flow: Line
    number: Line

    def __post_init__(self) -> None:
        for line in (self.flow, self.number):
            _needs_months(line)
            _needs_no_axis(line)
        UNIT_RULES["not"]((self.number.unit,), f"{self.flow.label} by {self.number.label}")
        object.__setattr__(self, "unit", times(self.flow.unit, MONTH))
        object.__setattr__(self, "shape", Shape(False, self.axis))


@dataclass(frozen=True, eq=False)
class Delayed(Node):
    """A row of months arriving a number of months later (0 before)."""

    flow: Line
    lag: Line
    month: Line

    def __post_init__(self) -> None:
        _needs_months(self.flow)
        _needs_months(self.month)
        for line in (self.lag, self.month):
            _needs_no_axis(line)
        object.__setattr__(self, "unit", self.flow.unit)
        object.__setattr__(self, "shape", self.flow.shape)


@dataclass(frozen=True, eq=False)
class Entry(Node):
    """One entry of a line along an axis."""

    line: Line
    place: int

    def __post_init__(self) -> None:
        _needs_line(self.line)
        axis = self.line.shape.axis
        if axis is None or not 0 <= self.place < len(axis):
            raise ModelError(f"{self.line.label} has no entry {self.place}")
        object.__setattr__(self, "unit", self.line.unit)
        object.__setattr__(self, "shape", Shape(self.line.shape.months, None))


@dataclass(frozen=True, eq=False)
class Stacked(Node):
    """A line along an axis put together from one expression per entry."""

    axis: Axis
    args: tuple[Node, ...]

    def __post_init__(self) -> None:
        if len(self.args) != len(self.axis):
            raise ModelError(f"{len(self.args)} expressions for {len(self.axis)} entries of {self.axis.name}")
        measure, months = ANY, False
        for part in self.args:
            if part.shape.axis is not None:
                raise ModelError(f"{name(part)}: an entry of a table by {self.axis.name} is one value")
            measure = same(measure, part.unit, f"entries of a table by {self.axis.name}")
            months = months or part.shape.months
        object.__setattr__(self, "unit", measure)
        object.__setattr__(self, "shape", Shape(months, self.axis))

    @property
    def parts(self) -> tuple[Node, ...]:
        """The expressions below."""
        return self.args


@dataclass(frozen=True, eq=False)
class Joined(Node):
    """The same thing summed over presses, plans or headings: the one node that may differ between ledgers."""

    lines: tuple[Line, ...]
    unit: Unit
    shape: Shape

    def __post_init__(self) -> None:
        for line in self.lines:
            _needs_line(line)
            same(self.unit, line.unit, f"{line.label} in a sum")
            if self.shape.with_(line.shape, f"{line.label} in a sum") != self.shape:
                raise ModelError(f"{line.label} in a sum is {line.shape}, the sum {self.shape}")


def _needs_line(thing: Operand) -> None:
    """Refuse an expression: a spreadsheet cell would do array mathematics with it, or silently nothing."""
    if isinstance(thing, Node):
        raise ModelError(f"{name(thing)} must first become a line of its own")


def _needs_no_axis(line: Line) -> None:
    _needs_line(line)
    if line.shape.axis is not None:
        raise ModelError(f"{line.label}: along {line.shape.axis.name}, where one value a month is needed")


def _needs_months(line: Line) -> None:
    _needs_line(line)
    if not line.shape.months:
        raise ModelError(f"{line.label}: one value, where a row of months is needed")


def lift(term: Term) -> Node:
    """Make a node of a line, a node or one of the literals −1, 0 and 1."""
    if isinstance(term, Node):
        return term
    if isinstance(term, bool) or not isinstance(term, int | Operand):
        raise ModelError(f"{term!r} cannot stand in an expression")
    if isinstance(term, int):
        if term not in (-1, 0, 1):
            raise ModelError(f"the literal {term} belongs into a line with unit and source")
        return ZERO if term == 0 else Number(term, NONE)
    assert isinstance(term, Line)
    return Of(term)


def name(node: Node) -> str:
    """A short name of a node for complaints."""
    if isinstance(node, Of | Before | Entry):
        return f"[{node.line.label}]"
    if isinstance(node, Number):
        return str(node.value)
    return f"{getattr(node, 'op', type(node).__name__)}(…)"

"""Blocks of lines, and the builder that collects them into one model."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from tco.model.kinds import SCALAR, Array, Axis, Kind, ModelError, Origin, Role, Shape, Timing, Total
from tco.model.nodes import Home, Line, Term, lift
from tco.model.unit_rules import A_MONTH
from tco.model.vocabulary import booked
from tco.units import same, unit

SHARED: Final = "shared"
COMPARISON: Final = "comparison"


@dataclass(eq=False)
class Block(Home):
    """Lines of one subject, in reading order."""

    id: str
    label: str
    scope: str
    builder: Builder
    lines: list[Line] = field(default_factory=list)
    used: list[Line] = field(default_factory=list)
    note: str = ""

    def line(
        self,
        key: str,
        label: str,
        measure: str,
        term: Term,
        *,
        role: Role = "quantity",
        kind: Kind = "",
        timing: Timing = "",
        total: Total = "none",
        percent: bool = False,
        row: bool | None = None,
    ) -> Line:
        """Add a line with an expression. `row=True` makes a row of months of an expression without months."""
        expr = lift(term)
        shape = Shape(expr.shape.months if row is None else row, expr.shape.axis)
        made = Line(f"{self.id}.{key}", label, unit(measure), shape, self, role, None, None, None, kind, timing, total)
        made.percent = percent
        self._add(made)
        return made.becomes(expr)

    def state(self, key: str, label: str, term: Term) -> Line:
        """Add a 0/1 flag."""
        return self.line(key, label, "1", term, role="state")

    def event(self, key: str, label: str, term: Term) -> Line:
        """Add a flag for something that happens within a month (unit 1/month): an amount times an event is a flow."""
        flag = lift(term)
        return self.line(key, label, "1/month", flag if flag.unit == A_MONTH else booked(flag), role="event")

    def flow(self, key: str, label: str, measure: str, term: Term) -> Line:
        """Add a quantity a month whose sum over the months means something."""
        return self.line(key, label, measure, term, total="sum")

    def cost(self, key: str, label: str, kind: Kind, term: Term, timing: Timing = "close") -> Line:
        """Add a cost of the statement: positive when it is paid, negative when it is received."""
        return self.line(key, label, "money/month", term, role="cost", kind=kind, timing=timing, total="sum", row=True)

    def memo(self, key: str, label: str, measure: str, term: Term, *, percent: bool = False) -> Line:
        """Add a figure that is shown but enters no sum of the statement."""
        shape = lift(term).shape
        return self.line(
            key, label, measure, term, role="memo", total="sum" if shape.months else "none", percent=percent
        )

    def check(self, key: str, label: str, measure: str, term: Term) -> Line:
        """Add a difference that must be zero: publishing refuses when it is not."""
        return self.line(key, label, measure, term, role="check")

    def declare(self, key: str, label: str, measure: str, *, opening: Term = 0, axis: Axis | None = None) -> Line:
        """Declare a balance or another row that needs its own past; close it with `becomes`."""
        node = lift(opening)
        made = Line(f"{self.id}.{key}", label, unit(measure), Shape(True, axis), self, "balance")
        same(made.unit, node.unit, f"opening value of {label}")
        if Shape(False, axis) != node.shape.with_(Shape(False, axis), label):
            raise ModelError(f"{made.id}: the opening value is {node.shape}, the line {made.shape}")
        made.opening, made.total = node, "closing"
        self._add(made)
        return made

    def given(
        self,
        key: str,
        label: str,
        measure: str,
        value: float | Sequence[float] | Array,
        *,
        axis: Axis | None = None,
        role: Role = "input",
        origin: Origin | None = None,
        percent: bool = False,
        own_key: bool = False,
    ) -> Line:
        """Add a figure; asked again for the same key it returns the line that is there.

        One figure of the scenario is one line, however many candidates inherit it. `key` is then the path of the
        figure (`own_key`), otherwise it is put under the block's id.
        """
        name = key if own_key else f"{self.id}.{key}"
        known = self.builder.by_id.get(name)
        if known is not None:
            if known.unit != unit(measure) or known.shape.axis != axis:
                raise ModelError(f"{name} is used as {measure} here and otherwise elsewhere")
            self._use(known)
            return known
        array = np.asarray(value, dtype=np.float64).reshape(-1, 1) if axis else np.full((1, 1), float(value))  # type: ignore[arg-type]
        if not np.isfinite(array).all():
            raise ModelError(f"{name} is not a finite number")
        if axis and len(array) != len(axis):
            raise ModelError(f"{name}: {len(array)} values for {len(axis)} entries of {axis.name}")
        made = Line(name, label, unit(measure), Shape(False, axis) if axis else SCALAR, self, role, value=array)
        made.origin, made.percent = origin or Origin(), percent
        self._add(made)
        self._use(made)
        return made

    def column(
        self,
        key: str,
        label: str,
        measure: str,
        axis: Axis,
        cells: Sequence[tuple[str, float, Origin]],
        *,
        percent: bool = False,
    ) -> Line:
        """Add a column of figures written in several places: (path, value, origin) for each entry."""
        paths, values, origins = zip(*cells, strict=True)
        made = self.given(key, label, measure, values, axis=axis, percent=percent)
        made.entry_keys, made.entry_origins = paths, origins
        return made

    def choice(self, key: str, label: str, words: str) -> None:
        """Show a word of the scenario that decided which lines exist."""
        made = Line(f"{self.id}.{key}", label, (), SCALAR, self, "choice", value=np.zeros((1, 1)))
        made.text = words
        self._add(made)

    def _use(self, line: Line) -> None:
        if line not in self.used:
            self.used.append(line)

    def _add(self, line: Line) -> None:
        if line.id in self.builder.by_id:
            raise ModelError(f"two lines are called {line.id}")
        self.builder.by_id[line.id] = line
        self.lines.append(line)


@dataclass
class Builder:
    """Collects the blocks of all scopes while rooms describe them."""

    columns: int
    blocks: list[Block] = field(default_factory=list)
    by_id: dict[str, Line] = field(default_factory=dict)

    def block(self, name: str, label: str, scope: str = SHARED) -> Block:
        """Open a block; its id is the key of its lines, so it is unique."""
        if any(known.id == name for known in self.blocks):
            raise ModelError(f"two blocks are called {name}")
        made = Block(name, label, scope, self)
        self.blocks.append(made)
        return made


def lines_of(blocks: Iterable[Block]) -> list[Line]:
    """All lines of blocks, in reading order."""
    return [line for block in blocks for line in block.lines]

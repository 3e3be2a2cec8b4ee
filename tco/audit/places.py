"""What stands where in the workbook as exported: which line, which entry, which part of its row."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal, TypeAlias

from tco.audit.expected import Expected
from tco.model.nodes import Home, Line
from tco.publish.workbook.layout import FIRST_MONTH, OPENING, TOTAL, VALUE

Part: TypeAlias = Literal["value", "month", "opening", "total", "link"]


@dataclass(frozen=True)
class Spot:
    """A cell of a line. `month` counts from 0; `block` is the one whose link it is."""

    line: Line
    entry: int
    part: Part
    month: int = 0
    block: Home | None = None

    @property
    def key(self) -> str:
        """The key of the line, with its entry where it is a table."""
        if self.line.shape.axis is None:
            return self.line.id
        if self.line.entry_keys:
            return self.line.entry_keys[self.entry]
        return f"{self.line.id} [{self.entry + 1}]"

    @property
    def label(self) -> str:
        """The label of the line, with its entry."""
        axis = self.line.shape.axis
        return self.line.label if axis is None else f"{self.line.label}: {axis.labels[self.entry]}"


@dataclass(frozen=True)
class Spots:
    """All cells of all lines, by (sheet, row, column)."""

    expected: Expected

    @cached_property
    def by_cell(self) -> dict[tuple[str, int, int], Spot]:
        """Every cell that belongs to a line."""
        found: dict[tuple[str, int, int], Spot] = {}
        layout = self.expected.layout
        for (block, line), place in layout.links.items():
            for entry in range(entries_of(line)):
                found[place.sheet, place.row + entry, place.column] = Spot(line, entry, "link", block=block)
        for line, place in layout.homes.items():
            for entry in range(entries_of(line)):
                row = place.row + entry
                if not line.shape.months:
                    found[place.sheet, row, place.column] = Spot(line, entry, "value")
                    continue
                found[place.sheet, row, OPENING] = Spot(line, entry, "opening")
                found[place.sheet, row, TOTAL] = Spot(line, entry, "total")
                for month in range(layout.model.columns):
                    found[place.sheet, row, FIRST_MONTH + month] = Spot(line, entry, "month", month)
        return found

    @cached_property
    def by_row(self) -> dict[tuple[str, int], Spot]:
        """The line of a row, where a row belongs to one."""
        found: dict[tuple[str, int], Spot] = {}
        for (sheet, row, column), spot in self.by_cell.items():
            if column in (VALUE, FIRST_MONTH):
                found.setdefault((sheet, row), spot)
        return found


def entries_of(line: Line) -> int:
    """The number of entries of a line: 1 without an axis."""
    return len(line.shape.axis) if line.shape.axis is not None else 1

"""Stored values that are not those of their formulas: a file that was changed and not calculated again.

What other programs show of such a file, in a preview for instance, is an old answer. Cells that depend on a touched
formula are left out: the engine does not know what they should be.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from tco.audit.align import Aligned
from tco.audit.cells import Book, Cell
from tco.audit.findings import Finding, cells, finding, shown
from tco.audit.places import Spots
from tco.model.model import Model
from tco.model.nodes import Line
from tco.publish.workbook.about import CHANGES
from tco.publish.workbook.breakeven import BREAK_EVEN
from tco.publish.workbook.sources import CHANGED_COLUMN, SOURCES

ABSOLUTE: Final = 0.005
RELATIVE: Final = 1e-9
_TOLD: Final = 40  # findings of this kind on a sheet; the rest is counted


def stale_values(
    sheets: Mapping[str, Aligned], should: Book, spots: Spots, touched: frozenset[tuple[str, int, int]], model: Model
) -> Iterator[Finding]:
    """Yield one finding for each row that holds stored values the formulas do not give.

    Parameters
    ----------
    sheets : of the workbook beside those exported
    should : the export with the values that the figures as they are now give
    spots : what stands where
    touched : cells whose formula is another one now
    model : of the scenario
    """
    beyond = _after(model, {spots.by_cell[cell].line for cell in touched if cell in spots.by_cell})
    for name, aligned in sheets.items():
        if name in (BREAK_EVEN, CHANGES):
            continue
        rows: dict[int, list[tuple[int, Cell, Cell]]] = {}
        for (row, column), cell in should.sheets[name].cells.items():
            now = aligned.to_actual(row, column)
            there = aligned.actual.cells.get(now) if now is not None else None
            if now is None or there is None or not (cell.formula and there.formula) or (name, row, column) in touched:
                continue
            spot = spots.by_cell.get((name, row, column))
            if spot is None and (touched or _tells_changes(name, column, cell)):
                continue
            if (spot is None or spot.line not in beyond) and not _agree(cell, there):
                rows.setdefault(now[0], []).append((now[1], cell, there))
        yield from _rows(name, aligned, rows, spots)


def _tells_changes(name: str, column: int, cell: Cell) -> bool:
    """Cells that say whether figures were changed: the export cannot know."""
    return (name == SOURCES and column == CHANGED_COLUMN) or f"{SOURCES}'!" in cell.formula


def _agree(should: Cell, there: Cell) -> bool:
    if there.value is None:
        return True  # nothing is stored: the program that saved it leaves calculating to the next one
    if isinstance(should.value, float) and isinstance(there.value, float):
        return abs(should.value - there.value) <= max(ABSOLUTE, RELATIVE * abs(should.value))
    if isinstance(should.value, float) and isinstance(there.value, bool):
        return should.value == float(there.value)
    return should.value == there.value or (should.value in ("", 0.0) and there.value in ("", 0.0))


def _after(model: Model, lines: Iterable[Line]) -> set[Line]:
    """Lines and all that read them."""
    found: set[Line] = set()
    waiting = list(lines)
    while waiting:
        line = waiting.pop()
        if line not in found:
            found.add(line)
            waiting.extend(model.readers[line])
    return found


def _rows(
    name: str, aligned: Aligned, rows: Mapping[int, list[tuple[int, Cell, Cell]]], spots: Spots
) -> Iterator[Finding]:
    for count, (row, wrong) in enumerate(sorted(rows.items())):
        if count == _TOLD:
            yield finding("stale value", aligned.actual.name, "", note=f"and {len(rows) - _TOLD} more rows")
            return
        column, cell, there = wrong[0]
        home = aligned.to_expected(row, column)
        spot = spots.by_cell.get((name, *home)) if home is not None else None
        more = f"{len(wrong)} cells of this row; the first is shown" if len(wrong) > 1 else ""
        yield finding(
            "stale value",
            aligned.actual.name,
            cells(row, column, column),
            spot.key if spot is not None else "",
            spot.label if spot is not None else "",
            shown(there.value),
            shown(cell.value),
            more,
        )

"""Rows and columns that came or went."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from tco.audit.align import Aligned
from tco.audit.cells import Cell
from tco.audit.findings import Finding, Kind, finding, shown
from tco.audit.places import Spots
from tco.publish.workbook.layout import column_name

_TOLD: Final = 6  # cells of a row that are told


def rows_moved(name: str, aligned: Aligned, spots: Spots, *, engine: bool) -> Iterator[Finding]:
    """Yield a finding for each row or column without a partner.

    On a sheet with results of the engine (`engine`) rows without formulas as exported, and all that are new, are
    left to `changed_results`.
    """
    there = aligned.actual.name
    for row in aligned.rows.lost:
        held = [cell for (at, _), cell in aligned.expected.cells.items() if at == row]
        if engine and not any(cell.formula for cell in held):
            continue
        spot = spots.by_row.get((name, row))
        counts = spot is not None or any(cell.formula or isinstance(cell.value, float) for cell in held)
        key, label = (spot.key, spot.label) if spot is not None else ("", "")
        yield finding("deleted row", there, f"row {row + 1} as exported", key, label, _words(held), touches=counts)
    for row in () if engine else aligned.rows.new:
        held = [cell for (at, _), cell in aligned.actual.cells.items() if at == row]
        formulas = any(cell.formula for cell in held)
        counts = formulas or any(isinstance(cell.value, float) for cell in held)
        yield finding("inserted row", there, f"row {row + 1}", new=_words(held), touches=counts)
    for row, more in aligned.blank_rows:
        if not engine:
            what: Kind = "inserted row" if more > 0 else "deleted row"
            count = f"{abs(more)} empty row{'s' if abs(more) > 1 else ''}"
            yield finding(what, there, f"above row {row + 1}", note=count, touches=False)
    for column in aligned.columns.lost:
        yield finding("deleted column", there, f"column {column_name(column)} as exported")
    for column in aligned.columns.new:
        held = [cell for (_, at), cell in aligned.actual.cells.items() if at == column]
        # Even an empty one shifts what is counted by its place, such as months.
        yield finding("inserted column", there, f"column {column_name(column)}", new=_words(held), touches=True)


def _words(held: Sequence[Cell]) -> str:
    texts = [cell.formula or shown(cell.value) for cell in held if cell.formula or cell.value is not None]
    told = " | ".join(texts[:_TOLD])
    return told if len(texts) <= _TOLD else f"{told} | and {len(texts) - _TOLD} more cells"

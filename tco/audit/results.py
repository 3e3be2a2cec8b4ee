"""Results of the engine that were typed over: rows whose mark is none of those the workbook was exported with.

What such a sheet holds takes minutes to find, so an audit does not find it again: it compares the mark of every row
with those in the properties of the workbook. It tells the row that is new, not what stood there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Final, TypeAlias

from tco.audit.align import Aligned
from tco.audit.cells import Cell, Sheet
from tco.audit.findings import Finding, finding, shown
from tco.publish.workbook.stored import mark, marks_in

_TOLD: Final = 40  # findings on a sheet; the rest is counted
_NOTE: Final = "what stood there is not in the workbook: build it again to see"
Rows: TypeAlias = "dict[int, dict[int, Cell]]"


def changed_results(name: str, aligned: Aligned, properties: Mapping[str, str]) -> Iterator[Finding]:
    """Yield a finding for each row of results that is not as exported, and one for those that are gone.

    Parameters
    ----------
    name : of the sheet as exported
    aligned : the sheet with nothing but what is live or says what it is, beside the sheet as read
    properties : of the workbook as read
    """
    own, stored = _by_row(aligned.expected), Counter(marks_in(properties, name))
    live = {row for row, held in own.items() if any(cell.formula or cell.unlocked for cell in held.values())}
    fixed = {_mark(held) for row, held in own.items() if row not in live}
    seen: Counter[str] = Counter()
    changed = []
    for row, held in _by_row(aligned.actual).items():
        if aligned.rows.back.get(row) in live:
            continue
        here = _mark(held)
        seen[here] += 1
        over = seen[here] > stored[here] and here not in fixed
        if any(cell.formula for cell in held.values()) or (here and over):
            changed.append((row, held))
    there = aligned.actual.name
    for row, held in changed[:_TOLD]:
        text = " | ".join(cell.formula or shown(cell.value) for _, cell in sorted(held.items(), key=lambda one: one[0]))
        yield finding("changed result", there, f"row {row + 1}", new=text, note=_NOTE)
    if len(changed) > _TOLD:
        yield finding("changed result", there, "", note=f"and {len(changed) - _TOLD} more rows")
    gone = (stored - seen).total() - len(changed)
    if gone > 0:
        yield finding("changed result", there, "", note=f"rows of results that are gone: {gone}")


def _by_row(sheet: Sheet) -> Rows:
    found: Rows = {}
    for (row, column), cell in sorted(sheet.cells.items(), key=lambda item: item[0]):
        found.setdefault(row, {})[column] = cell
    return found


def _mark(held: Mapping[int, Cell]) -> str:
    return mark((column, cell.value) for column, cell in held.items())

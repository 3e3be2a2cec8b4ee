"""What the rate of a click means for this work: a large side, a good side printed. Never beside another candidate."""

from __future__ import annotations

from typing import Final

from tco.publish.numbers import NONE
from tco.publish.parts import Cell, Kit, Row, Table, clipped
from tco.report import Candidate, Entry

STEPS: Final = ("a_click", "a_large_side", "a_good_side")
SMALL: Final = 0.01


def ladder(kit: Kit, one: Candidate) -> Table | None:
    """A row for each meter that counts work of the candidate; None where no click is charged."""
    first = [entry for entry in kit.report.entries if entry.scope == one.id and entry.key.endswith(f"_{STEPS[0]}")]
    rows = [_row(kit, entry) for entry in first if _value(kit, entry, STEPS[-1])]
    if not rows:
        return None
    unit = kit.numbers.currency
    note = (
        "At first rates. A click is what the plan bills; a good side bears the clicks of waste, make-ready, blank "
        "backs and large sides of this study’s own work, less copies credited. Base, minimums and included clicks are "
        "not in it, so it compares no candidates."
    )
    columns = (("A click", unit), ("A large side", unit), ("A good side printed", unit))
    keys = [_key(entry, step) for entry in first for step in STEPS]
    return Table("t-clicks", "From a click to a good side", columns, tuple(rows), "Meter", note, kit.traced(keys))


def _row(kit: Kit, first: Entry) -> Row:
    cells = []
    for step in STEPS:
        value = _value(kit, first, step)
        cells.append(Cell(NONE) if value is None else Cell(_told(kit, value), kit.href(_key(first, step))))
    return Row(clipped(first.label.removesuffix(" at first, a click"), 60), tuple(cells), note=first.block_label)


def _key(first: Entry, step: str) -> str:
    return first.key.removesuffix(STEPS[0]) + step


def _value(kit: Kit, first: Entry, step: str) -> float | None:
    entry = kit.report.by_key.get(_key(first, step))
    return None if entry is None else entry.values[0][0]


def _told(kit: Kit, value: float) -> str:
    return kit.numbers.fixed(value, 5 if abs(value) < SMALL else 4)

"""One record for each thing that is not as it was exported."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Final, Literal, TypeAlias

from tco.audit.effects import Effect
from tco.audit.sheet_xml import Content
from tco.publish.workbook.layout import column_name

Kind: TypeAlias = Literal[
    "changed input", "overwritten formula", "edited formula", "added formula", "deleted formula", "inserted row",
    "deleted row", "inserted column", "deleted column", "stale value", "retyped label", "changed choice",
    "changed constant", "changed result", "added note", "added sheet", "deleted sheet", "renamed sheet", "lost name",
    "moved name",
]  # fmt: skip

# After one of these the workbook no longer calculates what the engine does, so its inputs do not tell its answer.
TOUCHED: Final = frozenset({
    "overwritten formula", "edited formula", "deleted formula", "added formula", "deleted row", "deleted column",
    "changed choice", "changed constant", "deleted sheet", "lost name", "moved name",
})  # fmt: skip


# Of these it is known which other cells follow; after the rest nobody can say what a workbook should show.
TRACED: Final = frozenset({"overwritten formula", "edited formula", "deleted formula"})


@dataclass(frozen=True)
class Finding:
    """One difference between a workbook and its export.

    Parameters
    ----------
    kind : what happened
    sheet, cell : where it is now, as the workbook has it; `cell` may be a range, a row in words or empty
    key, label : of the line it belongs to; may be empty
    old, new : what stood there and what stands there, as text; a formula with its sign of equality
    effect : what it does to the answer alone; None where the engine cannot tell
    note : a remark; may be empty
    touches : whether formulas are touched by it
    """

    kind: Kind
    sheet: str
    cell: str
    key: str = ""
    label: str = ""
    old: str = ""
    new: str = ""
    effect: Effect | None = None
    note: str = ""
    touches: bool = False

    def as_dict(self) -> dict[str, object]:
        """Return the record as plain data for programs."""
        return asdict(self)


def finding(kind: Kind, sheet: str, cell: str, key: str = "", label: str = "", old: str = "", new: str = "",
            note: str = "", *, touches: bool | None = None) -> Finding:  # fmt: skip
    """Make a finding; whether formulas are touched follows from its kind unless it is said."""
    return Finding(kind, sheet, cell, key, label, old, new, None, note, kind in TOUCHED if touches is None else touches)


def shown(value: Content) -> str:
    """A cell's content as text."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).upper()
    return f"{value:.15g}" if isinstance(value, float) else value


def cells(row: int, first: int, last: int) -> str:
    """One cell, or the cells of a row from one to another."""
    start = f"{column_name(first)}{row + 1}"
    return start if first == last else f"{start}:{column_name(last)}{row + 1}"

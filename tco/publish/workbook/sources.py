"""Every figure with its origin, and whether it is still the one that was exported."""

from __future__ import annotations

from typing import Final

from tco.model.nodes import Line
from tco.publish.workbook.layout import HEAD_ROWS, column_name, quoted
from tco.publish.workbook.ledger import Source
from tco.publish.workbook.printing import finish, set_widths
from tco.publish.workbook.styles import Book, Page, number_format

SOURCES: Final = "Sources"
CHANGED_COLUMN: Final = 5
_HEAD: Final = HEAD_ROWS - 1
_HEADS: Final = (
    ("Key", 30),
    ("Figure", 38),
    ("Unit", 13),
    ("Value now", 14),
    ("As exported", 14),
    ("Changed", 9),
    ("Status", 11),
    ("Date", 11),
    ("Source", 36),
    ("Lowest", 12),
    ("Highest", 12),
    ("Note", 48),
)


def source_rows(source: Source) -> dict[Line, int]:
    """The row of each figure (of a table: of its first entry). Terms of several candidates stand together."""
    layout = source.layout
    figures = [line for line in layout.model.lines if line.value is not None and line.role != "choice"]
    tails: dict[str, list[Line]] = {}
    for line in figures:
        mine = layout.owner(line) in layout.candidates
        tails.setdefault(line.id.partition(".")[2] if mine else f" {line.id}", []).append(line)
    rows, row = {}, HEAD_ROWS
    for lines in tails.values():
        for line in lines:
            rows[line] = row
            row += len(line.shape.axis) if line.shape.axis is not None else 1
    return rows


def changed_range(rows: dict[Line, int]) -> str:
    """The cells that say 1 where a figure is no longer the exported one."""
    last = max(
        (row + (len(line.shape.axis) if line.shape.axis is not None else 1) for line, row in rows.items()), default=0
    )
    here = column_name(CHANGED_COLUMN)
    return f"{quoted(SOURCES)}!${here}${HEAD_ROWS + 1}:${here}${max(last, HEAD_ROWS + 1)}"


def write_sources(book: Book, source: Source, rows: dict[Line, int]) -> None:
    """Write the sheet."""
    page = book.page(SOURCES)
    page.title(
        "Sources",
        "Where each figure comes from. 'Changed' is 1 when the figure is no longer the one that was exported.",
    )
    set_widths(page, [width for _, width in _HEADS])
    for column, (head, _) in enumerate(_HEADS):
        page.text(_HEAD, column, head, "head")
    last = HEAD_ROWS
    for line, first in rows.items():
        axis = line.shape.axis
        for entry in range(len(axis) if axis is not None else 1):
            last = first + entry
            _figure(page, line, entry, last, source)
    finish(page, source.study, (last, len(_HEADS) - 1), head_columns=2)
    page.sheet.autofilter(_HEAD, 0, last, len(_HEADS) - 1)


def key_of(line: Line, entry: int) -> str:
    """The key of one figure: its own path where entries of a column were written in several places."""
    if line.shape.axis is None:
        return line.id
    return line.entry_keys[entry] if line.entry_keys else f"{line.id} [{entry + 1}]"


def _figure(page: Page, line: Line, entry: int, row: int, source: Source) -> None:
    layout, axis, form = source.layout, line.shape.axis, number_format(line)
    origin = line.entry_origins[entry] if line.entry_origins else line.origin
    value = source.value(line, entry)
    page.text(row, 0, key_of(line, entry), "key")
    page.text(row, 1, line.label if axis is None else f"{line.label}: {axis.labels[entry]}")
    page.text(row, 2, source.shown(line), "small")
    page.formula(row, 3, layout.names[line] if axis is None else layout.address(line, entry), value, "link", form)
    page.number(row, 4, value, "stored", form)
    page.formula(row, CHANGED_COLUMN, f"1 * ($D{row + 1} <> $E{row + 1})", 0, "number", "0;;–")
    page.text(row, 6, origin.status, "small")
    page.text(row, 7, origin.date, "small")
    page.text(row, 8, origin.source, "wrap")
    for column, bound in ((9, origin.low), (10, origin.high)):
        if bound is not None:
            page.number(row, column, bound, "stored", form)
    page.text(row, 11, origin.note, "wrap")

"""Sheets of results that only the engine can find: not live, said so, and each row with a mark that tells a change.

The marks travel in the properties of the workbook. They are no seal against bad faith, whoever has this program can
make them; they tell an audit which row somebody typed over, without computing for minutes what stood there.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from typing import Final

from tco.publish.workbook.breakeven import BREAK_EVEN
from tco.publish.workbook.layout import HEAD_ROWS
from tco.publish.workbook.ledger import Source
from tco.publish.workbook.printing import finish, set_widths
from tco.publish.workbook.properties import whole
from tco.publish.workbook.study import Amount, Part, Shown, Study
from tco.publish.workbook.styles import Book, Page, clean, kept

EVIDENCE, UNCERTAINTY, WARNINGS = "Evidence", "Uncertainty", "Warnings"
STORED_NOTE: Final = "From the study as exported; not live: found by the engine, not by this workbook."
NOT_FOUND: Final = "Not looked for when this workbook was exported."
_WIDTHS: Final[Mapping[str, tuple[int, ...]]] = {
    EVIDENCE: (26, 46, 14, 13, 13, 13, 13, 13, 13, 40),
    UNCERTAINTY: (26, 46, 20, *([17] * 11)),
    WARNINGS: (24, 40, 6, 24, 15, 13, 60, 44, 30),
}
STORED_SHEETS: Final = tuple(_WIDTHS)
_MARK: Final = 8
_LINE: Final = 12.5  # points
_LETTERS: Final = 1.2  # of small type in a unit of width


def mark(cells: Iterable[tuple[int, object]]) -> str:
    """The mark of one row, from its columns and what they hold; empty for an empty row."""
    told = []
    for column, value in sorted(cells, key=lambda cell: cell[0]):
        text = f"{kept(value):.15g}" if isinstance(value, float) else " ".join(str(value or "").split())
        if text:
            told.append(f"{column}:{text}")
    return hashlib.sha256("\n".join(told).encode()).hexdigest()[:_MARK] if told else ""


def rows_of(parts: Iterable[Part]) -> Iterator[tuple[str, tuple[Shown, ...]]]:
    """Rows from top to bottom, each with its style: band, note, head, or empty for cells of a table."""
    for part in parts:
        yield "band", (part.heading,)
        yield from (("note", (note,)) for note in part.notes)
        if part.heads:
            yield "head", part.heads
        yield from (("", row) for row in part.rows)
        yield "gap", ()


def write_stored(book: Book, source: Source, name: str) -> None:
    """Write one of the sheets of results."""
    page, parts = book.page(name), source.study.found.get(name, ())
    page.title(name, STORED_NOTE)
    widths = _WIDTHS[name]
    width = max([len(widths), *(len(row) for _, row in rows_of(parts))])
    set_widths(page, (*widths, *([widths[-1]] * (width - len(widths)))))
    row = HEAD_ROWS - 1
    if not parts:
        page.text(row, 1, NOT_FOUND)
    for part in parts:
        numeric = {column for cells in part.rows for column, cell in enumerate(cells) if isinstance(cell, Amount)}
        for style, cells in rows_of([part]):
            if style == "band":
                page.band(row, part.heading, width - 1)
            else:
                _row(page, row, style, cells, numeric, widths)
            row += 1
    finish(page, source.study, (max(row - 1, HEAD_ROWS), width - 1), head_rows=2, head_columns=2)


def _row(
    page: Page, row: int, style: str, cells: Sequence[Shown], numeric: AbstractSet[int], widths: Sequence[int]
) -> None:
    """One row; programs do not agree on the height of wrapped text, so it is said."""
    lines = 1
    for column, cell in enumerate(cells):
        if isinstance(cell, Amount):
            page.number(row, column, kept(cell.value), "stored", cell.form)
        elif style == "note":
            page.text(row, column, cell, "note")
        elif style == "head" and column in numeric:
            page.text(row, column, cell, "table head")
        else:
            plain = "key wrap left" if column == 0 else "stored wrap"
            page.text(row, column, cell, "table head left" if style else plain, indent=2 * (column - 1 in numeric))
        if not isinstance(cell, Amount) and style != "note":
            lines = max(lines, math.ceil(len(cell) / (widths[min(column, len(widths) - 1)] * _LETTERS)))
    if lines > 1:
        page.sheet.set_row(row, lines * _LINE)


def marks_of(study: Study) -> Iterator[tuple[str, str]]:
    """Yield the marks of all rows of each sheet, in order, as the name of a property and its text."""
    sheets = {name: [row for _, row in rows_of(study.found.get(name, ()))] for name in STORED_SHEETS}
    sheets[BREAK_EVEN] = [tuple(Amount(x, "") if isinstance(x, float) else x for x in row) for row in study.breakeven]
    for name, rows in sheets.items():
        made = (mark((column, _told(cell)) for column, cell in enumerate(row)) for row in rows)
        yield _property(name), "".join(made)


def _told(cell: Shown) -> object:
    return kept(cell.value) if isinstance(cell, Amount) else clean(cell)


def _property(sheet: str) -> str:
    return f"marks_{sheet.lower().replace('-', '_')}"


def marks_in(properties: Mapping[str, str], sheet: str) -> list[str]:
    """The marks of the rows of a sheet, as the properties of a workbook hold them."""
    text = whole(properties, _property(sheet))
    return [text[start : start + _MARK] for start in range(0, len(text), _MARK)]

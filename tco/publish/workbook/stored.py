"""Sheets of results that only the engine can find: not live, said so, and each row with a mark that tells a change.

The marks travel in the properties of the workbook. They are no seal against bad faith, whoever has this program can
make them; they tell an audit which row somebody typed over, without computing for minutes what stood there.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from tco.publish.workbook.breakeven import BREAK_EVEN
from tco.publish.workbook.layout import HEAD_ROWS, VALUE
from tco.publish.workbook.ledger import Source
from tco.publish.workbook.printing import finish, set_widths
from tco.publish.workbook.properties import whole
from tco.publish.workbook.study import Amount, Part, Shown, Study
from tco.publish.workbook.styles import Book, clean, kept

EVIDENCE, UNCERTAINTY, WARNINGS = "Evidence", "Uncertainty", "Warnings"
STORED_NOTE: Final = "From the study as exported; not live: found by the engine, not by this workbook."
NOT_FOUND: Final = "Not looked for when this workbook was exported."
_WIDTHS: Final[Mapping[str, tuple[int, ...]]] = {
    EVIDENCE: (26, 46, 14, 13, 13, 13, 13, 13, 13, 40),
    UNCERTAINTY: (26, 46, 16, *([15] * 11)),
    WARNINGS: (24, 40, 10, 24, 15, 15, 60, 44, 30),
}
STORED_SHEETS: Final = tuple(_WIDTHS)
_MARK: Final = 8
_WRAPPED: Final = frozenset({WARNINGS})


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
    for style, cells in rows_of(parts):
        if style == "band":
            page.band(row, str(cells[0]), width - 1)
        for column, cell in enumerate(cells if style != "band" else ()):
            if isinstance(cell, Amount):
                page.number(row, column, kept(cell.value), "stored", cell.form)
            elif style == "head":
                numbers = column >= VALUE and name != WARNINGS
                page.text(row, column, cell, "table head" if numbers else "table head left")
            elif style == "note":
                page.text(row, column, cell, "note")
            elif column == 0:
                page.text(row, column, cell, "key")
            else:
                page.text(row, column, cell, "stored wrap" if name in _WRAPPED else "stored text")
        row += 1
    finish(page, source.study, (max(row - 1, HEAD_ROWS), width - 1), head_rows=2, head_columns=2)


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

"""The scenario as written, one line a row, so that a workbook can be read back without any other file."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from typing import Final

from tco.publish.workbook.layout import HEAD_ROWS
from tco.publish.workbook.ledger import Source
from tco.publish.workbook.printing import finish, set_widths
from tco.publish.workbook.styles import Book, clean

SCENARIO_SHEET: Final = "Scenario"
NUMBER, TEXT = 0, 1
CONTINUED: Final = "…"
PIECE: Final = 1500  # a cell keeps more, but nobody can read more
_HEAD: Final = HEAD_ROWS - 1


def rows_of(text: str) -> Iterator[tuple[str, str]]:
    """The number and the text of every row; a very long line goes on in further rows, marked so.

    A cell keeps neither tabs nor steering characters; YAML has no need of either.
    """
    for number, line in enumerate(text.rstrip("\r\n").split("\n"), 1):
        mark = str(number)
        for start in range(0, max(len(line), 1), PIECE):
            yield mark, clean(line[start : start + PIECE])
            mark = CONTINUED


def text_of(rows: Iterable[tuple[str, str]]) -> str:
    """The text that rows were made from."""
    lines: list[str] = []
    for mark, piece in rows:
        if mark == CONTINUED and lines:
            lines[-1] += piece
        else:
            lines.append(piece)
    return "".join(f"{line}\n" for line in lines)


def text_hash(text: str) -> str:
    """A hash of the text as the sheet keeps it; empty for no text. Spaces at the ends of lines do not count."""
    if not text:
        return ""
    kept = "\n".join(line.rstrip() for line in text_of(rows_of(text)).split("\n"))
    return hashlib.sha256(kept.encode()).hexdigest()


def write_scenario_text(book: Book, source: Source) -> None:
    """Write the sheet."""
    page, row = book.page(SCENARIO_SHEET), HEAD_ROWS
    page.title(
        "Scenario",
        "The text this workbook was made from, kept for reading it back. Figures are changed on the input sheets.",
    )
    set_widths(page, (7, 130))
    page.text(_HEAD, NUMBER, "Line", "head")
    page.text(_HEAD, TEXT, source.study.scenario_file, "head")
    for row, (mark, piece) in enumerate(rows_of(source.study.scenario_text), HEAD_ROWS):
        page.text(row, NUMBER, mark, "small right")
        page.text(row, TEXT, piece)
    finish(page, source.study, (row, TEXT))

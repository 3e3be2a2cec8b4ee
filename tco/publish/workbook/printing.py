"""How sheets look on screen and on paper: widths, frozen panes, protection, pages."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from tco.publish.workbook.layout import FIRST_MONTH, HEAD_ROWS, VALUE, WORDS
from tco.publish.workbook.study import Study
from tco.publish.workbook.styles import Page, clean

# Widths in characters of the eight leading columns of a ledger, and of a month.
LEDGER_WIDTHS: Final = (16, 34, 13, 14, 14, 62, 12)
MONTH_WIDTH: Final = 12
_PAPERS: Final = {"letter": (1, 11.0), "a4": (9, 11.69)}  # index of the format, inches of the landscape page
SMALLEST: Final = 55  # percent of full size that can still be read
_MARGIN: Final = 0.4
_PROTECTION: Final = {
    "select_locked_cells": True,
    "select_unlocked_cells": True,
    "format_columns": True,
    "format_rows": True,
    "format_cells": False,
}


def finish(
    page: Page, study: Study, last: tuple[int, int], *, head_rows: int = HEAD_ROWS, head_columns: int = 0
) -> None:
    """Freeze, protect and set up an ordinary sheet for paper: fitted to one page wide."""
    _common(page, study, last, head_rows, head_columns)
    page.sheet.fit_to_pages(1, 0)


def finish_ledger(page: Page, study: Study, last: tuple[int, int], printed: int) -> None:
    """The same for a ledger. What prints ends with column `printed`, the last one of a table: months stay on screen.

    Where one page would be too small to read, tables stand on a second one beside the repeated labels.
    """
    for column, width in enumerate(LEDGER_WIDTHS):
        page.sheet.set_column(column, column, width)
    page.sheet.set_column(FIRST_MONTH, max(FIRST_MONTH, last[1]), MONTH_WIDTH)
    _common(page, study, (last[0], max(printed, WORDS)), HEAD_ROWS, VALUE + 1)
    page.sheet.outline_settings(True, False, True, False)
    inches = _inches([*LEDGER_WIDTHS, *([MONTH_WIDTH] * (printed + 1 - FIRST_MONTH))])
    if 100 * (_PAPERS[study.paper][1] - 2 * _MARGIN) / inches >= SMALLEST:
        page.sheet.fit_to_pages(1, 0)
        return
    page.sheet.repeat_columns(0, VALUE)
    page.sheet.set_v_pagebreaks([FIRST_MONTH])
    page.sheet.print_across()
    page.sheet.set_print_scale(SMALLEST)


def _inches(widths: Sequence[float]) -> float:
    """Columns on paper: a column of n characters has 7 n + 5 pixels, 96 to an inch."""
    return sum(7 * width + 5 for width in widths) / 96


def set_widths(page: Page, widths: Sequence[float]) -> None:
    """Set the widths of the first columns, in characters."""
    for column, width in enumerate(widths):
        page.sheet.set_column(column, column, width)


def _common(page: Page, study: Study, last: tuple[int, int], head_rows: int, head_columns: int) -> None:
    sheet = page.sheet
    sheet.hide_gridlines(2)
    sheet.set_row(0, 24)
    sheet.freeze_panes(head_rows, head_columns)
    sheet.print_area(0, 0, *last)
    sheet.repeat_rows(0, max(head_rows - 1, 0))
    sheet.set_landscape()
    sheet.set_paper(_PAPERS[study.paper][0])
    sheet.set_margins(left=_MARGIN, right=_MARGIN, top=0.6, bottom=0.6)
    title = clean(study.title)[:80].replace("\n", " ").replace("&", "&&")
    sheet.set_header(f"&L&8 {title}&R&8&A")
    sheet.set_footer(f"&L&8 {study.date.isoformat()}&R&8Page &P of &N")
    sheet.protect("", _PROTECTION)

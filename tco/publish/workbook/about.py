"""The first and the last sheet: what this is and how to use it, and an empty log of changes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from tco.publish.workbook.layout import quoted
from tco.publish.workbook.ledger import Source
from tco.publish.workbook.printing import finish, set_widths
from tco.publish.workbook.styles import Book, Page

ABOUT, CHANGES = "About", "Changes"
LOG_ROWS: Final = 30
_HOW: Final = (
    "Yellow cells with blue figures may be changed; everything else is locked without a password.",
    "Every other number is a formula. Beside each stands, in words, how it comes about.",
    "A change flows to Summary at once. The verdict there stays that of the study and says when it no longer applies.",
    "Choices (grey) decide which lines exist: change them in the scenario and build the workbook again.",
    "The same column is the same month on every sheet that has months.",
    "Ledgers run to the last month of any contract; months beyond the horizon count in no total of the statement.",
    "Ledgers print without months: lines with total and words, and tables. Years are on the sheet Fiscal years.",
    "Volume scale on Assumptions multiplies all work; Break-even shows what it means.",
    "Please note every change on the sheet Changes.",
)
_SIGNS: Final = (
    "Costs are positive, receipts negative, on every line.",
    "A saving is the reference less the candidate: positive when the candidate costs less.",
    "Opening flows fall at the beginning of their month, all others at its close. Nothing is rounded.",
)


def write_about(book: Book, source: Source, sheets: Sequence[tuple[str, str]]) -> None:
    """Write the sheet; `sheets` are names with what they hold, in order."""
    page, study = book.page(ABOUT), source.study
    page.title(study.title, "A live workbook: change a figure and see what it does.")
    set_widths(page, (26, 110))
    facts = (
        ("Prepared for", study.prepared_for),
        ("Prepared by", study.prepared_by),
        ("As of", study.date.isoformat()),
        ("Currency", study.currency),
        ("First month", f"{study.start_year:04d}-{study.start_month:02d}"),
        ("Months compared", str(study.months)),
        ("Reference", ", ".join(one.name for one in study.candidates if one.is_reference)),
        ("Program version", study.version),
        ("Fingerprint of scenario", study.fingerprint),
    )
    row = 3
    for head, text in facts:
        if text:
            page.text(row, 0, head, "small")
            page.text(row, 1, text)
            row += 1
    row = _list(page, row + 1, "Signs and timing", _SIGNS)
    row = _list(page, row, "How to use it", _HOW)
    page.band(row, "Sheets", 1)
    for name, holds in sheets:
        row += 1
        page.inner_link(row, 0, f"{quoted(name)}!A1", name)
        page.text(row, 1, holds)
    row = _list(page, row + 2, "What had to be assumed", study.gaps or ("Nothing: no gap was found.",))
    finish(page, study, (row - 1, 1), head_rows=2)


def _list(page: Page, row: int, heading: str, texts: Sequence[str]) -> int:
    page.band(row, heading, 1)
    for text in texts:
        row += 1
        page.text(row, 1, text, "wrap")
    return row + 2


def write_changes(book: Book, source: Source) -> None:
    """Write an empty log that anybody may fill in."""
    page = book.page(CHANGES)
    page.title("Changes", "Note here what was changed after the export, by whom and why.")
    heads = (("Date", 14), ("Who", 20), ("Sheet and cell", 24), ("From", 16), ("To", 16), ("Why", 60))
    set_widths(page, [width for _, width in heads])
    for column, (head, _) in enumerate(heads):
        page.text(3, column, head, "head")
        for row in range(4, 4 + LOG_ROWS):
            page.text(row, column, "", "log")
    finish(page, source.study, (3 + LOG_ROWS, len(heads) - 1))

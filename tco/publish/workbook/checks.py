"""Checks: every difference that must be nothing, each with its status, and one master over all."""

from __future__ import annotations

from typing import Final

from tco.model.lines import COMPARISON, SHARED
from tco.model.nodes import Line
from tco.publish.workbook.layout import FIRST_MONTH, HEAD_ROWS, VALUE, Layout, column_name, quoted
from tco.publish.workbook.ledger import Source
from tco.publish.workbook.printing import finish, set_widths
from tco.publish.workbook.results import MASTER_NAME
from tco.publish.workbook.styles import Book

CHECKS: Final = "Checks"
TOLERANCE: Final = 0.005
TOLERANCE_NAME: Final = "chk_tolerance"
ALL_OK, LOOK = "ALL OK", "LOOK AT THE CHECKS"
_STATUS_FORMAT: Final = '"OK";;"LOOK"'
_FIRST: Final = HEAD_ROWS + 4
_HEAD: Final = HEAD_ROWS - 1


def check_lines(layout: Layout) -> list[Line]:
    """Every line that must be nothing."""
    return [line for line in layout.model.lines if line.role == "check" and line.value is None]


def largest(line: Line, source: Source) -> float:
    """How far a check is from nothing, over its months and entries."""
    return float(abs(source.values[line.id][0]).max())


def verdict(source: Source) -> str:
    """The stored word of the master check."""
    fine = all(largest(line, source) <= TOLERANCE for line in check_lines(source.layout))
    return ALL_OK if fine else LOOK


def write_checks(book: Book, source: Source) -> None:
    """Write the sheet."""
    page, layout, lines = book.page(CHECKS), source.layout, check_lines(source.layout)
    page.title("Checks", "Each difference must be nothing, within the tolerance below.")
    set_widths(page, (30, 52, 14, 18, 12, 30))
    for column, head in enumerate(("Key", "Check", "Unit", "Difference", "Status", "Where")):
        style = "head right" if column in (VALUE, VALUE + 1) else "head"
        page.text(_HEAD, column, head, style, indent=int(column == VALUE + 2))
    page.text(HEAD_ROWS, 1, "Tolerance: half a cent, or five thousandths of another unit")
    page.number(HEAD_ROWS, VALUE, TOLERANCE, "constant", "0.000")
    book.define(TOLERANCE_NAME, f"{quoted(CHECKS)}!$D${HEAD_ROWS + 1}")
    page.text(HEAD_ROWS + 1, 1, "Master check", "answer text")
    book.define(MASTER_NAME, f"{quoted(CHECKS)}!$D${HEAD_ROWS + 2}")
    statuses = f"$E${_FIRST + 1}:$E${_FIRST + max(len(lines), 1)}"
    if lines:
        text = f'IF(SUM({statuses}) = ROWS({statuses}), "{ALL_OK}", "{LOOK}")'
        page.formula(HEAD_ROWS + 1, VALUE, text, verdict(source), "answer")
    else:
        page.text(HEAD_ROWS + 1, VALUE, ALL_OK, "answer text")
    for number, line in enumerate(lines):
        row, value = _FIRST + number, largest(line, source)
        page.text(row, 0, line.id, "key")
        page.text(row, 1, line.label)
        page.text(row, 2, source.shown(line), "small")
        shown = source.value(line) if _is_single(line) else value
        page.formula(row, VALUE, _difference(line, layout), shown, "link", source.form(line))
        status = f"1 * (ABS($D{row + 1}) <= {TOLERANCE_NAME})"
        page.formula(row, VALUE + 1, status, float(value <= TOLERANCE), "total right", _STATUS_FORMAT)
        words = {SHARED: "Shared workings", COMPARISON: "Between candidates"}
        page.text(row, VALUE + 2, words.get(line.block.scope, source.name_of(line.block.scope)), indent=1)
    red = book.workbook.add_format({"bg_color": "#F6C9C2", "font_color": "#8A1C0F", "bold": True})
    if lines:
        rule = {"type": "cell", "criteria": "==", "value": 0, "format": red}
        page.sheet.conditional_format(_FIRST, VALUE + 1, _FIRST + len(lines) - 1, VALUE + 1, rule)
    finish(page, source.study, (_FIRST + max(len(lines), 1) - 1, VALUE + 2), head_columns=2)


def _is_single(line: Line) -> bool:
    return not line.shape.months and line.shape.axis is None


def _difference(line: Line, layout: Layout) -> str:
    if _is_single(line):
        return layout.address(line)
    home, entries = layout.homes[line], len(line.shape.axis) if line.shape.axis is not None else 1
    first = column_name(home.column)
    last = column_name(FIRST_MONTH + layout.model.columns - 1) if line.shape.months else first
    area = f"{quoted(home.sheet)}!${first}${home.row + 1}:${last}${home.row + entries}"
    return f"MAX(MAX({area}), -1 * MIN({area}))"

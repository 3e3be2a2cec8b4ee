"""Input sheets: the only cells that may be typed over, each with unit, source and validation."""

from __future__ import annotations

from typing import Any, Final

from tco.model.nodes import Line
from tco.publish.workbook.layout import (
    ASSUMPTIONS,
    HEAD_ROWS,
    KEY,
    LABEL,
    QUOTES,
    TABLES,
    UNIT,
    VALUE,
    WORK,
    Group,
    InputTable,
    column_name,
    quoted,
)
from tco.publish.workbook.ledger import START_NAME, Source, first_day, serial
from tco.publish.workbook.printing import finish, set_widths
from tco.publish.workbook.sources import SOURCES
from tco.publish.workbook.styles import Book, Page, number_format
from tco.units import NONE, unit

LARGEST: Final = 1e12
_MONTH: Final = unit("month")
_HEAD: Final = HEAD_ROWS - 1


def write_inputs(book: Book, source: Source, source_rows: dict[Line, int]) -> None:
    """Write Assumptions, Quotes, Work and Tables; those without figures are left out, but for Assumptions."""
    _assumptions(book, source, source_rows)
    if source.layout.inputs[QUOTES]:
        _quotes(book, source, source_rows)
    notes = {
        WORK: ("Work", "Figures by job class and by calendar month that all candidates share."),
        TABLES: ("Tables", "Bands, steps and other small tables of quotes, and published tables."),
    }
    for sheet, (title, note) in notes.items():
        if source.layout.tables[sheet]:
            _tables(book, sheet, title, note, source)


def _assumptions(book: Book, source: Source, source_rows: dict[Line, int]) -> None:
    page = book.page(ASSUMPTIONS)
    page.title(
        "Assumptions",
        "Figures that all candidates share. Yellow cells with blue figures may be changed; the rest is locked.",
    )
    set_widths(page, (24, 44, 14, 16, 12, 40, 12))
    heads = ("Key", "Figure", "Unit", "Value", "Status", "Source", "Date")
    for column, head in enumerate(heads):
        page.text(_HEAD, column, head, "head right" if column == VALUE else "head", indent=int(column == VALUE + 1))
    page.text(HEAD_ROWS, LABEL, "First operating month (build again to change)")
    page.text(HEAD_ROWS, UNIT, "date", "small")
    page.number(HEAD_ROWS, VALUE, serial(first_day(source.study)), "constant", "yyyy-mm-dd")
    book.define(START_NAME, f"{quoted(ASSUMPTIONS)}!$D${HEAD_ROWS + 1}")
    last = HEAD_ROWS
    for group in source.layout.inputs[ASSUMPTIONS]:
        _group(page, group, source, len(heads) - 1)
        for term in group.terms:
            line, origin = term.first, term.first.origin
            page.text(term.row, VALUE + 1, origin.status, "small")
            page.text(term.row, VALUE + 2, origin.source, "small")
            page.text(term.row, VALUE + 3, origin.date, "small")
            last = term.row
            if line in source_rows and origin.note:
                page.inner_link(term.row, VALUE + 4, f"{quoted(SOURCES)}!A{source_rows[line] + 1}", "note")
    finish(page, source.study, (last, len(heads) - 1), head_columns=UNIT)


def _quotes(book: Book, source: Source, source_rows: dict[Line, int]) -> None:
    page = book.page(QUOTES)
    page.title("Quotes", "The terms of the candidates side by side. An empty cell: this candidate has no such term.")
    candidates = source.layout.candidates
    last_column = VALUE + len(candidates)
    set_widths(page, (24, 38, 14, *(16 for _ in candidates), 12))
    for column, head in enumerate(("Key", "Term", "Unit")):
        page.text(_HEAD, column, head, "head")
    for place, candidate in enumerate(candidates):
        page.text(_HEAD, VALUE + place, source.name_of(candidate), "head right")
    page.text(_HEAD, last_column, "Status, source", "head", indent=1)
    page.sheet.set_row(_HEAD, 28)
    last = HEAD_ROWS
    for group in source.layout.inputs[QUOTES]:
        _group(page, group, source, last_column)
        for term in group.terms:
            last = term.row
            rows = [source_rows[line] for line in term.lines.values() if line in source_rows]
            if rows:
                page.inner_link(
                    term.row, last_column, f"{quoted(SOURCES)}!A{rows[0] + 1}", f"Sources, row {rows[0] + 1}"
                )
    finish(page, source.study, (last, last_column), head_columns=UNIT)


def _group(page: Page, group: Group, source: Source, last_column: int) -> None:
    page.band(group.row, group.heading, last_column)
    for term in group.terms:
        page.text(term.row, KEY, term.key, "key")
        page.text(term.row, LABEL, term.first.label)
        page.text(term.row, UNIT, "choice" if term.first.role == "choice" else source.shown(term.first), "small")
        for column, line in term.lines.items():
            _figure(page, line, term.row, column, 0, source)
            if line.role != "choice":
                page.book.define(source.layout.names[line], source.layout.address(line))


def _tables(book: Book, sheet: str, title: str, note: str, source: Source) -> None:
    page = book.page(sheet)
    page.title(title, note)
    tables = source.layout.tables[sheet]
    last_column = max(column for table in tables for _, column in table.columns)
    set_widths(page, (8, 34, 10, *(15 for _ in range(VALUE, last_column + 1))))
    for table in tables:
        _table(page, table, source, last_column)
    last = tables[-1]
    finish(page, source.study, (last.row + len(last.axis) - 1, last_column), head_rows=2, head_columns=UNIT)


def _table(page: Page, table: InputTable, source: Source, last_column: int) -> None:
    """Four rows of headings (subject, labels, units, keys), then the entries."""
    top, labels, units, keys = range(table.row - 4, table.row)
    owner = source.layout.owner(table.columns[0][0])
    whose = f"{source.name_of(owner)}: " if owner in source.layout.candidates else ""
    page.band(top, f"{whose}{table.heading}", last_column)
    page.text(labels, LABEL, f"By {table.axis.name}", "table head")
    page.text(labels, UNIT, "No.", "table head")
    page.sheet.set_row(labels, 36)
    page.text(units, LABEL, "Unit", "small")
    page.text(keys, LABEL, "Key; sources stand on the sheet Sources", "key")
    page.sheet.set_row(keys, 24)
    for line, column in table.columns:
        page.text(labels, column, line.label, "table head")
        page.text(units, column, source.shown(line), "small right")
        page.text(keys, column, line.id, "key wrap")
        name, here = source.layout.names[line], column_name(column)
        page.book.define(name, f"{quoted(page.name)}!${here}${table.row + 1}:${here}${table.row + len(table.axis)}")
    for entry, label in enumerate(table.axis.labels):
        row = table.row + entry
        page.text(row, LABEL, label, indent=1)
        here = column_name(LABEL)
        page.formula(row, UNIT, f"ROWS(${here}${table.row + 1}:${here}{row + 1})", entry + 1, "number", "0")
        for line, column in table.columns:
            _figure(page, line, row, column, entry, source)


def _figure(page: Page, line: Line, row: int, column: int, entry: int, source: Source) -> None:
    """A figure that may be changed, a constant, or a choice in words."""
    if line.role == "choice":
        page.text(row, column, line.text, "choice")
        return
    value = source.value(line, entry)
    if line.role != "input":
        page.number(row, column, value, "constant", number_format(line))
        return
    page.number(row, column, value, "input", number_format(line))
    page.validate(row, column, validation(line, value))


def validation(line: Line, value: float) -> dict[str, Any]:
    """What may be typed over a figure. Unusual figures are asked back, not refused; text never is a figure."""
    rule: dict[str, Any] = {"validate": "decimal", "criteria": "between", "error_type": "stop"}
    if line.percent:
        low = 0 if value >= 0 else -1
        rule |= {"minimum": low, "maximum": max(1, value), "error_type": "warning"}
        message = "A share lies between nothing and the whole. Keep it all the same?"
        rule |= {"error_title": "A share", "error_message": message}
    elif line.unit == _MONTH and value == int(value) and value >= 0:
        rule |= {"validate": "integer", "minimum": 0, "maximum": 1200}
        rule |= {"error_title": "Months", "error_message": "A whole number of months is needed."}
    elif line.unit == NONE and value in (0, 1):
        rule |= {"minimum": -LARGEST, "maximum": LARGEST}
        rule |= {"error_title": "A number", "error_message": "A number is needed; flags are 0 or 1."}
    else:
        rule |= {"minimum": -LARGEST, "maximum": LARGEST}
        rule |= {"error_title": "A number", "error_message": "A number is needed."}
    return rule

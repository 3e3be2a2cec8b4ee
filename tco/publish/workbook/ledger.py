"""Ledgers: every calculated line of a scope, block by block, month by month."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from tco.model.kinds import Array
from tco.model.lines import COMPARISON, SHARED
from tco.model.nodes import Line
from tco.model.values import opening_of
from tco.model.words import words
from tco.publish.workbook import formulas
from tco.publish.workbook.layout import (
    FIRST_MONTH,
    HEAD_ROWS,
    KEY,
    LABEL,
    NUMBER_COLUMN,
    OPENING,
    TOTAL,
    UNIT,
    VALUE,
    WORDS,
    Grid,
    Layout,
    Ledger,
    Row,
    Section,
    column_name,
    quoted,
)
from tco.publish.workbook.printing import finish_ledger
from tco.publish.workbook.study import Study
from tco.publish.workbook.styles import Book, Page, clean, number_format, unit_words

START_NAME: Final = "g_start"
MONTH_FORMAT: Final = "mmm yyyy"
_EPOCH: Final = dt.date(1899, 12, 30)  # day 0 of spreadsheets, right from March 1900 on
_MONTH_ROW: Final = HEAD_ROWS - 2
_DATE_ROW: Final = HEAD_ROWS - 1


@dataclass(frozen=True)
class Source:
    """What sheets are made from."""

    layout: Layout
    values: Mapping[str, Array]
    study: Study

    def value(self, line: Line, entry: int = 0, month: int = 0) -> float:
        """The stored value of a line: the engine's, first draw."""
        return float(self.values[line.id][0, entry, month])

    @cached_property
    def _store(self) -> dict[Line, Array]:
        return {line: self.values[line.id] for line in self.layout.model.lines}

    def opening(self, line: Line, entry: int) -> float:
        """The stored value before the first month."""
        found = opening_of(line, self._store, self.layout.model.columns, None)[0, :, 0]
        return float(found[min(entry, len(found) - 1)])

    def row(self, line: Line, entry: int = 0) -> Array:
        """The stored values of all months, (months or 1,)."""
        return np.asarray(self.values[line.id][0, entry])

    def name_of(self, candidate: str) -> str:
        """The name of a candidate as it stands in cells; its id where nothing of the name can be shown."""
        return clean(self.study.name_of(candidate)).strip() or candidate

    def form(self, line: Line) -> str:
        """The number format of a line; calculated plain numbers with fractions get six digits."""
        form = number_format(line)
        if form != "General" or line.value is not None:
            return form
        values = self.values[line.id][0]
        return form if bool(np.all(values == np.round(values))) else "0.000000"

    def shown(self, line: Line) -> str:
        """The unit of a line in words."""
        return unit_words(line, self.study.currency)


def serial(day: dt.date) -> int:
    """A date as a spreadsheet counts days."""
    return (day - _EPOCH).days


def first_day(study: Study) -> dt.date:
    """The first day of the first operating month."""
    return dt.date(study.start_year, study.start_month, 1)


def write_ledger(book: Book, ledger: Ledger, source: Source) -> None:
    """Write the sheet of one scope."""
    page = book.page(ledger.sheet)
    title, note = _titles(ledger, source)
    page.title(title, note)
    tables = [part for section in ledger.sections for part in section.parts if isinstance(part, Grid)]
    printed = max((column for table in tables for _, column, _ in table.columns), default=WORDS)
    last_column = max(FIRST_MONTH + source.layout.model.columns - 1 if ledger.monthly else OPENING, printed)
    _head(page)
    if ledger.monthly:
        _months_head(page, ledger, source)
    for section in ledger.sections:
        _section(page, section, last_column, source)
    finish_ledger(page, source.study, (ledger.end - 1, last_column), printed)


def _titles(ledger: Ledger, source: Source) -> tuple[str, str]:
    note = "Costs are positive, receipts negative. Every working cell is a formula; change figures on the input sheets."
    if ledger.scope == SHARED:
        return "Shared workings", note
    if ledger.scope == COMPARISON:
        return "Difference workings", note
    return source.name_of(ledger.scope), note


def _head(page: Page) -> None:
    """Headings of the columns before the months."""
    heads = {KEY: "Key", LABEL: "Line", UNIT: "Unit", WORDS: "How it comes about"}
    for column, text in heads.items():
        page.text(_DATE_ROW, column, text, "head", indent=int(column == WORDS))
    for column, text in {VALUE: "Value", TOTAL: "Total or last"}.items():
        page.text(_DATE_ROW, column, text, "head right")
    page.text(_DATE_ROW, OPENING, "", "head")


def _months_head(page: Page, ledger: Ledger, source: Source) -> None:
    """Number and calendar month of each column; the first ledger counts them, the others repeat it."""
    first = source.layout.clock
    start, columns = first_day(source.study), source.layout.model.columns
    page.number(_MONTH_ROW, OPENING, 0, "head number", '"Before month 1"')
    for number in range(1, columns + 1):
        column = FIRST_MONTH + number - 1
        here, before = column_name(column), column_name(column - 1)
        month = first_day_of(start, number - 1)
        if ledger.sheet == first:
            page.formula(_MONTH_ROW, column, f"{before}${_MONTH_ROW + 1} + 1", number, "head number", "0")
            page.formula(
                _DATE_ROW,
                column,
                f"EDATE({START_NAME}, {here}${_MONTH_ROW + 1} - 1)",
                serial(month),
                "head number",
                MONTH_FORMAT,
            )
        else:
            page.formula(_MONTH_ROW, column, f"{quoted(first)}!{here}${_MONTH_ROW + 1}", number, "head number", "0")
            page.formula(
                _DATE_ROW, column, f"{quoted(first)}!{here}${_DATE_ROW + 1}", serial(month), "head number", MONTH_FORMAT
            )


def first_day_of(start: dt.date, later: int) -> dt.date:
    """The same day some months later; the first of a month exists in every month."""
    months = start.year * 12 + start.month - 1 + later
    return dt.date(months // 12, months % 12 + 1, 1)


def _section(page: Page, section: Section, last_column: int, source: Source) -> None:
    heading = f"{section.block.label}, continued" if section.continued else section.block.label
    page.band(section.row, heading, last_column)
    if section.block.note:
        page.text(section.row, WORDS, section.block.note, "section")
    for part in section.parts:
        if isinstance(part, Grid):
            _grid(page, part, section, source)
        else:
            _row(page, part, section, source)
    for row in range(section.row + 1, section.end):
        page.sheet.set_row(row, None, None, {"level": 1})


def _key(line: Line, link: bool, section: Section) -> str:
    """The key of a row; a figure read by several blocks has one link row in each, told apart by the block."""
    return f"{line.id} @ {section.block.id}" if link else line.id


def _row(page: Page, part: Row, section: Section, source: Source) -> None:
    line, axis = part.line, part.line.shape.axis
    for entry in range(len(axis) if axis is not None else 1):
        row = part.row + entry
        page.text(row, KEY, _key(line, part.link, section) if axis is None else f"{line.id} [{entry + 1}]", "key")
        page.text(row, LABEL, line.label if axis is None else f"{line.label}: {axis.labels[entry]}")
        page.text(row, UNIT, source.shown(line), "small")
        page.text(row, WORDS, "figure of the scenario" if part.link else words(line), "words")
        if part.link:
            _link(page, line, row, VALUE, 0, source)
        elif line.shape.months:
            _months(page, line, entry, row, source)
        else:
            text = formulas.formula(line, entry, source.layout)
            page.formula(row, VALUE, text, source.value(line, entry), "number", source.form(line))


def _months(page: Page, line: Line, entry: int, row: int, source: Source) -> None:
    form = source.form(line)
    start = formulas.opening(line, entry, source.layout)
    if start != "0":
        page.formula(row, OPENING, start, source.opening(line, entry), "number", form)
    elif line in source.layout.read_late or formulas.is_running(line):
        page.number(row, OPENING, 0, "number", form)
    template = formulas.formula(line, entry, source.layout)
    row_values = source.row(line, entry)
    for number, value in enumerate(row_values):
        column = FIRST_MONTH + number
        page.formula(row, column, formulas.month(template, column), float(value), "number", form)
    total = formulas.total(line, entry, source.layout)
    if total is not None:
        value = float(np.sum(row_values)) if line.total == "sum" else float(row_values[-1])
        page.formula(row, TOTAL, total, value, "total", form)


def _link(page: Page, line: Line, row: int, column: int, entry: int, source: Source) -> None:
    layout = source.layout
    target = layout.names[line] if line.shape.axis is None else layout.address(line, entry)
    page.formula(row, column, target, source.value(line, entry), "link", source.form(line))


def _grid(page: Page, grid: Grid, section: Section, source: Source) -> None:
    """Legend rows with the words, one row of headings, then the entries."""
    head = grid.row - 1
    for number, (line, column, link) in enumerate(grid.columns):
        row = head - len(grid.columns) + number
        page.text(row, KEY, _key(line, link, section), "key")
        page.text(row, LABEL, line.label)
        page.text(row, UNIT, source.shown(line), "small")
        page.text(row, VALUE, f"table below, {column_name(column)}", "small")
        page.text(row, WORDS, "figures of the scenario" if link else words(line), "words")
        page.text(head, column, line.label, "table head")
    page.text(head, LABEL, f"By {grid.axis.name}", "table head")
    page.text(head, NUMBER_COLUMN, "No.", "table head")
    page.sheet.set_row(head, 36)
    for entry, label in enumerate(grid.axis.labels):
        row = grid.row + entry
        page.text(row, LABEL, label, indent=1)
        here = column_name(LABEL)
        count = f"ROWS(${here}${grid.row + 1}:${here}{row + 1})"
        page.formula(row, NUMBER_COLUMN, count, entry + 1, "number", "0")
        for line, column, link in grid.columns:
            if link:
                _link(page, line, row, column, entry, source)
            else:
                text = formulas.formula(line, entry, source.layout)
                page.formula(row, column, text, source.value(line, entry), "number", source.form(line))

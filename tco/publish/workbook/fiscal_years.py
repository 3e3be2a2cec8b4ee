"""Fiscal years, live: the parts of a budget, the way from cash to expense, leases in the balance sheet, year by year.

Costs by kind are gathered here from the months of a ledger; all else is a link to what a ledger gathered, or a sum.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from tco.model.nodes import Line
from tco.publish.workbook.layout import HEAD_ROWS, KEY, LABEL, UNIT, VALUE, Layout, column_name, quoted
from tco.publish.workbook.ledger import Source
from tco.publish.workbook.printing import finish, set_widths
from tco.publish.workbook.results import KINDS
from tco.publish.workbook.styles import Book, Page

FISCAL_YEARS: Final = "Fiscal years"
PAID: Final = "fiscal.paid_by_year"
YEAR: Final = "time.fiscal_year"
_NUMBERS: Final = HEAD_ROWS
_HEAD: Final = HEAD_ROWS - 1


@dataclass(frozen=True)
class _Row:
    """One row of a statement: the end of its key, its label, whether it is taken off, a result, or a balance."""

    key: str
    label: str
    less: bool = False
    result: bool = False
    balance: bool = False


_STATEMENTS: Final[tuple[tuple[str, tuple[_Row, ...]], ...]] = (
    (
        "budget: what is paid",
        (
            _Row("fiscal.capital_by_year", "Capital"),
            _Row("fiscal.loan_by_year", "Loan payments"),
            _Row("fiscal.operating_by_year", "Operating"),
            _Row("fiscal.relief_by_year", "Tax relief"),
            _Row(PAID, "All costs paid", result=True),
            _Row("fiscal.worth_by_year", "The same in today's money"),
        ),
    ),
    (
        "books: from cash to expense",
        (
            _Row(PAID, "All costs paid"),
            _Row("books.capital_by_year", "less capital and principal", less=True),
            _Row("books.depreciation_by_year", "Depreciation"),
            _Row("books.loss_by_year", "Loss on presses that leave"),
            _Row("books.expense_by_year", "Expense", result=True),
        ),
    ),
    (
        "new leases in the balance sheet: an illustration, to be settled with an accountant",
        (
            _Row("lease_accounting.taken_by_year", "Liability taken on"),
            _Row("lease_accounting.interest_by_year", "Interest"),
            _Row("lease_accounting.paid_by_year", "less rents off the liability", less=True),
            _Row("lease_accounting.liability_by_year", "Liability at the close", result=True, balance=True),
            _Row("lease_accounting.right_taken_by_year", "Right of use taken on"),
            _Row("lease_accounting.written_by_year", "less written off", less=True),
            _Row("lease_accounting.right_of_use_by_year", "Right of use at the close", result=True, balance=True),
            _Row("lease_accounting.expense_by_year", "Expense of leases"),
        ),
    ),
)  # fmt: skip


def has_fiscal_years(layout: Layout) -> bool:
    """Whether any candidate's costs are gathered by fiscal year."""
    return any(f"{candidate}.{PAID}" in layout.model for candidate in layout.candidates)


def statements(layout: Layout, candidate: str) -> Iterator[tuple[str, list[tuple[_Row, Line]]]]:
    """Yield what a candidate has of the statements: heading, and rows with their lines."""
    for heading, rows in _STATEMENTS:
        there = [(row, layout.model[key]) for row in rows if (key := f"{candidate}.{row.key}") in layout.model]
        if len(there) > 1:
            yield heading, there


def write_fiscal_years(book: Book, source: Source) -> None:
    """Write the sheet."""
    page, layout = book.page(FISCAL_YEARS), source.layout
    page.title(FISCAL_YEARS, "Read from the ledgers, live. Nothing is discounted but where it says so.")
    paid = {one: layout.model[f"{one}.{PAID}"] for one in layout.candidates if f"{one}.{PAID}" in layout.model}
    axis = next(iter(paid.values())).shape.axis
    assert axis is not None
    years = len(axis)
    set_widths(page, (24, 44, 10, *(14 for _ in range(years + 1))))
    for column, head in enumerate(("Key", "Fiscal year", "Unit")):
        page.text(_HEAD, column, head, "head")
    for place, label in enumerate((*axis.labels, "In all")):
        page.text(_HEAD, VALUE + place, label, "head right")
    _numbers(page, source, years)
    row = HEAD_ROWS + 1
    page.band(row, "All candidates: what is paid", VALUE + years)
    for candidate, line in paid.items():
        row += 1
        _row(page, row, _Row("", source.name_of(candidate)), line, source)
    row += 2
    for candidate in paid:
        row = _kinds(page, row, candidate, source, years)
        for heading, rows in statements(layout, candidate):
            page.band(row, f"{source.name_of(candidate)}, {heading}", VALUE + years)
            for one, line in rows:
                row += 1
                _row(page, row, one, line, source)
            row += 2
    finish(page, source.study, (row - 2, VALUE + years), head_columns=VALUE)


def _numbers(page: Page, source: Source, years: int) -> None:
    """Count the fiscal years as the ledgers do, for gathering."""
    page.text(_NUMBERS, LABEL, "Number of the fiscal year")
    page.text(_NUMBERS, UNIT, "number", "small")
    page.formula(_NUMBERS, VALUE, f"MIN({_months(source.layout, YEAR)})", 1, "number", "0")
    for place in range(1, years):
        before = f"{column_name(VALUE + place - 1)}{_NUMBERS + 1}"
        page.formula(_NUMBERS, VALUE + place, f"{before} + 1", place + 1, "number", "0")


def _months(layout: Layout, key: str) -> str:
    """All months of a line, from any sheet."""
    home = layout.homes[layout.model[key]]
    row = home.row + 1
    return f"{quoted(home.sheet)}!${layout.first_month}${row}:${layout.last_month}${row}"


def _kinds(page: Page, row: int, candidate: str, source: Source, years: int) -> int:
    """What is paid by kind of cost; the first row of the next statement."""
    page.band(row, f"{source.name_of(candidate)}, costs by kind", VALUE + years)
    numbers = source.row(source.layout.model[YEAR])
    for kind in (*KINDS, "net"):
        key = f"{candidate}.statement.{kind}"
        if key not in source.layout.model:
            continue
        row += 1
        line, style = source.layout.model[key], "total" if kind == "net" else "number"
        page.text(row, KEY, key, "key")
        page.text(row, LABEL, line.label)
        page.text(row, UNIT, source.study.currency, "small")
        values = [float(source.row(line)[numbers == place + 1].sum()) for place in range(years)]
        for place, value in enumerate(values):
            year = f"{column_name(VALUE + place)}${_NUMBERS + 1}"
            text = f"SUMIF({_months(source.layout, YEAR)}, {year}, {_months(source.layout, key)})"
            page.formula(row, VALUE + place, text, value, style, source.form(line))
        _in_all(page, row, values, source.form(line))
    return row + 2


def _in_all(page: Page, row: int, values: Sequence[float], form: str) -> None:
    area = f"{column_name(VALUE)}{row + 1}:{column_name(VALUE + len(values) - 1)}{row + 1}"
    page.formula(row, VALUE + len(values), f"SUM({area})", sum(values), "total", form)


def _row(page: Page, row: int, one: _Row, line: Line, source: Source) -> None:
    assert line.shape.axis is not None
    sign, start = (-1, "-1 * ") if one.less else (1, "")
    style, form = "total" if one.result else "link", source.form(line)
    page.text(row, KEY, line.id, "key")
    page.text(row, LABEL, one.label)
    page.text(row, UNIT, source.shown(line), "small")
    years = len(line.shape.axis)
    values = [sign * source.value(line, entry) for entry in range(years)]
    for entry, value in enumerate(values):
        page.formula(row, VALUE + entry, f"{start}{source.layout.address(line, entry)}", value, style, form)
    if not one.balance:
        _in_all(page, row, values, form)

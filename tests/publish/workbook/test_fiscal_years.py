"""Fiscal years in the workbook: live, and each statement adds up there, by another program after a figure changed."""

import pytest

from tco.model.evaluate import evaluate
from tco.scenario.load import load_text
from tests.publish.workbook.exported import export_scenario
from tests.recalc import poison, recalc_ironcalc

TEXT = """\
title: Three ways to pay
start: 2027-10
months: 36
money: {discount_rate: 5%, fiscal_year_starts: July, books: {years: 4},
  lease_accounting: {framework: IFRS 16, rate: 6%},
  income_tax: {rate: 25%, depreciation: straight line, years: 4}}
work: {black: 30000}
left_out: [paper, labour, energy, space]
today: {service: {black: 0.011}}
candidates:
  alder: {cash: {price: 14000, sells_for: 2500}, service: {black: 0.006}}
  birch: {loan: {price: 14000, months: 24, rate: 7%, sells_for: 2500}, service: {black: 0.006}}
  cedar: {lease: {rent: 420, months: 36, paid: in advance}, service: {black: 0.006}}
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    return export_scenario(load_text(TEXT), tmp_path_factory.mktemp("fiscal"), "fiscal")


def rows(made):
    """(heading, label) to the number of its row."""
    found, heading = {}, ""
    for row in made.book["Fiscal years"].iter_rows(min_row=5):
        if row[0].value and row[1].value is None:
            heading = row[0].value
        elif row[1].value:
            found[heading, row[1].value] = row[0].row
    return found


def test_every_figure_is_a_formula_and_every_statement_is_there(made):
    headings = {heading for heading, _ in rows(made)}
    names = ["Today", "Alder", "Birch", "Cedar"]
    assert {f"{name}, budget: what is paid" for name in names} <= headings
    assert {f"{name}, books: from cash to expense" for name in names} <= headings
    assert any(one.startswith("Cedar, new leases") for one in headings)
    assert not any(one.startswith("Alder, new leases") for one in headings)
    numbers = [
        c for row in made.book["Fiscal years"].iter_rows(min_row=5, min_col=4) for c in row if c.value is not None
    ]
    assert numbers
    assert all(cell.data_type == "f" for cell in numbers)


def test_statements_add_up_after_another_program_took_another_price(made, tmp_path):
    """In each year and in all: parts to what is paid, paid to expense, and the same sums as the engine's."""
    place = made.layout.homes[made.model["alder.cash.price"]]
    typed = {(place.sheet, place.row + 1, place.column + 1): 17000.0}
    cells = [key for key in made.cells if key[0] == "Fiscal years"]
    found = recalc_ironcalc(poison(made.path, tmp_path), cells, typed)
    at, columns = rows(made), sorted({column for _, _, column in cells})
    assert len(columns) == 5  # four fiscal years begun, and all

    def row(heading, label, column):
        return found["Fiscal years", at[heading, label], column]

    for name in ("Today", "Alder", "Birch", "Cedar"):
        budget, books = f"{name}, budget: what is paid", f"{name}, books: from cash to expense"
        for column in columns:
            parts = [row(budget, part, column) for part in ("Capital", "Loan payments", "Operating", "Tax relief")]
            paid = row(budget, "All costs paid", column)
            assert sum(parts) == pytest.approx(paid, abs=0.005)
            assert row("All candidates: what is paid", name, column) == pytest.approx(paid, abs=0.005)
            kinds = [label for heading, label in at if heading == f"{name}, costs by kind" and label != "All costs"]
            assert sum(row(f"{name}, costs by kind", kind, column) for kind in kinds) == pytest.approx(paid, abs=0.005)
            steps = [label for heading, label in at if heading == books and label != "Expense"]
            assert sum(row(books, step, column) for step in steps) == pytest.approx(
                row(books, "Expense", column), abs=0.005
            )
        values = evaluate(made.model, {"alder.cash.price": 17000.0})
        total, worth = (
            float(values[f"{name.lower()}.measures.{key}"].item()) for key in ("total", "present_value")
        )  # fmt: skip
        assert row(budget, "All costs paid", columns[-1]) == pytest.approx(total, abs=0.005)
        assert row(budget, "The same in today's money", columns[-1]) == pytest.approx(worth, abs=0.005)


def test_balances_of_leases_go_on_from_year_to_year(made):
    (heading,) = {one for one, _ in rows(made) if one.startswith("Cedar, new leases")}
    at = {label: row for (one, label), row in rows(made).items() if one == heading}
    stored = {key[1:]: cell.stored for key, cell in made.cells.items() if key[0] == "Fiscal years"}
    for balance, steps in (
        ("Liability at the close", ("Liability taken on", "Interest", "less rents off the liability")),
        ("Right of use at the close", ("Right of use taken on", "less written off")),
    ):
        before = 0.0
        for column in range(4, 8):
            moved = sum(stored[at[step], column] for step in steps)
            assert stored[at[balance], column] == pytest.approx(before + moved, abs=0.005)
            before = stored[at[balance], column]
        assert before == pytest.approx(0, abs=0.005)
        assert (at[balance], 8) not in stored

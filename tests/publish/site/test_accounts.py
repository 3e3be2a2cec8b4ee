"""The budget, the way to expense and lease accounting on the page of cash: every figure is that of the model."""

import json
from dataclasses import replace

import pytest

from tco.analyses.not_to_exceed import not_to_exceed
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.publish.cautions import used
from tco.publish.numbers import Numbers
from tco.publish.pages import cash
from tco.publish.parts import Kit
from tco.publish.recording import make_report
from tco.scenario.load import load_text
from tests.costs.test_books_workbook import DATA

NONE = "—"


@pytest.fixture(scope="module")
def study():
    rent = {"value": 300, "low": 290, "high": 320}
    used = DATA["candidates"]["used"]
    data = DATA | {"candidates": DATA["candidates"] | {"used": used | {"lease": used["lease"] | {"rent": rent}}}}
    scenario = load_text(json.dumps(data))
    model = build(scenario)
    values = evaluate(model)
    report = make_report(scenario, model, values)
    report = replace(report, ceilings=not_to_exceed(model, [one.id for one in report.candidates]))
    kit = Kit(report, Numbers("en_US", "USD"), used_words(report))
    (page,) = cash.build(kit)
    return values, page.data


def used_words(report):
    words = used(report)
    assert "lease_accounting" in words
    assert "accounting" not in words
    return words


def read(table):
    """Rows of a table as numbers; a dash is None."""
    return {
        row.head: [None if cell.text == NONE else float(cell.text.replace(",", "").replace("−", "-"))
                   for cell in row.cells] for row in table.rows
    }  # fmt: skip


def column(values, key):
    return [float(row) for row in values[key][0, :, 0]]


def rounded(values):
    return [pytest.approx(value, abs=0.51) for value in values]


def test_parts_of_the_budget_and_what_it_should_not_exceed(study):
    values, data = study
    tables = {table.title: read(table) for table in data["budgets"]}
    assert set(tables) == {"Loan", "Bought", "Used"}
    loan = tables["Loan"]
    assert loan["Paid in the year"][:3] == rounded(column(values, "loan.fiscal.paid_by_year")[:3])
    assert loan["Loan payments"][-1] == rounded([sum(column(values, "loan.fiscal.loan_by_year"))])[0]
    assert "Loan payments" not in tables["Used"]
    more = tables["Used"]["Not to exceed"][-1] - tables["Used"]["Paid in the year"][-1]
    assert more == pytest.approx(20 * 15 * 0.75, abs=2)  # 15 rents, less the relief of 25 %
    assert loan["Not to exceed"] == loan["Paid in the year"]
    note = next(table.note for table in data["budgets"] if table.title == "Used")
    assert note == "Not to exceed: what is paid in the year, computed again with the dearer end of Rent each time."


def test_the_way_from_cash_to_expense_adds_up(study):
    _, data = study
    (table,) = data["bridges"]
    rows = read(table)
    steps = ("Paid in the year", "Less capital and principal", "Plus depreciation", "Plus loss on presses that leave")
    sums = [sum(parts) for parts in zip(*(rows[step] for step in steps), strict=True)]
    assert rows["Expense"] == [pytest.approx(value, abs=2.1) for value in sums]
    assert rows["Expense"][-1] == rows["Paid in the year"][-1]
    assert rows["Less capital and principal"][0] < 0
    assert data["unbought"] == "Bought and Used"


def test_the_schedule_of_the_leases(study):
    values, data = study
    assert data["framework"] == "ASC 842"
    leases = {one.name: one for one in data["leases"]}
    assert set(leases) == {"Bought", "Used"}
    rows = read(leases["Used"].table)
    liability = column(values, "used.lease_accounting.liability_by_year")
    assert rows["Liability at the close"][:2] == rounded(liability[:2])
    assert rows["Liability at the close"][-1] is None
    words = [fact.words for fact in leases["Used"].facts]
    assert "an operating lease by the tests" in words[0]
    assert words[1].endswith("would pay for the press, a liability beside the leases")
    assert "finance, as it ends in purchase" in leases["Bought"].facts[0].words

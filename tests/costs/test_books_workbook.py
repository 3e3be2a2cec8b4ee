"""Tax, books and lease accounting in the workbook: poisoned, recalculated by another program."""

import json

import pytest

from tco.scenario.load import load_text
from tests import recalc
from tests.publish.workbook.exported import export_scenario

LEASE = {"rent": 300, "months": 20, "cash_price": 5500, "service_share": "10%", "document_fee": 80}
DATA = {
    "title": "For the accountant", "start": "2027-03", "months": 15, "work": {"black": 900},
    "money": {"discount_rate": "6%", "fiscal_year_starts": "July", "books": {"years": 1, "residual_share": "10%"},
              "lease_accounting": {"framework": "ASC 842", "rate": "6%", "life": 6},
              "income_tax": {"rate": "25%", "relief_after_months": 3, "depreciation": "declining balance",
                             "depreciation_rate": "30%", "first_year_share": "40%"}},
    "candidates": {
        "loan": {"loan": {"price": 9000, "rate": "6%", "months": 24, "down_payment": 500, "sells_for": 700}},
        "bought": {"lease": LEASE | {"paid": "in advance", "at_end": "buy", "buy_price": 90, "tax_as": "purchase",
                             "sells_for": 40}},
        "used": {"lease": LEASE | {"paid": "in arrears", "return_freight": 0, "cash_price": 9900},
                 "service": {"black": 0.01, "minimum_charge": 60, "settled": "quarterly", "months": 14,
                             "stub": "pro rata", "equipment_share": "40%"}},
    },
}  # fmt: skip


@pytest.fixture(scope="module")
def exported(tmp_path_factory):
    return export_scenario(load_text(json.dumps(DATA)), tmp_path_factory.mktemp("books"), "books")


def test_another_program_finds_the_same_in_every_cell(exported, tmp_path):
    found = recalc.recalc_formualizer(recalc.poison(exported.path, tmp_path), exported.cells)
    assert recalc.compare(exported.model, exported.values, exported.layout, found) == {}


PAID = (
    "loan.tax.at_once_1", "loan.tax.taken_1", "loan.books.loss_1", "loan.fiscal.loan_by_year",
    "loan.fiscal.relief_by_year", "bought.press.interest", "bought.lease_accounting.written_by_year",
    "bought.fiscal.capital_by_year", "used.press.lease_accounting.operating_cost",
    "used.lease_accounting.liability_by_year", "used.lease_accounting.minimum_liability_1",
)  # fmt: skip


@pytest.mark.parametrize("key", PAID)
def test_no_part_is_compared_at_nought_with_nought(exported, key):
    assert exported.values[key].any()

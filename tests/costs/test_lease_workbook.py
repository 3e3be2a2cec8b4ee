"""Leases in parts in the workbook: poisoned, recalculated by other programs, every cell equal to the engine."""

import json

import pytest

from tco.scenario.load import load_text
from tests import recalc
from tests.publish.workbook.exported import export_scenario

TERMS = {"months": 14, "paid": "in advance", "cash_price": 9000}
USED = TERMS | {"return_freight": 90}
LEASES = {
    "stepped": USED | {"rent": 300, "steps": {"7": 340, "13": 250}, "skip_months": ["Jul"], "skip_rent": 20,
                       "deferred_months": 2, "interim_rent": {"days": 12}, "insurance_per_month": 15,
                       "property_tax": {"rate": "2%", "assessed": ["80%"]}, "admin_fee": 40, "sales_tax": "up front",
                       "subsidy": {"per_month": 30, "until": "2027-12"}},
    "missed": USED | {"months": 10, "factor": 0.03, "rolled_in": 1500, "late_return_months": 2,
                      "renews_unless_noticed": {"months": 4, "notice_days": [180, 90], "noticed": "no"}},
    "left": USED | {"quoted_rate": "9%", "exit_month": 9, "exit_discount": "10%"},
    "bought": TERMS | {"quoted_rate": "9%", "advance_rents": 2, "at_end": "buy", "buy_price": 900, "rolled_in": 700,
                       "sells_for": 500},
}  # fmt: skip
DATA = {
    "title": "Leases in parts", "start": "2027-03", "months": 15, "work": {"black": 900},
    "money": {"discount_rate": "6%", "fiscal_year_starts": "July", "sales_tax": {"rate": "7%"}},
    "candidates": {key: {"lease": lease, "may_stop_without_funds": "yes",
                         "service": {"base": 40, "black": 0.01, "increase": "3%"}} for key, lease in LEASES.items()},
}  # fmt: skip


@pytest.fixture(scope="module")
def exported(tmp_path_factory):
    return export_scenario(load_text(json.dumps(DATA)), tmp_path_factory.mktemp("leases"), "leases")


@pytest.mark.parametrize("engine", [recalc.recalc_ironcalc, recalc.recalc_formualizer])
def test_other_programs_find_the_same_in_every_cell(exported, engine, tmp_path):
    found = engine(recalc.poison(exported.path, tmp_path), exported.cells)
    assert recalc.compare(exported.model, exported.values, exported.layout, found) == {}


PAID = ("stepped.press.interim", "stepped.press.insurance", "stepped.press.property_tax", "stepped.press.admin_fee",
        "stepped.tax.sales_opening", "stepped.press.subsidy", "stepped.press.skipped", "missed.press.renewal",
        "missed.press.late", "missed.press.old_rents", "left.press.exit", "bought.press.implied_year",
        "bought.measures.bound_if_funds_stop")  # fmt: skip


@pytest.mark.parametrize("key", PAID)
def test_no_part_is_compared_at_nought_with_nought(exported, key):
    assert exported.values[key].any()

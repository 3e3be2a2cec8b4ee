"""Service plans in parts in the workbook: poisoned, recalculated by other programs, every cell equal to the engine."""

import json

import pytest

from tco.scenario.load import load_text
from tests import recalc
from tests.publish.workbook.exported import export_scenario

TIERS = {
    "low": {"coverage_to": "5%", "rate": 0.01, "run_length": {"above": 50, "rate": 0.005}, "minimum": 12000,
            "under_use_credit": 0.001},
    "large": {"size": "large", "bands": [{"from": 0, "rate": 0.1}, {"from": 500, "rate": 0.05}],
              "bands_read": "all units", "included": 100},
}  # fmt: skip
PLANS = {
    "tiered": {"meters": TIERS, "black": 0.02, "colour": 0.08,
               "minimum": {"colour": 900}, "increases": {"2027-06": "10%", "2028-01": "3%"},
               "increase_cap": "5%", "base": 100, "minimum_charge": 300, "instalments": "yes", "settled": "quarterly",
               "included_in": "large", "rates_from": {"2027-07": {"base": {"per_year": 600}, "colour": 0.03}},
               "coverage_cap": {"cap": "5%", "price": 0.006, "per": "letter"}, "copy_credit": "1%", "months": 18,
               "uptime": {"share": "95%", "credit_per_hour": 50, "at_most": 420}, "ends_with_service": "40%"},
    "carried": {"meters": {"wet": {"colour": "colour", "rate": 0.03, "size_rate": 0.05, "separations": 3},
                           "dry": {"rate": 0.01, "included": 9000, "carry_forward_months": 3}},
                "financed_clicks": 70000, "paper_included": "yes", "increase": "3%", "fee_per_month": 18,
                "rebate": {"above": 9000, "rate": 0.001}, "oversize_counts": 2},
}  # fmt: skip
JOB = {"sides_per_set": 1, "jobs": 1200}
DATA = {
    "title": "Plans in parts", "start": "2027-01", "months": 14, "money": {"discount_rate": "6%"},
    "jobs": {"notes": JOB | {"colour": "black", "sets_per_job": 100, "coverage": "4%"},
             "posters": JOB | {"colour": "colour", "sets_per_job": 10, "size": "ledger", "coverage": "12%"}},
    "season": [0.2, 1.8, 1.2, 0.8, 1.5, 0.5, 0.1, 0.1, 1.6, 1.4, 1.3, 1.5],
    "shop": {"hours_per_week": 44, "weeks_per_year": 48, "paper": {"letter": 0.01, "ledger": 0.02}},
    "candidates": {key: {"cash": {"price": 1}, "service_stop_hours": 21, "service": plan}
                   for key, plan in PLANS.items()},
}  # fmt: skip


@pytest.fixture(scope="module")
def exported(tmp_path_factory):
    return export_scenario(load_text(json.dumps(DATA)), tmp_path_factory.mktemp("plans"), "plans")


@pytest.mark.parametrize("engine", [recalc.recalc_ironcalc, recalc.recalc_formualizer])
def test_other_programs_find_the_same_in_every_cell(exported, engine, tmp_path):
    found = engine(recalc.poison(exported.path, tmp_path), exported.cells)
    assert recalc.compare(exported.model, exported.values, exported.layout, found) == {}


PAID = (
    "tiered.plan.low_further_charge", "tiered.plan.low_under_use", "tiered.plan.large_charge", "tiered.plan.settlement",
    "tiered.plan.colour_charge",
    "tiered.plan.instalment", "tiered.plan.toner_cost", "tiered.plan.uptime_credit", "tiered.plan.early_end",
    "tiered.plan.base_beyond", "carried.plan.wet_size_of_period", "carried.plan.dry_kept_3", "carried.plan.dry_above",
    "carried.plan.financed_now", "carried.plan.click_charge", "carried.plan.rebate", "carried.plan.fee",
)  # fmt: skip


@pytest.mark.parametrize("key", PAID)
def test_no_part_is_compared_at_nought_with_nought(exported, key):
    assert exported.values[key].any()


def test_a_plan_that_pays_for_paper_buys_none(exported):
    assert not exported.values["carried.paper.cost"].any()
    assert exported.values["tiered.paper.cost"].any()

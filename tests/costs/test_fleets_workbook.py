"""Fleets and recovery in the workbook: poisoned, recalculated by another program, every cell equal to the engine."""

import json

import pytest

from tco.scenario.load import load_text
from tests import recalc
from tests.publish.workbook.exported import export_scenario

SPEED = {"sides_per_minute": 90, "make_ready_minutes": 5, "warm_up_minutes": 6, "service_stop_hours": 4}
LEASE = {"rent": 300, "months": 9, "return_freight": 400, "document_fee": 50, "insurance_per_month": 5}
DATA = {
    "title": "Fleets", "start": "2027-01", "months": 20, "busiest_week": "45%",
    "money": {"discount_rate": "6%", "inflation": "4%"},
    "jobs": {
        "notes": {"colour": "black", "sides_per_set": 8, "sets_per_job": 100, "jobs": 600, "due_hours": 0.1,
                  "charge_per_set": 0.4},
        "posters": {"colour": "colour", "sides_per_set": 1, "sets_per_job": 200, "jobs": 240, "charge_per_set": 0.3},
        "drafts": {"colour": "black", "sides_per_set": 2, "sets_per_job": 5, "jobs": 60, "due_hours": 2},
    },
    "shop": {"hours_per_week": 3, "weeks_per_year": 48, "labour": {"wage": 20}, "space_per_m2": 9},
    "outside": {"black": 0.02, "colour": 0.2},
    "candidates": {
        "followed": {
            "presses": {
                "first": {"takes": ["notes", "drafts"], "replaced": "yes", "lease": LEASE, "space_m2": 6, **SPEED,
                          "front_end": {"price": 90, "support_per_year": 60}},
                "second": {"until_month": 8, "replaced": "yes", "count": 2, **SPEED,
                           "cash": {"price": 4000, "sells_for": 500}},
            },
            "service": {"base": 40, "colour": 0.05, "black": 0.01, "increase": "3%"},
        },
        "single": {"replaced": "yes", "until_month": 12, "rental": {"rent": 500, "increase": "2%"},
                   "service": {"base": 30, "colour": 0.04, "black": 0.01, "increase": "3%"}},
    },
}  # fmt: skip


@pytest.fixture(scope="module")
def exported(tmp_path_factory):
    return export_scenario(load_text(json.dumps(DATA)), tmp_path_factory.mktemp("fleets"), "fleets")


def test_another_program_finds_the_same_in_every_cell(exported, tmp_path):
    found = recalc.recalc_ironcalc(recalc.poison(exported.path, tmp_path), exported.cells)
    assert recalc.compare(exported.model, exported.values, exported.layout, found) == {}


SHOWN = (
    "followed.first.week_load", "followed.first_3.week_load_most", "followed.second_2.week_given",
    "followed.busiest_week.too_many", "followed.due.late", "followed.first_2.price_level", "followed.first_3.priced",
    "followed.first_3.rent", "followed.second_3.sale", "followed.recovery.worth", "followed.measures.charges_factor",
    "followed.measures.surplus", "followed.hourly_rate.rate", "followed.measures.month_of_use",
    "followed.measures.level_month_start", "single.press_2.plan.base", "single.press_2.rent",
)  # fmt: skip


@pytest.mark.parametrize("key", SHOWN)
def test_no_part_is_compared_at_nought_with_nought(exported, key):
    assert exported.values[key].any()


def test_followers_come_one_after_the_other(exported):
    ids = [block.id for block in exported.model.blocks_of("followed") if block.label.startswith("Press:")]
    assert ids == [f"followed.{one}" for one in ("first", "first_2", "first_3", "second", "second_2", "second_3")]
    assert exported.values["followed.first_3.first"][0, 0, 0] == 19
    assert exported.values["single.press_2.present"][0, 0].sum() == 8

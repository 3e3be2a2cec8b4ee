"""Electricity, emissions, ink by area, parts by click, the plan of a lease left early."""

from __future__ import annotations

import json

import pytest

from tco.problem import ScenarioError
from tco.scenario.load import load_text
from tests import recalc
from tests.costs.say import said
from tests.oracle import running
from tests.oracle.oracle import evaluate as by_oracle
from tests.publish.workbook.exported import export_scenario
from tests.published import DERIVED, READ, SECOND_HAND, Case, named

INK = {"price": 50, "per": "m2", "ml_per_m2": 8, "at_coverage": "5%"}
DRUM = {"price": 90, "per": "click", "yields": 1000}
PLAN = {"base": {"per_year": 240}, "colour": 0.05, "black": 0.01, "minimum_charge": 30, "months": 24, "increase": "4%",
        "oversize_counts": 2, "copy_credit": "2%", "rates_from": {"2027-09": {"base": 25}}}  # fmt: skip
DATA = {
    "title": "What is used up", "start": "2027-01", "months": 14, "money": {"discount_rate": "6%", "inflation": "3%"},
    "work": {"colour": 30000, "black": 90000, "oversize_share": {"colour": "40%"}, "two_sided_share": "50%"},
    "coverage": "8%", "waste": "2%",
    "shop": {"hours_per_week": 40, "electricity": 0.2,
             "emissions": {"electricity": 0.35, "paper": 1.1, "year": 2023, "scope": "generation"},
             "paper_weight": {"letter": 75, "ledger": 90}},
    "outside": {"black": 0.03},
    "candidates": {
        "left": {"lease": {"rent": 900, "months": 36, "return_freight": 500, "exit_month": 10, "exit_discount": "10%",
                           "exit_service_share": "25%"},
                 "service": PLAN, "supplies": {"ink": INK, "drum": DRUM}, "sides_per_minute": 60,
                 "power": {"running": 3, "ready": 1, "sleep": 0.1, "warm_up": 2}},
        "weekly": {"owned": {}, "kwh_per_week": 28, "supplies": {"drum": DRUM, "ink": INK | {"price": 45}}},
    },
}  # fmt: skip


@pytest.fixture(scope="module")
def exported(tmp_path_factory):
    return export_scenario(load_text(json.dumps(DATA)), tmp_path_factory.mktemp("used"), "used")


@pytest.mark.parametrize("engine", [recalc.recalc_ironcalc, recalc.recalc_formualizer])
def test_other_programs_find_the_same_in_every_cell(exported, engine, tmp_path):
    found = engine(recalc.poison(exported.path, tmp_path), exported.cells)
    assert recalc.compare(exported.model, exported.values, exported.layout, found) == {}


SHOWN = (
    "left.plan.exit_service", "left.plan.base_left", "left.plan.minimum_left", "left.plan.colour_before_credit",
    "left.press.supplies.ink_cost", "left.press.supplies.drum_cost", "weekly.press.supplies.drum_cost",
    "left.emissions.electricity", "left.emissions.paper", "weekly.measures.emissions",
)  # fmt: skip


@pytest.mark.parametrize("key", SHOWN)
def test_no_part_is_compared_at_nought_with_nought(exported, key):
    assert exported.values[key].any()


def test_the_oracle_finds_the_same(exported):
    """Rooms and oracle were written from the definitions by different people."""
    known = by_oracle(DATA).candidates
    for name in DATA["candidates"]:
        row = exported.values[f"{name}.emissions.kg"][0, 0]
        wanted = [running.emissions(known[name].shift, month) for month in range(1, 15)]
        assert row[:14] == pytest.approx(wanted, rel=1e-12)
        assert exported.values[f"{name}.measures.emissions"].item() == pytest.approx(sum(wanted), rel=1e-12)
        assert exported.values[f"{name}.statement.total"].item() == pytest.approx(known[name].total, rel=1e-12)


HEAD = {"title": "Case", "start": "2027-01", "money": {"discount_rate": "0%"}}
GRID = "eGRID2023, total output of carbon dioxide equivalents, national: 770.884 lb a MWh"
FACTORS = "government factors for reporting, paper from primary production: 1,345.0779 kg a tonne"
LABEL = "energy label for imaging equipment, method of the typical week: two clusters of jobs a day, five days a week"
FRONT_END = "energy label's data set, front ends: 45 h ready, the rest of 168 h asleep; without sleep always ready"
BOND = 75.1946  # 20 lb bond: 20 lb for 500 sheets of 17 x 22 inches, in g/m2


@pytest.fixture(scope="module")
def year():
    """A year of presses that stand there: the label's two worked weeks, front ends, and 9,000 letter sheets a month."""
    front = {"owned": {}, "power": {"running": 0}}
    return said(HEAD | {
        "months": 12, "work": {"black": 9000},
        "shop": {"hours_per_week": 45, "paper_weight": {"letter": BOND},
                 "emissions": {"electricity": 0.349667, "paper": 1.3450779, "year": 2023, "scope": "generation"}},
        "candidates": {
            "large": {"owned": {}, "kwh_per_week": 8.423},
            "small": {"owned": {}, "kwh_per_week": 1.836},
            "front": front | {"power": {"running": 0, "ready": 0.12, "sleep": 0.01}},
            "sleepless": front | {"power": {"running": 0, "ready": 0.1, "sleep": 0.1}},
        },
    })  # fmt: skip


def kwh(name):
    return lambda it: it.sum(f"{name}.press.energy.kwh")


def test_the_typical_week_is_recomputed_by_hand():
    """The two weeks that the cases below feed in: E = 5 days of jobs, final step and rest, and two days of rest."""

    def week(jobs, first, others, final, wait, rest):
        mean = sum(others) / 3
        day = 2 * first + (jobs - 2) * mean + 2 * final + (24 - (jobs / 4 + 2 * wait)) * rest
        return (5 * day + 48 * rest) / 1000

    assert week(32, 60, (50, 50, 50), 20, 0.5, 1) == pytest.approx(8.423, abs=1e-9)
    assert week(8, 40, (30, 33, 36), 15, 1, 2) == pytest.approx(1.836, abs=1e-9)


# A year of 8,760 hours is 24 hours longer than 52 weeks of 168: the rest of them is asleep.
YEAR = [
    Case("a typical week of 32 jobs a day", LABEL, DERIVED, kwh("large"), 52 * 8.423, 1e-9),
    Case("a typical week of 8 jobs a day", LABEL, DERIVED, kwh("small"), 52 * 1.836, 1e-9),
    Case("front end of 120 W, asleep at 10 W", FRONT_END, DERIVED, kwh("front"), 52 * 6.63 + 0.24, 1e-9),
    Case("front end of 100 W without sleep", FRONT_END, DERIVED, kwh("sleepless"), 52 * 16.8 + 2.4, 1e-9),
    Case("hours close to the calendar", "definition", DERIVED,
         lambda it: 12 * (it.figure("front.press.energy.ready") + it.figure("front.press.energy.asleep")), 8760, 1e-9),
    Case("a week's electricity", GRID, SECOND_HAND,
         lambda it: it.sum("large.emissions.electricity") / 52, 2.9453, 1e-4),
    Case("9,000 letter sheets of 20 lb bond", "basis weight of bond, 17 x 22 inches a ream", READ,
         lambda it: it.row("large.emissions.paper_weight")[0], 40.823, 5e-4),
    Case("what their paper gives off", FACTORS, SECOND_HAND,
         lambda it: it.row("large.emissions.paper")[0], 54.911, 5e-4),
    Case("both, over the year", f"{GRID}; {FACTORS}", SECOND_HAND,
         lambda it: it.figure("large.measures.emissions"), 52 * 2.9453 + 12 * 54.911, 0.01),
]  # fmt: skip


@pytest.mark.parametrize("case", **named(YEAR))
def test_a_year_of_electricity_and_paper(year, case):
    Case(case.id, case.source, case.reading, lambda: case.ours(year), case.published, case.tolerance).check()


def test_ink_drums_and_the_plan_by_hand():
    """1,000 sides at 8 ml a square metre and twice the coverage, a litre at 50; clicks of large sides count twice and
    before credit, 100 for a drum of 90; the lease is left after 5 months: 25 % of what binds in 7 of 12 months."""
    lease = {"rent": 10, "months": 24, "return_freight": 0, "exit_month": 5, "exit_service_share": "25%"}
    plan = {"base": 20, "black": 0, "minimum_charge": 30, "months": 12, "increase": 0, "copy_credit": "10%"}
    it = said(HEAD | {
        "months": 12, "work": {"black": 1000, "oversize_share": {"black": "50%"}}, "coverage": "10%",
        "candidates": {
            "inked": {"owned": {}, "supplies": {"ink": INK, "drum": DRUM | {"yields": 100}}},
            "left": {"lease": lease, "service": plan, "supplies": {"drum": DRUM | {"yields": 100}}},
        },
    })  # fmt: skip
    small, large = 0.2159 * 0.2794, 0.2794 * 0.4318
    assert it.row("inked.press.supplies.ink_cost")[0] == pytest.approx(50 * 500 * (small + large) * 8 / 1000 * 2)
    assert it.row("inked.press.supplies.drum_cost")[0] == pytest.approx(90 * 10)
    assert it.row("left.press.supplies.drum_cost")[:6] == pytest.approx([90 * 15] * 5 + [0])
    paid = it.row("left.plan.exit_service")
    assert paid[4] == pytest.approx(0.25 * 7 * (20 + 30))
    assert sum(paid) == paid[4]


WRONG = [
    ({"supplies": {"ink": {"price": 50, "per": "m2"}}}, "lacks `ml_per_m2`"),
    ({"supplies": {"ink": INK | {"yields": 3}}}, "`yields`: has no meaning with `per: m2`"),
    ({"supplies": {"drum": {"price": 50}}}, "lacks `yields`"),
    ({"supplies": {"drum": DRUM | {"at_coverage": "5%"}}}, "`at_coverage`: has no meaning with `per: click`"),
    ({"lease": {"rent": 1, "months": 36, "exit_service_share": "5%"}, "service": PLAN}, "needs `exit_month`"),
    ({"lease": {"rent": 1, "months": 36, "exit_month": 5, "exit_service_share": "5%"}},
     "has no service plan beside it"),
]


@pytest.mark.parametrize(("keys", "told"), WRONG)
def test_what_cannot_be_counted_is_told(keys, told):
    press = keys if "lease" in keys else {"owned": {}} | keys
    with pytest.raises(ScenarioError) as error:
        load_text(json.dumps(DATA | {"candidates": {"wrong": press}}))
    word = told.split("`: ")
    (problem,) = error.value.problems
    assert problem.what == word[-1]
    assert problem.path.endswith(word[0].strip("`") if len(word) > 1 else "")


@pytest.mark.parametrize(("shop", "told"), [
    ({"emissions": {"year": 2023, "scope": "generation"}}, "has neither `electricity` nor `paper`"),
    ({"emissions": {"paper": 1, "year": 2023, "scope": "all"}, "paper_weight": {"leter": 75, "ledger": 80}},
     "`letter` has no weight under shop.paper_weight"),
])  # fmt: skip
def test_emissions_that_cannot_be_told(shop, told):
    with pytest.raises(ScenarioError) as error:
        load_text(json.dumps(DATA | {"shop": {"hours_per_week": 40} | shop}))
    (problem,) = error.value.problems
    assert problem.what == told
    assert problem.instead

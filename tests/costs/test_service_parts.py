"""Service plans in parts: a worked case by hand for each part, through the public interface.

Sources of the cases: figures marked "public contract clause" or "trade press" were read in material of that kind and
rounded; where nothing is said, the figures are invented and the result is worked out beside them.
"""

import json
import re

import numpy as np
import pytest

from tco.advice.study import Study
from tco.advice.warnings import find_warnings
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.scenario.json_schema import json_schema
from tco.scenario.load import load_text
from tco.scenario.part import Part
from tco.scenario.schema_service import CoverageCap, Meter, Rebate, RunLength, Service, Uptime
from tests.house.tree import ROOT

HEAD = """\
title: Parts of a plan
start: 2027-01
months: {months}
money: {{discount_rate: 0}}
{work}
candidates:
  birch:
    cash: {{price: 0}}
{press}
    service:
{plan}
"""
PLAIN = "work: {black: 10000}"


def indented(text, by):
    return "\n".join(" " * by + line for line in text.strip("\n").splitlines())


def text_of(plan, work=PLAIN, months=12, press=""):
    plan = plan if "increase" in plan else f"increase: 0\n{plan}"
    return HEAD.format(months=months, work=work, press=indented(press, 4), plan=indented(plan, 6))


class Paid:
    """What a scenario comes to: rows of lines by the end of their key."""

    def __init__(self, text, replace=None):
        self.scenario = load_text(text)
        self.model = build(self.scenario)
        self.values = evaluate(self.model, replace)

    def row(self, key, candidate="birch", draw=0):
        return self.values[f"{candidate}.{key}"][draw][0][: self.scenario.horizon]

    def sum(self, key, candidate="birch"):
        return float(self.row(key, candidate).sum())

    def has(self, key, candidate="birch"):
        return f"{candidate}.{key}" in self.model

    def total(self, candidate="birch"):
        """Every cost of the plan, undiscounted."""
        lines = [one for one in self.model.lines if one.id.startswith(f"{candidate}.") and ".plan" in one.id]
        return sum(self.values[one.id].sum() for one in lines if one.role == "cost")


def plan(text, **more):
    return Paid(text_of(text, **more))


def jobs(**classes):
    return "jobs:\n" + "\n".join(f"  {key}: {{{words}}}" for key, words in classes.items())


# Meter classes ---------------------------------------------------------------------------------------------------


def test_meters_of_the_two_colours_are_the_everyday_ones():
    work = "work: {colour: 4000, black: 6000, oversize_share: {colour: 25%}}"
    everyday = plan("colour: 0.05\nblack: 0.01\nminimum: {colour: 9000}\nsettled: quarterly", work=work)
    written = plan(
        "settled: quarterly\nmeters:\n  wet: {colour: colour, rate: 0.05, minimum: 9000}\n"
        "  dry: {colour: black, rate: 0.01}", work=work)
    assert written.row("plan.click_charge") == pytest.approx(everyday.row("plan.click_charge"), abs=1e-9)
    assert everyday.sum("plan.click_charge") == pytest.approx(12 * (9000 * 0.05 + 6000 * 0.01))


def test_coverage_tiers_against_one_colour_rate():
    # Trade press on coverage tiers: 0.05 up to 5 %, 0.10 above, against 0.085 for every colour page; 10,000 pages.
    low_tier = "low: {colour: colour, coverage_to: 5%, rate: 0.05}"
    tiers = f"meters: {{{low_tier}, high: {{colour: colour, coverage_from: 5%, rate: 0.10}}}}"
    for low, average in ((0.50, 0.075), (0.15, 0.0925), (0.30, 0.085)):
        work = jobs(
            light=f"colour: colour, coverage: 5%, sides_per_set: 1, sets_per_job: 1, jobs: {{per_month: {low * 1e4}}}",
            rich=f"colour: colour, coverage: 20%, sides_per_set: 1, sets_per_job: 1, "
                 f"jobs: {{per_month: {(1 - low) * 1e4}}}")
        paid = plan(tiers, work=work).row("plan.click_charge")
        assert paid == pytest.approx(np.full(12, 10_000 * average))
        assert paid[0] - plan("colour: 0.085", work=work).row("plan.click_charge")[0] == pytest.approx(
            10_000 * (average - 0.085))


def test_coverage_stays_a_figure_that_sends_work_to_another_meter():
    work = jobs(one="colour: colour, coverage: 4%, sides_per_set: 1, sets_per_job: 1, jobs: {per_month: 100}")
    text = text_of("meters:\n  low: {coverage_to: 5%, rate: 0.05}\n  high: {rate: 0.10}", work=work)
    paid = Paid(text, {("jobs.one.coverage", 0): np.array([0.04, 0.05, 0.051])})
    assert [paid.row("plan.click_charge", draw=draw)[0] for draw in range(3)] == pytest.approx([5.0, 5.0, 10.0])


def test_sizes_with_a_meter_of_their_own():
    # 10,000 black sides, a quarter of them large: 7,500 × 0.01 and 2,500 × 2 clicks × 0.008.
    work = "work: {black: 10000, oversize_share: {black: 25%}}"
    paid = plan("meters: {big: {size: large, rate: 0.008}}\nblack: 0.01\noversize_counts: 2", work=work)
    assert paid.row("plan.click_charge")[0] == pytest.approx(7_500 * 0.01 + 5_000 * 0.008)
    assert paid.row("plan.big_clicks_1")[0] == pytest.approx(5_000)


def test_own_rate_of_a_large_side():
    work = "work: {black: 10000, oversize_share: {black: 25%}}"
    paid = plan("meters: {all: {rate: 0.01, size_rate: 0.018}}\noversize_counts: 2\nsettled: quarterly", work=work)
    assert paid.row("plan.all_clicks_1")[0] == pytest.approx(10_000)
    assert paid.row("plan.click_charge")[2] == pytest.approx(3 * (7_500 * 0.01 + 2_500 * 0.018))


def test_work_that_no_meter_counts_is_not_printed_under_the_plan():
    paid = plan("meters: {small: {size: small, rate: 0.01}}", work=jobs(
        flat="colour: black, size: letter, sides_per_set: 1, sets_per_job: 1, jobs: {per_month: 300}",
        wide="colour: black, size: ledger, sides_per_set: 1, sets_per_job: 1, jobs: {per_month: 200}"))
    assert paid.row("placing.unplaced_sides")[0] == pytest.approx(200)
    assert paid.row("plan.click_charge")[0] == pytest.approx(3.0)


def test_a_meter_for_named_classes():
    work = jobs(spot="colour: colour, sides_per_set: 1, sets_per_job: 1, jobs: {per_month: 100}",
                photo="colour: colour, sides_per_set: 1, sets_per_job: 1, jobs: {per_month: 40}",
                banner="colour: colour, size: 13x19, sides_per_set: 1, sets_per_job: 1, jobs: {per_month: 10}")
    paid = plan("meters: {spot: {classes: spot, rate: 0.03}, long: {classes: [banner], rate: 0.2, size_rate: 0.25}}\n"
                "colour: 0.06", work=work)
    assert paid.row("plan.click_charge")[0] == pytest.approx(100 * 0.03 + 40 * 0.06 + 10 * 0.25)


def test_each_separation_a_click():
    paid = plan("meters: {wet: {colour: colour, rate: 0.012, separations: 4}}\nblack: 0.01",
                work="work: {colour: 1000, black: 1000}")
    assert paid.row("plan.click_charge")[0] == pytest.approx(1000 * 4 * 0.012 + 1000 * 0.01)


def test_run_length_rate():
    # 20 jobs of 100 copies and 40 of 30 copies: 20 × 50 copies of the long ones are above 50.
    work = jobs(long="colour: black, sides_per_set: 1, sets_per_job: 100, jobs: {per_month: 20}",
                short="colour: black, sides_per_set: 1, sets_per_job: 30, jobs: {per_month: 40}")
    paid = plan("meters: {all: {rate: 0.01, run_length: {above: 50, rate: 0.006}}}", work=work)
    assert paid.row("plan.click_charge")[0] == pytest.approx((2000 + 1200 - 1000) * 0.01 + 1000 * 0.006)
    assert paid.values["birch.plan.moves"][0][:, 0] == pytest.approx([1000 * 0.01 + 1000 * 0.006, 1200 * 0.01])


def test_waste_is_billed_and_credited():
    # Estimating columns and copy-credit clauses: 200,000 good sides, 3 % spoilage, 400 jobs with 15 sheets, 0.038.
    work = "waste: 3%\n" + jobs(all="colour: colour, sides_per_set: 2, two_sided: yes, sets_per_job: 250, "
                                "jobs: {per_month: 400}, make_ready_sheets: 15")
    full = plan("colour: 0.038", work=work).row("plan.click_charge")[0]
    assert full - 200_000 * 0.038 == pytest.approx(684)
    assert full / 200_000 == pytest.approx(0.04142)
    credited = plan(f"colour: 0.038\ncopy_credit: {1500 / 218_000!r}", work=work).row("plan.click_charge")[0]
    assert full - credited == pytest.approx(57)
    assert credited / 200_000 == pytest.approx(0.041135)


# Bands, allowances, minimums -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("read", "shift", "clicks", "charge"), [
    ("all units", 1, 7_200_000, 61_200),
    ("all units", 1, 7_000_000, 63_000),
    ("graduated", 0, 7_200_000, 70_200),
])  # fmt: skip
def test_volume_bands_in_two_readings(read, shift, clicks, charge):
    # A public cost-per-copy bid sheet: up to 5, 6, 7, 8 million a quarter at 0.0100, 0.0095, 0.0090, 0.0085.
    bands = ", ".join(f"{{from: {start + shift * (start > 0)}, rate: {rate}}}" for start, rate in (
        (0, 0.0100), (5_000_000, 0.0095), (6_000_000, 0.0090), (7_000_000, 0.0085)))
    paid = plan(f"settled: quarterly\nmeters: {{all: {{bands: [{bands}], bands_read: {read}}}}}",
                work=f"work: {{black: {{per_quarter: {clicks}}}}}")
    assert paid.row("plan.click_charge") == pytest.approx([0, 0, charge] * 4, abs=1e-6)


def test_allowance_for_each_press_or_pooled():
    # A school: allowances of 20,000 and 400,000 a year, 95,000 and 260,000 made, 0.012 above.
    work = jobs(office="colour: black, size: letter, sides_per_set: 1, sets_per_job: 1, jobs: 95000",
                hall="colour: black, size: ledger, sides_per_set: 1, sets_per_job: 1, jobs: 260000")
    own = "{{black: 0.012, included: {{black: {{per_year: {0}}}}}, settled: yearly, oversize_counts: 1, increase: 0}}"
    text = f"""\
title: Pool
start: 2027-01
months: 12
money: {{discount_rate: 0}}
{work}
candidates:
  apart:
    presses:
      small: {{cash: {{price: 0}}, largest: letter, service: {own.format(20000)}}}
      large: {{cash: {{price: 0}}, service: {own.format(400000)}}}
  pooled:
    presses:
      small: {{cash: {{price: 0}}, largest: letter}}
      large: {{cash: {{price: 0}}}}
    service: {own.format(420000)}
"""
    paid = Paid(text)
    assert paid.total("apart") == pytest.approx(900)
    assert paid.total("pooled") == pytest.approx(0)
    assert paid.values["pooled.plan.black_made"][0][0][11] == pytest.approx(355_000)


def test_included_volume_stated_in_large_sides():
    work = "work: {black: 10000, oversize_share: {black: 50%}}"
    small = plan("black: 0.01\nincluded: {black: 6000}\noversize_counts: 2", work=work)
    large = plan("black: 0.01\nincluded: {black: 6000}\noversize_counts: 2\nincluded_in: large", work=work)
    assert small.row("plan.click_charge")[0] == pytest.approx((15_000 - 6_000) * 0.01)
    assert large.row("plan.click_charge")[0] == pytest.approx((15_000 - 12_000) * 0.01)


@pytest.mark.parametrize("months", [1, 2, 3, 7, 12])
def test_carried_clicks_against_a_plain_list_of_buckets(months):
    draws, random = 6, np.random.default_rng(20_000 + months)
    text = text_of(f"meters: {{all: {{rate: 0.01, included: 10000, carry_forward_months: {months}}}}}",
                   work=f"work: {{black: 10000, change_per_year: 0%}}\nseason: {[1] * 12}", months=200)
    replace = {("season", place): random.uniform(0.1, 2.5, draws) for place in range(12)}
    replace["work.change_per_year"] = random.uniform(-0.05, 0.05, draws)
    paid = Paid(text, replace)
    for draw in range(draws):
        clicks, buckets = paid.row("plan.all_clicks_1", draw=draw), []
        above = paid.row("plan.all_above", draw=draw)
        some_used = 0.0
        for made, ours in zip(clicks, above, strict=True):
            need = max(0.0, made - 10_000)
            for bucket in buckets:  # the oldest stands first
                used = min(bucket["left"], need)
                bucket["left"] -= used
                need -= used
                some_used += used
            assert ours == pytest.approx(need, abs=1e-6)
            for bucket in buckets:
                bucket["age"] += 1
            buckets.append({"left": max(0.0, 10_000 - made), "age": 1})
            buckets = [bucket for bucket in buckets if bucket["age"] <= months]
        assert some_used > 0
        assert len(clicks) == 200


def test_a_minimum_is_billed_though_no_work_is_of_its_meter():
    """By hand: 10,000 black at 0.01 and 500 colour clicks at 0.05 never made, 12 months; 12 × 25 are bound."""
    words = ("colour: 0.05\nminimum: {colour: 500}", "meters: {other: {colour: colour, rate: 0.05, minimum: 500}}",
             "meters: {wide: {size: large, rate: 0.05, minimum: 500}}")
    for meter in words:
        paid = plan(f"black: 0.01\n{meter}")
        assert paid.total() == pytest.approx(12 * 125)
        assert paid.values["birch.plan.bound"].item() == pytest.approx(300)


def test_credit_for_clicks_of_the_minimum_not_made():
    # 30,000 a quarter committed, 24,000 made: 6,000 credited at 0.004 beside 30,000 billed at 0.01; prices + 10 %.
    paid = plan("settled: quarterly\nincreases: {2027-07: 10%}\n"
                "meters: {all: {rate: 0.01, minimum: 10000, under_use_credit: 0.004}}", work="work: {black: 8000}")
    assert paid.row("plan.all_under_use") == pytest.approx([0, 0, -24, 0, 0, -24, 0, 0, -26.4, 0, 0, -26.4])
    assert paid.row("plan.click_charge")[8] == pytest.approx(330)


# Prices by date --------------------------------------------------------------------------------------------------


def test_rates_by_date_hold_for_the_period_that_closes_then():
    paid = plan("base: 100\nblack: 0.0114\nsettled: quarterly\n"
                "rates_from: {2027-06: {black: 0.0093}, 2027-08: {base: {per_year: 960}, black: 0.0090}}")
    quarter = 30_000
    assert paid.row("plan.click_charge") == pytest.approx(
        [0, 0, quarter * 0.0114, 0, 0, quarter * 0.0093, 0, 0, quarter * 0.0090, 0, 0, quarter * 0.0090])
    assert paid.row("plan.base") == pytest.approx([100] * 7 + [80] * 5)
    assert paid.values["birch.plan.bound"][0][0][0] == pytest.approx(7 * 100 + 5 * 80)


def test_increase_protected_for_two_years_then_caught_up():
    paid = plan("black: 0.01\nincreases: {2029-01: 12%, 2030-01: 3%}\nincrease_cap: 10%", months=48)
    factor = np.repeat([1, 1, 1.1, 1.1 * 1.03], 12)
    assert paid.row("plan.click_charge") == pytest.approx(100 * factor)
    assert not [gap for gap in paid.scenario.gaps if gap.path.endswith("increase")]
    advice = find_warnings(Study(paid.scenario, paid.model, paid.values), ["increase-unstated"])
    assert [one.candidate for one in advice] == []


# Commitment ------------------------------------------------------------------------------------------------------

SEASON = "season: [0.2, 1.8, 1.2, 0.8, 1.5, 0.5, 0.1, 0.1, 1.6, 1.4, 1.3, 1.5]"


@pytest.mark.parametrize("minimum", [50, 300, 900])
@pytest.mark.parametrize("settled", ["quarterly", "yearly"])
def test_instalments_come_to_the_same_as_a_true_up(settled, minimum):
    work = f"work: {{black: 20000}}\n{SEASON}"
    terms = f"base: 100\nblack: 0.01\nminimum_charge: {minimum}\nsettled: {settled}"
    later = plan(terms, work=work, months=24)
    monthly = plan(f"{terms}\ninstalments: yes", work=work, months=24)
    assert monthly.total() == pytest.approx(later.total())
    assert monthly.row("plan.instalment") == pytest.approx(np.full(24, minimum))
    assert later.total() >= 24 * minimum - 1e-9
    roles = {one.id: one.role for one in monthly.model.lines}
    assert roles["birch.plan.base"] == roles["birch.plan.click_charge"] == "quantity"


def test_instalments_rise_with_the_minimum():
    paid = plan("black: 0.01\nminimum_charge: 900\ninstalments: yes\nsettled: yearly\nincreases: {2027-07: 10%}\n"
                "increase_on: [minimum_charge]")
    assert paid.row("plan.instalment") == pytest.approx([900] * 6 + [990] * 6)


# Extras ----------------------------------------------------------------------------------------------------------


def test_financed_clicks_run_out_in_the_ninth_month():
    # 8,000 black and 4,000 colour a month; 100,000 paid: eight months are free, and 4,000 of the ninth month's 12,000.
    paid = plan("colour: 0.05\nblack: 0.01\nfinanced_clicks: 100000", work="work: {colour: 4000, black: 8000}")
    full = 4_000 * 0.05 + 8_000 * 0.01
    assert paid.row("plan.click_charge") == pytest.approx([0] * 8 + [full * 2 / 3] + [full] * 3, abs=1e-9)


def test_included_clicks_are_taken_before_financed_ones():
    # 12,000 clicks a month, 3,000 black of them included: of the 9,000 above, 20,000 are paid, until in the third month
    # 7,000 of 9,000 are charged.
    paid = plan("colour: 0.05\nblack: 0.01\nincluded: {black: 3000}\nfinanced_clicks: 20000",
                work="work: {colour: 4000, black: 8000}")
    full = 4_000 * 0.05 + 5_000 * 0.01
    assert paid.row("plan.click_charge") == pytest.approx([0, 0, full * 7 / 9] + [full] * 9, abs=1e-9)


def test_fee_and_rebate_beside_the_clicks():
    # Three months of 10,000 clicks, 8,000 a month without rebate: 6,000 × 0.002 back a quarter.
    paid = plan("black: 0.01\nsettled: quarterly\nfee_per_month: 18\nrebate: {above: 8000, rate: 0.002}\n"
                "increases: {2027-02: 10%}")
    assert paid.row("plan.rebate") == pytest.approx([0, 0, -12] * 4)
    assert paid.row("plan.fee") == pytest.approx(np.full(12, 18))


@pytest.mark.parametrize(("most", "credit"), [("", 610), (", at_most: 400", 400)])
def test_credit_for_hours_down(most, credit):
    # Public contract clauses: 176 hours, 21 down, 95 % promised, 50 an hour: 8.8 hours allowed.
    shop = "\nshop: {hours_per_week: 44, weeks_per_year: 48}"
    paid = plan(f"black: 0.01\nuptime: {{share: 95%, credit_per_hour: 50{most}}}", work=PLAIN + shop,
                press="service_stop_hours: 21")
    assert paid.row("plan.down_allowed")[0] == pytest.approx(8.8)
    assert paid.row("plan.uptime_credit") == pytest.approx(np.full(12, -credit))
    two = plan(f"black: 0.01\nuptime: {{share: 95%, credit_per_hour: 50{most}}}", work=PLAIN + shop,
               press="service_stop_hours: 21\ncount: 2")
    assert two.row("plan.uptime_credit")[0] == pytest.approx(-400 if most else -1220)


@pytest.mark.parametrize(("per", "excess"), [("letter", (2.2 - 1, 3.8)), ("sheet", (1.2, 2 * 1.4))])
def test_toner_above_a_coverage_cap(per, excess):
    # At a cap of 5 %: 11 % on a letter side is 2.2 caps; 12 % on a ledger side is 2.4 caps on each of two letters.
    work = jobs(note="colour: colour, coverage: 11%, sides_per_set: 1, sets_per_job: 1, jobs: {per_month: 1000}",
                poster="colour: colour, size: ledger, coverage: 12%, sides_per_set: 1, sets_per_job: 1, "
                       "jobs: {per_month: 500}",
                form="colour: black, coverage: 3%, sides_per_set: 1, sets_per_job: 1, jobs: {per_month: 9000}")
    paid = plan(f"colour: 0.05\nblack: 0.01\ncoverage_cap: {{cap: 5%, price: 0.006, per: {per}}}", work=work)
    assert paid.row("plan.toner_cost")[0] == pytest.approx(0.006 * (1000 * excess[0] + 500 * excess[1]))


def test_paper_inside_the_click_is_not_bought():
    work = jobs(one="colour: black, sides_per_set: 1, sets_per_job: 10, jobs: {per_month: 100}") + \
        "\nshop: {paper: {letter: 0.01}}"
    bought, inside = plan("black: 0.02", work=work), plan("black: 0.04\npaper_included: yes", work=work)
    assert bought.row("paper.cost")[0] == pytest.approx(10)
    assert inside.sum("paper.cost") == pytest.approx(0)
    assert inside.values["birch.class_cost.set_next"][0][0][0] == pytest.approx(0.04)
    assert inside.values["birch.class_cost.adds_up"][0][0][0] == pytest.approx(0, abs=1e-9)


def test_what_an_early_end_claims_is_shown_and_not_paid():
    paid = plan("base: 100\nblack: 0.01\nmonths: 24\nends_with_service: 40%")
    assert paid.row("plan.early_end")[[0, 11]] == pytest.approx([0.4 * 23 * 100, 0.4 * 12 * 100])
    assert paid.total() == pytest.approx(12 * (100 + 100))
    dated = plan("base: 100\nblack: 0.01\nends_with_service: 40%\nrates_from: {2027-11: {base: 50}}")
    assert dated.row("plan.early_end")[[0, 9, 11]] == pytest.approx([0.4 * 1000, 0.4 * 100, 0])


# Every key -------------------------------------------------------------------------------------------------------

# What an example stands beside, and what it replaces, where it cannot stand alone.
BESIDE = {
    "carry_forward_months": "included: 9000", "under_use_credit": "minimum: 9000", "bands_read": "",
    "instalments": "minimum_charge: 600", "rates_from": "base: 400", "included": "", "minimum": "",
    "equipment_share": "minimum_charge: 600\nmonths: 24",
}
JOBS = jobs(one="colour: black, sides_per_set: 1, sets_per_job: 10, jobs: {per_month: 100}",
            two="colour: colour, sides_per_set: 1, sets_per_job: 10, jobs: {per_month: 100}")
SHOP = "\nshop: {hours_per_week: 40}"


def written(example):
    return example if isinstance(example, str) else json.dumps(example)


@pytest.mark.parametrize("key", Service.model_fields)
def test_the_example_of_each_key_of_a_plan_loads(key):
    example = written(Service.model_fields[key].examples[0])
    rates = {name: f"{name}: 0.01" for name in ("colour", "black") if name != key}
    lines = [*rates.values(), BESIDE.get(key, ""), f"{key}: {example}"]
    if key == "meters":
        lines = [f"{key}: {example}"]
    paid = plan("\n".join(line for line in lines if line), work=JOBS + SHOP)
    assert paid.has("plan.click_charge")
    assert np.isfinite(paid.total())


@pytest.mark.parametrize("key", Meter.model_fields)
def test_the_example_of_each_key_of_a_meter_loads(key):
    example = written(Meter.model_fields[key].examples[0])
    lines = ["rate: 0.01"] if key not in ("rate", "bands", "bands_read") else []
    lines += ["bands: [{from: 0, rate: 0.01}]"] if key == "bands_read" else []
    lines += [BESIDE[key]] if BESIDE.get(key) else []
    inner = ", ".join([*lines, f"{key}: {example}"])
    paid = Paid(text_of(f"meters: {{one: {{{inner}}}, rest: {{rate: 0.02}}}}", work=JOBS + SHOP))
    assert np.isfinite(paid.total())


def test_each_key_of_the_sections_has_an_example_and_a_place_in_the_schema():
    defined = json_schema()["$defs"]
    for part in (Meter, RunLength, CoverageCap, Rebate, Uptime):
        assert set(defined[part.__name__]["properties"]) == set(part.model_fields)
        assert all(info.examples and info.description for info in part.model_fields.values())


def test_the_table_of_plans_names_keys_that_there_are():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = text.split("## Which part says which plan\n")[1].split("\n## ")[0]
    rows = [line for line in section.splitlines() if line.startswith("| ")][1:]
    assert len(rows) == 35
    named = {word for row in rows for words in re.findall("`([^`]*)`", row.rsplit("|", 2)[1])
             for word in re.findall(r"(?<![\w-])([a-z]+(?:_[a-z]+)*)(?=:|$|,|})", words)}
    keys = {key for part in parts() for key in list(part.keys())} | {"value", "low", "high", "from", "per_year"}
    words = {"all units", "graduated", "monthly", "quarterly", "yearly", "large", "yes", "units"}
    assert named - keys - words == set()
    assert {"meters", "run_length", "rates_from", "financed_clicks", "coverage_cap"} <= named


def parts(base=Part):
    return [part for child in base.__subclasses__() for part in (child, *parts(child))]

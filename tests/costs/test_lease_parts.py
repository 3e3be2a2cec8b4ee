"""Leases in parts: published and worked figures, through the scenario file, and rents listed by hand."""

import json

import numpy as np
import pytest

from tco.advice.dates import calendar_file, dates
from tco.advice.study import Study
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.problem import ScenarioError
from tco.scenario.load import load_text


class Told:
    """The values of one scenario with one leased press, `it`."""

    def __init__(self, lease, months=60, press=None, candidate=None, **top):
        data = {
            "title": "One lease", "start": "2027-03", "months": months, "money": {"discount_rate": "0%"},
            "work": {"black": 0}, "candidates": {"it": {"lease": lease, **(press or {}), **(candidate or {})}},
        } | top  # fmt: skip
        self.scenario = load_text(json.dumps(data))
        self.model = build(self.scenario)
        self.values = evaluate(self.model)

    def row(self, key):
        value = self.values[f"it.{key}"][0, 0]
        return np.broadcast_to(value, (self.model.columns,))

    def one(self, key):
        return float(self.values[f"it.{key}"][0, 0, 0])

    def paid(self, key, months):
        """What is paid in these months, and nothing in any other."""
        row = self.row(key)
        assert row.sum() == pytest.approx(sum(row[month - 1] for month in months), abs=1e-9)
        return [round(float(row[month - 1]), 9) for month in months]


def lease(**terms):
    return {"months": 60, "paid": "in advance", "at_end": "return", "return_freight": 0} | terms


def bought(**terms):
    kept = {key: value for key, value in lease().items() if key != "return_freight"}
    return kept | {"at_end": "buy", "buy_price": 0} | terms


def cents(value):
    return pytest.approx(value, rel=0, abs=0.006)


def problems(terms, **more):
    with pytest.raises(ScenarioError) as caught:
        Told(terms, **more)
    return [f"{problem.path}: {problem.what}" for problem in caught.value.problems]


# ---- how the rent is quoted ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("rate", "rent"), [("15%", 487.29), ("18%", 520.81)])
def test_the_rents_of_a_copier_with_an_option_of_thirty_percent(rate, rent):
    """HP 12c user's guide, section 14, p. 157 (read): 22,000, 48 months, 4 rents in advance, option 30 %."""
    told = Told(bought(quoted_rate=rate, cash_price=22000, months=48, advance_rents=4, buy_price=6600))
    assert told.one("press.rent_each") == cents(rent)
    assert told.one("press.implied_year") == pytest.approx(float(rate[:-1]) / 100, abs=1e-9)


@pytest.mark.parametrize(("rate", "ahead", "rent"), [("10%", 3, 64.45), ("15%", 3, 65.43), ("15%", 1, 66.86)])
def test_rents_of_a_year_with_several_at_signing(rate, ahead, rent):
    """HP 12c user's guide, section 14, pp. 151-153 (read): 750 over 12 months."""
    told = Told(lease(quoted_rate=rate, cash_price=750, months=12, advance_rents=ahead))
    assert told.one("press.rent_each") == cents(rent)


@pytest.mark.parametrize(("timing", "ahead", "rent"), [
    ("in arrears", 0, 2124.70), ("in advance", 1, 2107.14), ("in advance", 2, 2090.09),
])  # fmt: skip
def test_rents_by_timing(timing, ahead, rent):
    """TimeValue Software, lease payment factors article (read): 100,000 at 10 % over 60 months."""
    told = Told(lease(quoted_rate="10%", cash_price=100000, paid=timing, advance_rents=ahead))
    assert told.one("press.rent_each") == cents(rent)
    by_factor = Told(lease(factor=told.one("press.rent_each") / 100000, cash_price=100000, paid=timing))
    assert by_factor.one("press.all_rents") == pytest.approx(60 * told.one("press.rent_each"))


def test_a_quoted_rate_of_nothing_divides_the_price():
    told = Told(lease(quoted_rate="0%", cash_price=6000, months=60, advance_rents=2))
    assert told.one("press.rent_each") == pytest.approx(100)


@pytest.mark.parametrize(("rent", "rate"), [(600, 0.1733), (625, 0.1948)])
def test_the_rate_of_a_lease_with_three_rents_in_advance(rent, rate):
    """HP 12c user's guide, section 14, pp. 155-156 (read): 25,000 over 60 months, yield times twelve."""
    told = Told(bought(rent=rent, cash_price=25000, advance_rents=3))
    assert told.one("press.implied_year") == pytest.approx(rate, abs=5e-5)


def test_the_rate_and_balance_of_a_lease_with_a_residual():
    """US Federal Reserve, Keys to Vehicle Leasing, constant-yield example (read): 18,800, residual 12,350, 48 rents."""
    told = Told(bought(rent=244.69, cash_price=18800, months=48, buy_price=12350), months=48)
    assert told.one("press.implied_year") == pytest.approx(0.08497, abs=5e-6)
    assert told.row("press.rent_charge")[:2] == pytest.approx([131.39, 130.59], abs=0.01)
    assert told.row("press.owed")[:2] == pytest.approx([18686.70, 18572.60], abs=0.01)


@pytest.mark.parametrize(("timing", "worth", "rate"), [
    ("in arrears", 0, 0.1727), ("in advance", 0, 0.1796), ("in arrears", 150, 0.1997),
])  # fmt: skip
def test_the_rate_behind_twenty_five_a_thousand(timing, worth, rate):
    """Worked case C36, a rule of thumb of dealers: 25 for 1,000 over 60 months; a worth given back is like a price."""
    told = Told(bought(rent=25, cash_price=1000, paid=timing, buy_price=worth))
    assert told.one("press.implied_year") == pytest.approx(rate, abs=5e-5)


def test_an_old_lease_rolled_into_the_new_one():
    """Worked case C12: 18 rents of 1,450 financed again beside 68,000 at a factor of 0.0205."""
    told = Told(bought(factor=0.0205, cash_price=68000, rolled_in=26100, paid="in arrears", advance_rents=0))
    assert told.one("press.rent_each") == cents(1929.05)
    assert told.one("press.old_rent") == cents(535.05)
    assert told.one("press.rent_each") - told.one("press.old_rent") == cents(1394.00)
    assert told.one("press.old_rents") == pytest.approx(32103)
    assert told.one("press.implied_year") == pytest.approx(0.0847, abs=5e-5)
    assert told.row("press.at_cash")[0] == 68000


@pytest.mark.parametrize(("timing", "rate"), [("in arrears", 0.02369), ("in advance", 0.03611)])
def test_new_copiers_that_carry_old_loans(timing, rate):
    """Worked case C43, news on a municipal purchase: 113,000 of 194,000 is equipment; 41,600 a year for five years."""
    terms = bought(rent=41600, every_months=12, cash_price=113000, rolled_in=81000, paid=timing)
    told = Told(terms)
    assert told.one("press.old_share") == pytest.approx(0.4175, abs=5e-5)
    yearly = (1 + told.one("press.implied_year") / 12) ** 12 - 1
    assert yearly == pytest.approx(rate, abs=1e-5)
    assert told.one("press.all_rents") == 208000
    assert 41600 - told.one("press.old_rent") == pytest.approx(24230.93, abs=0.005)


# ---- rents listed by hand --------------------------------------------------------------------------------------------


def test_steps_hold_from_their_month_of_the_lease():
    """By hand: 100 for a year, 120 for a year, 90 to the end, two rents at signing."""
    terms = lease(rent=100, months=30, steps={"13": 120, "25": 90}, advance_rents=2)
    told = Told(terms, months=36)
    rents = [100] * 12 + [120] * 12 + [90] * 6
    by_month = [2 * 100, *rents[1:29], 0]
    assert told.row("press.rent")[:30].tolist() == by_month
    assert told.one("press.all_rents") == sum(by_month)
    assert told.one("measures.total") == sum(by_month)
    in_arrears = Told(lease(rent=100, months=30, steps={"13": 120, "25": 90}, paid="in arrears"), months=36)
    assert in_arrears.row("press.rent")[:31].tolist() == [*rents, 0]


def test_steps_of_a_press_that_comes_later_count_from_its_signing():
    """By hand: signed in month 5 of the study, so the second rent holds from month 9."""
    told = Told(lease(rent=100, months=8, steps={"5": 150}), months=24, press={"from_month": 5, "count": 2})
    assert told.row("press.rent")[:13].tolist() == [0] * 4 + [200] * 4 + [300] * 4 + [0]


def test_skipped_months_have_another_rent_or_none():
    """By hand: from March; July and August are months 5, 6, 17 and 18; of quarterly rents one falls in June."""
    told = Told(lease(rent=100, months=24, skip_months=["Jul", "Aug"]), months=24)
    assert [month for month, rent in enumerate(told.row("press.rent")[:24], 1) if rent == 0] == [5, 6, 17, 18]
    assert told.one("press.all_rents") == 2000
    touched = Told(lease(rent=100, months=24, skip_months=["Jul"], skip_rent=10), months=24)
    assert touched.row("press.rent")[[4, 16]].tolist() == [10, 10]
    assert touched.one("measures.total") == 2200 + 20
    quarterly = Told(lease(rent=300, months=12, every_months=3, skip_months=["Jun", "Jul"]), months=12)
    assert quarterly.row("press.rent")[:12].tolist() == [300, 0, 0, 0, 0, 0, 300, 0, 0, 300, 0, 0]


@pytest.mark.parametrize(("timing", "first"), [("in advance", 4), ("in arrears", 4)])
def test_deferred_rents_are_not_paid_and_the_term_stays(timing, first):
    """By hand: three months free of 24; the rent in advance of month 1 is one of them."""
    told = Told(lease(rent=100, months=24, paid=timing, deferred_months=3), months=24)
    assert told.paid("press.rent", range(first, 25)) == [100] * 21
    assert told.one("press.all_rents") == 2100


def test_interim_rent_is_by_thirtieths_and_outside_the_count():
    """By hand: 12 days of a quarterly rent of 900: 900 / 3 x 12 / 30 = 120, for each of two presses."""
    told = Told(lease(rent=900, months=12, every_months=3, interim_rent={"days": 12}), press={"count": 2})
    assert told.paid("press.interim", [1]) == [240]
    assert told.one("press.all_rents") == 2 * 4 * 900
    assert told.one("measures.bound") == 7200 + 240
    assert told.one("measures.cash_up_front") == 1800 + 240


# ---- beside the rents ------------------------------------------------------------------------------------------------


def test_insurance_property_tax_and_its_fee():
    """By hand: 35 a month for 30 months; 2 % of 10,000 at 80 % and 60 %, with a fee of 40, at months 12 and 24."""
    terms = lease(rent=100, months=30, cash_price=10000, insurance_per_month=35, admin_fee=40)
    told = Told(terms | {"property_tax": {"rate": "2%", "assessed": ["80%", "60%"]}}, months=40)
    assert told.paid("press.insurance", range(1, 31)) == [35] * 30
    assert told.paid("press.property_tax", [12, 24]) == [160, 120]
    assert told.paid("press.admin_fee", [12, 24]) == [40, 40]
    short = Told(terms | {"property_tax": {"rate": "2%", "assessed": ["80%", "60%"]}}, months=20)
    assert short.paid("press.property_tax", [12]) == [160]


def test_sales_tax_up_front_is_on_the_price_and_not_on_the_rents():
    """By hand: 7 % of 10,000 at signing for each of two presses, none on 24 rents; the interim rent bears its own."""
    money = {"discount_rate": "0%", "sales_tax": {"rate": "7%"}}
    terms = lease(rent=300, months=24, cash_price=10000, interim_rent={"days": 10})
    up_front = Told(terms | {"sales_tax": "up front"}, money=money, press={"count": 2})
    assert up_front.paid("tax.sales_opening", [1]) == [pytest.approx(2 * (700 + 7))]
    on_rents = Told(terms | {"sales_tax": "on rents"}, money=money, press={"count": 2})
    assert on_rents.row("tax.sales_opening").sum() == pytest.approx(2 * (24 * 21 + 7))
    other = Told(terms | {"sales_tax": "up front"}, money=money | {"sales_tax": {"rate": "7%", "on": ["equipment"]}})
    assert "it.tax.sales_opening" not in other.values


def test_a_contribution_ends_when_its_promise_does():
    """By hand: 80 a month from March 2027 to January 2028 is eleven months."""
    told = Told(lease(rent=100, months=24, subsidy={"per_month": 80, "until": "2028-01"}), months=24)
    assert told.paid("press.subsidy", range(1, 12)) == [-80] * 11
    assert told.one("measures.total") == 2400 - 880


# ---- how it ends -----------------------------------------------------------------------------------------------------


def test_a_notice_that_is_missed():
    """Worked case C14: 2,350 to February 2029; missed, twelve months more cost 28,200; each month late 2,350."""
    renewal = {"months": 12, "notice_days": [180, 90]}
    terms = lease(rent=2350, months=24, renews_unless_noticed=renewal)
    noticed = Told(terms, months=48)
    missed = Told(terms | {"renews_unless_noticed": renewal | {"noticed": "no"}}, months=48)
    assert missed.one("measures.total") - noticed.one("measures.total") == 28200
    assert missed.paid("press.renewal", range(25, 37)) == [2350] * 12
    assert missed.row("press.present").sum() == 36
    late = Told(terms | {"late_return_months": 1}, months=48)
    assert late.paid("press.late", [25]) == [2350]
    assert late.row("press.present").sum() == 24
    assert late.one("measures.bound") - noticed.one("measures.bound") == 2350
    outlived = Told(terms | {"renews_unless_noticed": renewal | {"noticed": "no"}, "late_return_months": 2}, months=30)
    assert outlived.one("measures.committed_beyond") == (6 + 2) * 2350


@pytest.mark.parametrize(("freight", "total"), [(0, 10480), (400, 10880), (2000, 12480)])
@pytest.mark.parametrize("timing", ["in advance", "in arrears"])
def test_a_long_lease_left_after_twenty_months(freight, total, timing):
    """Worked case C45, church finance magazine: 262 over 60 months; 40 rents are owed, and the freight."""
    told = Told(lease(rent=262, paid=timing, exit_month=20, return_freight=freight))
    assert told.paid("press.rent", range(1, 21)) == [262] * 20
    assert told.paid("press.exit", [20]) == [10480]
    assert told.row("press.exit")[19] + told.row("press.return")[19] == total
    assert told.row("press.present").sum() == 20
    framework = Told(lease(rent=262, paid=timing, exit_month=20, exit_discount="10%", return_freight=freight))
    assert framework.paid("press.exit", [20]) == [pytest.approx(9432)]


def test_a_ceiling_on_leaving_falls_from_year_to_year():
    """By hand: 48 rents of 100; at most 60 % of the rest in the first year, 45 % in the second, then 30 %."""
    told = Told(lease(rent=100, months=48, exit_month=0, exit_at_most=["60%", "45%", "30%"]), months=48)
    key = "it.measures.total"
    leaves = np.array([0.0, 12.0, 13.0, 24.0, 40.0])
    found = evaluate(told.model, {"it.lease.exit_month": leaves}, keep=[key])[key][:, 0, 0]
    assert found == pytest.approx([4800, 1200 + 0.6 * 3600, 1300 + 0.45 * 3500, 2400 + 0.45 * 2400, 4000 + 0.3 * 800])
    # What stopping costs is the same where it is not decided when the lease ends.
    assert told.row("measures.stop_after")[[11, 12, 23, 39]] == pytest.approx(found[1:])
    dearer = evaluate(told.model, {"it.lease.exit_month": 12.0, "it.lease.exit_at_most.1": 1.0}, keep=[key])[key]
    assert dearer[0, 0, 0] == 4800
    twice = problems(lease(rent=100, exit_month=12, exit_discount="10%", exit_at_most=["50%"]))
    assert twice == ["candidates.it.lease.exit_at_most: stands beside `exit_discount`"]


def test_an_exit_month_is_a_figure_and_nought_is_never():
    """By hand: one model, three months of leaving."""
    told = Told(lease(rent=100, months=24, exit_month=0, exit_discount="50%"), months=24)
    key = "it.measures.total"
    found = evaluate(told.model, {"it.lease.exit_month": np.array([0.0, 6.0, 23.0])}, keep=[key])[key][:, 0, 0]
    assert found.tolist() == [2400, 600 + 900, 2300 + 50]


def test_an_exit_beyond_the_months_compared_is_committed():
    """By hand: 12 of 20 months compared; eight rents and half of four are left."""
    told = Told(lease(rent=100, months=24, exit_month=20, exit_discount="50%", return_freight=30), months=12)
    assert told.one("measures.total") == 1200
    assert told.one("measures.committed_beyond") == 800 + 200 + 30


def test_the_window_for_notice_stands_in_the_dates():
    """Worked case C14: a lease to 28 February 2029, notice 180 to 90 days before."""
    renewal = {"months": 12, "notice_days": [180, 90], "noticed": "no"}
    told = Told(lease(rent=2350, months=24, exit_discount="10%", renews_unless_noticed=renewal), months=48)
    study = Study.of(told.scenario)
    found = {due.what: due.date.isoformat() for due in dates(study) if due.candidate == "it"}
    assert found == {
        "It: window for notice of the lease opens": "2028-09-01",
        "It: last day of notice for the lease, or it goes on": "2028-11-30",
        "It: lease ends if notice was given in time": "2029-02-28",
        "It: renewal ends": "2030-02-28",
        "It: find the window for notice of the renewal, and write in time": "2029-09-01",
    }
    assert b"DTSTART;VALUE=DATE:20281130" in calendar_file(study, "it")
    early = Told(lease(rent=100, exit_month=20, subsidy={"per_month": 5, "until": "2028-06"}))
    found = {due.what: due.date.isoformat() for due in dates(Study.of(early.scenario))}
    assert found["It: lease left early"] == "2028-10-31"
    assert found["It: the contribution to the rents ends"] == "2028-06-30"


def test_a_public_body_is_bound_to_the_end_of_the_fiscal_year():
    """By hand: from March to June are four months; then 56 rents, 56 base fees and the price at the end may stop."""
    plan = {"service": {"base": 40, "black": 0.01, "months": 60, "increase": "0%"}}
    money = {"discount_rate": "0%", "fiscal_year_starts": "July"}
    terms = bought(rent=100, buy_price=7, document_fee=30)
    told = Told(terms, money=money, press=plan, candidate={"may_stop_without_funds": "yes"})
    assert told.one("measures.bound") == 6000 + 7 + 30 + 2400
    assert told.one("measures.bound_if_funds_stop") == 400 + 30 + 160
    assert "it.measures.bound_if_funds_stop" not in Told(terms, money=money, press=plan).values
    returned = lease(rent=100, months=12, return_freight=50)
    told = Told(returned, money=money, candidate={"may_stop_without_funds": "yes"}, months=3)
    assert told.one("measures.bound_if_funds_stop") == 400 + 50


# ---- contradictions --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("terms", "path"), [
    ({"rent": 100, "factor": 0.02, "cash_price": 5000}, "factor"),
    ({"factor": 0.02}, "factor"),
    ({"quoted_rate": "8%"}, "quoted_rate"),
    ({"factor": 0.02, "cash_price": 5000, "steps": {"13": 90}}, "steps"),
    ({"rent": 100, "steps": {"61": 90}}, "steps.61"),
    ({"rent": 100, "steps": {"1": 90}}, "steps.1"),
    ({"rent": 100, "steps": {"25": 90, "13": 80}}, "steps.13"),
    ({"rent": 100, "skip_rent": 5}, "skip_rent"),
    ({"rent": 100, "skip_months": ["July"]}, "skip_months.1"),
    ({"rent": 100, "deferred_months": 60}, "deferred_months"),
    ({"rent": 100, "property_tax": {"rate": "2%", "assessed": ["80%"]}}, "property_tax"),
    ({"rent": 100, "admin_fee": 5}, "admin_fee"),
    ({"rent": 100, "rolled_in": 5}, "rolled_in"),
    ({"rent": 100, "cash_price": 5000, "sales_tax": "up front"}, "sales_tax"),
    ({"rent": 100, "renews_unless_noticed": {"months": 12, "notice_days": [90, 180]}},
     "renews_unless_noticed.notice_days"),
    ({"rent": 100, "at_end": "renew", "late_return_months": 1}, "late_return_months"),
    ({"rent": 100, "exit_month": 60}, "exit_month"),
    ({"rent": 100, "exit_month": 20, "renews_unless_noticed": {"months": 12, "notice_days": [9, 5], "noticed": "no"}},
     "exit_month"),
    ({"rent": 100, "subsidy": {"per_month": 5, "until": "2026-01"}}, "subsidy.until"),
])  # fmt: skip
def test_a_contradiction_is_told_at_its_key(terms, path):
    told = problems(lease(**terms))
    assert len(told) == 1, told
    assert told[0].startswith(f"candidates.it.lease.{path}: "), told


def test_a_month_of_leaving_is_written_once():
    told = problems(lease(rent=100, exit_month=20), press={"until_month": 30})
    assert [one.split(":")[0] for one in told] == ["candidates.it.lease.exit_month"]

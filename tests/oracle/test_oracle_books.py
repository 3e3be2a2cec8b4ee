"""The oracle's own tests of sections 11 to 13: published figures, and cases worked by hand."""

from __future__ import annotations

from typing import Any

import pytest

from tests.oracle import books, class_cost, fleets, running
from tests.oracle.cases import near, one, plan
from tests.oracle.oracle import evaluate
from tests.oracle.reading import prepare
from tests.oracle.work import clock_of

MONEY = {"discount_rate": "0%"}


def clock(months: int, **more: Any) -> Any:
    return clock_of({"start": "2027-01", "months": months} | more)


def yearly(rate: float) -> float:
    """Give the nominal rate that comes to this rate a year."""
    return float(12 * ((1 + rate) ** (1 / 12) - 1))


def written(depreciation: str, cash: dict[str, Any], months: int = 36, **more: Any) -> list[float]:
    """Give what is written off in each calendar year."""
    terms = {"rate": "30%", "depreciation": depreciation} | more
    it = one({"cash": cash}, months=months, money=MONEY | {"income_tax": terms})
    return [sum(it.depreciation[year : year + 12]) for year in range(0, months, 12)]


def account(framework: str, rate: float, life: float | None = None, **lease: Any) -> books.Accounted:
    """Account for one lease of a press."""
    terms = {"framework": framework, "rate": yearly(rate)}
    (press,) = one({"lease": {"return_freight": 0} | lease}).shift.presses
    return books.lease_accounting(press, terms, life, clock(12))


# Tax


@pytest.mark.parametrize(
    ("table", "cost", "years"),
    [("7-year mid-quarter 1", 4000, [1000, 857]), ("7-year mid-quarter 3", 1000, [107, 255]),
     ("5-year mid-quarter 4", 5000, [250, 1900])],
)  # fmt: skip
def test_a_mid_quarter_year(table: str, cost: float, years: list[float]) -> None:
    """IRS Publication 946, chapter 4, example of the mid-quarter convention (read second-hand), rounded there."""
    assert written(f"macrs {table}", {"price": cost})[:2] == near(years, 0.5)


def test_balance_of_a_pool() -> None:
    """GOV.UK, work out capital allowances (read): 9,000 + 1,200 - 200 at 18 %: 1,800 now, 8,200 carried forward."""
    years = written("declining balance", {"price": 10000}, depreciation_rate="18%")
    assert years == near([1800, 0.18 * 8200, 0])


def test_share_of_the_first_year() -> None:
    """By hand: 40 % of 1,000 at once; of the other 600 a tenth each year, or a tenth of what is left of it."""
    line = written("straight line", {"price": 1000}, years=10, first_year_share="40%")
    assert line == near([460, 60, 60])
    assert written("declining balance", {"price": 1000}, depreciation_rate="10%", first_year_share="40%") == near(
        [460, 54, 0]
    )
    assert written("straight line", {"price": 1000}, months=12, years=10, first_year_share="40%") == near([60])


def test_share_of_the_first_year_by_month_of_purchase() -> None:
    """By hand: the share of the latest month that is named and not after the purchase; before the first the usual."""
    shares = {"2027-06": "40%", "2027-03": "30%"}
    told = []
    for month in (2, 3, 5, 6, 12):
        price, start = {"price": 1000}, f"2027-{month:02}"
        terms = {"rate": "30%", "depreciation": "declining balance", "depreciation_rate": "10%",
                 "first_year_share": "10%", "first_year_shares": shares}  # fmt: skip
        it = one({"cash": price}, start=start, months=24, money=MONEY | {"income_tax": terms})
        told.append(next(value for value in it.depreciation if value))
    assert told == near([share + (1000 - share) * 0.1 for share in (100, 300, 300, 400, 400)])


def test_a_lease_that_counts_as_bought_for_tax() -> None:
    """By hand: 24 rents of 50 in arrears for 1,100 and 10 at the end, 12 months compared.

    Interest over the months is rents less what the balance falls by; so over the study 600 - (1,100 - balance).
    """
    lease = {"rent": 50, "months": 24, "paid": "in arrears", "at_end": "buy", "buy_price": 10, "cash_price": 1100}
    tax = {"rate": "50%", "depreciation": "straight line", "years": 10}
    money = MONEY | {"income_tax": tax}
    it = one({"lease": lease | {"tax_as": "purchase", "sells_for": 300}, "site_works": 100}, months=12, money=money)
    balance = it.totals["lease_settlement"]
    assert sum(it.depreciation) == near(120)
    assert sum(it.deductions) == near(600 - (1100 - balance) + 1200 - 300)
    rent = one({"lease": lease | {"sells_for": 300}, "site_works": 100}, months=12, money=money)
    assert sum(rent.deductions) == near(600 + balance + 100)


def test_a_press_in_the_books() -> None:
    """OpenStax, Principles of Accounting Vol. 1, 11.3 (read): a printing press of 54,000 + 1,500 + 2,500, 10,000 left.

    9,600 a year for five years; sold for 10,000 then, nothing is lost.
    """
    press = {"cash": {"price": 54000, "sells_for": 10000}, "delivery_and_installation": 1500, "site_works": 2500}
    it = one(press, months=60)
    terms = {"years": 5, "residual_share": 10000 / 58000}
    got = books.books(it, terms, 60)
    assert books.by_year(got.depreciation, clock(60)) == near([9600] * 5)
    assert sum(got.loss) == near(0)
    assert sum(got.expense) == near(it.total)
    parts = books.by_month(it, 60)
    assert sum(parts["capital"]) == near(48000)
    assert sum(sum(part) for part in parts.values()) == near(it.total)


# Lease accounting


def test_ten_rents_in_advance() -> None:
    """IFRS 16, Illustrative Example 13 as worked by a public community (read), net direct costs 15,000."""
    lease = {"rent": 50000, "every_months": 12, "months": 120, "document_fee": 15000}
    it = account("IFRS 16", 0.05, **lease)
    assert it.at_signing == near(355391, 0.5)
    assert it.right_of_use == near(420391, 0.5)  # from memory
    assert [sum(it.interest[:12]), it.liability[11]] == near([17770, 373161], 0.5)
    assert [sum(it.interest[12:24]), it.liability[23]] == near([16158, 339319], 0.5)
    assert it.liability[-1] == near(0)
    us = account("ASC 842", 0.0587, **lease)
    assert [us.at_signing, us.right_of_use] == near([342017, 407017], 0.5)  # ASC 842-20-55 Example 3, from memory


def test_rents_in_arrears() -> None:
    """IFRS 16 Example 17, Kaplan SBR 2018/19 p. 417, two intermediate-accounting problems (outputs read)."""
    flat = account("IFRS 16", 0.06, rent=50000, every_months=12, months=120, paid="in arrears")
    assert [flat.right_left[59], flat.liability[59]] == near([184002, 210618], 1)
    four = {"every_months": 12, "months": 48, "paid": "in arrears"}
    kaplan = account("IFRS 16", 0.10, rent=1e6, steps={"37": 0.8e6}, document_fee=1e5, **four)
    assert [kaplan.at_signing, kaplan.right_of_use] == near([3.04e6, 3.14e6], 11000)
    most = account("IFRS 16", 0.06, rent=20000, **four)
    assert [most.at_signing, most.liability[11], most.right_left[11]] == near([69302, 53460, 51976], 1)
    harris = account("IFRS 16", 0.07, rent=18500, steps={"13": 23500, "25": 28500, "37": 33500}, **four)
    assert harris.at_signing == near(86637, 0.5)


def test_service_inside_the_rent_and_the_classes() -> None:
    """Intermediate-accounting problems (read): 5,000 of 90,000 is service; 90 % of the price, 75 % of the life."""
    ten = {"every_months": 12, "months": 120}
    split = account("IFRS 16", 0.10, rent=90000, service_share=5 / 90, **ten)
    assert split.right_of_use == near(574517, 0.5)
    # Four rents of 12,471 and a guaranteed 17,500, said as a last rent: 60,789 of 67,000 with rounded factors.
    owed = {"rent": 12471, "every_months": 12, "months": 60, "steps": {"49": 17500}}
    leased = account("ASC 842", 0.05, life=20, cash_price=67000, **owed)
    assert (leased.finance, leased.right_of_use) == (True, near(60789, 45))
    assert not account("ASC 842", 0.05, life=20, cash_price=67600, **owed).finance
    assert account("ASC 842", 0.05, life=20 / 3, **owed).finance
    assert not account("ASC 842", 0.05, life=6.7, **owed).finance


def test_the_least_that_is_printed_as_a_liability() -> None:
    """Worked case, common practice: 36,000 at the end of each of five years at 6 %, 40 percent of it for the press."""
    service = {"black": 0.03, "minimum_charge": {"per_year": 36000}, "settled": "yearly", "months": 60}
    it = one(plan(**service, equipment_share="40%"), months=12)
    terms = {"framework": "IFRS 16", "rate": yearly(0.06)}
    assert books.fixed_in_minimum(it.plans[0], terms, clock(12), {}) == near(60658.04)


# Fleets


def test_a_press_is_replaced_until_the_end() -> None:
    """By hand: 10 months, leases of 4 for 100 a month, prices 10 % more after a year; the third starts in month 9."""
    data = {"start": "2027-01", "months": 15, "work": {"colour": 10}, "money": MONEY | {"inflation": "10%"}}
    press = {"lease": {"rent": 100, "months": 4, "return_freight": 30}, "replaced": "yes", "training": 50}
    it = evaluate(data | {"candidates": {"it": press}}).candidates["it"]
    assert [(p.key, p.first, p.last) for p in it.shift.presses] == [
        ("", 1, 4), ("press_2", 5, 8), ("press_3", 9, 12), ("press_4", 13, 15)]  # fmt: skip
    assert it.totals["lease_rents"] == near(1200 + 3 * 110)
    assert it.totals["training"] == near(150 + 55)
    assert it.totals["return_freight"] == near(90)
    assert it.committed == near(110 + 33)
    assert it.bound == near(480)
    assert sum(it.placed_sides["colour", "unplaced"]) == 0


def test_the_busiest_week_by_hand() -> None:
    """A week of 30 percent of 60,000 sides at 60 a minute is 5 hours; 4 there less 5 x 12 minutes of care."""
    shop = {"hours_per_week": 5, "weeks_per_year": 48}
    press = {"owned": {}, "sides_per_minute": 60, "service_stop_hours": 4, "warm_up_minutes": 12}
    it = one({"presses": {"a": press, "b": {"owned": {}, "takes": "black"}}}, months=1, colour=60000, busiest_week=0.3,
             shop=shop)  # fmt: skip
    week = fleets.busiest_week(it, clock(1))
    assert week.load["a"] == near([(5 + 1) / 4])
    assert week.too_many == near([60000 * 0.3 * 2 / 5])


def test_hours_of_a_job_and_charges() -> None:
    """By hand: 6,000 sides at 100 a minute and 30 minutes of make-ready; 0.5 a set, prices 10 % more in year two."""
    job = {"colour": "colour", "sides_per_set": 6, "sets_per_job": 1000, "jobs": 24, "charge_per_set": 0.5}
    data = {"start": "2027-01", "months": 24, "jobs": {"k": job}, "money": MONEY | {"inflation": "10%"},
            "shop": {"hours_per_week": 40}}  # fmt: skip
    press = {"cash": {"price": 10000}, "sides_per_minute": 100, "make_ready_minutes": 30}
    it = evaluate(data | {"candidates": {"it": press}}).candidates["it"]
    clock_2 = clock_of(prepare(data | {"candidates": {}}, None))
    assert fleets.job_hours(it) == {"k": near(1.5)}
    assert fleets.recovery(it, clock_2) == near([1000] * 12 + [1100] * 12)
    assert fleets.hourly_rate(it) == near([10000 / (4160 * share) for share in (0.6, 0.7, 0.8)])
    assert fleets.month_of_use(it, clock_2) == near(10000 / 24)
    assert fleets.scope(it, it.shift.classes[0]) == (1, 0, 0)
    won = {"new_work": {"more": job | {"jobs": 12, "charge_per_set": 2, "only_with": ["it"]}}}
    priced = data | won | {"shop": {"paper": 0.01}, "candidates": {"it": {"cash": {"price": 10000}}}}
    assert fleets.contribution(priced, "it", "more") == near((2000 - 60) * 12 * 2.1)


def test_an_hour_costs_more_the_less_it_is_used() -> None:
    """Worked case, common practice: 132,700 a year over 80, 70 or 60 percent of 2,080 hours."""
    shop = {"hours_per_week": 40, "labour": {"wage": 62000 / 2080, "posts": 1}, "space_per_m2": {"per_year": 14},
            "electricity": 3600 / 5200}  # fmt: skip
    press = {"cash": {"price": 40000}, "posts": 1, "sides_per_minute": 100, "front_end": {"support_per_year": 4200},
             "kwh_per_week": 100, "space_m2": 350, "service": {"base": {"per_year": 18000}, "increase": 0}}  # fmt: skip
    assert fleets.hourly_rate(one(press, colour=9, shop=shop)) == near([106.33, 91.14, 79.75])


# Energy, emissions, supplies, classes


def test_emissions_of_a_month() -> None:
    """By hand from published factors: 9,000 letter sheets of 20 lb bond are 40.823 kg; 8.423 kWh a week."""
    factors = {"electricity": 0.349667, "paper": 1.3450779, "year": 2023, "scope": "generation"}
    shop = {"emissions": factors, "paper_weight": {"letter": 75.1946}}
    press = {"owned": {}, "kwh_per_week": 8.423}
    it = one(press, months=1, colour=9000, shop=shop)
    assert running.emissions(it.shift, 1) == near(40.823 * 1.3450779 + 52 / 12 * 2.9453, 0.002)


def test_ink_by_area_and_parts_by_click() -> None:
    """By hand: 1,000 letter sides at 8 ml/m2 and twice the coverage, 50 a litre; clicks of large sides count twice."""
    ink = {"price": 50, "per": "m2", "ml_per_m2": 8, "at_coverage": "5%"}
    it = one({"owned": {}, "supplies": {"ink": ink}}, months=1, colour=1000, coverage="10%")
    assert it.total == near(50 * 1000 * 0.2159 * 0.2794 * 8 / 1000 * 2)
    drum = {"price": 90, "per": "click", "yields": 100}
    work = {"colour": 1000, "oversize_share": "50%"}
    it = one(plan(colour=0, oversize_counts=2, copy_credit="10%") | {"supplies": {"drum": drum}}, months=1, work=work)
    assert it.total == near(90 * 15)
    assert one({"owned": {}, "supplies": {"drum": drum}}, months=1, work=work).total == near(900)


def test_leaving_early_and_the_plan() -> None:
    """By hand: left after 5 of 24 months; the plan runs 12 with 20 a month and at least 30: 25 % of 7 x 50."""
    lease = {"rent": 10, "months": 24, "return_freight": 0, "exit_month": 5, "exit_service_share": "25%"}
    service = {"base": 20, "black": 0, "minimum_charge": 30, "months": 12, "increase": 0}
    it = one({"lease": lease, "service": service}, months=12)
    assert it.flows["exit_service"] == {(5, "close"): near(0.25 * 7 * 50)}


def test_cost_by_class() -> None:
    """By hand: clicks 100 and 300 share a base of 80; 1,000 by sides, as no press has speeds; paper 5 and 15."""
    jobs = {
        "few": {"colour": "black", "sides_per_set": 1, "sets_per_job": 100, "jobs": {"per_month": 5}},
        "many": {"colour": "black", "sides_per_set": 1, "sets_per_job": 500, "jobs": {"per_month": 3}},
    }
    press = {"cash": {"price": 1000}, "service": {"base": 80, "black": 0.2, "increase": 0}}
    it = one(press, months=1, work=None, jobs=jobs, shop={"paper": {"letter": 0.01}})
    costs = class_cost.class_cost(it, clock(1))
    assert [costs[key].full for key in ("few", "many")] == near([5 + 120 + 250, 15 + 360 + 750])
    assert costs["few"].set_full == near(375 / 500)
    assert [costs["many"].set_next, costs["many"].job_next] == near([0.21, 105])

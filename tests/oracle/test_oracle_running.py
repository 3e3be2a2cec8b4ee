"""The oracle against cases worked by hand: tax, capacity, people, running costs and measures.

Every expected figure is typed as it was worked or published; the source stands beside it.
"""

from __future__ import annotations

from tests.oracle import measures
from tests.oracle.cases import near, one, plan
from tests.oracle.oracle import evaluate

# Tax


def test_sixty_advance_rents_from_july_are_twelve_a_fiscal_year() -> None:
    """By hand: 12 rents of 1,000 at 30 % come back as 3,600 at each June close, two months later."""
    tax = {"rate": "30%", "relief_after_months": 2}
    money = {"discount_rate": 0, "fiscal_year_starts": "July", "income_tax": tax}
    it = one({"lease": {"rent": 1000, "months": 60}}, months=60, start="2027-07", money=money)
    assert it.flows["income_tax"] == {(m, "close"): near(-3600) for m in (14, 26, 38, 50, 62)}
    assert it.total == near(42000)


def test_published_depreciation_table() -> None:
    """IRS Publication 946, chapter 4 (read in a transcription): 10,000, seven-year property, half-year convention."""
    tax = {"rate": "100%", "depreciation": "macrs 7-year"}
    money = {"discount_rate": 0, "income_tax": tax}
    it = one({"cash": {"price": 9000}, "delivery_and_installation": 700, "site_works": 300}, months=108, money=money)
    relief = [-it.flows["income_tax"][12 * j, "close"] for j in range(1, 9)]
    assert relief == [near(x) for x in (1429, 2449, 1749, 1249, 893, 892, 893, 446)]


def test_depreciation_and_gain_when_the_press_is_sold() -> None:
    """By hand: 10,000, seven-year table, sold for 6,000 after 24 months: 1,429 and half of 2,449; loss 1,346.50.

    Straight line over five years: 24 x 166.67 = 4,000; sold at book value, no gain.
    """
    press = {"cash": {"price": 10000, "sells_for": 6000}}
    table = {"rate": "25%", "depreciation": "macrs 7-year"}
    it = one(press, months=24, money={"income_tax": table})
    assert it.depreciation[11] == near(1429)
    assert it.depreciation[23] == near(1224.5)
    assert it.deductions[23] == near(1224.5 + 1346.5)
    assert it.totals["income_tax"] == near(-1000)  # a quarter of 10,000 - 6,000
    line = one(press, months=24, money={"income_tax": table | {"depreciation": "straight line", "years": 5}})
    assert line.deductions[23] == near(166.6667)
    assert line.totals["income_tax"] == near(-1000)


def test_sales_tax_follows_its_headings() -> None:
    """By hand: 10 %, half recoverable: 5 % of 1,000 + 100 at signing and of 12 x 20 service and 120 support."""
    press = {
        "cash": {"price": 1000, "sells_for": 500},
        "delivery_and_installation": 100,
        "front_end": {"price": 0, "support_per_year": 120},
        "service": {"base": 20},
    }
    tax = {"rate": "10%", "recoverable": "50%", "on": ["equipment", "service"]}
    it = one(press, money={"sales_tax": tax})
    assert it.totals["sales_tax"] == near(73)
    assert it.total == near(1000 + 100 + 120 + 240 + 73 - 500)


# Capacity, people, energy, measures


def test_hours_overtime_outside_and_posts() -> None:
    """By hand: 60,000 sides a month at 10 a minute are 100 hours; 52 weeks of 12 h are 52 hours a month.

    4 hours of stops leave 48; care takes 5 x 52/12 x 12/60 = 4.3333; so 43.6667 regular and 3 x 52/12 = 13 overtime,
    43.3333 hours or 26,000 sides outside at 0.05. Attended: 43.6667 + 4.3333 + 13; a post makes 52 x 0.8 = 41.6 hours:
    48 / 41.6 = 1.15, that is 1.5 posts; 1.5 x 52 x 20 x 1.25 + 13 x 20 x 1.5.
    """
    press = {"owned": {}, "sides_per_minute": 10, "service_stop_hours": 4, "warm_up_minutes": 8, "cleaning_minutes": 4}
    shop = {
        "hours_per_week": 12,
        "overtime_hours_per_week": 3,
        "labour": {"wage": 20, "on_cost": "25%", "posts": 2, "freed_hours": "saved"},
    }
    it = one(press, months=1, colour=60000, shop=shop, outside={"colour": 0.05})
    assert it.placed.regular_hours[""] == [near(43.6667)]
    assert it.placed.overtime_hours[""] == [near(13)]
    assert it.placed.utilisation[""] == [near(1)]
    assert it.placed_sides["colour", "outside"] == [near(26000)]
    assert it.totals["outside"] == near(1300)
    assert it.people.needed_posts == [1.5]
    assert it.people.cost == {"saved": [near(1950 + 390)], "stay paid": [near(2600 + 390)]}
    assert it.totals["people"] == near(2340)
    without = one(press, months=1, colour=60000, shop=shop)
    assert without.unplaced_sides == [near(26000)]
    assert without.totals["outside"] == 0


def test_speed_by_feed_length_and_heavy_stock() -> None:
    """By hand: ledger sheets (431.8 mm) feed at half the speed of letter (215.9 mm); heavy halves it again.

    600 sheets one-sided at 20, 10 and 5 a minute: 30, 60 and 120 minutes.
    """
    shop = {"hours_per_week": 40}
    for job, hours in (({}, 0.5), ({"size": "ledger"}, 1.0), ({"size": "ledger", "heavy": "yes"}, 2.0)):
        jobs = {"j": {"size": "letter", "sides_per_set": 1, "sets_per_job": 600, "jobs": {"per_month": 1}} | job}
        it = one({"owned": {}, "sides_per_minute": {"letter": 20}}, months=1, work=None, jobs=jobs, shop=shop)
        assert it.placed.regular_hours[""] == [near(hours, 1e-9)]


def test_energy_by_the_week() -> None:
    """Worked case, common practice: 28 or 75 kWh a week at 0.16: 391.04 a year apart; cooling a third: 521.39."""

    def energy(kwh: float, cooling: float) -> float:
        shop = {"electricity": 0.16, "cooling": cooling}
        return one({"owned": {}, "kwh_per_week": kwh}, shop=shop).totals["energy"]

    assert energy(75, 0) - energy(28, 0) == near(391.04)
    assert energy(75, 1 / 3) - energy(28, 1 / 3) == near(521.39)


def test_energy_by_power_and_rent_of_floor() -> None:
    """By hand: 2 presses, 12 h x 52 / 12 = 52 h open each; 60 hours worked of 104, so 44 ready and 1,356 asleep.

    1,460 hours a month for two, less 104. 60 x 3 + 44 x 1 + 1,356 x 0.1 + 2 x 21.6667 x 0.6 = 385.6 kWh; 9 m2 x 2 x 5.
    """
    press = {
        "owned": {},
        "count": 2,
        "sides_per_minute": 10,
        "power": {"running": 3, "ready": 1, "sleep": 0.1, "warm_up": 0.6},
        "space_m2": 9,
    }
    shop = {"hours_per_week": 12, "electricity": 0.5, "space_per_m2": {"per_year": 60}}
    it = one(press, months=1, colour=36000, shop=shop)
    assert it.kwh == [near(385.6)]
    assert it.totals["energy"] == near(192.8)
    assert it.totals["space"] == near(90)


def test_hours_of_a_job_class() -> None:
    """By hand: 20 jobs of 300 sheets two-sided: 6,000 good, 6,300 run sheets with 5 % waste, 12,600 passes.

    Make-ready 20 x 6 min; running 12,600 / (60 x 0.7) = 300 min, a tenth more; trays 500 + 100: 10.5 loads, no more
    than the 20 first ones; with 50 jobs' worth of paper in trays of 105: 60 - 20 = 40 reloads of 3 min; 6.3 unloads
    of 1 min. In hours 2 + 5.5 + 0 + 0.105, or 2 more.
    """
    job = {"sides_per_set": 2, "two_sided": True, "sets_per_job": 300, "jobs": 240, "waste": "5%"}
    press = {
        "owned": {},
        "sides_per_minute": 60,
        "two_sided_factor": 0.7,
        "make_ready_minutes": 6,
        "running_allowance": "10%",
        "trays": [
            {"sheets": 500, "sizes": "any"},
            {"sheets": 100, "sizes": ["letter"]},
            {"sheets": 9, "sizes": ["a3"]},
        ],
        "reload_minutes": 3,
        "output_sheets": 1000,
        "unload_minutes": 1,
    }
    shop = {"hours_per_week": 40}
    it = one(press, months=1, work=None, jobs={"j": job}, shop=shop)
    assert it.placed.regular_hours[""] == [near(7.605, 1e-9)]
    small_trays = press | {"trays": [{"sheets": 105}]}
    it = one(small_trays, months=1, work=None, jobs={"j": job}, shop=shop)
    assert it.placed.regular_hours[""] == [near(9.605, 1e-9)]


def test_waste_of_plain_volumes() -> None:
    """By hand: 1,000 sides, 80 % two-sided: 600 sheets, 630 with 5 % waste, 1,050 clicks; a tenth on large sheets."""
    work = {"colour": 1000, "two_sided_share": "80%", "oversize_share": {"colour": "10%"}}
    shop = {"paper": {"letter": 0.01, "ledger": 0.03}}
    it = one(plan(colour=0.1, oversize_counts=2), months=1, work=work, waste="5%", shop=shop)
    assert it.totals["service_clicks"] == near(1050 * 1.1 * 0.1)
    assert it.totals["paper"] == near(630 * 0.012)


def test_paper_supplies_and_finishing() -> None:
    """By hand: 10 jobs of 100 booklets of 7 sides two-sided: 4 sheets each, 4,000 good sheets, 4,400 with waste.

    8,800 passes; paper 4,400 x 0.01; toner 160 x 8,800 x 0.10 / 0.05 / 20,000; a staple a set; finishing off line at
    200 sets an hour: 5 hours, material 0.02 a set; blank backs of run sheets (8,000 - 7,000) x 1.1 are not clicks.
    """
    job = {"colour": "colour", "sides_per_set": 7, "two_sided": "yes", "sets_per_job": 100, "jobs": 120}
    press = plan(colour=0.1, blank_backs="free")
    press["supplies"] = {
        "toner": {"price": 160, "yields": 20000, "per": "side", "at_coverage": "5%"},
        "staples": {"price": 5, "yields": 1000, "per": "set"},
    }
    shop = {"paper": {"letter": 0.01}, "finishing": {"booklet": {"material": 0.02, "sets_per_hour": 200}}}
    jobs = {"books": job | {"finish": "booklet", "coverage": "10%", "waste": "10%"}}
    it = one(press, months=1, work=None, jobs=jobs, shop=shop)
    assert it.totals["paper"] == near(44)
    assert it.totals["supplies"] == near(140.8 + 5)
    assert it.totals["finishing"] == near(20)
    assert it.off_line_hours == [near(5)]
    assert it.totals["service_clicks"] == near(770)


def test_payback_and_return() -> None:
    """By hand: 1,000 at once saves 100 a month from month 1: 0 after month 10, above it from month 11 on.

    Return: numpy-financial's documented example, -100, 39, 59, 55, 20 is 28.095 % a period, here a month.
    """
    data = {
        "start": "2027-01",
        "months": 24,
        "work": {"colour": 10},
        "money": {"discount_rate": 0},
        "today": {"service": {"base": 100, "increase": 0}},
        "candidates": {"bought": {"cash": {"price": 1000}}, "free": {"owned": {}}},
    }
    result = evaluate(data)
    bought, free = result.candidates["bought"], result.candidates["free"]
    assert (bought.payback_month, bought.payback_status) == (11, "month")
    assert (free.payback_month, free.payback_status) == (1, "from month 1")
    assert bought.saving == near(1400)
    assert (free.irr, free.irr_status) == (None, "none")
    assert bought.irr_status == "one"
    rate, word = measures.irr(
        {(1, "opening"): -100, (1, "close"): 39, (2, "close"): 59, (3, "close"): 55, (5, "opening"): 20}
    )
    assert word == "one"
    assert rate == near(1.28095**12 - 1, 0.001)
    dearer = evaluate(data, {"bought.cash.price": 5000}).candidates["bought"]
    assert (dearer.payback_month, dearer.payback_status) == (0, "never")


def test_present_value_level_month_and_cost_per_side() -> None:
    """OpenStax, Principles of Accounting 2, 11.4: a yearly payment of 1 for five years at 8 % is worth 3.993."""
    press = {"lease": {"rent": 1000, "months": 60, "every_months": 12, "paid": "in arrears"}}
    it = one(press, months=60, colour=100, money={"discount_rate": "8%"})
    assert it.present_value == near(3993, 0.5)
    assert it.average == near(5000 / 6000, 1e-9)
    # The same payments as a level month: 1,000 a year at 8 % is 1,000 x 0.0064340 / 0.08 = 80.43 a month.
    assert it.level_month == near(80.43)
    assert it.levelised == near(0.8043, 5e-5)


def test_season_trend_and_meter_readings() -> None:
    """By hand: 365,000 sides in 365 days: 1,000 x 365.25 / 12 = 30,437.5 a month.

    Season of 3 in the first month and 9 twelfths elsewhere: mean 11.25 / 12; growth of 10 % in the second year.
    """
    data = {
        "start": "2027-03",
        "months": 24,
        "work": {"black": {"readings": {"2026-01-01": 100, "2027-01-01": 365100}}, "change_per_year": "10%"},
        "season": [3] + [0.75] * 11,
        "candidates": {},
    }
    asked = evaluate(data).asked_sides["black"]
    assert asked[0] == near(30437.5 * 3 / 0.9375)
    assert asked[1] == near(30437.5 * 0.8)
    assert asked[12] == near(30437.5 * 3.2 * 1.1)
    assert evaluate(data, {"volume_scale": 0.5}).asked_sides["black"][1] == near(30437.5 * 0.4)
    others = ("Jan", "Feb", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
    named = {"Mar": 3} | dict.fromkeys(others, 0.75)
    assert evaluate(data | {"season": named}).asked_sides["black"] == asked


def test_shared_terms_and_changes() -> None:
    """By hand: every_quote gives 3 % and yearly rents in arrears; a change reaches a figure typed by the year."""
    data = {
        "start": "2027-01",
        "months": 24,
        "work": {"colour": 0},
        "every_quote": {"increase": "3%", "paid": "in arrears"},
        "today": {"service": {"base": 100, "increase": 0}},
        "candidates": {
            "a": {"lease": {"rent": 10, "months": 24}, "service": {"base": {"per_year": {"value": 1200, "low": 0}}}},
            "b": {"presses": {"old": {"same_as": "today"}, "new": plan(base=50)}},
        },
    }
    base = evaluate(data).candidates
    assert base["a"].totals["service_base"] == near(1200 + 1236)
    assert set(base["a"].flows["lease_rents"]) == {(m, "close") for m in range(1, 25)}
    assert base["today"].total == near(2400)
    assert base["b"].total == near(3600)
    changed = evaluate(data, {"a.service.base": 2400, "today.service.base": 10, "b.new.service.base": 1}).candidates
    assert changed["a"].totals["service_base"] == near(2400 + 2472)
    assert changed["b"].total == near(240 + 24)

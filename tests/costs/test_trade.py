"""Arithmetic of the trade: capacity, counting, hours. Each figure with its source and how it was obtained."""

import pytest

from tests.costs.say import say
from tests.published import DERIVED, PRACTICE, READ, SECOND_HAND, Case, named

MIB = "Job Monitoring MIB, RFC 2707, text of the working group: an impression is one passage of a sheet side"
TRADE = "press room rule of thumb"


def press(keys, jobs, shop="hours_per_week: 40", **press_keys):
    """One press with speeds, and jobs a month."""
    more = "".join(f", {key}: {value}" for key, value in press_keys.items())
    return say(f"""\
months: 1
shop: {{{shop}}}
jobs:
{jobs}
candidates:
  it: {{owned: {{}}, {keys}{more}}}
""")


def job(name, sets, sides=1, jobs=1, **words):
    """A class of jobs with this many sets a job and jobs a month."""
    said = {"colour": "black", "sides_per_set": sides, "sets_per_job": sets, "jobs": f"{{per_month: {jobs}}}"} | words
    return f"  {name}: {{{', '.join(f'{key}: {value}' for key, value in said.items())}}}"


def running(speed, total, per_set=1, **words):
    """Hours of pure running of so many sides."""
    return press(f"sides_per_minute: {speed}", job("run", total / per_set, per_set, **words)).figure("it.press.running")


def trays(*written, size="letter"):
    """Sheets loaded for a size."""
    keys = f"sides_per_minute: 140, reload_minutes: 2, trays: [{', '.join(f'{{{tray}}}' for tray in written)}]"
    return press(keys, job("run", 1000, size=size)).figure("it.press.tray_sheets")


LETTER, ANY, MORE = "sheets: 1500, sizes: [letter]", "sheets: 500, sizes: any", "sheets: 4600, sizes: any"
LARGER = "sheets: 3200, sizes: [letter]"


def endurance(sheets, speed, two_sided):
    """Minutes that a full load runs."""
    sides = 2 if two_sided else 1
    it = press(
        f"sides_per_minute: {speed}, reload_minutes: 2, trays: [{{sheets: {sheets}, sizes: any}}]",
        job("run", sheets, sides, two_sided="yes" if two_sided else "no"),
    )
    assert it.figure("it.press.loads") == pytest.approx(1)
    return it.figure("it.press.running") * 60


CAPACITY = [
    Case("800,000 letter sides at 140", TRADE, PRACTICE, lambda: running(140, 800000), 95.2, 0.05),
    Case("letter in two letter and two any-size trays", TRADE, PRACTICE,
         lambda: trays(LETTER, LETTER, ANY, ANY), 4000, 0),
    Case("with a further module", TRADE, PRACTICE, lambda: trays(LETTER, LETTER, ANY, ANY, MORE), 8600, 0),
    Case("ledger in the same", TRADE, PRACTICE, lambda: trays(LETTER, LETTER, ANY, ANY, MORE, size="ledger"), 5600, 0),
    Case("letter trays enlarged by 1,700", TRADE, PRACTICE, lambda: trays(LARGER, LARGER, ANY, ANY, MORE), 12000, 0),
    Case("12,000 sheets two-sided at 140", TRADE, PRACTICE, lambda: endurance(12000, 140, True), 171, 0.5),
    Case("600,000 sides at 120", TRADE, DERIVED, lambda: running(120, 600000), 83.333, 0.0005),
    Case("9,000 sheets two-sided at 120", TRADE, DERIVED, lambda: endurance(9000, 120, True), 150, 1e-9),
    Case("9,000 sheets one-sided at 120", TRADE, DERIVED, lambda: endurance(9000, 120, False), 75, 1e-9),
    Case("one shift of 173.33 hours", TRADE, DERIVED,
         lambda: press("sides_per_minute: 120", job("run", 600000)).row("it.press.utilisation")[0], 0.481, 0.0005),
    Case("loads of 300,000 sheets by 9,000, before rounding up to 34", TRADE, DERIVED,
         lambda: press("sides_per_minute: 120, reload_minutes: 2, trays: [{sheets: 9000, sizes: any}]",
                       job("run", 300000)).figure("it.press.loads"), 300000 / 9000, 1e-9),
    Case("60 unload stops of a minute for 300,000 sheets by 5,000", TRADE, DERIVED,
         lambda: press("sides_per_minute: 120, unload_minutes: 1, output_sheets: 5000",
                       job("run", 300000)).figure("it.press.unloads"), 1, 1e-9),
    Case("sheets a minute, two-sided, when the rating counts sides", TRADE, DERIVED,
         lambda: 6000 / (running(120, 12000, 2, two_sided="yes") * 60), 60, 1e-9),
    Case("ledger speed by feed lengths, no gap", TRADE, DERIVED,
         lambda: running(120, 6000) / running(120, 6000, size="ledger"), 0.5, 1e-9),
]  # fmt: skip


@pytest.mark.parametrize("case", **named(CAPACITY))
def test_capacity(case):
    case.check()


def test_metric_speed_and_large_clicks_an_hour():
    """A3 against A4 by feed lengths without a gap: 210 / 420. Half the sheets at two clicks each: the same clicks."""
    it = say("""\
months: 1
money: {currency: EUR, discount_rate: 0%}
shop: {hours_per_week: 40}
jobs:
  small: {colour: black, sides_per_set: 1, sets_per_job: 6000, jobs: {per_month: 1}}
  large: {colour: black, sides_per_set: 1, sets_per_job: 3000, jobs: {per_month: 1}, size: a3}
candidates:
  it: {owned: {}, sides_per_minute: 120, service: {black: 0.01, oversize_counts: 2}}
""")
    assert it.figure("it.press.speed", 1) / it.figure("it.press.speed", 0) == pytest.approx(0.5)
    assert it.figure("it.press.running", 1) == pytest.approx(it.figure("it.press.running", 0))
    clicks = [it.figure("it.plan.black_by_class", entry) for entry in (0, 1)]
    assert clicks == pytest.approx([6000, 6000])


def counted(sides, two_sided, copies=1, blank_backs="count", **words):
    """Sheets and clicks of one job."""
    it = press(
        f"service: {{black: 1, increase: 0%, blank_backs: {blank_backs}, oversize_counts: 2}}",
        job("run", copies, sides, two_sided=two_sided, **words),
    )
    return it.figure("work.run_sheets"), it.sum("it.plan.black_clicks_1")


COUNTERS = [
    Case("five pages one-sided", MIB, READ, lambda: counted(5, "no"), (5, 5), 0),
    Case("five pages two-sided, the last back passes", MIB, READ, lambda: counted(5, "yes"), (3, 6), 0),
    Case("five pages two-sided, the last back is free", MIB, DERIVED,
         lambda: counted(5, "yes", blank_backs="free"), (3, 5), 0),
    Case("nine pages two-sided", "help page of a print-charging program, by the sheet", SECOND_HAND,
         lambda: counted(9, "yes")[0], 5, 0),
    Case("eight pages two on a side, two-sided", MIB, DERIVED, lambda: counted(4, "yes"), (2, 4), 0),
    Case("ten copies multiply sheets and impressions", MIB, READ, lambda: counted(5, "yes", copies=10), (30, 60), 0),
    Case("a letter sheet two-sided is two clicks", "dealer's page on clicks of 2025", READ,
         lambda: counted(2, "yes"), (1, 2), 0),
    Case("one side of 11 x 17 in is two clicks", "dealer's page on clicks of 2025", READ,
         lambda: counted(1, "no", size="ledger"), (1, 2), 0),
]  # fmt: skip


@pytest.mark.parametrize("case", **named(COUNTERS))
def test_counters(case):
    case.check()


def test_a_second_click_for_tabloid_sides():
    """Dealer's page (read): 1,000 tabloid sides a month at 0.075 counted twice are 75 more, 4,500 in five years."""
    it = say("""\
months: 60
jobs: {run: {colour: colour, size: ledger, sides_per_set: 1, sets_per_job: 1000, jobs: {per_month: 1}}}
every_quote: {increase: 0%}
candidates:
  once: {owned: {}, service: {colour: 0.075, oversize_counts: 1}}
  twice: {owned: {}, service: {colour: 0.075, oversize_counts: 2}}
""")
    more = it.total("twice") - it.total("once")
    assert (more / 60, more) == (pytest.approx(75), pytest.approx(4500))


def test_any_colour_on_a_side_makes_it_a_colour_click():
    """Dealer's page (read): a class with colour is on the colour meter with all its sides."""
    it = press("service: {colour: 0.05, black: 0.01, increase: 0%}", job("run", 100).replace("black", "colour", 1))
    assert it.sum("it.plan.colour_clicks_1") == 100
    assert it.total("it") == pytest.approx(5)


def week(hours, wage, **labour):
    """What people cost in an average week of this many hours, 40 of them regular."""
    more = "".join(f", {key}: {value}" for key, value in labour.items())
    it = press(
        "sides_per_minute: 10", job("run", hours * 52 / 12 * 600),
        f"hours_per_week: 40, overtime_hours_per_week: 20, labour: {{wage: {wage}{more}}}",
    )  # fmt: skip
    return it.sum("it.people.cost") * 12 / 52


ECEC = "Employer Costs for Employee Compensation, Bureau of Labor Statistics"
PEOPLE = [
    Case("46 hours at 6, time and a half above 40", "glossary on overtime pay: 40 x 6 + 6 x 9", SECOND_HAND,
         lambda: week(46, 6), 294, 1e-6),
    Case("55 hours at 6.55", "worked example, 9.825 rounded to 9.83 there", SECOND_HAND,
         lambda: week(55, 6.55), 409.45, 0.08),
    Case("an hour of civilian workers, December 2017", f"{ECEC}: 24.49 + 11.38", READ,
         lambda: week(40, 24.49, on_cost=11.38 / 24.49) / 40, 35.87, 0.005),
    Case("an hour, on-cost as the derived 46.5 percent", ECEC, DERIVED,
         lambda: week(40, 24.49, on_cost="46.5%") / 40, 35.87, 0.02),
    Case("an hour of state and local workers, September 2016", f"{ECEC}: 29.06 + 16.87, 58.1 percent", DERIVED,
         lambda: week(40, 29.06, on_cost="58.1%") / 40, 45.93, 0.02),
    Case("the trap: 31.7 percent of compensation is not 31.7 percent on top", ECEC, DERIVED,
         lambda: week(40, 24.49, on_cost="31.7%") / 40, 35.87 - 3.62, 0.005),
    Case("a year of one shift", "trade page on hourly rates: 52 x 40", READ,
         lambda: press("sides_per_minute: 10", job("run", 1)).figure("it.press.shop_hours") * 12, 2080, 1e-9),
    Case("hours at 80, 70 and 60 percent of it", "trade page on hourly rates", READ,
         lambda: [float(press("sides_per_minute: 10", job("run", 600 * 2080 / 12 * used)).sum("it.press.hours") * 12)
                  for used in (0.8, 0.7, 0.6)], [1664, 1456, 1248], 1e-6),
]  # fmt: skip


@pytest.mark.parametrize("case", **named(PEOPLE))
def test_people(case):
    case.check()

"""A small model with every kind of expression, two candidates, and names that try to be formulas."""

import datetime as dt

import numpy as np

from tco.model.evaluate import evaluate
from tco.model.kinds import Axis, Origin
from tco.model.lines import COMPARISON, Builder
from tco.model.model import finish
from tco.model.nodes import MONTHS_A_YEAR, TWELVE
from tco.model.vocabulary import (
    across,
    at,
    band,
    before,
    booked,
    by_key,
    cumulative,
    delayed,
    down,
    entry,
    equals,
    excess,
    first_month,
    gathered,
    growth,
    highest,
    internal_rate,
    joined,
    largest,
    level_payment,
    lowest,
    mod,
    power,
    present,
    share,
    since,
    smallest,
    stacked,
    this_month,
    total,
    up,
)
from tco.publish.workbook.study import Contender, Study
from tco.publish.workbook.write import write_workbook

MONTHS = 30
YEARS = Axis("year", ("first", "second", "third"))
CALENDAR = Axis("calendar month", tuple(f"month {place}" for place in range(1, 13)))


def toy(classes=("letters", "books", "cards"), names=("Elm", "Fir")):
    """The model; the job classes and the names of the candidates may be any text."""
    builder = Builder(MONTHS)
    shared = _shared(builder, Axis("job class", tuple(classes)))
    worths = [_candidate(builder, key, shared) for key in ("elm", "fir")]
    block = builder.block("comparison", "Comparison", COMPARISON)
    block.line("difference", "Elm less Fir", "money", worths[0] - worths[1])
    axis = Axis("candidate", tuple(names))
    column = block.line("worths", "Today's money", "money", stacked(axis, worths))
    block.line("both", "Both", "money", across(column))
    return finish(builder)


def _shared(builder, axis):
    time = builder.block("time", "Time")
    month = time.declare("month", "Month", "1")
    month.becomes(before(month) + 1)
    horizon = time.given("months", "Months compared", "1", 24, own_key=True)
    live = time.state("live", "Within the months compared", month <= horizon)
    year = time.line("year", "Year", "1", down((month - 1) / TWELVE) + 1)
    place = time.line("place", "Calendar month", "1", mod(month - 1, TWELVE) + 1)
    opens = time.state("opens", "Opens a year", equals(place, 1))
    rate = time.given("money.discount_rate", "Discount rate", "1", 0.08, percent=True, own_key=True)
    factor = time.line("factor", "Discount factor", "1", power(1 + rate, -1 * month / TWELVE))

    work = builder.block("work", "Work")
    sides = work.given(
        "sides", "Sides of the class", "side/month", [4100.5, 900, 77], axis=axis,
        origin=Origin("meter card", "measured", "2027-01-31", "read on the last day", 3900, 4300),
    )  # fmt: skip
    clicks = work.given("clicks", "Clicks a side", "click/side", [1, 1.5, 2], axis=axis)
    season = work.given("season", "Season", "1", [0.5, 1, 1.5] * 4, axis=CALENDAR)
    scale = work.given("volume_scale", "Volume scale", "1", 1, own_key=True)
    average = work.line("average_sides", "Asked sides at scale 1", "side/month", across(sides))
    index = work.line("index", "Work index", "1", scale * at(season, place) * live)
    by_class = work.line("by_class", "Sides by class", "side/month", sides * index)
    asked = work.flow("asked_sides", "Asked sides", "side/month", across(by_class))
    counted = work.flow("counted", "Clicks counted", "click/month", across(by_class, clicks))
    work.line("weights", "Weight of a class", "1", share(sides, average))
    return {
        "month": month, "live": live, "year": year, "place": place, "opens": opens, "rate": rate, "factor": factor,
        "sides": sides, "clicks": clicks, "season": season, "asked": asked, "counted": counted,
        "by_class": by_class, "average": average, "axis": axis, "horizon": horizon,
    }  # fmt: skip


def _candidate(builder, key, s):
    price, paid = _loan(builder, key)
    service = _plan(builder, key, s)
    _odd(builder, key, s)
    return _sums(builder, key, s, price, paid, service)


def _given(block, path, label, measure, value, **more):
    terms = Origin("offer 4711", "quoted", "2027-01-15")
    return block.given(f"{block.scope}.{path}", label, measure, value, own_key=True, origin=terms, **more)


def _loan(builder, key):
    second = float(key == "fir")
    block = builder.block(f"{key}.loan", "Loan", key)
    block.choice("form", "Form of finance", "loan")
    price = _given(block, "loan.price", "Price", "money", 20000 + 3000 * second)
    nominal = _given(block, "loan.rate", "Rate, nominal a year", "1/year", 0.06 * second)
    months = _given(block, "loan.months", "Months of the loan", "1", 18)
    a_month = block.line("a_month", "Rate a month", "1/month", nominal / MONTHS_A_YEAR)
    level = block.line("level", "Level payment", "money/month", level_payment(price, a_month, months))
    balance = block.declare("balance", "Balance", "money", opening=price)
    opening = block.line("opening", "Opening balance", "money", before(balance))
    interest = block.flow("interest", "Interest", "money/month", opening * a_month)
    paid = block.cost("paid", "Payment", "equipment", smallest(level, booked(opening) + interest))
    balance.becomes(opening + this_month(interest) - this_month(paid))
    return price, paid


def _plan(builder, key, s):
    block = builder.block(f"{key}.plan", "Service plan", key)
    axis = Axis("band", ("first", "second", "above"))
    froms = _given(block, "plan.from", "Band begins", "click", [0, 20000, 50000], axis=axis)
    rates = _given(block, "plan.rates", "Band rate", "money/click", [0.012, 0.01, 0.008], axis=axis)
    free = _given(block, "plan.included", "Included clicks", "click/month", 1500)
    made = block.line("made", "Clicks of the year to date", "click", since(s["counted"], s["opens"]))
    allowed = block.flow("allowed", "Allowance of the month", "click/month", free * s["live"])
    free_so_far = block.line("free_so_far", "Allowance so far", "click", cumulative(allowed))
    above = block.line("above", "Clicks above", "click", excess(made, free_so_far))
    price_now = block.line("price_now", "Rate of the band", "money/click", band(rates, froms, above))
    ends = block.line("ends", "Band ends", "click", froms + constant(block, "width", 30000, "click"))
    in_band = block.line("in_band", "Clicks in band", "click", excess(smallest(made, ends), froms))
    block.line("banded", "Cost at band rates", "money", across(in_band, rates))
    service = block.cost("service", "Service", "service", s["counted"] * price_now, "opening")
    lag = _given(block, "plan.lag", "Months of delay", "1", 3)
    late = block.flow("late", "Paid late", "money/month", delayed(service, lag, s["month"]))
    block.check("late_total", "Nothing of the late payments", "money", 0 * total(late))
    return service


def _odd(builder, key, s):
    block = builder.block(f"{key}.odd", "Odd corners", key)
    month, opens, place = s["month"], s["opens"], s["place"]
    two, three, six = (constant(block, name, value) for name, value in (("two", 2), ("three", 3), ("six", 6)))
    wave = block.line("wave", "Wave", "1", (mod(-1 * month, TWELVE) - 1) / TWELVE - s["rate"])
    block.line("up", "Rounded up", "1", up(wave * TWELVE))
    block.line("down", "Rounded down", "1", down(wave * TWELVE))
    block.state("either", "Either", (month < TWELVE) | (wave > 0))
    block.state("both", "Both", (month >= TWELVE) & ~opens)
    block.line("nested", "Comparisons compared", "1", equals(month > TWELVE, opens) * TWELVE + (wave < 0))
    block.line("powers", "Powers", "1", power(power(two, three), opens - 1) * -1)
    block.line("grown", "Grown", "1", growth(s["rate"], _given(block, "odd.years", "Years", "year", 2.5)))
    block.line("empty", "Quotient by nothing", "1", share(wave, opens))
    block.line("keyed", "By key", "1", by_key(s["season"], numbers(block), place + six))
    block.line("second", "Second class", "side/month", entry(s["by_class"], 1) + entry(s["sides"], 2))
    block.line("stack", "Put together", "side/month", stacked(s["axis"], [s["asked"], s["average"], 0]))
    yearly = block.line("yearly", "Sides by year", "side", gathered(YEARS, s["asked"], s["year"]))
    block.line("yearly_share", "Share of the year", "1", share(yearly, total(s["asked"])))
    block.line("peak", "Highest month by class", "side/month", highest(s["by_class"]))
    block.line("least", "Lowest month", "1", lowest(wave))
    block.line("when", "First month above", "1", first_month(block.state("tall", "Tall", month > s["horizon"])))
    block.line("never", "Never", "1", first_month(block.state("no", "None", month < 0)))
    block.line("largest", "Largest of three", "1", largest(wave, -1, 0 * wave))
    block.line("nothing", "Sum of nothing", "money/month", joined([], "money/month"))


def _sums(builder, key, s, price, paid, service):
    block = builder.block(f"{key}.statement", "Statement", key)
    equipment = block.flow("equipment", "Equipment", "money/month", joined([paid], "money/month"))
    serviced = block.flow("service", "Service", "money/month", joined([service], "money/month"))
    net = block.flow("net", "All costs", "money/month", joined([equipment, serviced], "money/month"))
    block.line("cumulative", "Costs so far", "money", cumulative(net))
    by_kind = block.flow("difference", "Costs less costs by kind", "money/month", net - equipment - serviced)
    block.check("adds_up", "Costs by kind add up", "money", total(by_kind))
    block.check("each_month", "They add up each month", "money/month", by_kind + 0)
    bought = booked(price) * equals(s["month"], 1)
    stream = block.flow("stream", "Stream", "money/month", bought - paid * (s["month"] > 1))

    home = builder.block(f"{key}.measures", "Measures", key)
    worth = home.memo("present_value", "Today's money", "money", present(net, s["factor"]))
    home.memo("total", "Total", "money", total(net))
    home.memo("cost_per_side", "Price per page", "money/side", share(worth, total(s["asked"])))
    home.memo("irr", "Rate a month", "1", internal_rate(stream), percent=True)
    return worth


def constant(block, name, value, measure="1", **more):
    """A constant; literals in expressions are 0, 1, -1 and 12 only."""
    known = [one for one in block.builder.blocks if one.id == "constants"]
    home = known[0] if known else block.builder.block("constants", "Definitions")
    return home.given(name, name.capitalize(), measure, value, role="constant", **more)


def numbers(block):
    return constant(block, "numbers", np.arange(1.0, 13.0), axis=CALENDAR)


def study(names=("Elm", "Fir"), title="A toy", **more):
    given = {
        "title": title, "prepared_by": "A. Bee", "prepared_for": "C. Dee", "date": dt.date(2027, 2, 1),
        "version": "0.1.0", "fingerprint": "f" * 16, "currency": "USD", "start_year": 2027, "start_month": 3,
        "candidates": (Contender("elm", names[0], True), Contender("fir", names[1])), "months": 24, "paper": "letter",
        "verdict": "Fir costs more.", "breakeven": (("Between", "Sides"), ("Elm and Fir", 1234.5)),
        "gaps": ("nothing is known of freight",),
    }  # fmt: skip
    return Study(**(given | more))


def export(folder, name="toy.xlsx", model=None, **more):
    """Write the toy; returns the model, its values and the file."""
    model = model or toy()
    values = evaluate(model)
    path = folder / name
    write_workbook(model, values, study(**more), path)
    return model, values, path

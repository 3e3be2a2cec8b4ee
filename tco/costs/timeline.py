"""Months, years, fiscal years, price level and discount factors: what every room counts by."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Clock
from tco.model.kinds import Axis, Origin
from tco.model.nodes import MONTHS_A_YEAR, TWELVE, Line, Node, Term, lift
from tco.model.vocabulary import before, down, equals, mod, power, this_month
from tco.scenario.figure import MONTH_NAMES
from tco.scenario.schema import Scenario


def timeline(desk: Desk, scenario: Scenario) -> Clock:
    """Describe the months from the start to the last contractual one, and what money of each is worth at the start."""
    columns = desk.builder.columns
    block = desk.builder.block("time", "Time")
    horizon = desk.take(block, scenario.months, "Months compared", "1")
    month = block.declare("month", "Month", "1")
    month.becomes(before(month) + 1)
    month.total = "none"
    live = block.state("live", "Within the months compared", month <= horizon)
    last = block.state("last", "Last month compared", equals(month, horizon))
    year = block.line("year", "Year of operation", "1", _year(month))
    position = block.line("position", "Month of the year of operation", "1", mod(month - 1, TWELVE) + 1)
    opens_year = block.state("opens_year", "Opens a year of operation", equals(position, 1))
    closes_year = block.state("closes_year", "Closes a year of operation", (equals(position, TWELVE) | last) & live)

    first = MONTH_NAMES.index(scenario.money.fiscal_year_starts[:3]) + 1
    gone = (scenario.start.month - first) % 12
    noted = Origin(source="follows from the start and the first month of the fiscal year")
    shift = block.given(
        "fiscal_shift", "Months of the first fiscal year before the start", "1", gone, role="constant", origin=noted
    )
    fiscal_month = block.line("fiscal_month", "Month of the fiscal year", "1", mod(month - 1 + shift, TWELVE) + 1)
    fiscal_year = block.line("fiscal_year", "Fiscal year", "1", _year(month + shift))
    opens_fiscal = block.state("opens_fiscal", "Opens a fiscal year", equals(fiscal_month, 1))
    closes_fiscal = block.state("closes_fiscal", "Closes a fiscal year", (equals(fiscal_month, TWELVE) | last) & live)

    money = desk.builder.block("money", "Money over time")
    inflation = desk.take(money, scenario.money.inflation, "Inflation a year", "1", percent=True)
    level = money.line("price_level", "Price level", "1", power(1 + inflation, year - 1))
    start, end = _factors(desk, scenario, month)
    fiscal = tuple(_fiscal_name(scenario, place, gone) for place in range((columns - 1 + gone) // 12 + 1))
    return Clock(
        month, horizon, live, year, opens_year, closes_year, position,
        fiscal_year, shift, opens_fiscal, closes_fiscal, level, start, end,
        Axis("calendar month", tuple(MONTH_NAMES[scenario.calendar(place).month - 1] for place in range(1, 13))),
        Axis("year of operation", tuple(f"Year {place}" for place in range(1, (columns - 1) // 12 + 2))),
        Axis("fiscal year", fiscal),
    )  # fmt: skip


def _fiscal_name(scenario: Scenario, years_on: int, gone: int) -> str:
    """Name a fiscal year by the calendar years it touches."""
    first = scenario.calendar(1 - gone + 12 * years_on)
    return str(first.year) if first.month == 1 else f"{first.year}/{(first.year + 1) % 100:02d}"


def _year(ordinal: Term) -> Node:
    """The number of the year that holds a month number, both counted from 1."""
    return down((lift(ordinal) - 1) / TWELVE) + 1


def _factors(desk: Desk, scenario: Scenario, month: Line) -> tuple[Line, Line]:
    """Factors at the opening and the close of each month; effective and nominal rates never meet in one formula."""
    money = next(block for block in desk.builder.blocks if block.id == "money")
    if scenario.money.discount_basis == "effective":
        rate = desk.take(money, scenario.money.discount_rate, "Discount rate, effective a year", "1", percent=True)
        opening = power(1 + rate, -1 * (month - 1) / TWELVE)
        close = power(1 + rate, -1 * month / TWELVE)
    else:
        nominal = desk.take(
            money, scenario.money.discount_rate, "Discount rate, nominal a year", "1/year", percent=True
        )
        a_month = money.line(
            "rate_a_month", "Discount rate a month", "1", this_month(nominal / MONTHS_A_YEAR), percent=True
        )
        opening = power(1 + a_month, -1 * (month - 1))
        close = power(1 + a_month, -1 * month)
    return (
        money.line("opening_factor", "Discount factor, opening", "1", opening),
        money.line("close_factor", "Discount factor, close", "1", close),
    )

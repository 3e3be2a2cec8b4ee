"""Candidates of unequal lives beside each other: a month of use, and a level month in money of the start."""

from __future__ import annotations

from tco.costs.records import Clock
from tco.measures.compared import Counted
from tco.model.lines import Builder
from tco.model.nodes import TWELVE, Line
from tco.model.vocabulary import booked, largest, power, present, share, total
from tco.scenario.schema import Scenario


def real_months(builder: Builder, scenario: Scenario, clock: Clock) -> Line:
    """Describe the months compared at the real rate: the divisor of a level month in money of the start."""
    money = next(block for block in builder.blocks if block.id == "money")
    divisors = next(block for block in builder.blocks if block.id == "divisors")
    known = builder.by_id
    if scenario.money.discount_basis == "effective":
        effective = 1 + known[scenario.money.discount_rate.path]
    else:
        effective = power(1 + known["money.rate_a_month"], TWELVE)
    growth = money.line("real_growth", "Growth at the real rate", "1",
                        effective / (1 + known[scenario.money.inflation.path]))  # fmt: skip
    factor = money.line("real_factor", "Discount factor, real rate", "1", power(growth, -1 * clock.month / TWELVE))
    return divisors.line("real_annuity", "Months at the real rate", "1",
                         present(known["divisors.months"], factor))  # fmt: skip


def unequal_lives(one: Counted, divisor: Line) -> None:
    """Describe both figures of one candidate; a candidate without a press has no month of use."""
    block, worth = one.block, one.statement.present_value
    block.memo("level_month_start", "A month all in, first prices", "money/month", booked(worth / divisor))
    rows = [press.window.present for press in one.placement.presses]
    if rows:
        used = block.event("used", "Month with a press", largest(*rows) if len(rows) > 1 else rows[0] + 0)
        months = block.line("months_used", "Months with a press", "1", total(used))
        block.memo("month_of_use", "A month of use", "money/month", booked(share(worth, months)))

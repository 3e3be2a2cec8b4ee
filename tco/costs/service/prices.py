"""List prices and how they move: rates by date, yearly increases, increases by date."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Clock
from tco.costs.service.contract import Contract
from tco.model.kinds import Axis
from tco.model.lines import Block
from tco.model.nodes import Line, Node, lift
from tco.model.vocabulary import band, down, entry, largest, power, smallest, stacked
from tco.scenario.figure import Figure, FlowFigure, YearMonth
from tco.scenario.schema import Scenario, Service


@dataclass(frozen=True)
class Listed:
    """A list price: the first one, and that of each month where dates change it (else the same line)."""

    first: Line
    now: Line


def price_factor(desk: Desk, block: Block, scenario: Scenario, plan: Service, contract: Contract, clock: Clock) -> Line:
    """What list prices have been multiplied by, up to each month."""
    if plan.increases is not None:
        return _by_date(desk, block, scenario, plan, clock)
    asked = desk.take(block, plan.increase, "Increase", "1", percent=True)
    step = asked
    if plan.increase_cap is not None:
        cap = desk.take(block, plan.increase_cap, "Increase at most", "1", percent=True)
        step = block.line("step", "Increase allowed", "1", smallest(asked, cap), percent=True)
    every = desk.take(block, plan.increase_every, "Months between increases", "1")
    if isinstance(plan.increase_from, YearMonth):
        when = desk.date(block, "increase_month", "Month of the first increase", scenario, plan.increase_from)
        begin = block.line("increase_from", "Contract month of the first increase", "1", when - contract.first + 1)
    else:
        begin = desk.take(block, plan.increase_from, "Contract month of the first increase", "1")
    raised = block.line("raised", "Increases so far", "1", largest(0, down((contract.month - begin) / every) + 1))
    return block.line("factor", "Price factor", "1", power(1 + step, raised))


def _by_date(desk: Desk, block: Block, scenario: Scenario, plan: Service, clock: Clock) -> Line:
    """Each dated increase, capped, multiplies what was there."""
    dated = plan.increases or ()
    axis = Axis("increase", tuple(str(one.when) for one in dated))
    asked = desk.column(block, "increases", "Increase", "1", axis, [one.figure for one in dated], percent=True)
    allowed = asked
    if plan.increase_cap is not None:
        cap = desk.take(block, plan.increase_cap, "Increase at most", "1", percent=True)
        allowed = block.line("increases_allowed", "Increase allowed", "1", smallest(asked, cap), percent=True)
    level: Node = lift(1)
    levels = [level]
    for place in range(len(dated)):
        level = level * (1 + entry(allowed, place)) if place else 1 + entry(allowed, place)
        levels.append(level)
    dates = _Dates(block, "factor", scenario, [one.when for one in dated])
    steps = block.line("factors", "Price factor from each date", "1", stacked(dates.axis, levels))
    return block.line("factor", "Price factor", "1", band(steps, dates.begins, clock.month))


class _Dates:
    """The months from which prices of a list hold, the first one from the beginning."""

    def __init__(self, block: Block, key: str, scenario: Scenario, dates: Sequence[YearMonth]) -> None:
        self.axis = Axis(f"dates of {key.replace('_', ' ')}", ("at first", *(f"from {when}" for when in dates)))
        months = [0.0, *(float(scenario.operating_month(when)) for when in dates)]
        label = f"Month from which it holds: {key.replace('_', ' ')}"
        self.begins = block.given(f"{key}_begins", label, "1", months, axis=self.axis, role="constant")


def listed_rate(
    desk: Desk, block: Block, scenario: Scenario, plan: Service, key: str, rate: Figure, label: str, clock: Clock
) -> Listed:
    """The single rate of a meter, by date where `rates_from` names it."""
    dated = [(one.when, one.rates[key]) for one in plan.rates_from or () if key in one.rates]
    if not dated:
        single = desk.take(block, rate, label, "money/click")
        return Listed(single, single)
    dates = _Dates(block, f"{key}_rate", scenario, [when for when, _ in dated])
    figures = [rate, *(figure for _, figure in dated)]
    prices = desk.column(block, f"{key}_rates", f"{label} by date", "money/click", dates.axis, figures)
    first = block.line(f"{key}_first_rate", f"{label} at first", "money/click", entry(prices, 0))
    now = block.line(f"{key}_rate", f"{label} of the month", "money/click", band(prices, dates.begins, clock.month))
    return Listed(first, now)


def listed_base(desk: Desk, block: Block, scenario: Scenario, plan: Service, base: FlowFigure, clock: Clock) -> Line:
    """The base a month, by date where `rates_from` names it: a row of months then, else one value."""
    fee = desk.a_month(block, base, "Base", "money")
    dated = [(one.when, one.base) for one in plan.rates_from or () if one.base is not None]
    if not dated:
        return fee
    dates = _Dates(block, "base", scenario, [when for when, _ in dated])
    later = [desk.a_month(block, figure, f"Base from {when}", "money") for when, figure in dated]
    fees = block.line("base_fees", "Base by date", "money/month", stacked(dates.axis, [fee, *later]))
    return block.line("base_fee", "Base of the month", "money/month", band(fees, dates.begins, clock.month))

"""What an hour of the machines must bring, whatever they print: their fixed cost over the hours that are used."""

from __future__ import annotations

from typing import Final

from tco.costs.desk import Desk
from tco.costs.records import Clock
from tco.measures.compared import Counted
from tco.model.kinds import Axis, Origin
from tco.model.nodes import MONTHS_A_YEAR
from tco.model.vocabulary import joined, share, total
from tco.scenario.locales import percent

FIXED: Final = ("equipment", "people", "space and energy")
USED: Final = (0.6, 0.7, 0.8)


def hourly_rate(desk: Desk, one: Counted, clock: Clock) -> None:
    """Describe the hourly rate of all presses of a candidate together; nothing where a press has no speeds."""
    hours = [press.open_hours for press in one.placement.presses if press.open_hours is not None]
    if not hours or len(hours) < len(one.placement.presses):
        return
    block = desk.builder.block(f"{one.id}.hourly_rate", "Hourly rate of the machines", one.id)
    rows = [one.statement.by_kind[kind] for kind in FIXED if kind in one.statement.by_kind]
    fixed = block.flow("fixed", "Fixed cost", "money/month", joined([*rows, *one.fixed_service], "money/month"))
    there = block.flow("there", "Hours there, all presses", "hour/month", joined(hours, "hour/month"))
    years = block.line("years", "Years compared", "year",
                       clock.horizon * desk.constant(block, "one_month") / MONTHS_A_YEAR)  # fmt: skip
    a_year = block.memo("fixed_year", "Fixed cost a year", "money/year", total(fixed) / years)
    hours_a_year = block.memo("there_year", "Hours there a year", "hour/year", total(there) / years)
    axis = Axis("share of the hours used", tuple(percent(used, desk.locale) for used in USED))
    noted = Origin(source="common practice: press hours that can be sold")
    used = block.given("used", "Share of the hours used", "1", USED, axis=axis, role="constant", origin=noted,
                       percent=True)  # fmt: skip
    block.memo("rate", "Rate an hour", "money/hour", share(a_year, hours_a_year * used))

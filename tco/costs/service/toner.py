"""Coverage above what the click contains: charged for its toner, per small side or per side printed."""

from __future__ import annotations

from collections.abc import Sequence

from tco.costs.coverage import area, coverage
from tco.costs.desk import Desk
from tco.costs.records import Placed, Work
from tco.model.lines import Block
from tco.model.nodes import Line
from tco.model.vocabulary import across, excess, joined
from tco.scenario.schema import Scenario, Service


def toner_above_cap(
    desk: Desk, block: Block, scenario: Scenario, plan: Service, presses: Sequence[Placed], work: Work, factor: Line
) -> tuple[list[Line], list[Line]]:
    """The charge of each month, and its column by class in an average month; nothing without a cap."""
    rule = plan.coverage_cap
    if rule is None:
        return [], []
    cap = desk.take(block, rule.cap, "Coverage inside the click", "1", percent=True)
    price = desk.take(block, rule.price, "Toner of a small side at the cap", "money/side")
    sheet, times = area(desk, block, scenario, work), coverage(desk, block, work) / cap
    more = excess(sheet * times, 1) if rule.per == "letter" else sheet * excess(times, 1)
    above = block.line("toner_above", "Toner above the cap, sides at the cap", "1", more)
    column = block.line(
        "toner_column", "Toner above the cap, average month", "money/month", work.passes * above * price
    )
    parts = [
        block.flow(f"toner_{place}", f"Toner above the cap, press {place}", "money/month", across(column, one.done))
        for place, one in enumerate(presses, 1)
    ]
    due = joined(parts, "money/month")
    paid = due * factor if "rates" in plan.increase_on else due
    return [block.cost("toner_cost", "Toner above the cap", "service", paid)], [column]

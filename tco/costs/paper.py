"""Paper: sheets run on presses, and good sheets of outside work where its prices leave paper out."""

from __future__ import annotations

from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Placement, Work
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.model.vocabulary import across, joined, stacked
from tco.scenario.schema import Scenario, Service


@dataclass(frozen=True)
class Papered:
    """Cost of paper, and its columns by class: on presses and for outside work, in an average month.

    `bought` says for each press whether its paper is bought, and not inside the click.
    """

    charges: tuple[Charge, ...]
    run: Line | None
    bought: tuple[bool, ...]
    outside: Line | None


def paper(
    desk: Desk,
    block: Block,
    scenario: Scenario,
    placement: Placement,
    pool: Service | None,
    work: Work,
    clock: Clock,
) -> Papered:
    """Describe what paper costs; `pool` is the plan of presses that have none of their own."""
    prices = scenario.shop.paper
    if not prices:
        return Papered((), None, (), None)
    plans = [one.press.service or pool for one in placement.presses]
    bought = tuple(plan is None or not plan.paper_included for plan in plans)

    def price(name: str) -> Line:
        assert prices is not None
        return desk.take(block, prices[name], f"Price a sheet, {name}", "money/sheet")

    if work.two_sided_share is not None:
        one = work.classes[0]
        each: Node = price(one.size) * (1 - work.large)
        if one.large_size in prices:
            each = each + price(one.large_size) * work.large
    else:
        each = stacked(work.axis, [price(one.paper or one.size) for one in work.classes])
    by_class = block.line("price", "Price a sheet", "money/sheet", each)
    run = block.line("run_cost", "Paper, average month", "money/month", by_class * work.run_sheets)
    rows = [
        block.line(f"press_{place}", f"Paper of press {place}", "money/month", across(run, one.done))
        for place, one in enumerate(placement.presses, 1)
        if bought[place - 1]
    ]
    good = None
    if scenario.outside is not None and scenario.outside.paper == "not included":
        good = block.line("good_cost", "Paper of good sheets, average month", "money/month", by_class * work.sheets)
        rows.append(block.line("outside", "Paper of outside work", "money/month", across(good, placement.outside)))
    cost = block.cost("cost", "Paper", "paper", joined(rows, "money/month") * clock.price_level)
    return Papered((Charge(cost, "paper"),), run, bought, good)

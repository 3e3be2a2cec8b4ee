"""Work sent out: prices a side and a set, delivery, and the time it takes to order it."""

from __future__ import annotations

from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Placement, Work
from tco.model.lines import Block
from tco.model.nodes import Line, Node, Term
from tco.model.vocabulary import across, joined, stacked
from tco.scenario.schema import Scenario


@dataclass(frozen=True)
class SentOut:
    """Cost of outside work, the hours of ordering, and the price by class for one average month."""

    charges: tuple[Charge, ...]
    hours: Line | None
    by_class: Line | None


def outside(desk: Desk, block: Block, scenario: Scenario, placement: Placement, work: Work, clock: Clock) -> SentOut:
    """Describe what outside printing costs."""
    terms = scenario.outside
    if terms is None or not any(getattr(terms, one.colour) is not None for one in work.classes):
        return SentOut((), None, None)
    times = desk.take(block, terms.oversize_counts, "Small sides a large side counts", "1")
    prices: list[Term] = []
    for one in work.classes:
        figure = getattr(terms, one.colour)
        prices.append(
            desk.take(block, figure, f"Price a side, {one.colour}", "money/side") if figure is not None else 0
        )
    a_side = block.line("a_side", "Price a small side", "money/side", stacked(work.axis, prices))
    parts = [
        block.line("sides", "Sides, average month", "money/month", work.sides * a_side * (1 + (times - 1) * work.large))
    ]
    extras = _finishing(desk, block, scenario, work)
    if extras is not None:
        parts.append(extras)
    if work.jobs is not None and not terms.delivery_per_job.is_assumed:
        each = desk.take(block, terms.delivery_per_job, "Delivery a job", "money/job")
        parts.append(block.line("delivery", "Delivery, average month", "money/month", work.jobs * each))
    by_class = block.line(
        "by_class", "Outside price, average month", "money/month", joined(parts, "money/month", a_side.shape)
    )
    spent = across(by_class, placement.outside)
    row = block.flow("at_prices", "Outside work at today's prices", "money/month", spent)
    cost = block.cost("cost", "Outside printing", "outside", row * clock.price_level)
    return SentOut((Charge(cost, "outside"),), _ordering(desk, block, scenario, placement, work), by_class)


def _finishing(desk: Desk, block: Block, scenario: Scenario, work: Work) -> Line | None:
    terms = scenario.outside
    if terms is None or not terms.finishing or work.sets is None:
        return None
    cells: list[Term] = []
    for one in work.classes:
        figure = terms.finishing.get(one.finish or "")
        name = (one.finish or "").replace("_", " ")
        cells.append(desk.take(block, figure, f"Outside price a set, {name}", "money/set") if figure is not None else 0)
    if all(isinstance(cell, int) for cell in cells):
        return None
    each: Node = stacked(work.axis, cells)
    return block.line("finishing", "Finishing outside, average month", "money/month", each * work.sets)


def _ordering(desk: Desk, block: Block, scenario: Scenario, placement: Placement, work: Work) -> Line | None:
    terms = scenario.outside
    if terms is None or work.jobs is None or terms.order_minutes.is_assumed:
        return None
    minutes = desk.take(block, terms.order_minutes, "Ordering time a job", "minute/job")
    each = block.line(
        "order_hours",
        "Ordering hours, average month",
        "hour/month",
        work.jobs * minutes / desk.constant(block, "minutes_an_hour"),
    )
    return block.flow("hours", "Hours of ordering outside work", "hour/month", across(each, placement.outside))

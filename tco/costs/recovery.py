"""What customers or departments are charged for the work: shown beside the cost, never in it."""

from __future__ import annotations

from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Clock, Placement, Work
from tco.model.lines import Block
from tco.model.nodes import Line, Term
from tco.model.vocabulary import across, joined, present, stacked
from tco.scenario.schema import Figure, Scenario


@dataclass(frozen=True)
class Recovered:
    """A row of what is charged month by month, and what the charges of each class are worth at the start."""

    charged: Line
    worth: Line


def price_list(desk: Desk, scenario: Scenario, work: Work) -> Line | None:
    """Describe what an average month of each class is charged at first prices; None when nothing has a charge."""
    found = [_charge(scenario, at, work) for at, _ in enumerate(work.classes)]
    if all(figure is None for figure in found):
        return None
    block = desk.builder.block("charges", "Charges")
    piece, amount = ("side", work.sides) if work.sets is None else ("set", work.sets)
    cells: list[Term] = [
        0 if figure is None else desk.take(block, figure, f"Charge a {piece}: {one.name}", f"money/{piece}")
        for figure, one in zip(found, work.classes, strict=True)
    ]
    each = block.line("each", f"Charge a {piece}", f"money/{piece}", stacked(work.axis, cells))
    block.choice("rise", "Charges rise with prices", "yes" if scenario.money.charges_rise else "no")
    return block.line("a_month", "Charged in an average month", "money/month", each * amount)


def _charge(scenario: Scenario, at: int, work: Work) -> Figure | None:
    """The charge of a class as written."""
    job = work.classes[at].job
    if job is not None:
        return job.charge_per_set
    written = scenario.work.charge_per_side if scenario.work is not None else None
    figure: Figure | None = getattr(written, work.classes[at].colour, None)
    return figure


def recovered(
    desk: Desk, block: Block, scenario: Scenario, a_month: Line, placement: Placement, work: Work, clock: Clock
) -> Recovered:
    """Describe what one candidate can charge: for what it prints and what it sends out."""
    rows = [*(one.done for one in placement.presses), placement.outside]
    placed = block.line("placed", "Work done or sent out", "1", joined(rows, "1", placement.outside.shape))
    at_first = a_month * placed
    due = at_first * clock.price_level if scenario.money.charges_rise else at_first
    by_class = block.line("by_class", "Charged by class", "money/month", due)
    ones = desk.fixed(block, "counted", "Classes counted", "1", work.axis, [1.0 for _ in work.classes])
    charged = block.memo("charged", "Charged in the month", "money/month", across(by_class, ones))
    worth = block.memo("worth", "Charges by class, today's money", "money", present(by_class, clock.close))
    return Recovered(charged, worth)

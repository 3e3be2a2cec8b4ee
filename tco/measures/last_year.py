"""The first proof: what the model gives for the first year of the present position, against what was paid."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Clock
from tco.measures.statement import Statement
from tco.model.lines import Block
from tco.model.vocabulary import equals, joined, share, total
from tco.scenario.schema import LastYear

KINDS = {
    "equipment": "equipment",
    "service": "service",
    "supplies": "supplies",
    "paper": "paper",
    "people": "people",
    "energy": "space and energy",
    "outside": "outside",
}


def last_year(desk: Desk, block: Block, paid: LastYear, sums: Statement, clock: Clock) -> None:
    """Compare the sums paid in the twelve months before the start with the model's first twelve months.

    Volumes and prices are those of the first year: a rise of prices between the two years is part of the difference.
    """
    first = block.state("first_year", "First year of operation", equals(clock.year, 1) & clock.live)
    both = []
    for key, kind in KINDS.items():
        figure = getattr(paid, key)
        if figure is None:
            continue
        label = key.capitalize()
        sum_paid = desk.take(block, figure, f"{label} paid last year", "money")
        row = sums.by_kind.get(kind)
        rows = [] if row is None else [row]
        in_year = block.flow(f"{key}_row", f"{label}, first year", "money/month", joined(rows, "money/month") * first)
        modelled = block.line(f"{key}_modelled", f"{label} by the model", "money", total(in_year))
        difference = block.line(f"{key}_difference", f"{label}: model less paid", "money", modelled - sum_paid)
        block.line(f"{key}_part", f"{label}: difference, share", "1", share(difference, sum_paid), percent=True)
        both.append((sum_paid, modelled))
    if not both:
        return
    shape = both[0][0].shape
    all_paid = block.line("paid", "Paid last year", "money", joined([one for one, _ in both], "money", shape))
    all_modelled = block.line("modelled", "By the model", "money", joined([one for _, one in both], "money", shape))
    difference = block.line("difference", "Model less paid", "money", all_modelled - all_paid)
    block.line("part", "Difference, share", "1", share(difference, all_paid), percent=True)

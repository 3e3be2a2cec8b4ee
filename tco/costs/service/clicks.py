"""From passes to clicks: size rule, separations, blank backs, copies that are credited."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Placed, Work
from tco.costs.service.routes import Route
from tco.model.lines import Block
from tco.model.nodes import Line
from tco.model.vocabulary import across, joined
from tco.scenario.schema import Service


@dataclass(frozen=True)
class Clicks:
    """Clicks of one meter, by class in an average month and by month; large ones apart where they have a rate.

    `before_credit` is by class, too; the same line unless copies are credited.
    """

    by_class: Line
    before_credit: Line
    made: Line
    large_by_class: Line | None = None
    large_made: Line | None = None


def clicks(desk: Desk, block: Block, plan: Service, presses: Sequence[Placed], work: Work, route: Route) -> Clicks:
    """Passes become clicks by the plan's rule: large sheets count more than once, blank backs perhaps not at all."""
    key, word = route.meter.id, route.meter.label
    small = desk.constant(block, "click_a_side")
    own_rate = route.meter.own is not None and route.meter.own.size_rate is not None
    times = small if own_rate else desk.take(block, plan.oversize_counts, "Clicks a large side", "click/side")
    passes = work.passes if plan.blank_backs == "count" or work.run_blanks is None else work.passes - work.run_blanks
    own = route.meter.own
    each = None
    if own is not None and not own.separations.is_assumed:
        each = desk.take(block, own.separations, f"{word}: clicks a pass", "1")
    kept = None
    if plan.copy_credit is not None:
        kept = 1 - desk.take(block, plan.copy_credit, "Clicks credited", "1", percent=True)

    if own_rate:
        sides = route.small * (1 - work.large) + route.large * work.large
        every = passes * small * (sides if route.small is not route.large else route.small)
    elif route.small is route.large:
        every = passes * (small + (times - small) * work.large) * route.small
    else:
        every = passes * (small * (1 - work.large) * route.small + times * work.large * route.large)
    if each is not None:
        every = every * each
    if kept is None:
        by_class = block.line(f"{key}_by_class", f"{word} clicks, average month", "click/month", every)
        before = by_class
    else:
        before = block.line(f"{key}_before_credit", f"{word} clicks before credit, average month", "click/month", every)
        by_class = block.line(f"{key}_by_class", f"{word} clicks, average month", "click/month", before * kept)
    made = over_presses(block, f"{key}_clicks", f"{word} clicks", by_class, presses)
    if not own_rate:
        return Clicks(by_class, before, made)
    big = passes * small * work.large * route.large
    if each is not None:
        big = big * each
    if kept is not None:
        big = big * kept
    large = block.line(f"{key}_size_by_class", f"{word} large clicks, average month", "click/month", big)
    return Clicks(
        by_class, before, made, large, over_presses(block, f"{key}_size", f"{word} large clicks", large, presses)
    )


def over_presses(block: Block, key: str, label: str, by_class: Line, presses: Sequence[Placed]) -> Line:
    """What work done on the presses of a plan brings: a row for each press, and their sum for a pool."""
    measure = "click/month"
    parts = []
    for place, one in enumerate(presses, 1):
        share = f" of press {place}" if len(presses) > 1 else ""
        parts.append(block.flow(f"{key}_{place}", f"{label}{share}", measure, across(by_class, one.done)))
    if len(parts) == 1:
        return parts[0]
    return block.flow(key, f"{label} of the pool", measure, joined(parts, measure))

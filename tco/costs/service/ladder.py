"""From the rate of a click to that of a large side and of a good side printed: shown beside the rate, in no sum."""

from __future__ import annotations

from collections.abc import Sequence

from tco.costs.desk import Desk
from tco.costs.records import Placed, Work
from tco.costs.service.meter import Metered
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.model.vocabulary import across, share
from tco.scenario.schema import Service


def ladder(
    desk: Desk,
    block: Block,
    plan: Service,
    meters: Sequence[Metered],
    moved: Sequence[Line],
    presses: Sequence[Placed],
    work: Work,
) -> None:
    """Describe what each meter's first rate means, for the mix of an average month that the presses can print.

    `moved` are columns of money a month by class at the first rates, one for each meter: waste, make-ready, blank
    backs, large sides, separations and credits are in them. A good side bears all of it.
    """
    can = [float(any(one.takes[place] for one in presses)) for place in range(len(work.classes))]
    taken = desk.fixed(block, "taken", "Printable under the plan", "1", work.axis, can)
    on_large = _counting_large(plan, work)
    for one, money in zip(meters, moved, strict=True):
        key, word = one.route.meter.id, one.route.meter.label
        block.memo(f"{key}_a_click", f"{word} at first, a click", "money/click", one.first + 0)
        if key in on_large:
            large = _large(desk, block, plan, one)
            block.memo(f"{key}_a_large_side", f"{word} at first, a large side", "money/side", large)
        route = one.route
        part: Node = route.small + 0
        if route.small is not route.large:
            part = route.small * (1 - work.large) + route.large * work.large
        sides = block.line(f"{key}_good", f"{word}: good sides, average month", "side/month", work.sides * part)
        able = block.line(f"{key}_able", f"{word}: good sides it can print", "side/month", across(sides, taken))
        good = share(across(money, taken), able)
        block.memo(f"{key}_a_good_side", f"{word} at first, a good side", "money/side", good)


def _counting_large(plan: Service, work: Work) -> set[str]:
    """The meters that large sides may come to: a meter takes what no earlier one has taken whatever its coverage."""
    left = [one for one in work.classes if True in one.sheets]
    found = set()
    for meter in plan.meters_in_order:
        own = [one for one in left if meter.fits(one.colour, is_large=True, work=one.id)]
        if own:
            found.add(meter.id)
        if not meter.has_range:
            left = [one for one in left if one not in own]
    return found


def _large(desk: Desk, block: Block, plan: Service, one: Metered) -> Node:
    """What a large side costs by the rule of the meter."""
    meter, own = one.route.meter, one.route.meter.own
    if own is not None and own.size_rate is not None:
        rate = desk.take(block, own.size_rate, f"{meter.label} rate of a large side", "money/click")
        price = rate * desk.constant(block, "click_a_side")
    else:
        price = one.first * desk.take(block, plan.oversize_counts, "Clicks a large side", "click/side")
    if own is not None and not own.separations.is_assumed:
        price = price * desk.take(block, own.separations, f"{meter.label}: clicks a pass", "1")
    return price

"""Which meter counts which work: the first one of the plan whose colour, size, class and coverage it is."""

from __future__ import annotations

from dataclasses import dataclass

from tco.costs.coverage import coverage
from tco.costs.desk import Desk
from tco.costs.records import Work
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.scenario.schema import MeterTerms, Service


@dataclass(frozen=True)
class Route:
    """What a meter counts, by class: 0/1 for its small and its large sides, one line where sizes are not told apart."""

    meter: MeterTerms
    small: Line
    large: Line


def routes(desk: Desk, block: Block, plan: Service, work: Work) -> list[Route]:
    """Send the small and the large sides of every class to the first meter that counts them.

    A meter that counts no class is left out, unless it has a minimum: that is billed though nothing is printed.
    """
    meters = plan.meters_in_order
    apart = any(one.size != "any" for one in meters)
    small = _side(desk, block, meters, work, False if apart else None)
    large = _side(desk, block, meters, work, is_large=True) if apart else small
    kept = [one for one in meters if small[one.id] is not None or large[one.id] is not None or one.minimum is not None]
    if not apart and all(small[one.id] is not None for one in kept):
        return [Route(one, line, line) for one in kept if (line := small[one.id]) is not None]
    none = desk.fixed(block, "none", "Counted by no meter", "1", work.axis, [0.0 for _ in work.classes])
    found = []
    for one in kept:
        own, big = small[one.id], large[one.id]
        found.append(Route(one, own if own is not None else none, big if big is not None else none))
    return found


def _side(
    desk: Desk, block: Block, meters: tuple[MeterTerms, ...], work: Work, is_large: bool | None
) -> dict[str, Line | None]:
    """What each meter counts of one size (of all sizes when None); nothing where no class can be its own.

    Colour, size and class are words and settled here; coverage is a figure, so what an earlier meter leaves by
    coverage is a line.
    """
    free = [is_large is None or is_large in one.sheets for one in work.classes]
    left: Line | None = None
    found: dict[str, Line | None] = {}
    for one in meters:
        own = [
            unused and one.fits(each.colour, is_large=bool(is_large), work=each.id)
            for unused, each in zip(free, work.classes, strict=True)
        ]
        found[one.id] = None
        if not any(own):
            continue
        word = {None: "", False: "small_", True: "large_"}[is_large]
        label = f"Printed in {one.id}" if one.own is None else f"Counted by {one.label}"
        sized = label if is_large is None else f"{label}, {word[:-1]} sides"
        fits = desk.fixed(block, f"{one.id}_{word}classes", sized, "1", work.axis, [float(mine) for mine in own])
        counted: Node | None = fits * left if left is not None else None
        if one.has_range:
            counted = (counted if counted is not None else fits + 0) * _in_range(desk, block, one, work)
        if counted is None:
            found[one.id] = fits
        else:
            found[one.id] = block.line(f"{one.id}_{word}counted", f"{sized}, by coverage", "1", counted)
        if one.has_range:
            mine = found[one.id]
            assert mine is not None
            rest = 1 - mine if left is None else left - mine
            left = block.line(f"{one.id}_{word}left", f"Left to later meters than {one.label}", "1", rest)
        else:
            free = [unused and not mine for unused, mine in zip(free, own, strict=True)]
    return found


def _in_range(desk: Desk, block: Block, meter: MeterTerms, work: Work) -> Node:
    """1 where the coverage of a class is above the lower end and not above the upper."""
    assert meter.own is not None
    share = coverage(desk, block, work)
    inside: Node | None = None
    if meter.own.coverage_from is not None:
        inside = share > desk.take(block, meter.own.coverage_from, f"{meter.label}: coverage above", "1", percent=True)
    if meter.own.coverage_to is not None:
        upper = desk.take(block, meter.own.coverage_to, f"{meter.label}: coverage up to", "1", percent=True)
        inside = share <= upper if inside is None else inside & (share <= upper)
    assert inside is not None
    return inside

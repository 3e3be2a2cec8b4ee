"""Coverage and area of a side, which toner is counted by in more than one room."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Work
from tco.model.lines import Block
from tco.model.nodes import Line
from tco.reference_data.paper import size
from tco.scenario.schema import Scenario


def area(desk: Desk, block: Block, scenario: Scenario, work: Work) -> Line:
    """Area of a side by class, in small sheets, letter or A4."""
    known = block.builder.by_id.get(f"{block.id}.area")
    if known is not None:
        return known
    unit_area = size(scenario.unit_size).area_m2
    small = [size(one.size).area_m2 / unit_area for one in work.classes]
    if work.two_sided_share is None:
        return desk.fixed(block, "area", f"Area in {scenario.unit_size} sides", "1", work.axis, small)
    big = [size(one.large_size or one.size).area_m2 / unit_area for one in work.classes]
    low = desk.fixed(block, "area_small", "Area of a small side", "1", work.axis, small)
    high = desk.fixed(block, "area_large", "Area of a large side", "1", work.axis, big)
    return block.line("area", "Area of a side of the mix", "1", low * (1 - work.large) + high * work.large)


def square_metres(desk: Desk, block: Block, work: Work) -> Line:
    """Area of a side by class."""
    known = block.builder.by_id.get(f"{block.id}.square_metres")
    if known is not None:
        return known
    small = desk.fixed(block, "square_metres_small", "Area of a small side", "m2/side", work.axis,
                       [size(one.size).area_m2 for one in work.classes])  # fmt: skip
    if work.two_sided_share is None:
        return block.line("square_metres", "Area of a side", "m2/side", small + 0)
    big = desk.fixed(block, "square_metres_large", "Area of a large side", "m2/side", work.axis,
                     [size(one.large_size or one.size).area_m2 for one in work.classes])  # fmt: skip
    return block.line(
        "square_metres", "Area of a side of the mix", "m2/side", small * (1 - work.large) + big * work.large
    )


def coverage(desk: Desk, block: Block, work: Work) -> Line:
    """Share of a side that toner or ink covers, by class."""
    known = block.builder.by_id.get(f"{block.id}.coverage")
    if known is not None:
        return known
    return desk.column(
        block, "coverage", "Coverage", "1", work.axis, [one.coverage for one in work.classes], percent=True
    )

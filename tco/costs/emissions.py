"""What electricity and paper give off, by published factors of one year: shown beside the cost, in no sum of money."""

from __future__ import annotations

from collections.abc import Sequence

from tco.costs.desk import Desk
from tco.costs.records import Placement, Work
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.model.vocabulary import across, joined, stacked
from tco.reference_data.paper import size
from tco.scenario.schema import Scenario


def emissions(
    desk: Desk, block: Block, scenario: Scenario, placement: Placement, drawn: Sequence[Line], work: Work
) -> None:
    """Describe the kilograms of a month: of electricity drawn (cooling apart) and of paper run on the presses.

    Work sent out is not counted: nobody knows what its presses draw.
    """
    factors = scenario.shop.emissions
    if factors is None:
        return
    block.choice("scope", "What the factors count", f"{factors.scope}, {factors.year}")
    parts = []
    if factors.electricity is not None and drawn:
        each = desk.take(block, factors.electricity, "Given off by a kilowatt-hour", "kg/kWh")
        kwh = block.flow("kwh", "Electricity of all presses", "kWh/month", joined(drawn, "kWh/month"))
        parts.append(block.flow("electricity", "Given off by electricity", "kg/month", kwh * each))
    if factors.paper is not None and placement.presses:
        each = desk.take(block, factors.paper, "Given off by a kilogram of paper", "1")
        of_sheet = block.line("sheet", "Weight of a sheet", "g/sheet", _weight(desk, block, scenario, work))
        run = block.line("sheets", "Weight of sheets run, average month", "g/month", of_sheet * work.run_sheets)
        rows = [
            block.flow(f"paper_{place}", f"Paper run on press {place}", "g/month", across(run, one.done))
            for place, one in enumerate(placement.presses, 1)
        ]
        weight = joined(rows, "g/month") / desk.constant(block, "grams_a_kilogram")
        run_kg = block.flow("paper_weight", "Paper run on all presses", "kg/month", weight)
        parts.append(block.flow("paper", "Given off by paper", "kg/month", run_kg * each))
    block.flow("kg", "Given off by electricity and paper", "kg/month", joined(parts, "kg/month"))


def _weight(desk: Desk, block: Block, scenario: Scenario, work: Work) -> Node:
    """The weight of one sheet by class: its area times the weight of its stock."""
    weights = scenario.shop.paper_weight or {}

    def stock(name: str) -> Line:
        return desk.take(block, weights[name], f"Weight of paper, {name}", "g/m2")

    def area(key: str, label: str, names: Sequence[str]) -> Line:
        return desk.fixed(block, key, label, "m2/sheet", work.axis, [size(name).area_m2 for name in names])

    small = area("area", "Area of a sheet", [one.size for one in work.classes])
    if work.two_sided_share is None:
        return small * stacked(work.axis, [stock(one.paper or one.size) for one in work.classes])
    of_small = small * stock(work.classes[0].size)
    large = work.classes[0].large_size
    if large is None or large not in weights:
        return of_small * (1 - work.large)
    return of_small * (1 - work.large) + area("large_area", "Area of a large sheet", [large for _ in work.classes]) * (
        stock(large) * work.large
    )

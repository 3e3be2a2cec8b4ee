"""Supplies that the service plan does not cover: toner by yield and coverage, staples, tape, by what uses them up."""

from __future__ import annotations

from collections.abc import Sequence

from tco.costs.coverage import area, coverage, square_metres
from tco.costs.desk import Desk
from tco.costs.records import COLOUR, Charge, Clock, Placed, Work
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.model.vocabulary import across, joined
from tco.scenario.schema import Scenario, Supply

UNITS = {
    "side": "side", "colour side": "side", "sheet": "sheet", "set": "set", "job": "job", "click": "click",
    "m2": "litre",
}  # fmt: skip


def supplies(
    desk: Desk, block: Block, scenario: Scenario, press: Placed, work: Work, clock: Clock, clicks: Sequence[Line]
) -> tuple[list[Charge], list[Line]]:
    """Describe what one press uses up: its costs, and their columns by class in an average month.

    `clicks` are columns by class for the meters of its plan, before credit; without a meter a pass is a click.
    """
    charges, columns = [], []
    for key, item in (press.press.supplies or {}).items():
        if item.per == "m2":
            use: Node | None = _litres(desk, block, key, item, work)
        elif item.per == "click":
            use = (
                joined(clicks, "click/month", work.sides.shape)
                if clicks
                else work.passes * desk.constant(block, "click_a_side")
            )
        else:
            use = _use(desk, block, scenario, key, item, work)
        if use is None:
            continue
        label = key.replace("_", " ").capitalize()
        price = desk.take(block, item.price, f"{label}: price", "money")
        a_month = block.line(f"{key}_use", f"{label}: use, average month", f"{UNITS[item.per]}/month", use)
        used = block.line(f"{key}_used", f"{label}: used", f"{UNITS[item.per]}/month", across(a_month, press.done))
        rate = (
            desk.constant(block, "one_litre")
            if item.yields is None
            else desk.take(block, item.yields, f"{label}: yield", UNITS[item.per])
        )
        spent = used / rate * price * clock.price_level
        charges.append(Charge(block.cost(f"{key}_cost", label, "supplies", spent), "supplies"))
        each = a_month / rate * price
        columns.append(block.line(f"{key}_column", f"{label}: cost, average month", "money/month", each))
    return charges, columns


def _litres(desk: Desk, block: Block, key: str, item: Supply, work: Work) -> Node:
    """Ink by the area printed, in an average month by class."""
    label = key.replace("_", " ").capitalize()
    assert item.ml_per_m2 is not None
    on_it = desk.take(block, item.ml_per_m2, f"{label}: millilitres a square metre", "ml/m2")
    use = work.passes * square_metres(desk, block, work) * on_it / desk.constant(block, "ml_a_litre")
    if item.at_coverage is None:
        return use
    basis = desk.take(block, item.at_coverage, f"{label}: coverage of the yield", "1", percent=True)
    return use * coverage(desk, block, work) / basis


def _use(desk: Desk, block: Block, scenario: Scenario, key: str, item: Supply, work: Work) -> Node | None:
    """The use of an average month by class: what the yield is counted in, at the coverage it is stated for."""
    label = key.replace("_", " ").capitalize()
    counted: Line | None
    if item.per in ("side", "colour side"):
        counted = work.passes
    else:
        counted = {"sheet": work.run_sheets, "set": work.sets, "job": work.jobs}[item.per]
    if counted is None:
        return None
    use: Node = counted + 0
    if item.per == "colour side":
        use = use * desk.fixed(block, f"{key}_classes", f"{label}: classes", "1", work.axis, work.marks(COLOUR))
    if item.at_coverage is not None:
        basis = desk.take(block, item.at_coverage, f"{label}: coverage of the yield", "1", percent=True)
        use = use * area(desk, block, scenario, work) * coverage(desk, block, work) / basis
    return use

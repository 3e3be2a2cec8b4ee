"""Supplies that the service plan does not cover: toner by yield and coverage, staples, tape, by what uses them up."""

from __future__ import annotations

from tco.costs.coverage import area, coverage
from tco.costs.desk import Desk
from tco.costs.records import COLOUR, Charge, Clock, Placed, Work
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.model.vocabulary import across
from tco.scenario.schema import Scenario, Supply

UNITS = {"side": "side", "colour side": "side", "sheet": "sheet", "set": "set", "job": "job"}


def supplies(
    desk: Desk, block: Block, scenario: Scenario, press: Placed, work: Work, clock: Clock
) -> tuple[list[Charge], list[Line]]:
    """Describe what one press uses up: its costs, and their columns by class in an average month."""
    charges, columns = [], []
    for key, item in (press.press.supplies or {}).items():
        use = _use(desk, block, scenario, key, item, work)
        if use is None:
            continue
        label = key.replace("_", " ").capitalize()
        price = desk.take(block, item.price, f"{label}: price", "money")
        yields = desk.take(block, item.yields, f"{label}: yield", UNITS[item.per])
        a_month = block.line(f"{key}_use", f"{label}: use, average month", f"{UNITS[item.per]}/month", use)
        used = block.line(f"{key}_used", f"{label}: used", f"{UNITS[item.per]}/month", across(a_month, press.done))
        spent = used / yields * price * clock.price_level
        charges.append(Charge(block.cost(f"{key}_cost", label, "supplies", spent), "supplies"))
        each = a_month / yields * price
        columns.append(block.line(f"{key}_column", f"{label}: cost, average month", "money/month", each))
    return charges, columns


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

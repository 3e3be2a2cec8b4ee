"""A contract's own calendar: its months, its settlement periods, and when they close."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Clock, Placed
from tco.model.kinds import Origin
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.model.vocabulary import equals, largest, mod, since, smallest
from tco.scenario.schema import Service

PERIODS = {"monthly": 1, "quarterly": 3, "yearly": 12}


@dataclass(frozen=True)
class Contract:
    """Rows of a contract's own calendar; `first` and `length` are single values, `counted` may be one."""

    first: Line
    month: Line
    active: Line
    length: Line
    opens: Line
    closes: Line
    counted: Line
    period: Line


def contract(desk: Desk, block: Block, plan: Service, presses: Sequence[Placed], clock: Clock) -> Contract:
    """Describe the months and settlement periods of a plan."""
    first = block.line("first", "First contract month", "1", _extreme([one.window.first for one in presses], smallest))
    used = block.line(
        "used_until", "Last month a press is there", "1", _extreme([one.window.last for one in presses], largest)
    )
    use = block.line("use", "Months of use", "1", used - first + 1)
    if plan.months is None:
        length = block.line("length", "Months of the plan", "1", use + 0)
    else:
        stated = desk.take(block, plan.months, "Contract length, months", "1")
        length = block.line("length", "Months of the plan", "1", largest(stated, use))
    running = (clock.month >= first) & (clock.month <= first + length - 1)
    active = block.state("active", "In contract", running)
    month = block.line("month", "Contract month", "1", (clock.month - first + 1) * active)
    noted = Origin(source=f"settled {plan.settled}")
    period = block.given(
        "period", "Months in a settlement period", "1", PERIODS[plan.settled], role="constant", origin=noted
    )
    opens = block.state("opens", "Opens a settlement period", active & equals(mod(month - 1, period), 0))
    ends = block.state(
        "ends", "Last month of plan or comparison", equals(month, length) | equals(clock.month, clock.horizon)
    )
    closes = block.state(
        "closes", "Closes a settlement period", active & clock.live & (ends | equals(mod(month, period), 0))
    )
    if plan.stub == "full":
        counted = period
    else:
        a_month = block.event("counts", "Counts a month", active)
        counted = block.line("counted", "Months counted in the period", "1", since(a_month, opens))
    return Contract(first, month, active, length, opens, closes, counted, period)


def _extreme(lines: Sequence[Line], pick: object) -> Node:
    if len(lines) == 1:
        return lines[0] + 0
    return pick(*lines)  # type: ignore[operator,no-any-return]

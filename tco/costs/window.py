"""When a press is there: from its first month to the end of its contract, of its use or of the months compared."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Clock, Window
from tco.costs.terms import contract_end, present_end, term_end
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.model.vocabulary import equals, smallest
from tco.scenario.schema import Lease, Press, Scenario, TodayLease


def window(desk: Desk, block: Block, scenario: Scenario, press: Press, name: str, clock: Clock) -> Window:
    """Describe the months in which a press stands in the shop."""
    first = desk.take(block, press.from_month, "First month in service", "1")
    count = desk.take(block, press.count, "Number of presses", "1")
    last = block.line("last", "Last month in service", "1", _last(desk, block, scenario, press, first, clock))
    present = block.state("present", "In service", (clock.month >= first) & (clock.month <= last))
    starts = block.event("starts", "Starts", equals(clock.month, first))
    leaves = block.event("leaves", "Leaves or is settled", equals(clock.month, last))
    return Window(block, name, first, last, present, starts, leaves, count)


def _last(desk: Desk, block: Block, scenario: Scenario, press: Press, first: Line, clock: Clock) -> Node:
    if press.until_month is not None:
        until = desk.take(block, press.until_month, "Last month wanted", "1")
        return smallest(until, clock.horizon)
    lease = press.lease
    if isinstance(lease, TodayLease) and lease.then == "return":
        return smallest(present_end(desk, block, scenario, lease), clock.horizon)
    if isinstance(lease, Lease) and lease.at_end == "return" and not lease.is_renewed:
        return smallest(contract_end(desk, block, lease, first), clock.horizon)
    if isinstance(lease, Lease) and lease.is_renewed and lease.renewal_length is not None:
        more = desk.take(block, lease.renewal_length, "Months of renewal", "1")
        return smallest(term_end(desk, block, lease, first) + more, clock.horizon)
    return clock.horizon + 0

"""When a press is there: from its first month to the end of its contract, of its use or of the months compared."""

from __future__ import annotations

from dataclasses import replace

from tco.costs.desk import Desk
from tco.costs.records import Clock, Window
from tco.costs.terms import contract_end, present_end, term_end
from tco.model.lines import Block
from tco.model.nodes import TWELVE, Line, Node
from tco.model.vocabulary import down, equals, power, smallest
from tco.scenario.schema import Lease, Press, Scenario, TodayLease


def window(
    desk: Desk, block: Block, scenario: Scenario, press: Press, name: str, clock: Clock, before: Window | None = None
) -> Window:
    """Describe the months in which a press stands in the shop, from the month after the one `before` has left."""
    count = desk.take(block, press.count, "Number of presses", "1")
    if before is None:
        first = desk.take(block, press.from_month, "First month in service", "1")
        until = press.until_month
        wanted = None if until is None else desk.take(block, until, "Last month wanted", "1")
    else:
        first = block.line("first", "First month in service", "1", before.last + 1)
        count = block.line("count", "Number that follow", "1", count * (first <= clock.horizon))
        wanted = _as_long(desk, block, press, first)
    last = block.line("last", "Last month in service", "1", _last(desk, block, scenario, press, first, wanted, clock))
    present = block.state("present", "In service", (clock.month >= first) & (clock.month <= last))
    starts = block.event("starts", "Starts", equals(clock.month, first))
    leaves = block.event("leaves", "Leaves or is settled", equals(clock.month, last))
    return Window(block, name, first, last, present, starts, leaves, count, count)


def at_its_prices(scenario: Scenario, there: Window) -> Window:
    """A press that follows, at the prices of its own first month: for the rooms that say what is paid for it."""
    block = there.block
    inflation = block.builder.by_id[scenario.money.inflation.path]
    level = block.line("price_level", "Price level of its first month", "1",
                       power(1 + inflation, down((there.first - 1) / TWELVE)))  # fmt: skip
    return replace(there, count=block.line("priced", "Number, at its prices", "1", there.machines * level))


def _as_long(desk: Desk, block: Block, press: Press, first: Line) -> Line | None:
    """The last month wanted of a press that follows: it stays as long as the first one."""
    if press.until_month is None:
        return None
    until = desk.take(block, press.until_month, "Last month wanted", "1")
    came = desk.take(block, press.from_month, "First month in service", "1")
    return block.line("until", "Last month wanted, in its turn", "1", first + until - came)


def _last(
    desk: Desk, block: Block, scenario: Scenario, press: Press, first: Line, wanted: Line | None, clock: Clock
) -> Node:
    if wanted is not None:
        return smallest(wanted, clock.horizon)
    lease = press.lease
    if isinstance(lease, TodayLease) and lease.then == "return":
        return smallest(present_end(desk, block, scenario, lease), clock.horizon)
    if isinstance(lease, Lease) and lease.at_end == "return" and not lease.is_renewed:
        return smallest(contract_end(desk, block, lease, first), clock.horizon)
    if isinstance(lease, Lease) and lease.is_renewed and lease.renewal_length is not None:
        more = desk.take(block, lease.renewal_length, "Months of renewal", "1")
        return smallest(term_end(desk, block, lease, first) + more, clock.horizon)
    return clock.horizon + 0

"""Dates of contracts and the sale of a press, which more than one room counts by."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Clock, Window
from tco.model.lines import Block
from tco.model.nodes import Line, Term, lift
from tco.model.vocabulary import equals, smallest
from tco.scenario.figure import Figure
from tco.scenario.schema import Lease, Scenario, TodayLease


def term_end(desk: Desk, block: Block, lease: Lease, first: Line) -> Line:
    """The last month of a lease's term, wherever the horizon is."""
    known = block.builder.by_id.get(f"{block.id}.term_end")
    if known is not None:
        return known
    months = desk.take(block, lease.months, "Term of the lease, months", "1")
    return block.line("term_end", "Last month of the term", "1", first + months - 1)


def contract_end(desk: Desk, block: Block, lease: Lease, first: Line) -> Line:
    """The last month of a lease, be it by its term or by leaving it early."""
    if lease.exit_month is None:
        return term_end(desk, block, lease, first)
    known = block.builder.by_id.get(f"{block.id}.contract_end")
    if known is not None:
        return known
    term = term_end(desk, block, lease, first)
    leaves = desk.take(block, lease.exit_month, "Left after months (0: never)", "1")
    early = equals(leaves, 0) * term + (leaves > 0) * smallest(term, first + leaves - 1)
    return block.line("contract_end", "Last month of the lease", "1", early)


def worth_until_sold(there: Window, clock: Clock, price: Term, sells_for: Term) -> Line:
    """What a bought press would fetch after each month: in a straight line from its price to what it sells for."""
    here = there.present & (clock.month < there.last)
    way = (clock.month - there.first + 1) / (there.last - there.first + 1)
    gone = there.block.line("way_to_sale", "Part of the way to sale", "1", way)
    value = (lift(price) - (lift(price) - sells_for) * gone) * there.count * here
    return there.block.line("worth", "Would fetch, in a straight line", "money", value)


def present_end(desk: Desk, block: Block, scenario: Scenario, lease: TodayLease) -> Line:
    """The operating month in which the running lease of the present press ends."""
    known = block.builder.by_id.get(f"{block.id}.present_end")
    if known is not None:
        return known
    return desk.date(block, "present_end", "Last month of the present lease", scenario, lease.ends)


def sold(desk: Desk, figure: Figure, there: Window) -> Line:
    """What the press brings when it leaves or when the comparison ends: a receipt, so a negative cost."""
    block = there.block
    worth = desk.take(block, figure, "Sells for", "money")
    return block.cost("sale", "Sale", "equipment", -1 * worth * there.count * there.leaves)

"""Rents of a lease: what one is, which of them are stepped, skipped or deferred, and when they fall due."""

from __future__ import annotations

from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Window
from tco.model.kinds import Axis, Timing
from tco.model.lines import Block
from tco.model.nodes import MONTHS_A_YEAR, Line, Node, lift
from tco.model.vocabulary import (
    at,
    band,
    booked,
    cumulative,
    equals,
    mod,
    power,
    share,
    stacked,
    this_month,
    total,
)
from tco.scenario.schema import Lease


@dataclass(frozen=True)
class Rents:
    """Rents as the contract has them, also beyond the horizon: one, by month, all, still to come after each month."""

    each: Line
    due: Line
    everything: Line
    left: Line
    timing: Timing


def rents(desk: Desk, terms: Lease, there: Window, clock: Clock) -> Rents:
    """Describe the rents of the term: some at signing, the others every so many months."""
    block = there.block
    months = desk.take(block, terms.months, "Term of the lease, months", "1")
    every = desk.take(block, terms.every_months, "Months between rents", "1")
    ahead = desk.take(block, terms.advance_rents, "Rents at signing", "1")
    number = block.line("rents", "Number of rents", "1", months / every)
    each = _each(desk, block, terms, number, ahead, every)
    in_advance = terms.paid == "in advance" or terms.advance_rents.number > 0
    timing: Timing = "opening" if in_advance else "close"
    since_signing = clock.month - there.first if in_advance else clock.month - there.first + 1
    gone = block.line("gone", "Months since signing", "1", since_signing)
    regular = block.state(
        "regular", "Regular rent month", (gone > 0) & (gone <= every * (number - ahead)) & equals(mod(gone, every), 0)
    )
    falls = ahead * equals(gone, 0) + regular if in_advance else regular + 0
    if terms.deferred_months is not None:
        free = desk.take(block, terms.deferred_months, "Months without rent after signing", "1")
        falls = falls * (lease_month(there, clock) > free)
    falling = block.line("rents_due", "Rents due", "1", falls)
    amount = _amount(desk, terms, there, clock, each)
    due = block.flow("due", "Rent by contract", "money/month", booked(amount * there.count * falling))
    level = not (terms.steps or terms.skip_months or terms.deferred_months)
    whole = each * there.count * number if level else total(due)
    everything = block.line("all_rents", "All rents of the term", "money", whole)
    signed = clock.month >= there.first
    so_far = block.line("rents_to_date", "Rents so far by contract", "money", cumulative(due))
    left = block.line("rents_left", "Rents still to come", "money", (everything - so_far) * signed)
    return Rents(each, due, everything, left, timing)


def lease_month(there: Window, clock: Clock) -> Line:
    """The month of the lease, 1 in the month of signing."""
    known = there.block.builder.by_id.get(f"{there.block.id}.lease_month")
    if known is not None:
        return known
    return there.block.line("lease_month", "Month of the lease", "1", clock.month - there.first + 1)


def financed(desk: Desk, block: Block, terms: Lease) -> Line:
    """The sum that the rents of one press repay: its cash price, and old debt rolled in."""
    assert terms.cash_price is not None
    price = desk.take(block, terms.cash_price, "Cash price", "money")
    if terms.rolled_in is None:
        return price
    known = block.builder.by_id.get(f"{block.id}.financed")
    if known is not None:
        return known
    debt = desk.take(block, terms.rolled_in, "Old debt rolled in", "money")
    return block.line("financed", "Sum financed for one press", "money", price + debt)


def _each(desk: Desk, block: Block, terms: Lease, number: Line, ahead: Line, every: Line) -> Line:
    """One rent: as written, as a factor of the sum financed, or from the rate that is quoted."""
    if terms.rent is not None:
        return desk.take(block, terms.rent, "Rent each time", "money")
    owed = financed(desk, block, terms)
    if terms.factor is not None:
        factor = desk.take(block, terms.factor, "Rent factor", "1")
        return block.line("rent_each", "Rent each time", "money", owed * factor)
    assert terms.quoted_rate is not None
    quoted = desk.take(block, terms.quoted_rate, "Quoted rate, nominal a year", "1/year", percent=True)
    rate = block.line(
        "rate_a_rent", "Quoted rate from rent to rent", "1", this_month(quoted / MONTHS_A_YEAR) * every, percent=True
    )
    kept: Node = lift(0)
    if terms.at_end == "buy" and terms.buy_price is not None:
        kept = lift(desk.take(block, terms.buy_price, "Price at the end", "money"))
    later = block.line("rents_later", "Rents after signing", "1", number - ahead)
    level = share(1 - power(1 + rate, -1 * later), rate) + equals(rate, 0) * later
    annuity = block.line("annuity", "What one rent each time is worth at signing", "1", ahead + level)
    worth = owed - kept * power(1 + rate, -1 * number)
    return block.line("rent_each", "Rent each time", "money", worth / annuity)


def _amount(desk: Desk, terms: Lease, there: Window, clock: Clock, each: Line) -> Node:
    """What a rent is in each month: by the last step reached, or what is paid in a month that is skipped."""
    block, amount = there.block, lift(each)
    if terms.steps:
        months = [1.0, *(float(month) for month in terms.steps)]
        axis = Axis("rent step", ("First rents", *(f"From month {month}" for month in terms.steps)))
        starts = desk.fixed(block, "steps_from", "Month of the lease from which a rent holds", "1", axis, months)
        step = [desk.take(block, figure, f"Rent from month {month}", "money") for month, figure in terms.steps.items()]
        by_step = block.line("rent_steps", "Rent by step", "money", stacked(axis, [each, *step]))
        now = block.line(
            "rent_now", "Rent by the step reached", "money", band(by_step, starts, lease_month(there, clock))
        )
        amount = lift(now)
    if terms.skip_months:
        marks = [float(name in terms.skip_months) for name in clock.calendar.labels]
        column = desk.fixed(block, "skip_months", "Months whose rent is skipped", "1", clock.calendar, marks)
        skipped = block.state("skipped", "Rent skipped", at(column, clock.position))
        instead: Node = lift(0)
        if terms.skip_rent is not None:
            instead = lift(desk.take(block, terms.skip_rent, "Paid in place of a skipped rent", "money"))
        amount = amount * ~skipped + instead * skipped
    return amount


def rent_a_month(desk: Desk, terms: Lease, there: Window, by_contract: Rents) -> Line:
    """The rent of one month, all presses: what goes on to be paid where rents are due less often."""
    known = there.block.builder.by_id.get(f"{there.block.id}.rent_a_month")
    if known is not None:
        return known
    every = desk.take(there.block, terms.every_months, "Months between rents", "1")
    return there.block.line(
        "rent_a_month", "Rent a month, all presses", "money", by_contract.each / every * there.count
    )


def rent_before(desk: Desk, terms: Lease, there: Window, by_contract: Rents) -> tuple[Charge, Line] | None:
    """Describe the rent between delivery and the first day of the term, and what it binds."""
    if terms.interim_rent is None:
        return None
    block = there.block
    days = desk.take(block, terms.interim_rent.days, "Days before the term begins", "day")
    part = days / desk.constant(block, "days_a_rent_month")
    asked = block.line(
        "interim_sum", "Rent before the term", "money", rent_a_month(desk, terms, there, by_contract) * part
    )
    paid = block.cost("interim", "Rent before the term paid", "equipment", asked * there.starts, "opening")
    return Charge(paid, "rent"), asked

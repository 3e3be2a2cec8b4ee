"""Leases and rentals: rents as they fall due, the end of the term, and what lies beyond the months compared."""

from __future__ import annotations

from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Deal, Window
from tco.costs.terms import present_end, sold, term_end
from tco.model.kinds import Timing
from tco.model.nodes import Line
from tco.model.vocabulary import (
    before,
    booked,
    cumulative,
    down,
    equals,
    internal_rate,
    largest,
    mod,
    power,
    this_month,
    total,
)
from tco.scenario.schema import Lease, Rental, Scenario, TodayLease


@dataclass(frozen=True)
class _Rents:
    """Rents as the contract has them, also beyond the horizon."""

    due: Line
    everything: Line
    timing: Timing


def lease(desk: Desk, terms: Lease, there: Window, clock: Clock) -> Deal:
    """Describe a lease by its end: given back, bought, or renewed."""
    block = there.block
    rents = _rents(desk, terms, there, clock)
    fee = desk.take(block, terms.document_fee, "Document fee", "money")
    fees = block.line("fees", "Document fees", "money", fee * there.count)
    paid_fee = block.cost("fee", "Document fee paid", "equipment", fees * there.starts, "opening")
    at_cash = _at_cash(desk, terms, there)
    if terms.at_end == "buy":
        return _bought(desk, terms, there, clock, rents, paid_fee, at_cash)
    rent = block.cost("rent", "Rent", "equipment", rents.due * clock.live, rents.timing)
    charges = [Charge(rent, "rent"), Charge(paid_fee, "fee")]
    late = block.flow("rent_beyond", "Rent beyond the horizon", "money/month", rents.due * ~clock.live)
    beyond = [block.line("beyond", "Rents beyond the months compared", "money", total(late))]
    end = term_end(desk, block, terms, there.first)
    if terms.at_end == "renew":
        renewal, renewal_beyond, end = _renewal(desk, terms, there, clock, end, rents.timing)
        charges.append(Charge(renewal, "rent"))
        beyond.append(renewal_beyond)
    freight, freight_bound, freight_beyond = _freight(desk, terms, there, clock, end)
    charges.append(Charge(freight, "return"))
    return Deal(
        tuple(charges),
        bound=(rents.everything, fees, freight_bound),
        beyond=(*beyond, freight_beyond),
        financing=tuple(charge.line for charge in charges),
        at_cash=at_cash,
    )


def _rents(desk: Desk, terms: Lease, there: Window, clock: Clock) -> _Rents:
    """Rents due by the contract: some at signing, the others every so many months."""
    block = there.block
    rent = desk.take(block, terms.rent, "Rent each time", "money")
    months = desk.take(block, terms.months, "Term of the lease", "1")
    every = desk.take(block, terms.every_months, "Months between rents", "1")
    ahead = desk.take(block, terms.advance_rents, "Rents at signing", "1")
    number = block.line("rents", "Number of rents", "1", months / every)
    in_advance = terms.paid == "in advance" or terms.advance_rents.number > 0
    timing: Timing = "opening" if in_advance else "close"
    since_signing = clock.month - there.first if in_advance else clock.month - there.first + 1
    gone = block.line("gone", "Months since signing", "1", since_signing)
    regular = block.state(
        "regular", "Regular rent month", (gone > 0) & (gone <= every * (number - ahead)) & equals(mod(gone, every), 0)
    )
    falls = block.line("rents_due", "Rents due", "1", ahead * equals(gone, 0) + regular if in_advance else regular + 0)
    due = block.flow("due", "Rent by contract", "money/month", booked(rent * there.count * falls))
    everything = block.line("all_rents", "All rents of the term", "money", rent * there.count * number)
    return _Rents(due, everything, timing)


def _at_cash(desk: Desk, terms: Lease, there: Window) -> Line | None:
    if terms.cash_price is None or terms.cash_price.value is None:
        return None
    price = desk.take(there.block, terms.cash_price, "Cash price", "money")
    return there.block.memo("at_cash", "The same press for cash", "money/month", price * there.count * there.starts)


def _bought(
    desk: Desk, terms: Lease, there: Window, clock: Clock, rents: _Rents, fee: Line, at_cash: Line | None
) -> Deal:
    """An ownership contract: what is owed when the press leaves is settled then, and the press is worth something."""
    block = there.block
    rent = block.cost("rent", "Rent", "equipment", rents.due * there.present, rents.timing)
    assert terms.buy_price is not None
    price = desk.take(block, terms.buy_price, "Price at the end", "money")
    prices = block.line("buy_price", "Price at the end, all presses", "money", price * there.count)
    end = term_end(desk, block, terms, there.first)
    ends = block.event("term_ends", "Term ends", equals(clock.month, end))
    option = block.flow("option", "Purchase by contract", "money/month", prices * ends)
    bought = block.cost("bought", "Purchase at the end", "equipment", option * there.present)
    owed = _owed(there, rents, option, at_cash)
    settled = block.cost("settled", "Lease balance settled", "equipment", owed * there.leaves)
    sale = sold(desk, terms.sells_for, there)
    charges = (
        Charge(rent, "rent"), Charge(fee, "fee"), Charge(bought, "equipment"), Charge(settled, "settlement"),
        Charge(sale, "receipt", deducted=False),
    )  # fmt: skip
    fees = block.builder.by_id[f"{block.id}.fees"]
    return Deal(
        charges,
        bound=(rents.everything, fees, prices),
        financing=(rent, fee, bought, settled),
        at_cash=at_cash,
        sale=sale,
    )


def _owed(there: Window, rents: _Rents, option: Line, at_cash: Line | None) -> Line:
    """The balance owed after each month: at the rate the rents imply, or undiscounted when no cash price is known."""
    block = there.block
    if at_cash is None:
        asked = block.flow("asked", "Rents and price by contract", "money/month", rents.due + option)
        so_far = block.line("asked_to_date", "Paid so far by contract", "money", cumulative(asked))
        return block.line("owed", "Still to pay", "money", total(asked) - so_far)
    before_month = rents.due if rents.timing == "opening" else before(rents.due)
    stream = block.flow(
        "stream", "Cash price less rents, by instant", "money/month", at_cash - before_month - before(option)
    )
    rate = block.line("implied", "Implied rate a month", "1", internal_rate(stream), percent=True)
    owed = block.declare("owed", "Balance owed", "money")
    advance = at_cash - rents.due if rents.timing == "opening" else at_cash + 0
    opening = block.line(
        "opening", "Balance after signing and advance rent", "money", before(owed) + this_month(advance)
    )
    charge = block.line("rent_charge", "Interest in the rents", "money", opening * rate)
    late = option if rents.timing == "opening" else rents.due + option
    owed.becomes(opening + charge - this_month(late))
    return owed


def _renewal(
    desk: Desk, terms: Lease, there: Window, clock: Clock, end: Line, timing: Timing
) -> tuple[Line, Line, Line]:
    """Rent after the term, what of it lies beyond the horizon, and the month in which the renewal ends."""
    block = there.block
    known = terms.renewal_rent
    rent = desk.take(
        block, terms.rent if known is None else known, "Rent each time" if known is None else "Renewal rent", "money"
    )
    if known is None:
        every = desk.take(block, terms.every_months, "Months between rents", "1")
        rent = block.line("renewal_rent", "Renewal rent a month", "money", rent / every)
    if terms.renewal_months is None:
        last = block.line("renewal_end", "Last month of renewal", "1", largest(end, clock.horizon))
    else:
        more = desk.take(block, terms.renewal_months, "Months of renewal", "1")
        last = block.line("renewal_end", "Last month of renewal", "1", end + more)
    goes_on = block.state("renewed", "In renewal", (clock.month > end) & (clock.month <= last))
    due = block.flow("renewal_due", "Rent in renewal by contract", "money/month", booked(rent * there.count * goes_on))
    paid = block.cost("renewal", "Rent in renewal", "equipment", due * clock.live, timing)
    late = block.flow("renewal_late", "Rent in renewal beyond the horizon", "money/month", due * ~clock.live)
    return paid, block.line("renewal_beyond", "Renewal rents beyond the months compared", "money", total(late)), last


def _freight(desk: Desk, terms: Lease, there: Window, clock: Clock, end: Line) -> tuple[Line, Line, Line]:
    """Giving the press back: within the months compared, bound on signing, and beyond."""
    block = there.block
    assert terms.return_freight is not None
    freight = desk.take(block, terms.return_freight, "Return freight", "money")
    all_freight = block.line("freight", "Return freight, all presses", "money", freight * there.count)
    goes = block.event("returned", "Given back", equals(clock.month, end) & clock.live)
    paid = block.cost("return", "Return freight paid", "equipment", all_freight * goes)
    later = block.line(
        "freight_beyond", "Return freight beyond the horizon", "money", all_freight * (end > clock.horizon)
    )
    return paid, all_freight, later


def rental(desk: Desk, terms: Rental, there: Window, clock: Clock) -> Deal:
    """Describe a press rented month by month, cancellable with notice."""
    block = there.block
    rent = desk.take(block, terms.rent, "Rent a month", "money")
    increase = desk.take(block, terms.increase, "Rental increase", "1", percent=True)
    every = desk.take(block, terms.increase_every, "Months between increases", "1")
    notice = desk.take(block, terms.notice_months, "Months of notice", "1")
    raised = block.line("raised", "Increases so far", "1", largest(0, down((clock.month - there.first) / every)))
    factor = block.line("rent_factor", "Rent factor", "1", power(1 + increase, raised))
    paid = block.cost("rent", "Rent", "equipment", booked(rent * there.count * factor * there.present), "opening")
    bound = block.line("bound", "Rent over the notice", "money", rent * there.count * notice)
    return Deal((Charge(paid, "rent"),), bound=(bound,), financing=(paid,))


def running_lease(desk: Desk, scenario: Scenario, terms: TodayLease, there: Window, clock: Clock) -> Deal:
    """Describe the lease of a present press that is kept: to its end, and month to month while it stays."""
    block = there.block
    rent = desk.take(block, terms.rent, "Rent of the present lease", "money")
    ends = present_end(desk, block, scenario, terms)
    bound_months = block.state("in_term", "In the present term", clock.month <= ends)
    pays = bound_months | there.present if terms.then == "month to month" else bound_months
    goes_on = block.state("pays", "Present rent due", pays)
    due = block.flow("due", "Present rent by contract", "money/month", booked(rent * there.count * goes_on))
    paid = block.cost("rent", "Rent of the present lease paid", "equipment", due * clock.live, "opening")
    late = block.flow("rent_beyond", "Present rent beyond the horizon", "money/month", due * ~clock.live)
    beyond = [block.line("beyond", "Present rents beyond the months compared", "money", total(late))]
    left = block.line("rents_left", "Rents left on the present lease", "money", rent * there.count * largest(0, ends))
    freight = desk.take(block, terms.return_freight, "Return freight, present press", "money")
    all_freight = block.line("freight", "Return freight, all present presses", "money", freight * there.count)
    if terms.then == "return":
        goes = block.event("returned", "Given back", equals(clock.month, ends) & clock.live)
        later = all_freight * (ends > clock.horizon)
        beyond.append(block.line("freight_beyond", "Return freight beyond the horizon", "money", later))
    else:
        out = block.line("out", "Month it is given back", "1", largest(ends, there.last))
        goes = block.event("returned", "Given back", equals(clock.month, out) & (out < clock.horizon))
    back = block.cost("return", "Return freight paid", "equipment", all_freight * goes)
    return Deal((Charge(paid, "rent"), Charge(back, "return")), bound=(left,), beyond=tuple(beyond))

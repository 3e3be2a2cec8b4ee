"""How a lease ends: renewed, given back, given back late or early, or bought."""

from __future__ import annotations

from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.lease_rents import Rents, financed, lease_month, rent_a_month
from tco.costs.records import Charge, Clock, Window
from tco.model.kinds import Axis
from tco.model.nodes import MONTHS_A_YEAR, Line, Node, lift
from tco.model.vocabulary import band, before, booked, cumulative, equals, internal_rate, largest, this_month, total
from tco.scenario.figure import Figure
from tco.scenario.schema import Lease


@dataclass(frozen=True)
class Ending:
    """What an end costs within the months compared, what it binds on signing, and what lies beyond."""

    charge: Charge
    bound: Line | None
    beyond: Line


def renewal(desk: Desk, terms: Lease, there: Window, clock: Clock, end: Line, rents: Rents) -> tuple[Ending, Line]:
    """Describe the rent after the term; give the month in which the renewal ends as well."""
    block = there.block
    if terms.renewal_rent is not None:
        rent = desk.take(block, terms.renewal_rent, "Renewal rent", "money")
    else:
        every = desk.take(block, terms.every_months, "Months between rents", "1")
        rent = block.line("renewal_rent", "Renewal rent a month", "money", rents.each / every)
    if terms.renewal_length is None:
        last = block.line("renewal_end", "Last month of renewal", "1", largest(end, clock.horizon))
    else:
        more = desk.take(block, terms.renewal_length, "Months of renewal", "1")
        last = block.line("renewal_end", "Last month of renewal", "1", end + more)
    goes_on = block.state("renewed", "In renewal", (clock.month > end) & (clock.month <= last))
    due = block.flow("renewal_due", "Rent in renewal by contract", "money/month", booked(rent * there.count * goes_on))
    paid = block.cost("renewal", "Rent in renewal", "equipment", due * clock.live, rents.timing)
    late = block.flow("renewal_late", "Rent in renewal beyond the horizon", "money/month", due * ~clock.live)
    beyond = block.line("renewal_beyond", "Renewal rents beyond the months compared", "money", total(late))
    return Ending(Charge(paid, "rent"), None, beyond), last


def given_back(desk: Desk, terms: Lease, there: Window, clock: Clock, end: Line) -> Ending:
    """Describe the freight of giving the press back."""
    block = there.block
    assert terms.return_freight is not None
    freight = desk.take(block, terms.return_freight, "Return freight", "money")
    all_freight = block.line("freight", "Return freight, all presses", "money", freight * there.count)
    goes = block.event("returned", "Given back", equals(clock.month, end) & clock.live)
    paid = block.cost("return", "Return freight paid", "equipment", all_freight * goes)
    later = block.line(
        "freight_beyond", "Return freight beyond the horizon", "money", all_freight * (end > clock.horizon)
    )
    return Ending(Charge(paid, "return"), all_freight, later)


def given_back_late(desk: Desk, terms: Lease, there: Window, clock: Clock, end: Line, rents: Rents) -> Ending | None:
    """Describe the rents that run on until the lessor has the press back."""
    if terms.late_return_months is None:
        return None
    block = there.block
    more = desk.take(block, terms.late_return_months, "Months until the press is back", "1")
    a_month = rent_a_month(desk, terms, there, rents)
    waits = block.state("waits", "Waits to be fetched", (clock.month > end) & (clock.month <= end + more))
    due = block.flow("late_due", "Rent until it is back, by contract", "money/month", booked(a_month * waits))
    paid = block.cost("late", "Rent until it is back", "equipment", due * clock.live, "opening")
    after = block.flow("late_after", "Rent until it is back, beyond the horizon", "money/month", due * ~clock.live)
    beyond = block.line("late_beyond", "Rent until it is back, beyond the months compared", "money", total(after))
    return Ending(
        Charge(paid, "rent"), block.line("late_bound", "Rents until it is back", "money", a_month * more), beyond
    )


def left_early(desk: Desk, terms: Lease, there: Window, clock: Clock, rents: Rents) -> tuple[Ending, Line, Line] | None:
    """Describe what leaving early costs; give as well the months of rents, and those after which rents are owed."""
    if terms.exit_month is None:
        return None
    block = there.block
    leaves = desk.take(block, terms.exit_month, "Left after months (0: never)", "1")
    month = lease_month(there, clock)
    kept = block.state("kept", "Not left early", equals(leaves, 0) | (month <= leaves))
    goes = block.event("exits", "Left early", equals(month, leaves) & (leaves > 0))
    due = block.flow(
        "exit_due", "Paid for leaving, by contract", "money/month", still_owed(desk, terms, there, clock, rents) * goes
    )
    paid = block.cost("exit", "Paid for leaving", "equipment", due * clock.live)
    after = block.flow("exit_after", "Paid for leaving beyond the horizon", "money/month", due * ~clock.live)
    beyond = block.line("exit_beyond", "Paid for leaving beyond the months compared", "money", total(after))
    after_it = block.state("stays", "Stays after the month", equals(leaves, 0) | (month < leaves))
    return Ending(Charge(paid, "settlement"), None, beyond), kept, after_it


def still_owed(desk: Desk, terms: Lease, there: Window, clock: Clock, rents: Rents) -> Node:
    """What ending the lease after each month would cost: the rents still to come, less the discount agreed."""
    block = there.block
    if terms.exit_at_most is not None:
        known = block.builder.by_id.get(f"{block.id}.exit_share")
        return rents.left * (known if known is not None else _share_by_year(desk, terms.exit_at_most, there, clock))
    if terms.exit_discount is None:
        return lift(rents.left)
    off = desk.take(block, terms.exit_discount, "Discount for leaving early", "1", percent=True)
    return rents.left * (1 - off)


def _share_by_year(desk: Desk, shares: tuple[Figure, ...], there: Window, clock: Clock) -> Line:
    """The largest part of the remaining rents that an end may cost, by the year of the lease; the last one holds on."""
    block = there.block
    axis = Axis("year of the lease", tuple(f"Year {year + 1}" for year in range(len(shares))))
    most = desk.column(block, "exit_at_most", "At most of the remaining rents", "1", axis, shares, percent=True)
    begins = desk.fixed(
        block, "exit_years", "Month of the lease in which the year begins", "1", axis,
        [float(year * 12 + 1) for year in range(len(shares))],
    )  # fmt: skip
    now = band(most, begins, lease_month(there, clock))
    return block.line("exit_share", "At most of the remaining rents in the month", "1", now, percent=True)


def owed(desk: Desk, terms: Lease, there: Window, rents: Rents, option: Line, at_cash: Line | None) -> Line:
    """The balance owed after each month: at the rate the rents imply, or undiscounted when no cash price is known."""
    block = there.block
    if at_cash is None:
        asked = block.flow("asked", "Rents and price by contract", "money/month", rents.due + option)
        so_far = block.line("asked_to_date", "Paid so far by contract", "money", cumulative(asked))
        return block.line("owed", "Still to pay", "money", total(asked) - so_far)
    lent = at_cash
    if terms.rolled_in is not None:
        sums = financed(desk, block, terms)
        lent = block.flow("lent", "Financed at signing", "money/month", sums * there.count * there.starts)
    in_advance = rents.timing == "opening"
    by_instant = rents.due if in_advance else before(rents.due)
    stream = block.flow(
        "stream", "Sum financed less rents, by instant", "money/month", lent - by_instant - before(option)
    )
    rate = block.line("implied", "Implied rate a month", "1", internal_rate(stream), percent=True)
    block.memo("implied_year", "Implied rate, nominal a year", "1/year", booked(rate) * MONTHS_A_YEAR, percent=True)
    balance = block.declare("owed", "Balance owed", "money")
    opening = block.line(
        "opening", "Balance after signing and advance rent", "money",
        before(balance) + this_month(lent - rents.due if in_advance else lent + 0),
    )  # fmt: skip
    charge = block.line("rent_charge", "Interest in the rents", "money", opening * rate)
    balance.becomes(opening + charge - this_month(option if in_advance else rents.due + option))
    return balance

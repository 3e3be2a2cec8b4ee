"""The lease of a present press that is kept."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Deal, Window
from tco.costs.terms import present_end
from tco.model.vocabulary import booked, cumulative, equals, largest, total
from tco.scenario.schema import Scenario, TodayLease


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
    term = block.flow(
        "term_due", "Present rent to the end of its term", "money/month", booked(rent * there.count * bound_months)
    )
    gone = block.line("term_to_date", "Present rents so far", "money", cumulative(term))
    to_come = block.line("still_bound", "Present rents still to come", "money", left - gone)
    charges = (Charge(paid, "rent"), Charge(back, "return"))
    return Deal(charges, bound=(left,), beyond=tuple(beyond), contract=(term,), still_bound=(to_come,))

"""What every candidate inherits from today: the old rents, the sale of the present press, its removal."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Deal
from tco.costs.terms import present_end
from tco.model.lines import Block
from tco.model.nodes import Line
from tco.model.vocabulary import booked, cumulative, equals, largest, total
from tco.scenario.schema import Press, Scenario, TodayLease


def inherited(desk: Desk, block: Block, scenario: Scenario, press: Press, present_lease: str, clock: Clock) -> Deal:
    """Describe what is left of one present press for a candidate that does not keep it."""
    count = desk.take(block, press.count, "Present presses", "1")
    start = block.event("starts", "First month", equals(clock.month, 1))
    charges: list[Charge] = []
    bound: list[Line] = []
    beyond: list[Line] = []
    contract: list[Line] = []
    still_bound: list[Line] = []
    if press.sells_for is not None:
        each = desk.take(block, press.sells_for, "Present press sells for", "money")
        sale = block.cost("sale", "Sale of the present press", "equipment", -1 * each * count * start, "opening")
        charges.append(Charge(sale, "receipt", deducted=False, budget="capital"))
    if press.removal is not None:
        each = desk.take(block, press.removal, "Removal of one press", "money")
        gone = block.cost("removal", "Removal of the present press", "equipment", each * count * start, "opening")
        charges.append(Charge(gone, "removal"))
    lease = press.lease
    if isinstance(lease, TodayLease) and present_lease != "rolled in":
        if present_lease == "finish":
            _finish(desk, block, scenario, lease, count, clock, charges, bound, beyond, contract, still_bound)
        elif lease.buy_out is not None:
            each = desk.take(block, lease.buy_out, "Buy-out of the present lease", "money")
            all_of_it = block.line("buy_out_sum", "Buy-out, all present presses", "money", each * count)
            paid = block.cost("buy_out", "Buy-out of the present lease paid", "equipment", all_of_it * start, "opening")
            charges.append(Charge(paid, "settlement"))
            bound.append(all_of_it)
            contract.append(paid)
    return Deal(
        tuple(charges),
        bound=tuple(bound),
        beyond=tuple(beyond),
        contract=tuple(contract),
        still_bound=tuple(still_bound),
    )


def _finish(
    desk: Desk,
    block: Block,
    scenario: Scenario,
    lease: TodayLease,
    count: Line,
    clock: Clock,
    charges: list[Charge],
    bound: list[Line],
    beyond: list[Line],
    contract: list[Line],
    still_bound: list[Line],
) -> None:
    """The old rents go on to their end, then the press is given back."""
    rent = desk.take(block, lease.rent, "Rent of the present lease", "money")
    ends = present_end(desk, block, scenario, lease)
    due = block.state("in_term", "In the present term", (clock.month <= ends) & clock.live)
    paid = block.cost("rent", "Rent of the present lease", "equipment", booked(rent * count * due), "opening")
    charges.append(Charge(paid, "rent"))
    left = block.line("rents_left", "Rents left on the present lease", "money", rent * count * largest(0, ends))
    bound.append(left)
    term = block.flow("term_due", "Present rent to the end of its term", "money/month",
                      booked(rent * count * (clock.month <= ends)))  # fmt: skip
    contract.append(term)
    gone = block.line("term_to_date", "Present rents so far", "money", cumulative(term))
    still_bound.append(block.line("still_bound", "Present rents still to come", "money", left - gone))
    freight = desk.take(block, lease.return_freight, "Return freight, present press", "money")
    goes = block.event("returned", "Given back", equals(clock.month, ends) & clock.live)
    back = block.cost("return", "Return freight paid", "equipment", freight * count * goes)
    charges.append(Charge(back, "return"))
    late = block.flow(
        "rent_beyond",
        "Present rent beyond the horizon",
        "money/month",
        booked(rent * count * ((clock.month <= ends) & ~clock.live)),
    )
    beyond.append(block.line("beyond", "Present rents beyond the months compared", "money", total(late)))
    later = freight * count * (ends > clock.horizon)
    beyond.append(block.line("freight_beyond", "Return freight beyond the horizon", "money", later))

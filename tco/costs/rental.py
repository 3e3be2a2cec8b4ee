"""A press rented month by month, cancellable with notice."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Deal, Window
from tco.model.vocabulary import booked, down, largest, power
from tco.scenario.schema import Rental


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
    here = there.present & (clock.month < there.last)
    owed = block.line(
        "notice_left", "Rent over the notice, given now", "money", rent * there.count * factor * notice * here
    )
    signed = block.flow("contract", "Rent over the notice, on signing", "money/month", bound * there.starts)
    return Deal((Charge(paid, "rent"),), bound=(bound,), financing=(paid,), contract=(signed,), still_bound=(owed,))

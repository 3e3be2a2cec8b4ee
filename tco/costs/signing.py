"""What comes with a press beside its price: delivery, training, works on the site, the front end, and its removal."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Budget, Charge, Clock, Deal, Window
from tco.model.nodes import MONTHS_A_YEAR, Line
from tco.scenario.schema import Press


def signing(desk: Desk, press: Press, there: Window, clock: Clock, *, is_bought: bool) -> Deal:
    """Describe the one-off sums of a press.

    Delivery and works of a bought press are capital and written off with it; those of a lease that income tax sees as a
    purchase are written off, too.
    """
    block = there.block
    lease = press.new_lease
    with_it = is_bought or (lease is not None and lease.tax_as == "purchase")
    charges: list[Charge] = []
    bound: list[Line] = []
    depreciable: list[Line] = []
    sums = (
        ("delivery", "Delivery and installation", press.delivery_and_installation, with_it),
        ("training", "Training", press.training, False),
        ("works", "Works on the site", press.site_works, with_it),
        ("front_end", "Front end", press.front_end.price if press.front_end else None, False),
    )
    for key, label, figure, written_off in sums:
        if figure is None or (figure.is_assumed and figure.number == 0):
            continue
        each = desk.take(block, figure, label, "money")
        all_of_it = block.line(f"{key}_sum", f"{label}, all presses", "money", each * there.count)
        paid = block.cost(key, f"{label} paid", "equipment", all_of_it * there.starts, "opening")
        budget: Budget = "capital" if written_off and is_bought else "operating"
        charges.append(Charge(paid, "equipment", deducted=not written_off, budget=budget))
        bound.append(all_of_it)
        if written_off:
            depreciable.append(all_of_it)
    if press.front_end is not None and not press.front_end.support_per_year.is_assumed:
        support = desk.take(block, press.front_end.support_per_year, "Front-end support a year", "money/year")
        due = support / MONTHS_A_YEAR * there.machines * there.present * clock.price_level
        charges.append(Charge(block.cost("support", "Front-end support", "service", due), "service"))
    if press.removal is not None:
        each = desk.take(block, press.removal, "Removal of one press", "money")
        early = there.leaves * (there.last < clock.horizon)
        charges.append(Charge(block.cost("removal", "Removal", "equipment", each * there.count * early), "removal"))
    return Deal(tuple(charges), bound=tuple(bound), depreciable=tuple(depreciable))


def leaves_early(desk: Desk, press: Press, there: Window, clock: Clock) -> Deal:
    """Describe the sale of a present press that is kept for a while."""
    if press.sells_for is None:
        return Deal(())
    block = there.block
    each = desk.take(block, press.sells_for, "Sells for when it goes", "money")
    early = there.leaves * (there.last < clock.horizon)
    sale = block.cost("sold", "Sale of the present press", "equipment", -1 * each * there.count * early)
    return Deal((Charge(sale, "receipt", deducted=False, budget="capital"),))

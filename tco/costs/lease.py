"""A leased press: its rents, what comes beside them, and how it ends. Each part stands in a file of its own."""

from __future__ import annotations

from dataclasses import replace

from tco.costs.desk import Desk
from tco.costs.lease_end import Ending, given_back, given_back_late, left_early, owed, renewal, still_owed
from tco.costs.lease_extras import extras
from tco.costs.lease_rents import Rents, financed, rent_before, rents
from tco.costs.records import Charge, Clock, Deal, Leased, Window
from tco.costs.terms import contract_end, sold, term_end, worth_until_sold
from tco.model.nodes import Line
from tco.model.vocabulary import booked, equals, joined, share, total
from tco.scenario.schema import Lease, Scenario


def lease(desk: Desk, scenario: Scenario, terms: Lease, there: Window, clock: Clock) -> Deal:
    """Describe a lease by its end: given back, bought, or renewed."""
    block = there.block
    by_contract = rents(desk, terms, there, clock)
    fee = desk.take(block, terms.document_fee, "Document fee", "money")
    fees = block.line("fees", "Document fees", "money", fee * there.count)
    paid_fee = block.cost("fee", "Document fee paid", "equipment", fees * there.starts, "opening")
    bound = [by_contract.everything, fees]
    charges = [Charge(paid_fee, "fee")]
    before = rent_before(desk, terms, there, by_contract)
    if before is not None:
        charges.append(before[0])
        bound.append(before[1])
    at_cash = _at_cash(desk, terms, there)
    if terms.rolled_in is not None:
        _told_apart(desk, terms, there, by_contract)
    form = _bought if terms.at_end == "buy" else _used
    deal = form(desk, scenario, terms, there, clock, by_contract, charges, bound, at_cash)
    option = block.builder.by_id.get(f"{block.id}.option")
    return replace(deal, leased=Leased(terms, there, by_contract.due, by_contract.timing, option, fees))


def _at_cash(desk: Desk, terms: Lease, there: Window) -> Line | None:
    if terms.cash_price is None or terms.cash_price.value is None:
        return None
    price = desk.take(there.block, terms.cash_price, "Cash price", "money")
    return there.block.memo("at_cash", "The same press for cash", "money/month", price * there.count * there.starts)


def _told_apart(desk: Desk, terms: Lease, there: Window, by_contract: Rents) -> None:
    """Which part of each rent repays old debt: it buys nothing."""
    block = there.block
    assert terms.rolled_in is not None
    debt = desk.take(block, terms.rolled_in, "Old debt rolled in", "money")
    part = block.line(
        "old_share", "Share of each rent for old debt", "1", share(debt, financed(desk, block, terms)), percent=True
    )
    block.memo("old_rent", "Old debt in one rent", "money", by_contract.each * part)
    block.memo("old_rents", "Paid for old debt in all", "money", by_contract.everything * part)


def _rent_heading(terms: Lease) -> str:
    """The heading that sales tax asks for: tax paid up front is not due again on the rents."""
    return "rent taxed at signing" if terms.sales_tax == "up front" else "rent"


def _used(
    desk: Desk,
    scenario: Scenario,
    terms: Lease,
    there: Window,
    clock: Clock,
    by_contract: Rents,
    charges: list[Charge],
    bound: list[Line],
    at_cash: Line | None,
) -> Deal:
    """A contract of use: what lies after the months compared is committed, and the press is given back in the end."""
    block = there.block
    end = contract_end(desk, block, terms, there.first)
    ends: list[Ending] = []
    early = left_early(desk, terms, there, clock, by_contract)
    due = by_contract.due + 0 if early is None else by_contract.due * early[1]
    rent = block.cost("rent", "Rent", "equipment", due * clock.live, by_contract.timing)
    late = block.flow("rent_beyond", "Rent beyond the horizon", "money/month", due * ~clock.live)
    after = block.line("beyond", "Rents beyond the months compared", "money", total(late))
    ends.append(Ending(Charge(rent, _rent_heading(terms)), None, after))
    if early is not None:
        ends.append(early[0])
    if terms.is_renewed:
        renewed, end = renewal(desk, terms, there, clock, end, by_contract)
        ends.append(renewed)
    ends.append(given_back(desk, terms, there, clock, end))
    waiting = given_back_late(desk, terms, there, clock, end, by_contract)
    if waiting is not None:
        ends.append(waiting)
    charges = [*charges, *(one.charge for one in ends)]
    left = still_owed(desk, terms, there, clock, by_contract)
    to_come = block.line("still_bound", "Owed if it ends now", "money", left if early is None else left * early[2])
    return Deal(
        (*charges, *extras(desk, scenario, terms, there, clock)),
        bound=(*bound, *(one.bound for one in ends if one.bound is not None)),
        beyond=tuple(one.beyond for one in ends),
        financing=tuple(charge.line for charge in charges),
        at_cash=at_cash,
        taxed_up_front=at_cash if terms.sales_tax == "up front" else None,
        contract=(by_contract.due, *_signed(charges)),
        still_bound=(to_come,),
        stops=(by_contract.due,),
    )


def _bought(
    desk: Desk,
    scenario: Scenario,
    terms: Lease,
    there: Window,
    clock: Clock,
    by_contract: Rents,
    charges: list[Charge],
    bound: list[Line],
    at_cash: Line | None,
) -> Deal:
    """An ownership contract: what is owed when the press leaves is settled then, and the press is worth something."""
    block = there.block
    rent = block.cost("rent", "Rent", "equipment", by_contract.due * there.present, by_contract.timing)
    assert terms.buy_price is not None
    price = desk.take(block, terms.buy_price, "Price at the end", "money")
    prices = block.line("buy_price", "Price at the end, all presses", "money", price * there.count)
    end = term_end(desk, block, terms, there.first)
    ends = block.event("term_ends", "Term ends", equals(clock.month, end))
    option = block.flow("option", "Purchase by contract", "money/month", prices * ends)
    bought = block.cost("bought", "Purchase at the end", "equipment", option * there.present)
    balance = owed(desk, terms, there, by_contract, option, at_cash)
    settled = block.cost("settled", "Lease balance settled", "equipment", balance * there.leaves)
    sale = sold(desk, terms.sells_for, there)
    as_rent = terms.tax_as != "purchase"
    paid = [
        *charges,
        Charge(rent, _rent_heading(terms), deducted=as_rent),
        Charge(bought, "equipment", deducted=as_rent, budget="capital"),
        Charge(settled, "settlement", deducted=as_rent),
    ]
    basis, interest = ((), None) if as_rent else _as_purchase(desk, terms, there, (rent, bought, settled))
    here = there.present & (clock.month < there.last)
    left = still_owed(desk, terms, there, clock, by_contract) + prices * (clock.month < end)
    to_come = block.line("still_bound", "Owed if it ends now", "money", left * here)
    worth = None
    if terms.cash_price is not None and at_cash is not None:
        new = desk.take(block, terms.cash_price, "Cash price", "money")
        worth = worth_until_sold(there, clock, new, desk.take(block, terms.sells_for, "Sells for", "money"))
    return Deal(
        (
            *paid,
            Charge(sale, "receipt", deducted=False, budget="capital"),
            *extras(desk, scenario, terms, there, clock),
        ),
        bound=(*bound, prices),
        financing=tuple(charge.line for charge in paid),
        at_cash=at_cash,
        depreciable=basis,
        taxed_up_front=at_cash if terms.sales_tax == "up front" else None,
        sale=sale,
        contract=(by_contract.due, option, *_signed(charges)),
        still_bound=(to_come,),
        worth=worth,
        stops=(by_contract.due, option),
        interest=interest,
    )


def _as_purchase(desk: Desk, terms: Lease, there: Window, paid: tuple[Line, ...]) -> tuple[tuple[Line, ...], Line]:
    """Describe what income tax sees of a lease that it treats as a purchase: the sum written off, and the interest."""
    block, known = there.block, there.block.builder.by_id
    assert terms.cash_price is not None
    price = desk.take(block, terms.cash_price, "Cash price", "money")
    basis = block.line("tax_basis", "Cash price of all presses", "money", price * there.count)
    charge = known[f"{block.id}.rent_charge"]
    interest = block.flow("interest", "Interest in the rents, deducted", "money/month", booked(charge * there.present))
    owed_at_first = financed(desk, block, terms) * there.count
    lent = basis if terms.rolled_in is None else block.line("lent_sum", "Financed, all presses", "money", owed_at_first)
    everything = block.flow("all_paid", "Rents, price and balance paid", "money/month", joined(paid, "money/month"))
    block.check(
        "interest_adds_up", "Interest and price are all payments", "money", total(everything) - lent - total(interest)
    )
    return (basis,), interest


def _signed(charges: list[Charge]) -> list[Line]:
    """What is paid at signing beside the rents."""
    return [charge.line for charge in charges if charge.line.id.rsplit(".", maxsplit=1)[-1] in ("fee", "interim")]

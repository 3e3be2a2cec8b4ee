"""A press bought outright, on credit, or owned already, and what it sells for in the end."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Deal, Window
from tco.costs.terms import sold, worth_until_sold
from tco.model.nodes import MONTHS_A_YEAR
from tco.model.vocabulary import before, booked, level_payment, smallest, this_month, total
from tco.scenario.schema import Cash, Loan


def cash(desk: Desk, bought: Cash, there: Window, clock: Clock) -> Deal:
    """Describe a press paid at once."""
    block = there.block
    price = desk.take(block, bought.price, "Price", "money")
    sum_paid = block.line("price", "Price of all presses", "money", price * there.count)
    paid = block.cost("purchase", "Purchase", "equipment", sum_paid * there.starts, "opening")
    sale = sold(desk, bought.sells_for, there)
    worth = worth_until_sold(there, clock, price, desk.take(block, bought.sells_for, "Sells for", "money"))
    return Deal(
        (
            Charge(paid, "equipment", deducted=False, budget="capital"),
            Charge(sale, "receipt", deducted=False, budget="capital"),
        ),
        bound=(sum_paid,),
        financing=(paid,),
        at_cash=paid,
        depreciable=(sum_paid,),
        sale=sale,
        contract=(paid,),
        worth=worth,
    )


def loan(desk: Desk, bought: Loan, there: Window, clock: Clock) -> Deal:
    """Describe a press on credit: level instalments at the close of each month, the balance settled when it leaves."""
    block = there.block
    price = desk.take(block, bought.price, "Price", "money")
    down = desk.take(block, bought.down_payment, "Down payment", "money")
    fee = desk.take(block, bought.fee, "Loan fee", "money")
    rate = desk.take(block, bought.rate, "Loan rate, nominal a year", "1/year", percent=True)
    months = desk.take(block, bought.months, "Instalments", "1")
    sum_paid = block.line("price", "Price of all presses", "money", price * there.count)
    first = block.line("down", "Down payments", "money", down * there.count)
    fees = block.line("fees", "Loan fees", "money", fee * there.count)
    lent = block.line("lent", "Borrowed", "money", sum_paid - first)
    a_month = block.line("rate_a_month", "Loan rate a month", "1/month", rate / MONTHS_A_YEAR, percent=True)
    level = block.line("level", "Level instalment", "money/month", level_payment(lent, a_month, months))

    due = block.state("due", "Instalment due", there.present & (clock.month <= there.first + months - 1))
    owed = block.declare("owed", "Balance owed", "money")
    opening = block.line("opening", "Balance after signing", "money", before(owed) + this_month(lent * there.starts))
    interest = block.cost("interest", "Loan interest", "equipment", opening * a_month * due)
    instalment = block.flow(
        "instalment", "Instalment", "money/month", smallest(level * due, booked(opening) + interest)
    )
    principal = block.cost("principal", "Loan repayment", "equipment", instalment - interest)
    rest = block.line("rest", "Balance after the instalment", "money", opening - this_month(principal))
    settled = block.cost("settled", "Loan balance settled", "equipment", rest * there.leaves)
    owed.becomes(rest - this_month(settled))
    block.check("repaid", "Everything borrowed is repaid", "money", total(principal) + total(settled) - lent)

    signing = block.cost("signing", "Down payment", "equipment", first * there.starts, "opening")
    charged = block.cost("fee", "Loan fee paid", "equipment", fees * there.starts, "opening")
    at_cash = block.memo("at_cash", "The same press for cash", "money/month", sum_paid * there.starts)
    sale = sold(desk, bought.sells_for, there)
    instalments = block.line("instalments", "All instalments", "money", this_month(level) * months)
    term = block.state("in_term", "Within the term of the loan", (clock.month >= there.first)
                       & (clock.month <= there.first + months - 1))  # fmt: skip
    by_contract = block.flow("contract", "Instalment by contract", "money/month", level * term)
    worth = worth_until_sold(there, clock, price, desk.take(block, bought.sells_for, "Sells for", "money"))
    return Deal(
        (
            Charge(signing, "down payment", deducted=False, budget="capital"),
            Charge(charged, "fee"),
            Charge(interest, "interest", budget="loan payments"),
            Charge(principal, "principal", deducted=False, budget="loan payments"),
            Charge(settled, "settlement", deducted=False, budget="loan payments"),
            Charge(sale, "receipt", deducted=False, budget="capital"),
        ),
        bound=(first, fees, instalments),
        financing=(signing, charged, interest, principal, settled),
        at_cash=at_cash,
        invoiced=at_cash,
        depreciable=(sum_paid,),
        sale=sale,
        contract=(signing, charged, by_contract),
        still_bound=(owed,),
        worth=worth,
    )

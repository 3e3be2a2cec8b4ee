"""How new leases would stand in the balance sheet: liability, right of use, class and expense.

Nothing here enters the statement. Framework, rate, life and the split of service are inputs, and what is shown is
arithmetic on them: an illustration, to be settled with an accountant.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Clock, Leased, Minimum
from tco.model.lines import Block
from tco.model.nodes import MONTHS_A_YEAR, TWELVE, Line
from tco.model.vocabulary import (
    before,
    booked,
    cumulative,
    equals,
    gathered,
    highest,
    joined,
    mod,
    power,
    present,
    this_month,
    total,
)
from tco.scenario.schema import Figure, LeaseAccounting


@dataclass(frozen=True)
class Shown:
    """Rows of one lease: two balances after the month, and what moves them."""

    taken: Line
    interest: Line
    paid: Line
    liability: Line
    right_taken: Line
    written: Line
    right_of_use: Line
    expense: Line


@dataclass(frozen=True)
class _Debt:
    """A liability: single values at signing, and rows. `rents` are all those of the term, without service."""

    rents: Line
    at_signing: Line
    ahead: Line | None
    taken: Line
    interest: Line
    paid: Line
    balance: Line


def lease_accounting(
    desk: Desk,
    block: Block,
    terms: LeaseAccounting,
    life: Figure | None,
    leases: Sequence[tuple[Block, Leased]],
    minimums: Sequence[Minimum],
    clock: Clock,
) -> None:
    """Describe all new leases of a candidate, each in a block of its own, and their sums by fiscal year.

    `life` are the years a press can be used, None when nobody says.
    """
    shown = [_lease(desk, own, terms, life, one, clock) for own, one in leases]
    for place, one in enumerate(minimums, 1):
        _minimum(desk, block, terms, one, place, clock)
    if not shown:
        return
    last = block.line("last_column", "Last month of the model", "1", highest(clock.month))
    ends = equals(mod(clock.month + clock.fiscal_shift, TWELVE), 0) | equals(clock.month, last)
    closes = block.event("closes", "Last month of a fiscal year", ends)
    for key, label in (
        ("taken", "Liability taken on"), ("interest", "Interest on leases"), ("paid", "Rents off the liability"),
        ("right_taken", "Right of use taken on"), ("written", "Right of use written off"),
        ("expense", "Expense of leases"),
    ):  # fmt: skip
        row = block.flow(key, label, "money/month", joined([getattr(one, key) for one in shown], "money/month"))
        _by_year(block, key, label, row, clock)
    for key, label in (("liability", "Lease liability"), ("right_of_use", "Right of use")):
        balance = block.line(key, label, "money", joined([getattr(one, key) for one in shown], "money"))
        now = block.flow(f"{key}_then", f"{label} at the close", "money/month", balance * closes)
        _by_year(block, key, label, now, clock)


def _by_year(block: Block, key: str, label: str, row: Line, clock: Clock) -> None:
    by_year = gathered(clock.fiscal_years, row, clock.fiscal_year)
    block.memo(f"{key}_by_year", f"{label}: fiscal years", "money", by_year)


def _lease(desk: Desk, block: Block, terms: LeaseAccounting, life: Figure | None, one: Leased, clock: Clock) -> Shown:
    block.choice("framework", "Framework", terms.framework)
    month = block.line("month", "Month of the lease", "1", clock.month - one.there.first + 1)
    months = desk.take(block, one.terms.months, "Term of the lease, months", "1")
    in_term = block.state("in_term", "In the term", (month > 0) & (month <= months))
    debt = _debt(desk, block, terms, one, month)
    parts = [debt.at_signing, one.fees] if debt.ahead is None else [debt.at_signing, debt.ahead, one.fees]
    right = block.memo("right_at_signing", "Right of use at signing", "money", joined(parts, "money", months.shape))
    right_taken = block.flow("right_taken", "Right of use taken on", "money/month", right * one.there.starts)
    even = _evenly(desk, block, life, one, right, month, in_term)
    if one.terms.at_end == "buy" or terms.framework != "ASC 842":
        if terms.framework == "ASC 842":
            block.choice("class", "Class of the lease", "finance, as it ends in purchase")
        written = block.flow("written", "Right of use written off", "money/month", even + 0)
        expense = block.flow("expense", "Expense of the lease", "money/month", debt.interest + even)
    else:
        written, expense = _by_class(desk, block, life, one, debt, even, in_term)
    change = block.flow("right_change", "Right of use, change", "money/month", right_taken - written)
    right_of_use = block.line("right_of_use", "Right of use", "money", cumulative(change))
    return Shown(debt.taken, debt.interest, debt.paid, debt.balance, right_taken, written, right_of_use, expense)


def _debt(desk: Desk, block: Block, terms: LeaseAccounting, one: Leased, month: Line) -> _Debt:
    """The liability from signing to the end of the term, without the part of each rent that pays for service."""
    rate = desk.take(block, terms.rate, "Borrowing rate, nominal a year", "1/year", percent=True)
    a_month = block.line("rate_a_month", "Borrowing rate a month", "1", this_month(rate / MONTHS_A_YEAR), percent=True)
    rents = one.due
    if one.terms.service_share is not None:
        service = desk.take(block, one.terms.service_share, "Share of each rent for service", "1", percent=True)
        rents = block.flow("rents", "Rents without service", "money/month", one.due * (1 - service))
    close = block.line("close_factor", "Discount factor, close", "1", power(1 + a_month, -1 * month))
    ahead, later, factor = None, rents, close
    if one.timing == "opening":
        later = block.flow("later", "Rents after signing", "money/month", rents * (month > 1))
        ahead = block.line("ahead", "Rents at signing", "money", total(rents) - total(later))
        factor = block.line("opening_factor", "Discount factor, opening", "1", power(1 + a_month, -1 * (month - 1)))
    worth = present(later, factor)
    if one.option is not None:
        worth = worth + present(one.option, close)
    at_signing = block.memo("liability_at_signing", "Liability at signing", "money", worth)
    taken = block.flow("taken", "Liability taken on", "money/month", at_signing * one.there.starts)
    paid = later if one.option is None else block.flow("paid", "Rents and price", "money/month", later + one.option)
    balance = block.declare("liability", "Lease liability", "money")
    at_opening = taken - later if one.timing == "opening" else taken + 0
    opening = block.line(
        "opening", "Liability after rents in advance", "money", before(balance) + this_month(at_opening)
    )
    interest = block.flow("interest", "Interest on the lease", "money/month", booked(opening * a_month))
    grown = opening + this_month(interest)
    if one.timing == "close":
        balance.becomes(grown - this_month(paid))
    else:
        balance.becomes(grown if one.option is None else grown - this_month(one.option))
    block.check("ends_at_nothing", "The liability ends at nothing", "money", at_signing + total(interest) - total(paid))
    return _Debt(rents, at_signing, ahead, taken, interest, paid, balance)


def _evenly(
    desk: Desk, block: Block, life: Figure | None, one: Leased, right: Line, month: Line, in_term: Line
) -> Line:
    """The right of use in equal parts over the term; over the life of a press that is bought, within the term."""
    if one.terms.at_end != "buy":
        each = right / desk.take(block, one.terms.months, "Term of the lease, months", "1")
        return block.flow("even", "Right of use in equal parts", "money/month", booked(each * in_term))
    whole = _life(desk, block, life)
    within = block.state("writes", "Within term and life", in_term & (month <= whole))
    return block.flow("even", "Right of use in equal parts", "money/month", booked(right / whole * within))


def _by_class(
    desk: Desk, block: Block, life: Figure | None, one: Leased, debt: _Debt, even: Line, in_term: Line
) -> tuple[Line, Line]:
    """Finance or operating, by the tests whose figures are known; what is written off, and the expense."""
    months = desk.take(block, one.terms.months, "Term of the lease, months", "1")
    tests = []
    if life is not None:
        most = _life(desk, block, life) * desk.constant(block, "major_part")
        tests.append(block.state("most_of_life", "Term is most of the life", months >= most))
    price = one.terms.cash_price
    if price is not None and price.value is not None:
        each = desk.take(block, price, "Cash price", "money")
        value = block.line("value", "Cash price of all presses", "money", each * one.there.count)
        parts = [debt.at_signing] if debt.ahead is None else [debt.at_signing, debt.ahead]
        worth = block.line("worth", "Worth of all rents", "money", joined(parts, "money", months.shape))
        test = worth >= value * desk.constant(block, "substantially_all")
        tests.append(block.state("most_of_value", "Rents are most of the value", test))
    met = block.line("tests_met", "Tests met", "1", joined(tests, "1", months.shape))
    finance = block.memo("finance", "Finance lease (0: operating)", "1", met > 0)
    all_rents = block.line("all_rents", "Rents of the term", "money", total(debt.rents))
    level = block.line("level_cost", "Cost of a month, level", "money", (all_rents + one.fees) / months)
    cost = block.flow("operating_cost", "Cost if operating", "money/month", booked(level * in_term))
    financed = block.flow("finance_cost", "Cost if finance", "money/month", debt.interest + even)
    expense = block.flow("expense", "Expense of the lease", "money/month", cost + finance * (financed - cost))
    written = block.flow("written", "Right of use written off", "money/month", expense - debt.interest)
    return written, expense


def _life(desk: Desk, block: Block, life: Figure | None) -> Line:
    """The life of a press in months."""
    known = block.builder.by_id.get(f"{block.id}.life_months")
    if known is not None:
        return known
    assert life is not None
    years = desk.take(block, life, "Years a press can be used", "year")
    one_month = desk.constant(block, "one_month")
    return block.line("life_months", "Months a press can be used", "1", years * MONTHS_A_YEAR / one_month)


def _minimum(desk: Desk, block: Block, terms: LeaseAccounting, one: Minimum, place: int, clock: Clock) -> None:
    """The part of a minimum charge that pays for the press, as a liability at signing: in no lease's own."""
    assert one.terms.equipment_share is not None
    assert one.terms.months is not None
    rate = desk.take(block, terms.rate, "Borrowing rate, nominal a year", "1/year", percent=True)
    part = desk.take(block, one.terms.equipment_share, "Share for the press", "1", percent=True)
    length = desk.take(block, one.terms.months, "Contract length, months", "1")
    month = block.line(f"minimum_month_{place}", f"Contract month, plan {place}", "1", clock.month - one.first + 1)
    ends = block.state(f"minimum_ends_{place}", f"Ends a settlement period, plan {place}",
                       equals(mod(month, one.period), 0) | equals(month, length))  # fmt: skip
    within = block.state(f"minimum_runs_{place}", f"In contract, plan {place}", (month > 0) & (month <= length))
    closes = block.event(f"minimum_closes_{place}", f"Settlement by contract, plan {place}", ends & within)
    counted = one.period
    if one.terms.stub == "pro rata":
        counted = block.line(
            f"minimum_counted_{place}", f"Months settled, plan {place}", "1", mod(month - 1, one.period) + 1
        )
    owed = block.flow(
        f"minimum_owed_{place}",
        f"Minimum for the press, plan {place}",
        "money/month",
        this_month(one.floor) * part * counted * closes,
    )
    a_month = this_month(rate / MONTHS_A_YEAR)
    factor = block.line(
        f"minimum_factor_{place}", f"Discount factor, plan {place}", "1", power(1 + a_month, -1 * month)
    )
    block.memo(f"minimum_liability_{place}", f"Press in the minimum, plan {place}", "money", present(owed, factor))

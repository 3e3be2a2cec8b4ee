"""New leases of the oracle: rents by month of the lease, what comes beside them, and the three ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tests.oracle import reading as r
from tests.oracle.flows import Book
from tests.oracle.placing import Press, renewal_months

if TYPE_CHECKING:
    from tests.oracle.equipment import Money


@dataclass(frozen=True)
class Rents:
    """The rents of one lease, one press."""

    level: float  # the rent before any step
    every: int
    advance: bool
    dates: tuple[tuple[int, float], ...]  # months from signing, money

    @property
    def timing(self) -> str:
        """Say whether rents fall at the opening or the close of their month."""
        return "opening" if self.advance else "close"

    def month_of_lease(self, time: int) -> int:
        """Give the month of the lease of a rent, 1 being that of signing."""
        return time + 1 if self.advance else time

    @property
    def all(self) -> float:
        """Add up all rents of the term."""
        return sum(amount for _, amount in self.dates)


def implied_rate(cash_price: float, payments: list[tuple[int, float]]) -> float:
    """Find the monthly rate at which payments (months from signing, amount) are worth the cash price."""

    def worth(rate: float) -> float:
        return sum(amount * (1 + rate) ** -time for time, amount in payments)

    low, high = -0.5, 1.0
    while worth(high) > cash_price and high < 1e6:
        high *= 2
    for _ in range(300):
        middle = (low + high) / 2
        low, high = (middle, high) if worth(middle) > cash_price else (low, middle)
    return (low + high) / 2


def advance_rents(terms: r.Tree) -> int:
    """Give the number of rents due at signing."""
    in_advance = str(terms.get("paid", "in advance")) != "in arrears"
    return round(r.number(terms.get("advance_rents"), 1.0 if in_advance else 0.0))


def rent_dates(terms: r.Tree) -> list[tuple[int, float]]:
    """List the rents of a lease as (months from signing, number of rents then)."""
    every = round(r.number(terms.get("every_months"), 1.0))
    rents = round(r.number(terms["months"]) / every)
    at_signing = advance_rents(terms)
    out = [(0, float(at_signing))] if at_signing else []
    return out + [(every * j, 1.0) for j in range(1, rents - at_signing + 1)]


def financed(terms: r.Tree) -> float:
    """Give the sum that the rents repay: the price and the old debt rolled in."""
    return r.number(terms.get("cash_price")) + r.number(terms.get("rolled_in"))


def rent_level(terms: r.Tree, rents: int, at_signing: int, every: int) -> float:
    """Give the rent: written, a share of the financed sum, or what repays it at a rate."""
    if "factor" in terms:
        return financed(terms) * r.number(terms["factor"])
    if "quoted_rate" not in terms:
        return r.number(terms["rent"])
    rate = r.number(terms["quoted_rate"]) * every / 12
    left = r.number(terms.get("buy_price")) if str(terms.get("at_end", "return")) == "buy" else 0.0
    annuity = sum((1 + rate) ** -j for j in range(1, rents - at_signing + 1))
    return (financed(terms) - left * (1 + rate) ** -rents) / (at_signing + annuity)


def rents_of(press: Press, start: int) -> Rents:
    """List the rents of the term; `start` is the calendar month (0 ... 11) of operating month 1."""
    terms = press.terms
    every = round(r.number(terms.get("every_months"), 1.0))
    number, at_signing = round(r.number(terms["months"]) / every), advance_rents(terms)
    level = rent_level(terms, number, at_signing, every)
    steps = sorted((int(month), r.number(rent)) for month, rent in (terms.get("steps") or {}).items())
    skipped = {r.calendar_month(name) for name in terms.get("skip_months") or ()}
    deferred = round(r.number(terms.get("deferred_months")))
    advance = at_signing > 0
    dates = []
    for time, together in rent_dates(terms):
        month = time + 1 if advance else time
        rent = level
        for begins, stepped in steps:
            if month >= begins:
                rent = stepped
        if (start + press.first - 1 + month - 1) % 12 in skipped:
            rent = r.number(terms.get("skip_rent"))
        dates.append((time, 0.0 if month <= deferred else together * rent))
    return Rents(level, every, advance, tuple(dates))


def lease(book: Book, money: Money, press: Press) -> None:
    """Lease, and return, renew or buy at the end."""
    terms, n = press.terms, press.sums
    at_end = str(terms.get("at_end", "return"))
    rents = rents_of(press, book.clock.calendar(1))
    book.add("document_fee", press.first, "opening", n * r.number(terms.get("document_fee")))
    interim = r.number((terms.get("interim_rent") or {}).get("days")) / 30 * rents.level / rents.every
    book.add("interim_rent", press.first, "opening", n * interim)
    money.bind("equipment", n * (r.number(terms.get("document_fee")) + interim + rents.all))
    ends_early = round(r.number(terms.get("exit_month")))
    up_front = str(terms.get("sales_tax", "on rents")) == "up front"
    if up_front:
        money.tax_as_rent(press.first, "opening", n * r.number(terms.get("cash_price")))
    for time, amount in rents.dates:
        month = press.first + rents.month_of_lease(time) - 1
        if at_end == "buy" and month > press.last:
            continue  # settled when the press leaves or at the horizon, not committed beyond it
        if ends_early and rents.month_of_lease(time) > ends_early:
            continue
        book.add("lease_rents", month, rents.timing, n * amount)
        if up_front:
            money.tax_as_rent(month, rents.timing, -n * amount)
    beside(book, press)
    if at_end == "buy":
        buy(book, money, press, rents)
    else:
        give_back(book, money, press, rents)


def exit_part(terms: r.Tree, month: int) -> float:
    """Give the part of the remaining rents that ending the lease at the close of a month of the lease costs."""
    ceilings = terms.get("exit_at_most")
    if not ceilings:
        return 1 - r.number(terms.get("exit_discount"))
    anniversaries = (month - 1) // 12
    return r.number((ceilings[: anniversaries + 1])[-1])


def beside(book: Book, press: Press) -> None:
    """Enter insurance, property tax with its fee, and a subsidy."""
    terms, n = press.terms, press.sums
    subsidy, tax = terms.get("subsidy") or {}, terms.get("property_tax") or {}
    for m in range(press.first, press.last + 1):
        book.add("lease_insurance", m, "close", n * r.number(terms.get("insurance_per_month")))
        if subsidy and m <= book.clock.operating_month(subsidy["until"]):
            book.add("subsidy", m, "close", -n * r.number(subsidy["per_month"]))
    for year, share in enumerate(tax.get("assessed") or (), start=1):
        month = press.first + 12 * year - 1
        if month <= press.last:
            due = r.number(tax["rate"]) * r.number(terms.get("cash_price")) * r.number(share)
            book.add("property_tax", month, "close", n * due)
            book.add("property_fee", month, "close", n * r.number(terms.get("admin_fee")))


def give_back(book: Book, money: Money, press: Press, rents: Rents) -> None:
    """Enter what follows the term of a lease that is returned or renewed."""
    terms, n = press.terms, press.sums
    term_end = press.first + round(r.number(terms["months"])) - 1
    ends_early = round(r.number(terms.get("exit_month")))
    last, renewal = term_end, rents.level / rents.every
    unless = terms.get("renews_unless_noticed") or {}
    if str(terms.get("at_end", "return")) == "renew":
        last += renewal_months(terms, term_end, book.clock)
        renewal = r.number(terms.get("renewal_rent"), renewal)
    elif unless and not r.yes(unless.get("noticed"), default=True):
        last += round(r.number(unless["months"]))
    elif ends_early:
        last = press.first + ends_early - 1
        paid = sum(amount for time, amount in rents.dates if rents.month_of_lease(time) <= ends_early)
        settled = (rents.all - paid) * exit_part(terms, ends_early)
        book.add("exit_settlement", last, "close", n * settled)
    for m in range(term_end + 1, last + 1):
        book.add("renewal_rents", m, rents.timing, n * renewal)
    late = round(r.number(terms.get("late_return_months")))
    for m in range(last + 1, last + late + 1):
        book.add("late_rents", m, "opening", n * rents.level / rents.every)
    freight = n * r.number(terms.get("return_freight"))
    book.add("return_freight", last, "close", freight)
    money.bind("equipment", freight + late * n * rents.level / rents.every)


def buy(book: Book, money: Money, press: Press, rents: Rents) -> None:
    """Buy at the end of the term, or settle when the press leaves before it."""
    terms, n = press.terms, press.sums
    term_end = press.first + round(r.number(terms["months"])) - 1
    buy_price = n * r.number(terms.get("buy_price"))
    money.bind("equipment", buy_price)
    if term_end <= press.last:
        book.add("buy_price", term_end, "close", buy_price)
        money.tax_as_equipment(term_end, "close", buy_price)
    else:
        book.add("lease_settlement", press.last, "close", owed(press, rents, press.last))
    book.add("sale", press.last, "close", -n * r.number(terms.get("sells_for")))


def owed(press: Press, rents: Rents, horizon: int) -> float:
    """Give what is still owed at the close of the horizon on a lease that ends in purchase."""
    terms = press.terms
    purchase = (round(r.number(terms["months"])), r.number(terms.get("buy_price")))
    passed = horizon - press.first + 1
    # A rent in advance at the opening of the month after the horizon stands at the very end of the horizon.
    paid_until = passed - 1 if rents.advance else passed
    rate = implied_rate(financed(terms), [*rents.dates, purchase]) if "cash_price" in terms else 0.0
    left = [(time, amount) for time, amount in rents.dates if time > paid_until] + [purchase]
    return press.sums * sum(amount * (1 + rate) ** -(time - passed) for time, amount in left)


def interest_of(press: Press, start: int) -> list[float]:
    """Give the interest in the rents of a lease that ends in purchase, from signing to the last month in service."""
    terms, rents = press.terms, rents_of(press, start)
    ends = press.first + round(r.number(terms["months"])) - 1
    paid = {ends: press.sums * r.number(terms.get("buy_price"))}
    for time, amount in rents.dates:
        month = press.first + rents.month_of_lease(time) - 1
        paid[month] = paid.get(month, 0.0) + press.sums * amount
    out, before = [], press.sums * financed(terms)
    for month in range(press.first, press.last + 1):
        after = owed(press, rents, month) if month < ends else 0.0
        out.append(paid.get(month, 0.0) - (before - after))
        before = after
    return out

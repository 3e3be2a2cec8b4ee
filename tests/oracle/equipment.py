"""Money for equipment in the oracle: cash, loan, lease, rental, owned, one-offs, the present press."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from tests.oracle import reading as r
from tests.oracle.flows import FINANCING, Book
from tests.oracle.leasing import interest_of, lease
from tests.oracle.placing import Press
from tests.oracle.work import Clock

ONE_OFFS = ("delivery_and_installation", "training", "site_works", "front_end")


@dataclass
class Asset:
    """What is written off: a press bought for cash or on a loan, for tax also one leased that counts as bought."""

    amount: float
    first: int
    leaves: int
    proceeds: float
    leased: bool = False


@dataclass
class Money:
    """What other rooms need to know beside the flows."""

    assets: list[Asset] = field(default_factory=list)
    capitalised: dict[int, float] = field(default_factory=dict)  # delivery and site works that join an asset bought
    deducted: dict[int, float] = field(default_factory=dict)  # beside the statement, or (negative) not of it
    taxed_equipment: dict[tuple[int, str], float] = field(default_factory=dict)
    taxed_rents: dict[tuple[int, str], float] = field(default_factory=dict)  # beside the rents, or taken off them
    bound: dict[str, float] = field(default_factory=dict)
    financing_effect: float = 0.0
    inseparable: list[str] = field(default_factory=list)  # leases and rentals without a cash price
    unsaid_increase: float = 0.05  # of a rental that does not say

    def bind(self, what: str, amount: float) -> None:
        """Add to what is bound to pay."""
        self.bound[what] = self.bound.get(what, 0.0) + amount

    def deduct(self, month: int, amount: float) -> None:
        """Add to the deductions of a month."""
        self.deducted[month] = self.deducted.get(month, 0.0) + amount

    def tax_as_equipment(self, month: int, timing: str, amount: float) -> None:
        """Note an amount that bears sales tax as equipment."""
        self.taxed_equipment[month, timing] = self.taxed_equipment.get((month, timing), 0.0) + amount

    def tax_as_rent(self, month: int, timing: str, amount: float) -> None:
        """Note an amount that bears sales tax as rent though none, or (negative) a rent that bears none."""
        self.taxed_rents[month, timing] = self.taxed_rents.get((month, timing), 0.0) + amount


def level_payment(principal: float, rate: float, months: int) -> float:
    """Give the payment in arrears of a loan, monthly rate."""
    return principal / months if rate == 0 else principal * rate / (1 - (1 + rate) ** -months)


def acquire(book: Book, money: Money, press: Press) -> None:
    """Enter everything that one press costs to have."""
    if press.first > book.clock.months:
        return  # it never comes
    before = {h: dict(book.flows[h]) for h in FINANCING}
    bound = dict(money.bound)
    raw, n = press.raw, press.sums
    bought = press.form in ("cash", "loan")
    sums = {name: n * r.number(raw.get(name)) for name in ONE_OFFS[:3]}
    front_end = raw.get("front_end") or {}
    sums["front_end"] = n * r.number(front_end.get("price"))
    for name, amount in sums.items():
        book.add(name, press.first, "opening", amount)
        money.tax_as_equipment(press.first, "opening", amount)
        money.bind("one_offs", amount)
        if bought and name in ("delivery_and_installation", "site_works"):
            money.capitalised[press.first] = money.capitalised.get(press.first, 0.0) + amount
    support = press.count * r.amount({"per_year": front_end.get("support_per_year")})
    for m in range(press.first, press.last + 1):
        book.add("support", m, "close", support * book.clock.price_level(m))
    if press.until < book.clock.months:
        book.add("removal", press.until, "close", n * r.number(raw.get("removal")))
    pay = {"cash": cash, "loan": loan, "lease": lease, "rental": rental, "owned": owned, "present": present_lease}
    pay[press.form](book, money, press)
    joined = sums["delivery_and_installation"] + sums["site_works"]
    proceeds = n * r.number(press.terms.get("sells_for"))
    if bought:
        money.assets.append(Asset(n * r.number(press.terms["price"]) + joined, press.first, press.last, proceeds))
    elif press.form == "lease" and press.terms.get("tax_as") == "purchase":
        amount = n * r.number(press.terms["cash_price"]) + joined
        money.assets.append(Asset(amount, press.first, press.last, proceeds, leased=True))
        money.deduct(press.first, -joined)
        for heading in ("lease_rents", "buy_price", "lease_settlement"):
            for when, paid in book.flows[heading].items():
                money.deduct(when[0], before[heading].get(when, 0.0) - paid)
        for month, interest in enumerate(interest_of(press, book.clock.calendar(1)), start=press.first):
            money.deduct(month, interest)
    separate(book, money, press, before)
    if press.follows:  # nobody signs for it at the start
        money.bound = bound


def separate(book: Book, money: Money, press: Press, before: dict[str, dict[tuple[int, str], float]]) -> None:
    """Add the effect of how this press is paid for: its financing flows less the cash price."""
    price = press.terms.get("price" if press.form == "loan" else "cash_price")
    if press.form not in ("loan", "lease") or price is None:
        if press.form in ("loan", "lease", "rental"):
            money.inseparable.append(press.key)
        return
    worth = -press.sums * r.number(price) * book.clock.factor(press.first, "opening")
    for heading, old in before.items():
        for when, amount in book.flows[heading].items():
            worth += (amount - old.get(when, 0.0)) * book.clock.factor(*when)
    money.financing_effect += worth


def cash(book: Book, money: Money, press: Press) -> None:
    """Buy outright."""
    price = press.sums * r.number(press.terms["price"])
    book.add("purchase", press.first, "opening", price)
    money.tax_as_equipment(press.first, "opening", price)
    money.bind("equipment", price)
    owned(book, money, press)


def loan(book: Book, money: Money, press: Press) -> None:
    """Borrow: the balance owed when the press leaves, or at the horizon, is paid then."""
    terms, n = press.terms, press.sums
    price, down = n * r.number(terms["price"]), n * r.number(terms.get("down_payment"))
    fee = n * r.number(terms.get("fee"))
    rate, months = r.number(terms["rate"]) / 12, round(r.number(terms["months"]))
    book.add("down_payment", press.first, "opening", down)
    book.add("loan_fee", press.first, "opening", fee)
    money.tax_as_equipment(press.first, "opening", price)
    owed = price - down
    payment = level_payment(owed, rate, months)
    money.bind("equipment", down + fee + payment * months)
    for m in range(press.first, press.first + months):
        if m > press.last:
            break
        book.add("loan_interest", m, "close", owed * rate)
        book.add("loan_principal", m, "close", payment - owed * rate)
        owed -= payment - owed * rate
    if press.first + months - 1 > press.last:
        book.add("loan_balance", press.last, "close", owed)
    owned(book, money, press)


def owned(book: Book, _money: Money, press: Press) -> None:
    """Sell when the press leaves or at the horizon."""
    value = press.terms.get("sells_for")
    if press.kept is not None and "sells_for" in press.raw:  # a present press that is kept has its own price
        on_lease = press.form == "present"  # then it is the shop's to sell only when it goes early
        value = press.raw["sells_for"] if not on_lease or press.last < book.clock.months else 0.0
    book.add("sale", press.last, "close", -press.sums * r.number(value))


def rental(book: Book, money: Money, press: Press) -> None:
    """Rent by the month."""
    terms, n = press.terms, press.sums
    rent, every = n * r.number(terms["rent"]), r.number(terms.get("increase_every"), 12.0)
    increase = r.number(terms.get("increase"), money.unsaid_increase)
    for m in range(press.first, press.last + 1):
        steps = math.floor((m - press.first) / every)
        book.add("rental_rents", m, "opening", rent * (1 + increase) ** steps)
    money.bind("equipment", rent * r.number(terms.get("notice_months")))


def present_lease(book: Book, money: Money, press: Press) -> None:
    """Pay the rents of a present press that stays, to the end of its lease or month to month after it."""
    terms, n = press.terms, press.count
    rent, ends = n * r.number(terms.get("rent")), book.clock.operating_month(terms["ends"])
    goes_on = str(terms.get("then", "month to month")) == "month to month"
    for m in range(1, max(ends, press.last if goes_on else 0) + 1):
        book.add("present_rents", m, "opening", rent)
    money.bind("present_rents", rent * max(0, ends))
    back = max(ends, press.last) if goes_on else ends
    if not goes_on or back < book.clock.months:  # from month to month it may stay beyond the horizon
        book.add("present_freight", back, "close", n * r.number(terms.get("return_freight")))
    owned(book, money, press)


def leave_present(book: Book, money: Money, present: Press, choice: str) -> None:
    """Give up a present press: its sale, its removal and what happens to its lease."""
    raw, n = present.raw, present.count
    book.add("present_sale", 1, "opening", -n * r.number(raw.get("sells_for")))
    book.add("present_removal", 1, "opening", n * r.number(raw.get("removal")))
    old = raw.get("lease") or {}
    if "ends" not in old or choice == "rolled in":
        return
    if choice == "buy out":
        book.add("present_buy_out", 1, "opening", n * r.number(old.get("buy_out")))
        money.bind("present_rents", n * r.number(old.get("buy_out")))
        return
    ends = book.clock.operating_month(old["ends"])
    for m in range(1, ends + 1):
        book.add("present_rents", m, "opening", n * r.number(old.get("rent")))
    if ends >= 1:
        book.add("present_freight", ends, "close", n * r.number(old.get("return_freight")))
    money.bind("present_rents", n * r.number(old.get("rent")) * max(0, ends))


def give_up_present(
    book: Book, money: Money, today: r.Tree, present: list[Press], presses: list[Press], choice: str, clock: Clock
) -> None:
    """Give up every present press that the candidate does not keep."""
    stays = {p.kept for p in presses if p.kept is not None}
    for press in present:
        if press.key not in stays:
            leave_present(book, money, press, choice)
    if today.get("presses") and not stays:  # sums typed once for all present presses
        keys = ("sells_for", "removal", "lease")
        together = Press("", {k: today[k] for k in keys if k in today}, 1.0, 1, clock.months, clock.months, True, None)
        leave_present(book, money, together, choice)

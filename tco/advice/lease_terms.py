"""Warnings about what is paid under a lease: its kind, the timing of rents, the price behind them, sums beside them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tco.advice.record import QuoteWarning, Reading
from tco.advice.study import Changes, PressAt, Study, mentions
from tco.rates_of_return import irr

# Above this nominal rate a lease is dear money; below nothing somebody else pays a part. Common practice.
DEAR = 0.12


def lease_end(study: Study) -> Iterator[QuoteWarning]:
    """The kind of lease is not told, or it is bought at a price nobody knows."""
    for one in study.presses():
        lease = one.lease
        if lease is None:
            continue
        path = f"{one.path}.lease.at_end"
        if study.silent(path):
            back, kept = "given back at the end", "kept at the same rent"
            each: dict[str, Changes] = {back: {path: "return"}, kept: {path: "renew"}}
            yield study.warning(
                "lease-end", one.candidate, "error", path,
                f"{one.name}: nothing says what happens at the end of the lease",
                "Is the press given back at the end, may we buy it, and at which fixed price, or does the lease go on, "
                "at which rent?",
                "The press is given back when the term ends", study.readings(one.candidate, each),
            )  # fmt: skip
        price = lease.buy_price
        if lease.at_end == "buy" and price is not None and price.status == "unknown":
            yield study.warning(
                "lease-end", one.candidate, "error", price.path,
                f"{one.name}: bought at the end at a price nobody has named",
                "At which fixed price may we buy the press at the end of the lease? A fair value to be found later is "
                "no "
                "price; please name the highest it can be.",
                "Nothing is paid for it, and nothing is a gift", switch=study.switch_value(price.path),
            )  # fmt: skip


def rent_timing(study: Study) -> Iterator[QuoteWarning]:
    """Rents before or after the month they are for."""
    for one in study.presses():
        path = f"{one.path}.lease.paid"
        if one.lease is not None and study.silent(path):
            both: dict[str, Changes] = {
                "in advance": {path: "in advance"},
                "in arrears": {path: "in arrears", f"{one.path}.lease.advance_rents": None},
            }
            yield study.warning(
                "rent-timing", one.candidate, "warn", path,
                f"{one.name}: nothing says whether rents are due before or after their month",
                "When is the first rent due, how many rents are due at signing, and when is the last one?",
                "In advance, which is dearer", study.readings(one.candidate, both),
            )  # fmt: skip


def lease_rate(study: Study, one: PressAt) -> float | None:
    """Return the nominal yearly rate at which the rents repay the sum financed; None if there is none.

    A twelfth each month; all rents as the contract has them, and the price at the end of a press that is bought.
    """
    lease = one.lease
    if lease is None or lease.cash_price is None or lease.cash_price.number <= 0:
        return None
    first, count = int(one.press.from_month.number) - 1, one.press.count.number
    rents = np.broadcast_to(study.values[f"{one.block}.due"][0].sum(axis=0), (study.model.columns,))
    in_advance = lease.paid == "in advance" or lease.advance_rents.number > 0
    flows = np.zeros(study.model.columns + 1)
    flows[first] += count * (lease.cash_price.number + (lease.rolled_in.number if lease.rolled_in else 0.0))
    flows[(0 if in_advance else 1):][: study.model.columns] -= rents
    if lease.at_end == "buy" and lease.buy_price is not None:
        flows[first + int(lease.months.number)] -= count * lease.buy_price.number
    found = irr(flows)
    return float(found.rate) * 12 if str(found.status) == "one" else None


def dear_money(study: Study) -> Iterator[QuoteWarning]:
    """The rate that a lease implies is high, or so low that somebody else must be paying."""
    for one in study.presses():
        rate, loan = lease_rate(study, one), one.press.loan
        if rate is not None and (rate > DEAR or (rate < 0 and one.lease and one.lease.at_end == "buy")):
            at_cash = f"{one.candidate}.measures.at_cash_price"
            readings = (
                Reading("at the cash price", study.measure(one.candidate, "at_cash_price")),
                Reading("as it is paid", study.base[one.candidate]),
            ) if at_cash in study.values else ()  # fmt: skip
            what = "dear money" if rate > DEAR else "less than the cash price in all"
            yield study.warning(
                "dear-money", one.candidate, "warn", f"{one.path}.lease.rent",
                f"{one.name}: rents and price imply {study.percent(rate, 1)} a year, {what}",
                "Is the cash price the price we would really pay? Does the rent hold anything beside the press, such "
                "as "
                "service or an older agreement, or does anybody contribute to it?",
                "The rents as quoted", readings,
            )  # fmt: skip
        if loan is not None and loan.rate.number > DEAR:
            path = f"{one.path}.loan.rate"
            both = {f"at {study.percent(DEAR)}": DEAR, "as quoted": loan.rate.number}
            yield study.warning(
                "dear-money", one.candidate, "warn", path,
                f"{one.name}: a loan at {study.percent(loan.rate.number)} a year is dear money",
                "What would the same loan cost at another lender, and what is the price for cash?",
                "The rate as quoted", study.at(one.candidate, loan.rate, path, both),
            )  # fmt: skip


def cash_price(study: Study) -> Iterator[QuoteWarning]:
    """Without a cash price nobody can tell press, service, interest and old debt apart."""
    for one in study.presses():
        if one.lease is not None and (one.lease.cash_price is None or one.lease.cash_price.status == "unknown"):
            yield study.warning(
                "cash-price", one.candidate, "warn", f"{one.path}.lease.cash_price",
                f"{one.name}: the price for cash is not told",
                "What is the price of the press for cash, each accessory apart?",
                "The cost of paying by rents cannot be separated from the cost of the press",
            )  # fmt: skip


def rolled_in(study: Study) -> Iterator[QuoteWarning]:
    """The old rents are said to be inside the new payment."""
    today = study.scenario.today
    leased = today is not None and any(press.present_lease_terms for _, press, _ in today.press_items())
    for key, owner in study.scenario.candidates.items():
        named = any(press.new_lease and press.new_lease.rolled_in for _, press, _ in owner.press_items())
        if leased and owner.present_lease == "rolled in" and not named:
            path = f"{key}.present_lease"
            inside, beside = "inside the new payment", "paid beside it"
            both: dict[str, Changes] = {inside: {path: "rolled in"}, beside: {path: "finish"}}
            yield study.warning(
                "rolled-in", key, "error", path,
                f"{owner.title}: the old lease is said to be inside the new payment, and no sum is named",
                "Which sum of our present lease is financed in the new one, at which rate, and which part of each "
                "payment "
                "is it? Who settles the old lease, and by when?",
                "Nothing is paid for the old lease beside the new payment", study.readings(key, both),
            )  # fmt: skip


def contribution(study: Study) -> Iterator[QuoteWarning]:
    """Somebody else pays a part of the rents, and may stop."""
    for one in study.presses():
        if one.lease is None or one.lease.subsidy is None:
            continue
        path = f"{one.path}.lease.subsidy"
        until = one.lease.subsidy.until
        both: dict[str, Changes] = {f"as promised, to {until}": {}, "without it": {path: None}}
        yield study.warning(
            "contribution-may-stop", one.candidate, "error", path,
            f"{one.name}: somebody contributes to the rents, and the rents are owed when he stops",
            "Who contributes, under which contract, with which security, and why is the press not simply cheaper?",
            f"The contribution is received to {until}", study.readings(one.candidate, both),
        )  # fmt: skip


EXTRAS = {
    "document fee": ("document", "documentation"), "rent before the term begins": ("interim",),
    "insurance": ("insurance",), "property tax": ("property tax",),
}  # fmt: skip


def extras_unsaid(study: Study) -> Iterator[QuoteWarning]:
    """Sums beside the rent that show first on the first invoice."""
    for one in study.presses():
        if one.lease is None:
            continue
        keys = {"document fee": "document_fee", "rent before the term begins": "interim_rent",
                "insurance": "insurance_per_month", "property tax": "property_tax"}  # fmt: skip
        missing = [
            name for name, words in EXTRAS.items()
            if not mentions(one.owner, *words) and not study.written(f"{one.path}.lease.{keys[name]}")
        ]  # fmt: skip
        if not study.written("money.sales_tax") and not mentions(one.owner, "sales tax", "vat"):
            missing.append("sales tax")
        if missing:
            told = ", ".join(missing)
            yield study.warning(
                "extras-unsaid", one.candidate, "warn", f"{one.path}.lease",
                f"{one.name}: the quote does not say whether these come on top: {told}",
                f"Please state for each of these whether it is in the rent, and if not, what it costs: {told}.",
                "Nothing is paid for them",
            )  # fmt: skip

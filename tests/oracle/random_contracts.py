"""Random contracts for the random scenarios: ways of paying for a press, service plans."""

from __future__ import annotations

from random import Random
from typing import Any

Tree = dict[str, Any]


def money(rng: Random, low: float, high: float) -> float:
    """Draw a sum with two decimals."""
    return round(rng.uniform(low, high), 2)


def percent(rng: Random, low: float, high: float) -> str | float:
    """Draw a share, written as a percentage or as a number."""
    value = round(rng.uniform(low, high), 2)
    return f"{value}%" if rng.random() < 0.7 else round(value / 100, 6)


def in_time(rng: Random, a_month: float) -> float | Tree:
    """Write an amount a month in one of the four ways."""
    per = rng.choice((None, "per_month", "per_quarter", "per_year"))
    if per is None:
        return round(a_month, 4)
    return {per: round(a_month * {"per_month": 1, "per_quarter": 3, "per_year": 12}[per], 4)}


def perhaps(rng: Random, tree: Tree, key: str, value: Any, chance: float = 0.5) -> None:
    """Write a key now and then."""
    if rng.random() < chance:
        tree[key] = value


def lease(rng: Random, horizon: int, first: int) -> Tree:
    """Draw a lease that ends before, at or after the horizon."""
    every = rng.choice((1, 1, 1, 3, 12))
    left = horizon - first + 1
    wanted = {
        "before": rng.randint(1, max(1, left - 1)),
        "at": left,
        "after": left + rng.randint(1, 14),
    }[rng.choice(("before", "at", "after"))]
    months = max(every, round(wanted / every) * every) if every > 1 else wanted
    out: Tree = {"rent": money(rng, 200, 2500) * every, "months": months}
    perhaps(rng, out, "every_months", every, 1.0 if every > 1 else 0.2)
    paid = rng.choice(("in advance", "in arrears", "in arrears", None))
    perhaps(rng, out, "paid", paid, 1.0 if paid else 0.0)
    if paid != "in arrears" and rng.random() < 0.4:
        out["advance_rents"] = rng.randint(1, min(3, months // every))
    perhaps(rng, out, "document_fee", money(rng, 50, 400))
    end = rng.choice(("return", "buy", "renew"))
    perhaps(rng, out, "at_end", end, 1.0 if end != "return" else 0.6)
    if end == "buy":
        out["buy_price"] = money(rng, 1, 4000)
        perhaps(rng, out, "cash_price", worth(rng, out, out["buy_price"]), 0.6)
        perhaps(rng, out, "sells_for", money(rng, 100, 5000))
        return out
    perhaps(rng, out, "return_freight", money(rng, 100, 1500), 0.8)
    perhaps(rng, out, "cash_price", worth(rng, out, 0.0), 0.4)
    if out.get("advance_rents", paid != "in arrears") == months // every:
        out.pop("cash_price", None)  # all is paid at signing: nothing is lent
    if end == "renew":
        perhaps(rng, out, "renewal_rent", money(rng, 100, 900), 0.6)
        perhaps(rng, out, "renewal_months", rng.randint(1, 12), 0.6)
    return out


def worth(rng: Random, lease: Tree, buy_price: float) -> float:
    """Give the cash price that makes the rate in the rents something between 2 and 14 percent."""
    rate = rng.uniform(0.02, 0.14) / 12
    every, advance = lease.get("every_months", 1), lease.get("advance_rents", lease.get("paid") != "in arrears")
    later = lease["months"] // every - advance
    rents = advance + sum((1 + rate) ** -(every * j) for j in range(1, later + 1))
    return float(round(lease["rent"] * rents + buy_price * (1 + rate) ** -lease["months"], 2))


def way_of_paying(rng: Random, horizon: int, first: int) -> Tree:
    """Draw how a press is come by."""
    form = rng.choice(("cash", "loan", "lease", "lease", "lease", "rental", "owned"))
    terms: Tree = {}
    if form == "cash":
        terms = {"price": money(rng, 8000, 90000)}
        perhaps(rng, terms, "sells_for", money(rng, 500, 9000), 0.7)
    elif form == "loan":
        price = money(rng, 8000, 90000)
        rate = "0%" if rng.random() < 0.1 else percent(rng, 1, 12)
        terms = {"price": price, "rate": rate, "months": rng.randint(3, horizon + 20)}
        perhaps(rng, terms, "down_payment", round(price * rng.uniform(0.05, 0.4), 2))
        perhaps(rng, terms, "fee", money(rng, 50, 500))
        perhaps(rng, terms, "sells_for", money(rng, 500, 9000))
    elif form == "lease":
        terms = lease(rng, horizon, first)
    elif form == "rental":
        terms = {"rent": money(rng, 300, 3000)}
        perhaps(rng, terms, "notice_months", rng.randint(0, 6))
        perhaps(rng, terms, "increase", percent(rng, 0, 9), 0.7)
        perhaps(rng, terms, "increase_every", rng.choice((3, 6, 12, 24)))
    else:
        perhaps(rng, terms, "sells_for", money(rng, 100, 3000), 0.7)
    return {form: terms}


def rates(rng: Random, level: float, volume: float, period: int) -> Any:
    """Draw a rate or two or three bands around the clicks of a settlement period."""
    if rng.random() < 0.5:
        return round(level, 5)
    starts = [0, *sorted(rng.sample(range(1, 400), rng.choice((1, 2))))]
    return [
        {"from": round(volume * period * start / 200), "rate": round(level * (1 - 0.15 * place), 5)}
        for place, start in enumerate(starts)
    ]


def service(rng: Random, horizon: int, start_year: int, volumes: dict[str, float]) -> Tree:
    """Draw a service plan for these sides a month."""
    settled = rng.choice(("monthly", "quarterly", "yearly", None))
    period = {"monthly": 1, "quarterly": 3, "yearly": 12, None: 1}[settled]
    out: Tree = {}
    perhaps(rng, out, "settled", settled, 1.0 if settled else 0.0)
    perhaps(rng, out, "base", in_time(rng, money(rng, 50, 900)), 0.6)
    metered = [colour for colour in volumes if rng.random() < 0.9] or list(volumes)
    if "base" in out and rng.random() < 0.08:
        metered = []
    for colour in metered:
        out[colour] = rates(rng, 0.05 if colour == "colour" else 0.008, max(200.0, volumes[colour]), period)
        size = max(100.0, volumes[colour])
        for key, most, chance in (("included", 1.2, 0.4), ("minimum", 1.4, 0.35)):
            if rng.random() < chance:
                out.setdefault(key, {})[colour] = in_time(rng, round(size * rng.uniform(0.2, most)))
    if any(isinstance(out[colour], list) for colour in metered):
        perhaps(rng, out, "bands", rng.choice(("graduated", "all units")), 0.8)
    perhaps(rng, out, "minimum_charge", in_time(rng, money(rng, 100, 2500)), 0.35)
    perhaps(rng, out, "stub", rng.choice(("full", "pro rata")), 0.7)
    perhaps(rng, out, "oversize_counts", rng.choice((1, 1.5, 2, 3)), 0.7)
    perhaps(rng, out, "blank_backs", rng.choice(("count", "free")))
    perhaps(rng, out, "increase", percent(rng, 0, 12), 0.8)
    perhaps(rng, out, "increase_every", rng.choice((6, 12, 12, 18)))
    begins = rng.choice((rng.randint(1, 18), f"{start_year + rng.choice((-1, 0, 1))}-{rng.randint(1, 12):02d}"))
    perhaps(rng, out, "increase_from", begins)
    perhaps(rng, out, "increase_cap", percent(rng, 1, 6), 0.4)
    on = [key for key in ("base", "rates", "minimum_charge") if rng.random() < 0.6] or ["rates"]
    perhaps(rng, out, "increase_on", on)
    perhaps(rng, out, "months", rng.randint(1, horizon + 14))
    return out

"""Service plans for the oracle: clicks, settlement, price increases, true-up, what is bound."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from tests.oracle import reading as r
from tests.oracle.flows import Book
from tests.oracle.placing import Placed, Press
from tests.oracle.work import Clock, Work

PERIODS = {"monthly": 1, "quarterly": 3, "yearly": 12}


@dataclass(frozen=True)
class Plan:
    """A service plan and the presses it covers."""

    raw: r.Tree
    presses: tuple[Press, ...]


def plans_of(candidate: r.Tree, presses: list[Press]) -> list[Plan]:
    """List plans: of single presses, and of the candidate for all presses without one of their own."""
    if not candidate.get("presses"):
        return [Plan(p.raw["service"], (p,)) for p in presses if "service" in p.raw]
    plans = [Plan(p.raw["service"], (p,)) for p in presses if "service" in p.raw]
    pool = tuple(p for p in presses if "service" not in p.raw)
    if "service" in candidate and pool:
        plans.append(Plan(candidate["service"], pool))
    return plans


class Terms:
    """The dates and prices of one plan."""

    def __init__(self, plan: Plan, clock: Clock, allowances: r.Tree) -> None:
        raw = plan.raw
        self.raw = raw
        self.first = min(p.first for p in plan.presses)
        use = max(0, max(p.last for p in plan.presses) - self.first + 1)
        stated = round(r.number(raw["months"])) if "months" in raw else use
        self.length = max(stated, use)
        self.last = self.first + self.length - 1
        self.period = PERIODS[str(raw.get("settled", "monthly"))]
        self.pro_rata = str(raw.get("stub", "full")) == "pro rata"
        increase = r.number(raw.get("increase", allowances.get("increase")), 0.05)
        self.increase = min(increase, r.number(raw["increase_cap"])) if "increase_cap" in raw else increase
        start = raw.get("increase_from", 13)
        dated = not isinstance(start, (int, float))
        self.increase_from = clock.operating_month(start) - self.first + 1 if dated else float(start)
        self.every = r.number(raw.get("increase_every"), 12.0)
        listed = raw.get("increase_on", ["base", "rates"])
        self.increase_on = [listed] if isinstance(listed, str) else listed

    def contract_month(self, month: int) -> int:
        """Give the month of the contract."""
        return month - self.first + 1

    def price(self, what: str, month: int) -> float:
        """Give the price factor of base, rates or minimum_charge."""
        if what not in self.increase_on:
            return 1.0
        steps = math.floor((self.contract_month(month) - self.increase_from) / self.every) + 1
        return float((1 + self.increase) ** max(0, steps))

    def opens(self, month: int) -> bool:
        """Say whether a settlement period opens."""
        return (self.contract_month(month) - 1) % self.period == 0

    def closes(self, month: int, horizon: int) -> bool:
        """Say whether a settlement period closes."""
        return self.contract_month(month) % self.period == 0 or month in (self.last, horizon)


def click_charge(rates: Any, reading: str, above: float, part: float) -> float:
    """Price clicks above the included ones; `part` is months counted over months of a period."""
    if not isinstance(rates, list):
        return above * r.number(rates)
    starts = [r.number(band.get("from")) * part for band in rates]
    prices = [r.number(band["rate"]) for band in rates]
    if reading == "all units":
        held = max(b for b, start in enumerate(starts) if start <= above or b == 0)
        return above * prices[held]
    ends = [*starts[1:], math.inf]
    return sum(max(0.0, min(above, end) - start) * p for start, end, p in zip(starts, ends, prices, strict=True))


def clicks_of(plan: Plan, meter: str, placed: Placed, classes: list[Work], months: int) -> list[float]:
    """Count the clicks of one meter in months 1 ... H."""
    large_counts = r.number(plan.raw.get("oversize_counts"), 2.0)
    free = str(plan.raw.get("blank_backs", "count")) == "free"
    out = [0.0] * months
    for press in plan.presses:
        for work in classes:
            if work.colour != (meter == "colour"):
                continue
            counted = work.passes - (work.blank_passes if free else 0.0)
            counted *= 1 + (large_counts - 1) * work.large
            for i in range(months):
                out[i] += placed.done[press.key, work.key][i] * counted
    return out


def serve(book: Book, plan: Plan, clicks: dict[str, list[float]], allowances: r.Tree) -> None:
    """Enter base, click charges and true-up of one plan."""
    horizon = book.clock.months
    terms = Terms(plan, book.clock, allowances)
    raw = plan.raw
    base = r.amount(raw.get("base"))
    reading = str(raw.get("bands", "graduated"))
    so_far = {"colour": 0.0, "black": 0.0}
    charged = counted = 0.0
    for m in range(terms.first, terms.last + 1):
        book.add("service_base", m, "opening", base * terms.price("base", m))
        if m > horizon:
            continue
        if terms.opens(m):
            so_far = {"colour": 0.0, "black": 0.0}
            charged = counted = 0.0
        counted += 1
        charged += base * terms.price("base", m)
        for meter in so_far:
            so_far[meter] += clicks[meter][m - 1]
        if not terms.closes(m, horizon):
            continue
        months = counted if terms.pro_rata else terms.period
        for meter, made in so_far.items():
            if meter not in raw:
                continue
            billed = max(made, r.amount((raw.get("minimum") or {}).get(meter)) * months)
            above = max(0.0, billed - r.amount((raw.get("included") or {}).get(meter)) * months)
            charge = click_charge(raw[meter], reading, above, months / terms.period) * terms.price("rates", m)
            book.add("service_clicks", m, "close", charge)
            charged += charge
        if "minimum_charge" in raw:
            least = r.amount(raw["minimum_charge"]) * terms.price("minimum_charge", m) * months
            book.add("service_true_up", m, "close", max(0.0, least - charged))


def bound(plan: Plan, clock: Clock, allowances: r.Tree) -> float:
    """Say what the plan costs if nothing is printed, unescalated and not cut at the horizon."""
    raw = plan.raw
    least = 0.0
    for meter, clicks in (raw.get("minimum") or {}).items():
        rates = raw.get(meter)
        first = rates[0]["rate"] if isinstance(rates, list) else rates
        least += r.amount(clicks) * r.number(first)
    least = max(least, r.amount(raw.get("minimum_charge")))
    return (r.amount(raw.get("base")) + least) * Terms(plan, clock, allowances).length

"""Service plans for the oracle: clicks, settlement, price increases, true-up, what is bound."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from tests.oracle import reading as r
from tests.oracle.flows import Book
from tests.oracle.meters import Meter, clicks_a_month, excess, meters_of
from tests.oracle.placing import Placed, Press, weeks_of
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
        cap = r.number(raw.get("increase_cap"), math.inf)
        dated_rises = (raw.get("increases") or {}).items()
        self.rises = [(clock.operating_month(when), min(r.number(rise), cap)) for when, rise in dated_rises]
        listed_from = (raw.get("rates_from") or {}).items()
        dated_prices = [(clock.operating_month(when), prices) for when, prices in listed_from]
        self.listed = sorted(dated_prices, key=lambda pair: pair[0])
        self.by_instalments = r.yes(raw.get("instalments"))

    def contract_month(self, month: int) -> int:
        """Give the month of the contract."""
        return month - self.first + 1

    def price(self, what: str, month: int) -> float:
        """Give the price factor of base, rates or minimum_charge."""
        if what not in self.increase_on:
            return 1.0
        if self.rises:
            return math.prod(1 + rise for begins, rise in self.rises if month >= begins)
        steps = math.floor((self.contract_month(month) - self.increase_from) / self.every) + 1
        return float((1 + self.increase) ** max(0, steps))

    def list_price(self, key: str, month: int) -> Any:
        """Give the base or the rates of a meter as listed in a month, before increases."""
        meters = {meter.key: meter.rates for meter in meters_of(self.raw)}
        price = self.raw.get("base") if key == "base" else meters[key]
        for begins, prices in self.listed:
            if month >= begins and key in prices:
                price = prices[key]
        return r.amount(price) if key == "base" else price

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


@dataclass
class Clicks:
    """What one plan counts, by meter; lists run over months 1 ... H at position 0 ...."""

    meters: list[Meter]
    small: dict[str, list[float]]
    large: dict[str, list[float]]
    later_copies: dict[str, list[float]]  # clicks of copies above the run length of the meter
    toner: list[float]  # small sides at the cap, above it

    def of(self, key: str, month: int) -> float:
        """Give the clicks of a meter in a month."""
        return self.small[key][month - 1] + self.large[key][month - 1]


def clicks_of(plan: Plan, placed: Placed, classes: list[Work], months: int, small: str) -> Clicks:
    """Count the clicks of every meter in months 1 ... H."""
    meters = meters_of(plan.raw)

    def empty() -> dict[str, list[float]]:
        return {meter.key: [0.0] * months for meter in meters}

    out = Clicks(meters, empty(), empty(), empty(), [0.0] * months)
    for press in plan.presses:
        for work in classes:
            done = placed.done[press.key, work.key]
            if "coverage_cap" in plan.raw:
                for i in range(months):
                    out.toner[i] += done[i] * work.passes * excess(plan.raw, work, small)
            for meter in meters:
                one, two = clicks_a_month(plan.raw, meters, meter, work)
                later = 0.0
                if "run_length" in meter.own:
                    copies = work.sets / work.jobs
                    later = max(0.0, copies - r.number(meter.own["run_length"]["above"])) / copies
                for i in range(months):
                    out.small[meter.key][i] += done[i] * one
                    out.large[meter.key][i] += done[i] * two
                    out.later_copies[meter.key][i] += done[i] * (one + two) * later
    return out


class Carried:
    """Included clicks of earlier months that are still usable, the oldest first."""

    def __init__(self, meter: Meter) -> None:
        self.months = round(r.number(meter.own.get("carry_forward_months")))
        self.lots: list[tuple[int, float]] = []

    def free(self, month: int, made: float, allowance: float) -> float:
        """Say how many of the clicks of a month are free, and keep what is not used."""
        own = min(made, allowance)
        free, kept = own, []
        for begun, left in self.lots:
            if month - begun <= self.months:
                used = min(left, made - free)
                free += used
                kept.append((begun, left - used))
        self.lots = [*kept, (month, allowance - own)] if self.months else []
        return free


@dataclass
class Period:
    """What has come together since a settlement period opened."""

    clicks: dict[str, float]
    large: dict[str, float]
    charged: float = 0.0  # base and clicks
    months: float = 0.0
    instalments: float = 0.0


def serve(book: Book, plan: Plan, clicks: Clicks, allowances: r.Tree) -> None:
    """Enter base, click charges, what secures the dealer a minimum, and extras of one plan."""
    terms = Terms(plan, book.clock, allowances)
    raw, keys = plan.raw, [meter.key for meter in clicks.meters]
    carried = {meter.key: Carried(meter) for meter in clicks.meters}
    financed = r.number(raw.get("financed_clicks"))
    period = Period({}, {})
    for m in range(terms.first, terms.last + 1):
        base = terms.list_price("base", m) * terms.price("base", m)
        if not terms.by_instalments or m > book.clock.months:
            book.add("service_base", m, "opening", base)
        if m > book.clock.months:
            continue
        if terms.opens(m):
            period = Period(dict.fromkeys(keys, 0.0), dict.fromkeys(keys, 0.0))
        period.months += 1
        period.charged += base
        period.instalments += r.amount(raw.get("minimum_charge")) * terms.price("minimum_charge", m)
        for meter in clicks.meters:
            period.clicks[meter.key] += clicks.of(meter.key, m)
            period.large[meter.key] += clicks.large[meter.key][m - 1]
        closing = terms.closes(m, book.clock.months)
        above: dict[str, float] = {}
        if closing:
            above = {meter.key: above_included(terms, period, m, meter, carried[meter.key]) for meter in clicks.meters}
        gone = min(sum(above.values()), financed)
        financed -= gone
        share = 1 - gone / sum(above.values()) if gone else 1.0
        for meter in clicks.meters:
            if "run_length" in meter.own:
                charge_clicks(book, terms, period, m, long_runs(terms, meter, clicks, m) * share)
        every_month(book, terms, clicks, m)
        if closing:
            for meter in clicks.meters:
                settle(book, terms, period, m, meter, above[meter.key], share)
            close(book, terms, period, m)


def charge_clicks(book: Book, terms: Terms, period: Period, month: int, charge: float) -> None:
    """Count a charge for clicks; it is paid by itself when nothing is paid in instalments."""
    period.charged += charge
    book.add("service_clicks", month, "close", 0.0 if terms.by_instalments else charge)


def every_month(book: Book, terms: Terms, clicks: Clicks, month: int) -> None:
    """Enter what is paid each month whatever the settlement period."""
    raw = terms.raw
    book.add("service_fee", month, "close", r.amount(raw.get("fee_per_month")))
    if terms.by_instalments:
        instalment = r.amount(raw["minimum_charge"]) * terms.price("minimum_charge", month)
        book.add("service_instalments", month, "close", instalment)
    if "coverage_cap" in raw:
        price = r.number(raw["coverage_cap"]["price"]) * terms.price("rates", month)
        book.add("service_toner", month, "close", clicks.toner[month - 1] * price)


def above_included(terms: Terms, period: Period, month: int, meter: Meter, carried: Carried) -> float:
    """Give the billed clicks of a period above those included, and above what earlier months carried forward."""
    months = period.months if terms.pro_rata else terms.period
    billed = max(period.clicks[meter.key], meter.minimum * months)
    free = meter.included * months
    if "carry_forward_months" in meter.own:
        free = carried.free(month, billed, free)
    return max(0.0, billed - free)


def settle(book: Book, terms: Terms, period: Period, month: int, meter: Meter, above: float, share: float) -> None:
    """Charge the clicks of one meter above the included ones; `share` of them is not financed."""
    months = period.months if terms.pro_rata else terms.period
    made, factor = period.clicks[meter.key], terms.price("rates", month)
    rates = terms.list_price(meter.key, month)
    charge = click_charge(rates, meter.reading, above * share, months / terms.period)
    if "size_rate" in meter.own:
        charge += period.large[meter.key] * share * (r.number(meter.own["size_rate"]) - r.number(rates))
    charge_clicks(book, terms, period, month, charge * factor)
    credit = r.number(meter.own.get("under_use_credit")) * max(0.0, meter.minimum * months - made)
    book.add("service_credit", month, "close", -credit * factor)


def close(book: Book, terms: Terms, period: Period, month: int) -> None:
    """Enter what a period ends with: the true-up, or what exceeds the instalments, and the rebate."""
    raw, months = terms.raw, period.months if terms.pro_rata else terms.period
    if terms.by_instalments:
        book.add("service_true_up", month, "close", max(0.0, period.charged - period.instalments))
    elif "minimum_charge" in raw:
        least = r.amount(raw["minimum_charge"]) * terms.price("minimum_charge", month) * months
        book.add("service_true_up", month, "close", max(0.0, least - period.charged))
    if "rebate" in raw:
        more = max(0.0, sum(period.clicks.values()) - r.amount(raw["rebate"]["above"]) * months)
        book.add("service_rebate", month, "close", -r.number(raw["rebate"]["rate"]) * more)


def long_runs(terms: Terms, meter: Meter, clicks: Clicks, month: int) -> float:
    """Charge what later copies of long runs cost more, or less, than the rate of the meter."""
    apart = r.number(meter.own["run_length"]["rate"]) - r.number(terms.list_price(meter.key, month))
    return clicks.later_copies[meter.key][month - 1] * apart * terms.price("rates", month)


def uptime(book: Book, plan: Plan, shop: r.Tree, allowances: r.Tree) -> None:
    """Credit the hours down above those allowed."""
    terms, promised = Terms(plan, book.clock, allowances), plan.raw.get("uptime")
    if not promised:
        return
    shop_hours = r.number(shop.get("hours_per_week")) * weeks_of(shop) / 12
    for m in range(terms.first, min(terms.last, book.clock.months) + 1):
        serving = [press for press in plan.presses if press.in_service(m)]
        down = sum(press.count * r.number(press.raw.get("service_stop_hours")) for press in serving)
        allowed = (1 - r.number(promised["share"])) * shop_hours * sum(press.count for press in serving)
        credit = r.number(promised["credit_per_hour"]) * max(0.0, down - allowed)
        book.add("service_uptime", m, "close", -min(credit, r.number(promised.get("at_most"), math.inf)))


def exit_share(book: Book, plan: Plan, allowances: r.Tree) -> None:
    """Enter what leaving the lease of a press early costs of what its own plan still binds."""
    press = plan.presses[0]
    share, left_after = press.terms.get("exit_service_share"), round(r.number(press.terms.get("exit_month")))
    if len(plan.presses) > 1 or press.form != "lease" or share is None or not left_after:
        return
    terms, month = Terms(plan, book.clock, allowances), press.first + left_after - 1
    left = sum(terms.list_price("base", m) + least(plan) for m in range(month + 1, terms.last + 1))
    book.add("exit_service", month, "close", r.number(share) * left)


def least(plan: Plan) -> float:
    """Give the larger of a plan's minimums, a month at the first rates."""
    out = 0.0
    for meter in meters_of(plan.raw):
        first = meter.rates[0]["rate"] if isinstance(meter.rates, list) else meter.rates
        out += meter.minimum * r.number(first)
    return max(out, r.amount(plan.raw.get("minimum_charge")))


def bound(plan: Plan, clock: Clock, allowances: r.Tree) -> float:
    """Say what the plan costs if nothing is printed, unescalated and not cut at the horizon."""
    terms = Terms(plan, clock, allowances)
    return least(plan) * terms.length + sum(terms.list_price("base", m) for m in range(terms.first, terms.last + 1))

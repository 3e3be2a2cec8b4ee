"""Placing for the oracle: presses of a candidate, their hours, and who does how much of each class in each month."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from tests.oracle import reading as r
from tests.oracle.meters import covered
from tests.oracle.work import Clock, Work


@dataclass(frozen=True)
class Press:
    """One entry of a candidate's presses."""

    key: str
    raw: r.Tree
    count: float
    first: int
    last: int  # last month in service, never beyond the horizon
    until: int  # the same before it is cut at the horizon
    is_today: bool  # stands under `today`
    kept: str | None  # the present press that this one is
    level: float = 1.0  # price level at which its sums are paid: that of the month in which a follower comes
    follows: bool = False  # comes in place of an equal one that left

    @property
    def sums(self) -> float:
        """Give what a sum written for one press is multiplied with."""
        return self.count * self.level

    def in_service(self, month: int) -> bool:
        """Say whether u(month) is 1."""
        return self.first <= month <= self.last

    @property
    def form(self) -> str:
        """Name the way it is paid for; a present lease is `present`."""
        form = next((f for f in r.FORMS if f in self.raw), "owned")
        if form == "lease" and "ends" in self.raw["lease"]:
            return "present"
        return form

    @property
    def terms(self) -> r.Tree:
        """Give the terms of that form."""
        return self.raw.get("lease" if self.form == "present" else self.form) or {}


@dataclass
class Placed:
    """What is done where; lists run over months 1 ... H at position 0 ..., keys are press and class keys."""

    done: dict[tuple[str, str], list[float]] = field(default_factory=dict)
    outside: dict[str, list[float]] = field(default_factory=dict)
    unplaced: dict[str, list[float]] = field(default_factory=dict)
    regular_hours: dict[str, list[float]] = field(default_factory=dict)
    overtime_hours: dict[str, list[float]] = field(default_factory=dict)
    care_hours: dict[str, list[float]] = field(default_factory=dict)
    hours_there: dict[str, list[float]] = field(default_factory=dict)
    utilisation: dict[str, list[float]] = field(default_factory=dict)


def presses_of(candidate: r.Tree, clock: Clock, is_today: bool = False) -> list[Press]:
    """List the presses in order of filling, each with those that replace it."""
    if r.yes(candidate.get("outside_only")):
        return []
    written = candidate.get("presses") or {"": candidate}
    out: list[Press] = []
    for key, raw in written.items():
        press = read_press(key, raw or {}, clock, is_today)
        out.append(press)
        number = 1
        while r.yes(press.raw.get("replaced")) and press.last < clock.months:
            number += 1
            press = follower(press, f"{key or 'press'}_{number}", clock)
            out.append(press)
    return out


def follower(press: Press, key: str, clock: Clock) -> Press:
    """Give the equal press that comes in the month after one leaves, at the prices of that month."""
    first = press.last + 1
    raw = press.raw | {"from_month": first}
    if "until_month" in raw:
        raw["until_month"] = first + clock.operating_month(press.raw["until_month"]) - press.first
    return replace(read_press(key, raw, clock, is_today=False), level=clock.price_level(first), follows=True)


def read_press(key: str, raw: r.Tree, clock: Clock, is_today: bool) -> Press:
    """Read one press and the months it is in service."""
    first = clock.operating_month(raw.get("from_month", 1))
    until = clock.months
    lease = raw.get("lease") or {}
    if "ends" in lease:
        if str(lease.get("then", "month to month")) == "return":
            until = clock.operating_month(lease["ends"])
    elif lease:
        term_end = first + round(r.number(lease["months"])) - 1
        at_end = str(lease.get("at_end", "return"))
        if at_end == "return":
            until = term_end
            unless = lease.get("renews_unless_noticed") or {}
            if unless and not r.yes(unless.get("noticed"), default=True):
                until += round(r.number(unless["months"]))
            if r.number(lease.get("exit_month")):
                until = first + round(r.number(lease["exit_month"])) - 1
        elif at_end == "renew":
            until = term_end + renewal_months(lease, term_end, clock)
    if "until_month" in raw:
        until = clock.operating_month(raw["until_month"])
    kept = raw.get("kept")
    return Press(key, raw, r.number(raw.get("count"), 1.0), first, min(until, clock.months), until, is_today, kept)


def renewal_months(lease: r.Tree, term_end: int, clock: Clock) -> int:
    """Give the months a lease is renewed for; unsaid: to the horizon."""
    if "renewal_months" in lease:
        return round(r.number(lease["renewal_months"]))
    return max(0, clock.months - term_end)


def speed(raw: r.Tree, size: str, small: str) -> float:
    """Give sides a minute of a size before any factor."""
    speeds = raw["sides_per_minute"]
    if not isinstance(speeds, dict):
        speeds = {small: speeds}
    if size in speeds:
        return r.number(speeds[size])
    known = small if small in speeds else next(iter(speeds))
    return r.number(speeds[known]) * r.feed_length(known) / r.feed_length(size)


def press_hours(raw: r.Tree, work: Work, small: str) -> float:
    """Give the hours that one average month of a class takes."""
    pace = 1 - work.two_sided + work.two_sided * r.number(raw.get("two_sided_factor"), 1.0)
    if work.heavy:
        pace *= r.number(raw.get("heavy_factor"), 0.5)
    minutes = work.mean_of_sizes(lambda size: work.passes / (speed(raw, size, small) * pace))
    hours = work.jobs * r.number(raw.get("make_ready_minutes")) / 60
    hours += minutes / 60 * (1 + r.number(raw.get("running_allowance")))
    tray = sum(r.number(t["sheets"]) for t in raw.get("trays") or () if takes(t.get("sizes", "any"), work.size))
    if tray and raw.get("reload_minutes"):
        hours += max(0.0, work.run_sheets / tray - work.jobs) * r.number(raw["reload_minutes"]) / 60
    if raw.get("output_sheets"):
        hours += work.run_sheets / r.number(raw["output_sheets"]) * r.number(raw.get("unload_minutes")) / 60
    return hours


def takes(sizes: Any, size: str) -> bool:
    """Say whether a tray takes a size."""
    return sizes == "any" or size in ([sizes] if isinstance(sizes, str) else [str(s).lower() for s in sizes])


def eligible(press: Press, work: Work, plan: r.Tree | None) -> bool:
    """Say whether the press can print a class; a plan with rates covers the colours that have one."""
    if work.colour and not r.yes(press.raw.get("colour"), default=True):
        return False
    if plan is not None and not covered(plan, work):
        return False
    named = press.raw.get("takes")
    if named is not None and work.key not in ([named] if isinstance(named, str) else named):
        return False
    largest = press.raw.get("largest")
    largest = str(largest).lower() if largest is not None else None
    return r.fits(work.large_size if work.large else work.size, largest)


def weeks_of(shop: r.Tree) -> float:
    """Give the working weeks of a year."""
    return r.number(shop.get("weeks_per_year"), 52.0)


def set_up(placed: Placed, presses: list[Press], classes: list[Work], shop: r.Tree, months: int) -> None:
    """Lay out empty lists, the hours there and the daily care."""
    weeks = weeks_of(shop)
    week_hours = r.number(shop.get("hours_per_week"))
    for work in classes:
        placed.outside[work.key] = [0.0] * months
        placed.unplaced[work.key] = [0.0] * months
    for press in presses:
        for work in classes:
            placed.done[press.key, work.key] = [0.0] * months
        care = r.number(press.raw.get("warm_up_minutes")) + r.number(press.raw.get("cleaning_minutes"))
        one = max(0.0, week_hours * weeks / 12 - r.number(press.raw.get("service_stop_hours")))
        serving = [press.count * press.in_service(m) for m in range(1, months + 1)]
        placed.hours_there[press.key] = [n * one for n in serving]
        placed.care_hours[press.key] = [n * care / 60 * 5 * weeks / 12 for n in serving]
        placed.regular_hours[press.key] = [0.0] * months
        placed.overtime_hours[press.key] = [0.0] * months


def place(
    presses: list[Press], plans: dict[str, r.Tree | None], classes: list[Work], data: r.Tree, clock: Clock, small: str
) -> Placed:
    """Fill the presses month by month: regular hours in order, then overtime in order, then outside.

    Parameters
    ----------
    plans
        the service plan of each press, by press key
    """
    shop, outside = data.get("shop") or {}, data.get("outside") or {}
    placed = Placed()
    set_up(placed, presses, classes, shop, clock.months)
    can = {(p.key, w.key): eligible(p, w, plans.get(p.key)) for p in presses for w in classes}
    need = {
        (p.key, w.key): press_hours(p.raw, w, small) for p in presses if "sides_per_minute" in p.raw for w in classes
    }
    extra = r.number(shop.get("overtime_hours_per_week")) * weeks_of(shop) / 12
    for i in range(clock.months):
        left = {w.key: w.index[i] for w in classes}
        for overtime in (False, True):
            for press in presses:
                if not press.in_service(i + 1):
                    continue
                offered = [w.key for w in classes if can[press.key, w.key]]
                if "sides_per_minute" not in press.raw:
                    share, done_hours = 1.0, 0.0
                else:
                    want = sum(need[press.key, k] * left[k] for k in offered)
                    regular = max(0.0, placed.hours_there[press.key][i] - placed.care_hours[press.key][i])
                    done_hours = min(want, press.count * extra if overtime else regular)
                    share = done_hours / want if want else 0.0
                for k in offered:
                    part = left[k] * share
                    placed.done[press.key, k][i] += part
                    left[k] = left[k] - part
                (placed.overtime_hours if overtime else placed.regular_hours)[press.key][i] += done_hours
        for w in classes:
            has_price = ("colour" if w.colour else "black") in outside
            (placed.outside if has_price else placed.unplaced)[w.key][i] = left[w.key]
    for key, there in placed.hours_there.items():
        used = [a + b for a, b in zip(placed.regular_hours[key], placed.care_hours[key], strict=True)]
        placed.utilisation[key] = [a / b if b else 0.0 for a, b in zip(used, there, strict=True)]
    return placed

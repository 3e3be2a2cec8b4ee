"""Fleets and recovery for the oracle, section 11: the busiest week, due hours, charges, hourly rate, lives."""

from __future__ import annotations

import copy
from dataclasses import dataclass, field
from typing import Any

from tests.oracle import oracle
from tests.oracle import reading as r
from tests.oracle.flows import EQUIPMENT
from tests.oracle.oracle import Candidate
from tests.oracle.placing import Press, eligible, press_hours, weeks_of
from tests.oracle.work import Clock, Work

LOADS = (0.6, 0.7, 0.8)  # of the hours there, for the hourly rate
FIXED = ("people", "energy", "space", "service_base", "support")
KINDS_OF_MACHINES = (*(heading for heading in EQUIPMENT if heading != "property_tax"), *FIXED)  # that one is a tax


@dataclass
class Week:
    """The busiest week of every month 1 ... H at position 0 ..., press keys."""

    load: dict[str, list[float]] = field(default_factory=dict)
    too_many: list[float] = field(default_factory=list)


def takes(candidate: Candidate, press: Press, work: Work) -> bool:
    """Say whether a press can take a class."""
    return eligible(press, work, candidate.shift.plans.get(press.key))


def busiest_week(candidate: Candidate, clock: Clock) -> Week:
    """Place a share of each month in the regular hours of one week."""
    shift = candidate.shift
    share, shop = r.number(shift.data["busiest_week"]), shift.shop
    out = Week({press.key: [] for press in shift.presses})
    for m in range(1, clock.months + 1):
        left = {work.key: share * work.index[m - 1] for work in shift.classes}
        for press in shift.presses:
            can = [work for work in shift.classes if takes(candidate, press, work)]
            stops = r.number(press.raw.get("service_stop_hours")) * 12 / weeks_of(shop)
            there = press.count * max(0.0, r.number(shop.get("hours_per_week")) - stops)
            care = r.number(press.raw.get("warm_up_minutes")) + r.number(press.raw.get("cleaning_minutes"))
            care *= press.count / 60 * 5
            part = 1.0
            if "sides_per_minute" in press.raw:
                wanted = sum(press_hours(press.raw, work, shift.small) * left[work.key] for work in can)
                part = min(wanted, max(0.0, there - care)) / wanted if wanted else 0.0
                there_now = there if press.in_service(m) else 0.0
                out.load[press.key].append((wanted + care) / there_now if there_now else 0.0)
            if press.in_service(m):
                for work in can:
                    left[work.key] -= left[work.key] * part
        some = [work for work in shift.classes if any(takes(candidate, press, work) for press in shift.presses)]
        out.too_many.append(sum(work.sides * left[work.key] for work in some))
    return out


def job_hours(candidate: Candidate) -> dict[str, float]:
    """Give the hours of one job of each class on the first press with speeds that can take it."""
    shift, out = candidate.shift, {}
    for work in shift.classes:
        for press in shift.presses:
            if "sides_per_minute" in press.raw and takes(candidate, press, work) and work.jobs:
                out[work.key] = press_hours(press.raw, work, shift.small) / work.jobs
                break
    return out


def done_or_out(candidate: Candidate, work: Work) -> list[float]:
    """Give the work of a class that is done in house or sent out, by month."""
    lines = [line for (_, key), line in candidate.placed.done.items() if key == work.key]
    return [sum(at) for at in zip(candidate.placed.outside[work.key], *lines, strict=True)]


def charge_of(data: r.Tree, work: Work) -> float:
    """Give what an average month of a class brings."""
    if data.get("jobs"):
        return work.sets * r.number(data["jobs"][work.key].get("charge_per_set"))
    charges = (data.get("work") or {}).get("charge_per_side") or {}
    return work.sides * r.number(charges.get("colour" if work.colour else "black"))


def recovery(candidate: Candidate, clock: Clock) -> list[float]:
    """Give what is charged in each month."""
    shift = candidate.shift
    rise = r.yes((shift.data.get("money") or {}).get("charges_rise"), default=True)
    out = [0.0] * clock.months
    for work in shift.classes:
        for i, share in enumerate(done_or_out(candidate, work)):
            out[i] += charge_of(shift.data, work) * share * (clock.price_level(i + 1) if rise else 1.0)
    return out


def worth(row: list[float], clock: Clock) -> float:
    """Discount what falls at the close of months 1 ... H."""
    return sum(amount * clock.factor(m, "close") for m, amount in enumerate(row, start=1))


def hourly_rate(candidate: Candidate) -> list[float] | None:
    """Give the cost of an hour at 60, 70 and 80 % of the hours there; None unless every press has speeds."""
    presses = candidate.shift.presses
    there = sum(sum(line) for line in candidate.placed.hours_there.values())
    if not presses or any("sides_per_minute" not in press.raw for press in presses):
        return None
    cost = sum(candidate.totals[heading] for heading in KINDS_OF_MACHINES)
    return [cost / (share * there) if there else 0.0 for share in LOADS]


def scope(candidate: Candidate, work: Work) -> tuple[float, float, float]:
    """Give the shares of a class done in house, sent out and done by nobody."""
    asked = sum(work.index)
    out, nobody = sum(candidate.placed.outside[work.key]), sum(candidate.placed.unplaced[work.key])
    inside = sum(sum(line) for (_, key), line in candidate.placed.done.items() if key == work.key)
    return (inside / asked, out / asked, nobody / asked) if asked else (0.0, 0.0, 0.0)


def month_of_use(candidate: Candidate, clock: Clock) -> float | None:
    """Give present value by month in which a press is in service; None without presses."""
    presses = candidate.shift.presses
    used = sum(1 for m in range(1, clock.months + 1) if any(press.in_service(m) for press in presses))
    return candidate.present_value / used if used else None


def level_month_of_start(candidate: Candidate, clock: Clock) -> float:
    """Give the level month in money of the start, by the real rate."""
    effective = (1 + clock.rate / 12) ** 12 if clock.nominal else 1 + clock.rate
    real = effective / (1 + clock.inflation)
    return candidate.present_value / sum(real ** (-m / 12) for m in range(1, clock.months + 1))


def contribution(data: r.Tree, candidate: str, work: str) -> float:
    """Give what work that only some candidates win brings a candidate, beyond what it costs there."""
    without = oracle.evaluate(data).candidates[candidate]
    more: dict[str, Any] = copy.deepcopy(data)
    won = more.pop("new_work")[work]
    more["jobs"][work] = {key: value for key, value in won.items() if key != "only_with"}
    result = oracle.evaluate(more)
    it = result.candidates[candidate]
    new = next(one for one in result.classes if one.key == work)
    rise = r.yes((it.shift.data.get("money") or {}).get("charges_rise"), default=True)
    paid = [charge_of(it.shift.data, new) * share for share in done_or_out(it, new)]
    level = [result.clock.price_level(m) if rise else 1.0 for m in range(1, result.clock.months + 1)]
    brought = worth([a * b for a, b in zip(paid, level, strict=True)], result.clock)
    return brought - (it.present_value - without.present_value)

"""Warnings about parts of a plan: tiers by coverage, clicks that another payment has paid, credits for hours down."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tco.advice.record import QuoteWarning, Reading
from tco.advice.study import NOTHING, Changes, PlanAt, Study
from tco.scenario.figure import Figure
from tco.scenario.schema import Press

# More clicks than any study makes: they never run out.
WITHOUT_END = 1e12
MINUTES_AN_HOUR = 60.0
# A coverage above the start of a tier that has no upper end.
JUST_ABOVE = 0.001


def coverages(study: Study) -> dict[str, Figure]:
    """Return the coverage of each kind of work by its path; one that several share stands once."""
    jobs = (study.scenario.jobs or {}).values()
    figures = [job.coverage for job in jobs] or [study.scenario.coverage]
    return {one.path: one for one in figures}


def coverage_tiers(study: Study) -> Iterator[QuoteWarning]:
    """Clicks cost by coverage, and nobody has measured the coverage of the work."""
    known = coverages(study)
    guessed = [path for path, one in known.items() if one.status not in ("measured", "invoiced")]
    for one in study.plans() if guessed else ():
        tiers = [meter for meter in one.plan.meters_in_order if meter.has_range]
        if not tiers:
            continue
        readings = sorted(_in_each_tier(study, one, list(known)), key=lambda reading: reading.cost)
        yield study.warning(
            "coverage-tiers", one.candidate, "warn", f"{one.path}.meters",
            f"{one.name}: clicks cost by coverage, and the coverage of the work is not measured",
            "What would the meter of each tier count on our own files? Please let us run a week of our jobs, and say "
            "how coverage is measured.",
            "Each kind of work in the tier of its coverage as written" + _share(study, one, readings),
            (readings[0], readings[-1]) if readings else (),
        )  # fmt: skip


def _in_each_tier(study: Study, plan: PlanAt, paths: list[str]) -> tuple[Reading, ...]:
    """What the candidate costs when all work falls into one tier, for each tier and for work above the last."""
    each: dict[str, Changes] = {}
    for meter in plan.plan.meters_in_order:
        upper = meter.own.coverage_to if meter.own is not None else None
        lower = meter.own.coverage_from if meter.own is not None else None
        if upper is None and lower is None:
            ends = [one.own.coverage_to.number for one in plan.plan.meters_in_order
                    if one.own is not None and one.own.coverage_to is not None]  # fmt: skip
            at = max(ends, default=0.0) + JUST_ABOVE
        else:
            at = upper.number if upper is not None else lower.number + JUST_ABOVE if lower is not None else 0.0
        each[f"all work counted by {meter.label}"] = dict.fromkeys(paths, min(at, 1.0))
    return study.readings(plan.candidate, each)


def _share(study: Study, plan: PlanAt, readings: list[Reading]) -> str:
    """The share of the dearest tier at which the candidate costs what the cheapest other one costs."""
    others = [cost for key, cost in study.base.items() if key != plan.candidate and key not in study.barred]
    if not readings or not others:
        return ""
    low, high, other = readings[0].cost, readings[-1].cost, min(others)
    if not low < other < high:
        return ""
    share = study.percent((other - low) / (high - low), 0)
    return f"; with about {share} of it in the dearest tier it costs what the next one costs"


def financed_clicks(study: Study) -> Iterator[QuoteWarning]:
    """Clicks that another payment has paid are used up before that payment ends."""
    for one in study.plans():
        paid = one.plan.financed_clicks
        if paid is None:
            continue
        share = study.row(f"{one.block}.charged_share") * (study.row(f"{one.block}.chargeable") > NOTHING)
        charged = np.flatnonzero(share > NOTHING)
        end = min(study.scenario.horizon, *(_last_rent(press) for press in one.presses))
        if len(charged) == 0 or charged[0] + 1 >= end:
            continue
        first = int(charged[0]) + 1
        after = study.row(f"{one.block}.click_charge")[first:end]
        enough = {"as many as told": paid.number, "enough for the term": WITHOUT_END}
        yield study.warning(
            "financed-clicks", one.candidate, "error", f"{one.path}.financed_clicks",
            f"{one.name}: the clicks paid for run out in month {first} of {end}; after it clicks cost about "
            f"{study.told(float(after.mean()))} a month",
            f"What does a click cost once the {study.told(paid.number)} clicks are used, does the payment that holds "
            "them fall then, and can unused ones be kept?",
            "Every further click at the rates of the plan, the payment goes on",
            study.at(one.candidate, paid, f"{one.path}.financed_clicks", enough),
        )  # fmt: skip


def _last_rent(press: Press) -> float:
    """The operating month in which the payments for a press end; endless for one that is not leased anew."""
    lease = press.new_lease
    return press.from_month.number + lease.months.number - 1 if lease is not None else float("inf")


def uptime_credit(study: Study) -> Iterator[QuoteWarning]:
    """A credit for hours down that is less than what the pages of such an hour cost elsewhere, or not compared."""
    for one in study.plans():
        promise = one.plan.uptime
        if promise is None:
            continue
        credit, lost = promise.credit_per_hour, _outside(study, one)
        if lost is not None and credit.number >= lost:
            continue
        told = f"an hour down is credited with {study.exact(credit.number)}, " + (
            f"its pages cost {study.told(lost)} or more outside"
            if lost is not None
            else "and nothing says what it costs"
        )
        yield study.warning(
            "uptime-credit", one.candidate, "inform", f"{one.path}.uptime", f"{one.name}: {told}",
            "Is the credit the only remedy, is there a highest one, who counts hours down and from when, and may we "
            "end the contract when it happens again?",
            "Credited as promised; work that is late or sent out because of it is not counted",
            study.at(one.candidate, credit, f"{one.path}.uptime.credit_per_hour",
                     {"as promised": credit.number, "never credited": 0.0}),
        )  # fmt: skip


def _outside(study: Study, plan: PlanAt) -> float | None:
    """What the pages that the slowest press of a plan prints in an hour cost outside at the lowest price."""
    outside = study.scenario.outside
    prices = [] if outside is None else [
        price.number for colour, price in (("black", outside.black), ("colour", outside.colour))
        if price is not None and colour in study.work.colours]  # fmt: skip
    speeds = [min(one.number for one in press.sides_per_minute.values()) for press in plan.presses
              if press.sides_per_minute is not None]  # fmt: skip
    return min(speeds) * MINUTES_AN_HOUR * min(prices) if prices and len(speeds) == len(plan.presses) else None

"""What one set and one job of a class cost, for the oracle: all cost spread, and only what one more moves.

Full: paper and outside work of the class itself at the prices of their months; all service by what the clicks of the
classes would cost at the first rates; everything else by hours on presses with speeds, or by sides asked where no such
press worked. Divided by the sets or jobs asked. All classes together are the total cost. One more: what an average
month of the class would move at first prices on the first press that can take it (clicks, supplies, finishing, paper),
else outside (with its paper).
"""

from __future__ import annotations

from dataclasses import dataclass

from tests.oracle import reading as r
from tests.oracle import running
from tests.oracle.meters import clicks_a_month, excess, meters_of
from tests.oracle.oracle import Candidate
from tests.oracle.placing import Press, eligible, press_hours
from tests.oracle.service import Plan
from tests.oracle.work import Clock, Work

SERVICE = ("service_base", "service_clicks", "service_true_up", "service_instalments", "service_fee", "service_toner",
           "service_rebate", "service_credit", "service_uptime", "exit_service", "support")  # fmt: skip


@dataclass(frozen=True)
class ClassCost:
    """Money for one set and one job."""

    full: float  # of all work of the class
    set_full: float
    job_full: float
    set_next: float
    job_next: float


def first_clicks(plan: Plan, work: Work, small: str) -> float:
    """Give what the clicks of an average month of a class cost at the first rates, toner above the cap included."""
    meters, out = meters_of(plan.raw), 0.0
    for meter in meters:
        rate = r.number(meter.rates[0]["rate"] if isinstance(meter.rates, list) else meter.rates)
        few, many = clicks_a_month(plan.raw, meters, meter, work)
        out += few * rate + many * r.number(meter.own.get("size_rate"), rate)
        if "run_length" in meter.own and work.jobs:
            copies = work.sets / work.jobs
            later = max(0.0, copies - r.number(meter.own["run_length"]["above"])) / copies
            out += (few + many) * later * (r.number(meter.own["run_length"]["rate"]) - rate)
    if "coverage_cap" in plan.raw:
        out += work.passes * excess(plan.raw, work, small) * r.number(plan.raw["coverage_cap"]["price"])
    return out


def own_paper(candidate: Candidate, work: Work) -> float:
    """Give what the paper of an average month of a class costs."""
    counted = candidate.shift.counted("paper") and "paper" in candidate.shift.shop
    return work.run_sheets * running.sheet_price(candidate.shift, work) if counted else 0.0


def outside_month(candidate: Candidate, work: Work) -> float | None:
    """Give what an average month of a class costs outside, paper included; None without a price."""
    terms, shift = candidate.shift.outside, candidate.shift
    if ("colour" if work.colour else "black") not in terms:
        return None
    out = work.sides * r.number(terms["colour" if work.colour else "black"])
    out *= 1 + (r.number(terms.get("oversize_counts"), 2.0) - 1) * work.large
    out += work.sets * sum(r.number((terms.get("finishing") or {}).get(name)) for name in work.finishes)
    out += work.jobs * r.number(terms.get("delivery_per_job"))
    if str(terms.get("paper", "not included")) == "not included" and shift.counted("paper") and "paper" in shift.shop:
        out += work.good_sheets * running.sheet_price(shift, work)
    return out


def direct(candidate: Candidate, work: Work, clock: Clock) -> float:
    """Give paper and outside work of a class at the prices of their months."""
    shift, out = candidate.shift, 0.0
    for m in range(1, clock.months + 1):
        inside = sum(shift.done(press, work, m) for press in shift.presses if press.key not in shift.with_paper)
        sent = candidate.placed.outside[work.key][m - 1] * (outside_month(candidate, work) or 0.0)
        out += (inside * own_paper(candidate, work) + sent) * clock.price_level(m)
    return out


def hours_on(candidate: Candidate, work: Work, clock: Clock) -> float:
    """Give the hours of a class on presses with speeds."""
    shift = candidate.shift
    timed = [press for press in shift.presses if "sides_per_minute" in press.raw]
    months = range(1, clock.months + 1)
    return sum(press_hours(p.raw, work, shift.small) * sum(shift.done(p, work, m) for m in months) for p in timed)


def next_month(candidate: Candidate, work: Work) -> float:
    """Give what one more average month of a class moves."""
    shift = candidate.shift

    def on(press: Press) -> float:
        plan = shift.plans.get(press.key)
        covering = [one for one in candidate.plans if any(p.key == press.key for p in one.presses)]
        out = sum(first_clicks(one, work, shift.small) for one in covering)
        if shift.counted("supplies"):
            for item in (press.raw.get("supplies") or {}).values():
                use = running.use_of(item, work, shift.small, plan)
                out += r.number(item["price"]) * use / r.number(item.get("yields"), 1.0)
        if shift.counted("finishing"):
            for way, terms in running.ways_to_finish(shift, work, press):
                out += work.sets * r.number(terms.get("bought_in" if way == "bought in" else "material"))
        return out + (0.0 if press.key in shift.with_paper else own_paper(candidate, work))

    for press in shift.presses:
        if eligible(press, work, shift.plans.get(press.key)):
            return on(press)
    return outside_month(candidate, work) or 0.0


def class_cost(candidate: Candidate, clock: Clock) -> dict[str, ClassCost]:
    """Give the cost by class of jobs."""
    classes = candidate.shift.classes
    own = {work.key: direct(candidate, work, clock) for work in classes}
    weight = {work.key: 0.0 for work in classes}
    for plan in candidate.plans:
        for work in classes:
            done = sum(sum(candidate.placed.done[press.key, work.key]) for press in plan.presses)
            weight[work.key] += first_clicks(plan, work, candidate.shift.small) * done
    served, clicks = sum(candidate.totals[heading] for heading in SERVICE), sum(weight.values())
    if clicks:
        own = {key: amount + served * weight[key] / clicks for key, amount in own.items()}
    hours = {work.key: hours_on(candidate, work, clock) for work in classes}
    sides = {work.key: work.sides * sum(work.index) for work in classes}
    spread = hours if sum(hours.values()) else sides
    rest = candidate.total - sum(own.values())
    out = {}
    for work in classes:
        full = own[work.key] + (rest * spread[work.key] / sum(spread.values()) if sum(spread.values()) else 0.0)
        sets, jobs, more = work.sets * sum(work.index), work.jobs * sum(work.index), next_month(candidate, work)
        out[work.key] = ClassCost(
            full,
            full / sets if sets else 0.0,
            full / jobs if jobs else 0.0,
            more / work.sets if work.sets else 0.0,
            more / work.jobs if work.jobs else 0.0,
        )
    return out

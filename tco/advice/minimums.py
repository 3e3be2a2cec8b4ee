"""Warnings about what has to be paid for whether it is printed or not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from tco.advice.meters import billed, loses, meter_path, word
from tco.advice.record import QuoteWarning
from tco.advice.study import Changes, PlanAt, Study
from tco.advice.volume_and_clicks import a_month, banded
from tco.model.evaluate import Key, evaluate
from tco.model.kinds import Array
from tco.scenario.figure import FlowFigure
from tco.scenario.schema import MeterTerms

# A commitment above this share of the lowest forecast period is likely to be paid for unmade clicks. Common practice.
NEAR_LOWEST = 0.8
MONTHS = {"monthly": 1, "quarterly": 3, "yearly": 12}


def commits(plan: PlanAt) -> bool:
    """Tell whether a plan has included clicks or a minimum of any kind."""
    meters = plan.plan.meters_in_order
    paid = any(one.included is not None or one.minimum is not None for one in meters)
    return paid or plan.plan.minimum_charge is not None


def settlement(study: Study) -> Iterator[QuoteWarning]:
    """A minimum, an allowance or bands, and no word on the period over which they are settled."""
    for one in study.plans():
        path = f"{one.path}.settled"
        if study.silent(path) and (commits(one) or banded(one)):
            each = {f"settled {word}": {path: word} for word in MONTHS}
            yield study.warning(
                "settlement", one.candidate, "error", path,
                f"{one.name}: nothing says over which period minimums, included clicks or bands are settled",
                "Are minimums and included clicks settled by month, by quarter or by contract year? Please write it "
                "into the contract.",
                "Settled by the month, so that a strong month does not help a weak one",
                study.readings(one.candidate, each),
            )  # fmt: skip


def lowest_periods(study: Study, plan: PlanAt) -> Mapping[str, float]:
    """Return the lowest clicks of a whole settlement period by meter: volumes low, unsaid large sides counted once."""
    low: dict[Key, Array | float] = {one.path: one.low for one in study.volumes if one.low is not None}
    if study.silent(f"{plan.path}.oversize_counts") and study.holds(plan.plan.oversize_counts.path):
        low[plan.plan.oversize_counts.path] = 1.0
    keys: dict[str, str] = {}
    for meter in plan.plan.meters_in_order:
        names = (f"{plan.block}.{meter.id}_clicks", f"{plan.block}.{meter.id}_clicks_1")
        there = [name for name in names if name in study.model]
        if there:
            keys[meter.id] = there[0]
    found = evaluate(study.model, replace=low, keep=list(keys.values()))
    active = study.row(f"{plan.block}.active") > 0
    months = MONTHS[plan.plan.settled]
    out: dict[str, float] = {}
    for colour, key in keys.items():
        clicks = np.broadcast_to(found[key][0, 0], (study.model.columns,))[: study.scenario.horizon][active]
        whole = len(clicks) // months * months
        if whole:
            out[colour] = float(clicks[:whole].reshape(-1, months).sum(axis=1).min())
    return out


def minimum_high(study: Study) -> Iterator[QuoteWarning]:
    """What is committed comes near, or above, the weakest period."""
    for one in study.plans():
        paid = [(kind, meter, figure) for kind in ("minimum", "included") for meter in billed(one, study)
                if (figure := getattr(meter, kind)) is not None and loses(meter)]  # fmt: skip
        if not paid:
            continue
        lowest = lowest_periods(study, one)
        for kind, meter, figure in paid:
            asked = a_month(figure) * MONTHS[one.plan.settled]
            if meter.id in lowest and asked > NEAR_LOWEST * lowest[meter.id]:
                yield _high(study, one, kind, meter, figure, asked, lowest[meter.id])
    for one in study.plans():
        missing = float(study.row(f"{one.block}.true_up").sum())
        if one.plan.minimum_charge is not None and missing > 0:
            path = f"{one.path}.minimum_charge"
            both = {"without the minimum": 0.0, "with it": one.plan.minimum_charge.number}
            yield study.warning(
                "minimum-high", one.candidate, "warn", path,
                f"{one.name}: {study.told(missing)} is paid over the months compared only to reach the minimum charge",
                "Can the minimum charge be settled over the contract year, or be lower?",
                "The minimum as quoted", study.at(one.candidate, one.plan.minimum_charge, path, both),
            )  # fmt: skip


def _high(
    study: Study, one: PlanAt, kind: str, meter: MeterTerms, figure: FlowFigure, asked: float, lowest: float
) -> QuoteWarning:
    path, colour = meter_path(one, meter, kind), word(meter)
    period = {"monthly": "month", "quarterly": "quarter", "yearly": "contract year"}[one.plan.settled]
    if kind == "minimum":
        readings = study.at(one.candidate, figure, path, {"no minimum": 0.0, "as quoted": figure.number})
        words = "committed"
    else:
        settled = f"{one.path}.settled"
        each: dict[str, Changes] = {"as settled": {settled: one.plan.settled}, "settled yearly": {settled: "yearly"}}
        readings = study.readings(one.candidate, each)
        words = "prepaid"
    return study.warning(
        "minimum-high", one.candidate, "warn", path,
        f"{one.name}: {study.told(asked)} {colour} clicks a {period} are {words}, "
        f"the weakest one may have {study.told(lowest)}",
        f"Can the {colour} clicks that are {words} be lowered, or be settled over the contract year, so that we do not "
        "pay for clicks that are not made?",
        "Clicks not made are paid for", readings,
    )  # fmt: skip


def minimum_per_press(study: Study) -> Iterator[QuoteWarning]:
    """Several presses share the work and each has a minimum or an allowance of its own."""
    for key, owner in study.scenario.candidates_all:
        plans = [one for one in study.plans() if one.candidate == key and commits(one)]
        apart = owner.presses is not None and owner.service is None and len(plans) > 1
        several = [one for one in plans if len(one.presses) == 1 and one.presses[0].count.number > 1]
        for one in plans if apart else several:
            yield study.warning(
                "minimum-per-press", key, "warn", one.path,
                f"{one.name}: presses share the work, and minimum or included clicks may hold for each alone",
                "Are minimums and included clicks counted over all presses together? If not: can they be pooled?",
                "Each plan alone" if apart else "Together for the equal presses",
            )  # fmt: skip


def carry_forward(study: Study) -> Iterator[QuoteWarning]:
    """Unused clicks of a period are lost as far as the quote says."""
    for one in study.plans():
        path = f"{one.path}.settled"
        if study.silent(path) or one.plan.settled == "yearly":
            continue
        if any(loses(meter) for meter in one.plan.meters_in_order):
            each: dict[str, Changes] = {f"settled {word}": {path: word} for word in (one.plan.settled, "yearly")}
            yield study.warning(
                "carry-forward", one.candidate, "inform", path,
                f"{one.name}: nothing says that clicks not used in one period help the next",
                "Are clicks that are not used in one period carried into the next, or credited, and for how long?",
                "They are lost", study.readings(one.candidate, each),
            )  # fmt: skip

"""Warnings about what a click is, what is included, and how bands are read."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import inf

from tco.advice.meters import billed, counts_large, meter_path, word
from tco.advice.record import QuoteWarning
from tco.advice.study import PlanAt, Study
from tco.scenario.figure import Band, Figure, FlowFigure
from tco.scenario.schema import MeterTerms

# An overage rate this far from the rate that base and included clicks imply is worth a question. Common practice.
OFF_BASE = 0.25
IMPLIED_FIGURES = 4


def a_month(figure: FlowFigure) -> float:
    """Return an amount in time as one for a month."""
    return figure.number / figure.months


def banded(plan: PlanAt) -> list[tuple[MeterTerms, tuple[Band, ...]]]:
    """Return the meters of a plan whose rates are bands, each with them."""
    return [(one, one.rate) for one in plan.plan.meters_in_order if isinstance(one.rate, tuple)]


def click_basis(study: Study) -> Iterator[QuoteWarning]:
    """Nothing in the plan says what one click is, and the work makes it matter."""
    for one in study.plans():
        large = any(counts_large(meter, study) for meter in billed(one, study))
        unsaid = study.silent(f"{one.path}.oversize_counts") and study.silent(f"{one.path}.blank_backs")
        if not unsaid or not billed(one, study) or not (large or study.work.two_sided):
            continue
        sizes, backs = f"{one.path}.oversize_counts", f"{one.path}.blank_backs"
        readings = study.readings(one.candidate, {
            "every printed side one click": {sizes: 1, backs: "free"},
            "large sides two clicks, blank backs a click": {sizes: 2, backs: "count"},
        })  # fmt: skip
        yield study.warning(
            "click-basis", one.candidate, "error", one.path,
            f"{one.name}: the plan has rates but does not say what one click is",
            "Please state in writing what one click is: a printed side or a sheet, of which size, and whether a blank "
            "back counts.",
            "A click is one side of a small sheet; a large side is 2; a blank back counts", readings,
        )  # fmt: skip


def oversize_rule(study: Study) -> Iterator[QuoteWarning]:
    """Large sheets are printed and the plan does not say how many clicks they count."""
    for one in study.plans():
        path = f"{one.path}.oversize_counts"
        if study.silent(path) and any(counts_large(meter, study) for meter in billed(one, study)):
            readings = study.at(one.candidate, one.plan.oversize_counts, path, {"1 click": 1, "2 clicks": 2})
            yield study.warning(
                "oversize-rule", one.candidate, "error", path,
                f"{one.name}: nothing says how many clicks a large side counts",
                "How many clicks does one side on a large sheet count, and from which length or area on?",
                "2 clicks a large side, the dearer of the two usual readings", readings,
            )  # fmt: skip


def included_size(study: Study) -> Iterator[QuoteWarning]:
    """Included clicks may be meant in small or in large sides."""
    for one in study.plans():
        times = one.plan.oversize_counts.number
        if times == 1 or study.written(f"{one.path}.included_in"):
            continue
        for meter in billed(one, study):
            figure, colour = meter.included, word(meter)
            if figure is None or not counts_large(meter, study) or figure.number == 0:
                continue
            path = meter_path(one, meter, "included")
            either = {"in small sides": figure.number, "in large sides": figure.number * times}
            yield study.warning(
                "included-size", one.candidate, "warn", path,
                f"{one.name}: the {colour} clicks included may be meant in small or in large sides",
                f"Are the {study.told(figure.number)} {colour} clicks included a {figure.per} counted as small sides "
                "or as sides of any size?",
                f"In small sides, so that one large side uses up {study.exact(times)} of them",
                study.at(one.candidate, figure, path, either),
            )  # fmt: skip


def blank_backs(study: Study) -> Iterator[QuoteWarning]:
    """Two-sided work has blank backs and the plan does not say whether they count."""
    for one in study.plans():
        path = f"{one.path}.blank_backs"
        if study.silent(path) and study.work.two_sided and billed(one, study):
            both = {"free": {path: "free"}, "counted": {path: "count"}}
            yield study.warning(
                "blank-backs", one.candidate, "warn", path,
                f"{one.name}: nothing says whether the blank back of a two-sided sheet is a click",
                "Does the blank back of the last sheet of a two-sided job count as a click?",
                "A blank back counts" if study.work.odd else "Volumes are printed sides; blank backs are not in them",
                study.readings(one.candidate, both) if study.work.odd else (),
            )  # fmt: skip


def colour_class(study: Study) -> Iterator[QuoteWarning]:
    """A colour rate, and no meter that proves what it counts."""
    for one in study.plans():
        colours = [meter for meter in billed(one, study) if meter.colour == "colour"]
        if one.candidate == "today" or not colours:
            continue
        rate = colours[0].rate
        status = rate.status if isinstance(rate, Figure) else rate[0].rate.status
        if status not in ("invoiced", "measured"):
            yield study.warning(
                "colour-class", one.candidate, "warn", meter_path(one, colours[0], "rate"),
                f"{one.name}: the colour rate says neither which pages are colour nor whether each colour counts apart",
                "Which pages count as colour, and does the meter count a full-colour side once or once for each "
                "colour? Please let us run one test sheet and read the meter before and after.",
                "One click a colour side, whatever is on it",
            )  # fmt: skip


def overage_rate(study: Study) -> Iterator[QuoteWarning]:
    """Clicks beyond the included ones: no known rate, no base they belong to, or a rate far from that of the base."""
    for one in study.plans():
        for meter in billed(one, study):
            figure, rate, colour = meter.included, meter.rate, word(meter)
            if figure is None or figure.number == 0 or not isinstance(rate, Figure):
                continue
            path, base = meter_path(one, meter, "rate"), one.plan.base
            alone = sum(other.included is not None for other in one.plan.meters_in_order) == 1
            if rate.status == "unknown":
                yield study.warning(
                    "overage-rate", one.candidate, "warn", path,
                    f"{one.name}: no rate for {colour} clicks beyond the included ones",
                    f"What does a {colour} click cost beyond the included volume?",
                    "Nothing is charged for them yet", switch=study.switch_value(rate.path),
                )  # fmt: skip
            elif base is None:
                yield study.warning(
                    "overage-rate", one.candidate, "warn", meter_path(one, meter, "included"),
                    f"{one.name}: {colour} clicks are included, but in no base fee",
                    f"Which payment pays for the {study.told(figure.number)} {colour} clicks included, and what would "
                    "it be without them? Is every click beyond them charged at the stated rate?",
                    "The rate holds beyond the included clicks; their price is inside another payment, not nothing",
                )  # fmt: skip
            elif alone and base.number > 0 and rate.number > 0:
                implied = a_month(base) / a_month(figure)
                if abs(rate.number / implied - 1) > OFF_BASE:
                    beyond, inside = study.exact(rate.number), study.exact(implied, IMPLIED_FIGURES)
                    both = {f"{beyond} as quoted": rate.number, f"{inside} as in the base": implied}
                    yield study.warning(
                        "overage-rate", one.candidate, "warn", path,
                        f"{one.name}: a {colour} click beyond the base is {beyond}, inside it {inside}",
                        f"Why does a {colour} click cost {beyond} beyond the included volume and "
                        f"{inside} inside it? Can both be the same?",
                        "The rates as quoted", study.at(one.candidate, rate, path, both),
                    )  # fmt: skip


def bands_unread(study: Study) -> Iterator[QuoteWarning]:
    """A table of bands can be read in two ways and nothing says which."""
    for one in study.plans():
        for path in dict.fromkeys(meter_path(one, meter, "bands_read") for meter, _ in banded(one)):
            if not study.silent(path):
                continue
            own, reached = "each band at its own rate", "all clicks at the rate reached"
            both = {own: {path: "graduated"}, reached: {path: "all units"}}
            yield study.warning(
                "bands-unread", one.candidate, "error", path,
                f"{one.name}: nothing says whether a band's rate holds for all clicks or for those in the band",
                "When a period reaches a higher band, does its rate hold for all its clicks or only for those in the "
                "band?",
                "Each band at its own rate", study.readings(one.candidate, both),
            )  # fmt: skip


def inversions(bands: tuple[Band, ...]) -> list[tuple[float, float]]:
    """Return the ranges of clicks (just above a band's start, to) that cost less than just below that start.

    With all clicks at the rate reached, the sum drops at a band's start wherever its rate is lower; it is back at the
    sum before where start × old rate = clicks × new rate.
    """
    out = []
    for place, (before, after) in enumerate(pairwise(bands), 1):
        if not 0 < after.rate.number < before.rate.number:
            continue
        paid, end = after.from_.number * before.rate.number, after.from_.number
        for one, start in zip(bands[place:], [*(band.from_.number for band in bands[place + 1:]), inf], strict=True):
            end = min(paid / one.rate.number, start) if one.rate.number > 0 else start
            if end < start:
                break
        out.append((after.from_.number, end))
    return out


def bands_inverted(study: Study) -> Iterator[QuoteWarning]:
    """Read as all units, a few more clicks can cost less than a few fewer."""
    for one in study.plans():
        for meter, bands in banded(one):
            ranges = inversions(bands) if meter.bands_read == "all units" else []
            if ranges and meter in billed(one, study):
                told = ", ".join(f"{study.told(low)} to {study.told(high)}" for low, high in ranges)
                yield study.warning(
                    "bands-inverted", one.candidate, "inform", meter_path(one, meter, "rate"),
                    f"{one.name}: more {word(meter)} clicks cost less in the ranges {told}",
                    "Is the rate of the band that the period really reaches applied to all its clicks?",
                    "The rate reached, for all clicks of the period",
                )  # fmt: skip

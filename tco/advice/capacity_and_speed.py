"""Warnings about what a press can really do, and whether the hours are there."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tco.advice.record import QuoteWarning
from tco.advice.study import NOTHING, Changes, PressAt, Study, mentions
from tco.scenario.locales import spelled
from tco.scenario.words import LARGE_SIZES

# Below this share of the recommended volume a press is oversized. Common practice.
HARDLY_USED = 0.15
# A service contract covers an ordinary week unless it says more. Common practice.
ORDINARY_WEEK = 40


def sides_of(study: Study, one: PressAt) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Return the printed sides a press does in each month compared, all equal presses together."""
    done = "done" if f"{one.block}.done" in study.values else "regular_done"
    if f"{one.block}.{done}" not in study.values:
        return np.zeros(study.scenario.horizon)
    share, sides = study.values[f"{one.block}.{done}"][0], study.values["work.sides"][0]
    return np.asarray((share * sides).sum(axis=0)[: study.scenario.horizon])


def recommended_volume(study: Study) -> Iterator[QuoteWarning]:
    """Only a recommended volume says what a press is meant for; a maximum is another figure."""
    for one in study.presses():
        if one.press.recommended_volume is None:
            yield study.warning(
                "recommended-volume", one.candidate, "warn", f"{one.path}.recommended_volume",
                f"{one.name}: no recommended monthly volume is told",
                "Which volume a month does the maker recommend in steady use (not the maximum), and between which "
                "volumes "
                "do the service prices hold?",
                "The press may print any volume at these prices",
            )  # fmt: skip


def volume_fit(study: Study) -> Iterator[QuoteWarning]:
    """The busiest month is above what the maker recommends, or the mean far below it."""
    for one in study.presses():
        limit = one.press.recommended_volume
        sides = sides_of(study, one)
        used = sides[study.row(f"{one.block}.present") > 0]
        if limit is None or len(used) == 0:
            continue
        there = limit.number * one.press.count.number
        peak, mean = float(used.max()), float(used.mean())
        if peak > there or mean < HARDLY_USED * there:
            busiest, usual = f"{study.told(peak)} sides in the busiest month", f"{study.told(mean)} sides a month"
            much = f"{busiest}, above" if peak > there else f"{usual} of"
            yield study.warning(
                "volume-fit", one.candidate, "warn", f"{one.path}.recommended_volume",
                f"{one.name}: {much} the {study.told(there)} that are recommended",
                "What does a busier month do to service prices, stops and life?" if peak > there else
                "Is there a smaller press for this volume?",
                "Service prices and stops as quoted",
            )  # fmt: skip


def rated_speed(study: Study) -> Iterator[QuoteWarning]:
    """A rated speed is used for two-sided, heavy or large work."""
    for one in study.presses():
        speeds = one.press.sides_per_minute
        if speeds is None:
            continue
        work = study.scenario.work
        jobs = (study.scenario.jobs or {}).values()
        sizes = {job.size for job in jobs}
        if work is not None and any(study.work.large.values()):
            sizes.add(work.large_size)
        kinds = [
            word for word, unsaid in (
                ("two-sided", study.work.two_sided and study.silent(f"{one.path}.two_sided_factor")),
                ("heavy", study.work.heavy and study.silent(f"{one.path}.heavy_factor")),
                ("large", bool((sizes & LARGE_SIZES) - set(speeds))),
            ) if unsaid
        ]  # fmt: skip
        if kinds:
            told = " and ".join(kinds)
            factors = {"two-sided": "two_sided_factor", "heavy": "heavy_factor"}
            path = next((f"{one.path}.{factors[kind]}" for kind in kinds if kind in factors), "")
            readings = study.readings(one.candidate, {"at the rated speed": {path: 1}, "at half of it": {path: 0.5}}) \
                if path else ()  # fmt: skip
            yield study.warning(
                "rated-speed", one.candidate, "warn", path or f"{one.path}.sides_per_minute",
                f"{one.name}: no speed is told for {told} work",
                f"Which speeds were measured for {told} work on our stocks, and may we time a run with our own jobs?",
                "Two-sided work at the rated speed, heavy stock at half of it, other sizes by their feed "
                "length", readings,
            )  # fmt: skip


def hours_short(study: Study) -> Iterator[QuoteWarning]:
    """In some month the work asked needs more hours than there are."""
    for key, owner in study.scenario.candidates_all:
        items = owner.press_items()
        if not items or any(press.sides_per_minute is None for _, press, _ in items):
            continue
        blocks = [f"{key}.{turn.id}" for turn in owner.fleet(study.scenario.horizon)]
        able = np.max([study.values[f"{block}.eligible"][0] for block in blocks], axis=0)
        left = study.values[f"{blocks[-1]}.left"][0] * able
        lacking = (left > NOTHING).any(axis=0)[: study.scenario.horizon]
        if not lacking.any():
            continue
        lost = study.measure(key, "unplaced_sides")
        # People and prices follow the hours, so that only without them the overflow alone is what changes.
        alone = study.scenario.shop.labour is None and not any(press.is_kept for _, press, _ in items)
        free: dict[str, Changes] = {
            "hours without limit": {f"{prefix}.sides_per_minute": None for _, _, prefix in items},
            "as the hours are": {},
        }
        what = f"{study.told(lost)} sides fit nowhere" if lost > NOTHING else "the rest goes into overtime or outside"
        yield study.warning(
            "hours-short", key, "error" if lost > NOTHING else "warn", f"{items[0][2]}.sides_per_minute",
            f"{owner.title}: hours are short in {int(lacking.sum())} of {study.scenario.horizon} months; {what}",
            "Which speed do you promise for our jobs and stocks, measured, and with how many hours of stops a month?",
            "Regular hours first, then overtime, then outside, all classes in proportion",
            study.readings(key, free) if alone and lost <= NOTHING else (),
        )  # fmt: skip


def busiest_week(study: Study) -> Iterator[QuoteWarning]:
    """In the busiest week of some month the work finds no regular hours, whatever the month says."""
    for key, owner in study.scenario.candidates_all:
        if f"{key}.busiest_week.too_many" not in study.values:
            continue
        sides = study.row(f"{key}.busiest_week.too_many")[: study.scenario.horizon]
        short = sides > NOTHING
        if short.any():
            yield study.warning(
                "busiest-week", key, "warn", "busiest_week",
                f"{owner.title}: in the busiest week of {int(short.sum())} of {study.scenario.horizon} months up to "
                f"{study.told(float(sides.max()))} sides find no regular hours",
                "Which speed do you promise for our jobs and stocks, measured, and how soon is service there in the "
                "weeks that we name as our busiest?",
                "The months are placed as wholes: overtime, another week or the outside printer takes it",
            )  # fmt: skip


def due_hours(study: Study) -> Iterator[QuoteWarning]:
    """One job takes longer on its press than the hours within which it is due."""
    for key, owner in study.scenario.candidates_all:
        late = f"{key}.due.late"
        axis = study.model[late].shape.axis if late in study.model else None
        if axis is None:
            continue
        place = study.scenario.money.locale
        hours, within = study.values[f"{key}.due.hours"][0, :, 0], study.values[f"{key}.due.within"][0, :, 0]
        told = [
            f"a job of {name} takes {spelled(needs, place, 2)} press hours, due within {spelled(limit, place, 2)}"
            for name, needs, limit in zip(axis.labels, hours, within, strict=True)
            if needs - limit > NOTHING
        ]
        if told:
            yield study.warning(
                "due-hours", key, "warn", "jobs",
                f"{owner.title}: {'; '.join(told)}",
                "Which speed do you promise for such a job, measured on our stock, make-ready included?",
                "A job runs on one press from beginning to end; nothing waits before it",
            )  # fmt: skip


def labour_run_only(study: Study) -> Iterator[QuoteWarning]:
    """Only running time is paid: no make-ready, no allowance, no care; or no time at all."""
    if study.scenario.shop.labour is None or study.scenario.is_left_out("labour"):
        return
    for one in study.presses():
        press = one.press
        also = (press.make_ready_minutes, press.running_allowance, press.warm_up_minutes, press.cleaning_minutes)
        if press.sides_per_minute is None:
            what = "no speed is told, so nobody is counted beside it by the hour"
        elif all(figure.number == 0 for figure in also):
            what = "only running time is counted: no make-ready, stops, warm-up or cleaning"
        else:
            continue
        yield study.warning(
            "labour-run-only", one.candidate, "warn", f"{one.path}.make_ready_minutes",
            f"{one.name}: {what}",
            "How many minutes do make-ready, warm-up and daily care take, and how much of its hours does the press "
            "stand "
            "still with an operator beside it?",
            "Hours of people follow from the hours counted",
        )  # fmt: skip


def service_hours(study: Study) -> Iterator[QuoteWarning]:
    """Service may be there for fewer hours than the shop."""
    shop = study.scenario.shop
    week = (shop.hours_per_week.number if shop.hours_per_week else 0) + shop.overtime_hours_per_week.number
    for one in study.presses():
        if one.press.service is None and one.owner.service is None:
            continue
        if not mentions(one.owner, "hours", "shift", "evening", "weekend", "response"):
            longer = week > ORDINARY_WEEK
            yield study.warning(
                "service-hours", one.candidate, "warn" if longer else "inform", f"{one.path}.service",
                f"{one.name}: nothing says at which hours service comes"
                + (f"; the shop works up to {study.exact(week)} a week" if longer else ""),
                "On which days and at which hours is service there, how fast, and what does a call outside them cost?",
                "Service comes whenever the press is used, at no charge",
            )  # fmt: skip

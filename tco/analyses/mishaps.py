"""Futures that no figure of a scenario says: a press down, the old press gone, everything stopped early.

A press that fails is told to the model by typing over the lines that say when it is there, as one could in the
workbook.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from tco.analyses.draws import Costs, Flags, comparison
from tco.analyses.stopping import stopping
from tco.model.evaluate import evaluate
from tco.model.kinds import Array
from tco.model.model import Model
from tco.scenario.schema import Scenario

DOWN_WEEKS: Final = 2.0
STOPS: Final = (24, 36, 48)
DIES_AFTER: Final = 12
ASKED: Final = "work.asked_sides"
Overtype = dict[str, "Array | float"]


@dataclass(frozen=True)
class Outage:
    """What a press that is down for two weeks in the busiest month does to one candidate.

    Attributes
    ----------
    press : id of the block of the press that is down; empty when none of the candidate's is at work in that month
    lost : hours of the month that are gone, of one machine
    overtime, outside, undone : hours of overtime more, sides sent outside more, sides that nobody prints more
    cost : what it costs more in today's money; sides that nobody prints are in no sum
    """

    candidate: str
    press: str
    lost: float
    overtime: float
    outside: float
    undone: float
    cost: float


@dataclass(frozen=True)
class Down:
    """Every candidate with one press down: the costs, and what happens in that month, counted from 0."""

    month: int
    costs: Costs
    overtype: Mapping[str, Array | float]
    outages: tuple[Outage, ...]


def press_down(model: Model, scenario: Scenario, candidates: Sequence[str]) -> Down | str:
    """Take two weeks' hours of one machine away in the busiest month, once; or say why that cannot be said.

    Down is the press of each candidate with the most hours of work in that month, with its overtime of those weeks.
    Its daily care and its contracts go on, and posts follow the hours as they always do.
    """
    owners = dict(scenario.candidates_all)
    presses = [(one, turn.id) for one in candidates for turn in owners[one].fleet(scenario.horizon)]
    blind = [f"{one}.{name}" for one, name in presses if f"{one}.{name}.there" not in model]
    if blind or not presses:
        return "capacity is not checked for every press" if blind else "no candidate has a press"
    values = evaluate(model)
    month = int(np.argmax(values[ASKED][0, 0, : scenario.horizon]))
    typed: Overtype = {}
    hit: dict[str, tuple[str, float]] = {}
    for one in candidates:
        working = {f"{one}.{name}": float(values[f"{one}.{name}.hours"][0, 0, month]) for own, name in presses
                   if own == one}  # fmt: skip
        press = max(working, key=lambda key: working[key], default="")
        if press and working[press] > 0:
            hit[one] = (press, _without(values, press, month, typed))
    field = comparison(model, candidates)
    after = evaluate(model, overtype=typed)
    before, costs = field.costs(), field.costs(overtype=typed)

    def more(one: str, what: str) -> float:
        return _of_month(after, one, month, what) - _of_month(values, one, month, what)

    outages = tuple(
        Outage(
            one,
            *hit.get(one, ("", 0.0)),
            more(one, "overtime"),
            more(one, "outside"),
            more(one, "undone"),
            float(costs.worth[0, place] - before.worth[0, place]),
        )
        for place, one in enumerate(candidates)
    )
    return Down(month, costs, typed, outages)


def _without(values: Mapping[str, Array], press: str, month: int, typed: Overtype) -> float:
    """Take the hours of one machine away in a month and return how many."""
    there = values[f"{press}.there"].copy()
    whole = float(there[0, 0, month])
    lost = min(DOWN_WEEKS * float(values["shop.hours_per_week"][0, 0, 0]), whole)
    there[0, 0, month] -= lost
    typed[f"{press}.there"] = there
    if f"{press}.possible" in values:
        possible = values[f"{press}.possible"].copy()
        possible[0, 0, month] *= 1.0 - lost / whole
        typed[f"{press}.possible"] = possible
    return lost


def _of_month(values: Mapping[str, Array], candidate: str, month: int, what: str) -> float:
    """Hours of overtime, sides outside or sides undone of a candidate in one month."""
    if what == "overtime":
        ends = [key for key in values if key.startswith(f"{candidate}.") and key.endswith(".overtime_hours")]
        return float(sum(values[key][0, 0, month] for key in ends))
    key = f"{candidate}.placing.{'outside' if what == 'outside' else 'unplaced'}"
    return float((values["work.sides"][0, :, 0] * values[key][0, :, month]).sum())


def press_dies(model: Model, scenario: Scenario, candidates: Sequence[str]) -> tuple[str, Overtype] | str:
    """Let the present press leave after a year: its name and what to type over; or why that cannot be said.

    Of several present presses it is the first one written, wherever a candidate still keeps it. It fetches nothing,
    rents that are owed and a plan for other presses go on, and nothing is put in its place: its work goes to the other
    presses, to overtime, outside, or stays undone.
    """
    today = scenario.today
    if today is None or not today.press_items():
        return "no present press is written"
    if scenario.horizon <= DIES_AFTER:
        return f"the months compared end before month {DIES_AFTER + 1}"
    first, press, _ = today.press_items()[0]
    own = f"today.{first}" if today.presses is not None else "today"
    typed: Overtype = {}
    for one in candidates:
        for name, other, _ in dict(scenario.candidates_all)[one].press_items():
            block = f"{one}.{name}"
            if (block == f"today.{first}" or other.same_as == own) and f"{block}.last" in model:
                last = float(evaluate(model, keep=[f"{block}.last"])[f"{block}.last"][0, 0, 0])
                typed[f"{block}.last"] = min(last, float(DIES_AFTER))
                typed |= {key: 0.0 for key in (f"{block}.sold", f"{block}.sale") if last > DIES_AFTER and key in model}
    if not typed:
        return "no candidate that is compared keeps the present press"
    if today.presses is None:
        return "the present press", typed
    return press.name or first.replace("_", " ").capitalize(), typed


def stops(model: Model, candidates: Sequence[str], barred: Flags) -> dict[int, Costs]:
    """Return what everything costs, as paid, when it ends after a month; months beyond the horizon are left out.

    Parameters
    ----------
    model, candidates : those compared
    barred : True for candidates that leave work undone, shape (candidates,)
    """
    found = stopping(model, candidates)
    length = min(len(row) for row in found.after.values())
    return {
        month: Costs(
            tuple(candidates),
            np.array([[found.after[one][month - 1] for one in candidates]]),
            barred[np.newaxis],
        )
        for month in STOPS
        if month <= length
    }

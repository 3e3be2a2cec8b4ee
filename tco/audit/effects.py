"""What a change does to the answer: today's money of each candidate, and who costs least."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from tco.advice.verdict import Standing, judge
from tco.assemble import build
from tco.model.evaluate import Key, evaluate
from tco.model.kinds import Array
from tco.model.model import Model
from tco.scenario.schema import Scenario

_WANTED: Final = ("present_value", "level_month", "unplaced_sides", "uncovered_months")


@dataclass(frozen=True)
class Answer:
    """The present value of each candidate, and the cheapest of those that do all the work; None when none does."""

    worth: Mapping[str, float]
    cheapest: str | None


@dataclass(frozen=True)
class Effect:
    """What one change, or several together, do. `change` is by candidate; a candidate new or gone is left out."""

    change: Mapping[str, float]
    before: str | None
    after: str | None

    @property
    def turns(self) -> bool:
        """Whether another candidate is the cheapest then."""
        return self.before != self.after


def effect(before: Answer, after: Answer) -> Effect:
    """The difference of two answers."""
    change = {key: after.worth[key] - before.worth[key] for key in after.worth if key in before.worth}
    return Effect(change, before.cheapest, after.cheapest)


def answer(model: Model, replace: Mapping[Key, Array | float] | None = None) -> Answer:
    """Compute the answer of a model, with some figures replaced."""
    ids = candidates_of(model)
    wanted = [f"{key}.measures.{name}" for key in ids for name in _WANTED]
    found = evaluate(model, replace=replace, keep=[key for key in wanted if key in model])
    return answer_of(ids, found)


def candidates_of(model: Model) -> list[str]:
    """Candidates in the order of the scenario."""
    tail = ".measures.present_value"
    return [line.id.removesuffix(tail) for line in model.lines if line.id.endswith(tail)]


def answer_of(ids: list[str], found: Mapping[str, Array]) -> Answer:
    """The answer from values that are there already."""

    def standing(key: str) -> Standing:
        arrays = (found.get(f"{key}.measures.{name}") for name in _WANTED)
        cost, month, unplaced, uncovered = (0.0 if one is None else float(one[0, 0, 0]) for one in arrays)
        return Standing(key, cost, month, unplaced, uncovered)

    standings = [standing(key) for key in ids]
    return Answer({one.id: one.cost for one in standings}, judge(standings).leader)


def answer_to(scenario: Scenario) -> Answer:
    """Build a scenario and compute its answer."""
    return answer(build(scenario))

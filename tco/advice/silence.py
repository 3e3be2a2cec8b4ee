"""What the quotes leave unsaid: each candidate from all of it in its favour to all of it against, and who wins then."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod
from typing import Final, Literal

from tco.advice.increases import STRESS
from tco.advice.record import QuoteWarning
from tco.advice.study import NOTHING, Changes, Study
from tco.problem import ScenarioError

# Up to this many combinations of readings all are computed; beyond, one reading after the other is improved.
MOST_COMBINATIONS: Final = 64
CANNOT: Final = "What the quotes leave unsaid cannot change the winner"
CAN: Final = "What the quotes leave unsaid can change the winner"

Flip = Literal["alone", "together", "no"]

# Silences of words and of figures that have a known pair of readings.
_WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "settled": ("monthly", "quarterly", "yearly"),
    "bands": ("graduated", "all units"),
    "blank_backs": ("free", "count"),
    "at_end": ("return", "renew"),
    "paper": ("included", "not included"),
}
_FIGURES: Final[Mapping[str, tuple[float, ...]]] = {
    "oversize_counts": (1.0, 2.0), "two_sided_factor": (1.0, 0.5), "heavy_factor": (1.0, 0.5),
}  # fmt: skip
# Silences that have no second reading: what is missing is a table or a check, not a sum.
_NO_READING: Final = frozenset({"sides_per_minute", "cash_price", "finishing"})


@dataclass(frozen=True)
class Point:
    """One silence: its path, every reading of it; `open_ended` when it is a sum of which nothing is known."""

    path: str
    line: int | None
    readings: tuple[Changes, ...] = ()
    open_ended: bool = False


@dataclass(frozen=True)
class Effect:
    """What one silence does to one candidate: its present value when only this is read otherwise."""

    point: Point
    low: float
    high: float
    flip: Flip
    switch: float | None = None


@dataclass(frozen=True)
class Bar:
    """One candidate from everything in its favour to everything against it, sums of which nothing is known left out."""

    candidate: str
    low: float
    base: float
    high: float
    effects: tuple[Effect, ...] = ()

    @property
    def open_ended(self) -> tuple[Effect, ...]:
        """The silences without any known end."""
        return tuple(one for one in self.effects if one.point.open_ended)


@dataclass(frozen=True)
class Silence:
    """All bars, the winner as the scenario stands, and whether silence can change him."""

    bars: tuple[Bar, ...]
    leader: str | None
    decided: bool

    @property
    def sentence(self) -> str:
        """What to print; empty when nobody can be called cheapest."""
        return "" if self.leader is None else CANNOT if self.decided else CAN

    def bar(self, candidate: str) -> Bar:
        """Return the bar of a candidate; KeyError when there is none."""
        for one in self.bars:
            if one.candidate == candidate:
                return one
        raise KeyError(candidate)


def settled(path: str, warnings: Sequence[QuoteWarning]) -> bool:
    """Tell whether the writer has accepted what a silence was filled with: every warning about it has its reason.

    Warnings about this very path decide; where there are none, those about the section that holds it.
    """
    exact = [one for one in warnings if one.path == path]
    about = exact or [one for one in warnings if path.startswith(f"{one.path}.")]
    return bool(about) and all(one.accepted for one in about)


def points(study: Study, warnings: Sequence[QuoteWarning] = ()) -> Iterator[Point]:
    """Yield the silences of a scenario that have readings, or that are sums of which nothing is known.

    What the warnings say is settled is no silence any more.
    """
    seen: set[str] = {gap.path for gap in study.scenario.gaps if settled(gap.path, warnings)}
    for gap in study.scenario.gaps:
        key = gap.path.rsplit(".", 1)[-1]
        if gap.path in seen or key in _NO_READING:
            continue
        seen.add(gap.path)
        if key == "paid":
            ahead = gap.path.replace(".paid", ".advance_rents")
            both: tuple[Changes, ...] = ({gap.path: "in advance"}, {gap.path: "in arrears", ahead: None})
            yield Point(gap.path, gap.line, both)
        elif key in _WORDS:
            yield Point(gap.path, gap.line, tuple({gap.path: word} for word in _WORDS[key]))
        elif key in _FIGURES:
            yield Point(gap.path, gap.line, tuple({gap.path: value} for value in _FIGURES[key]))
        else:
            yield _sum(study, gap.path, gap.line, key)


def _sum(study: Study, path: str, line: int | None, key: str) -> Point:
    """A sum or an increase: over its range, from nothing to its allowance, over the stress table, or without end."""
    origin = study.model[path].origin if path in study.model else None
    known = study.scenario.allowances or {}
    if origin is not None and origin.low is not None and origin.high is not None:
        values = [origin.low, origin.high]
    elif key == "increase":
        values = list(STRESS) + ([known[key].number] if key in known else [])
    elif key in known:
        figure = known[key]
        values = [figure.low, figure.high] if figure.has_range else [0.0, figure.number]  # type: ignore[list-item]
    else:
        return Point(path, line, open_ended=True)
    return Point(path, line, tuple({path: value} for value in values))


def silence(study: Study, warnings: Sequence[QuoteWarning] = ()) -> Silence:
    """Compute the bar of every candidate and whether the winner is the same at both ends of all of them.

    The winner holds when he costs less with everything against him than every other one with everything in its
    favour. Silences that several candidates share are read apart for each, which can only make this stricter.
    Silences whose warnings are settled count as said.
    """
    found = list(points(study, warnings))
    base, leader = study.base, study.leader(study.base)
    alone: dict[str, dict[str, list[float]]] = {}
    for point in found:
        for changes in point.readings:
            for key, cost in _costs(study, changes).items():
                alone.setdefault(point.path, {}).setdefault(key, [base[key]]).append(cost)
    ends: dict[str, tuple[float, float]] = {}
    mine: dict[str, list[Point]] = {}
    for key in base:
        mine[key] = [one for one in found if _concerns(one, key, alone)]
        ends[key] = _ends(study, key, [one for one in mine[key] if not one.open_ended])
    rivals = [key for key in base if key not in study.barred and key != leader]
    holds = leader is not None and all(ends[leader][1] < ends[key][0] for key in rivals)
    bars = []
    for key in base:
        near = leader is not None and key not in study.barred and (
            any(ends[one][0] <= ends[key][1] for one in rivals) if key == leader else ends[key][0] <= ends[leader][1]
        )  # fmt: skip
        own = [(one, alone.get(one.path, {}).get(key, [base[key]])) for one in mine[key]]
        effects = tuple(_effect(study, key, one, costs, near) for one, costs in own)
        bars.append(Bar(key, ends[key][0], base[key], ends[key][1], effects))
    open_ended = any(one.switch is not None for bar in bars for one in bar.open_ended)
    return Silence(tuple(bars), leader, holds and not open_ended)


def _costs(study: Study, changes: Changes) -> Mapping[str, float]:
    try:
        return study.present_values(changes)
    except ScenarioError:
        return study.base


def _concerns(point: Point, key: str, alone: Mapping[str, Mapping[str, list[float]]]) -> bool:
    """Whether a silence is this candidate's own, or a shared one that moves it."""
    if point.path.split(".", maxsplit=1)[0] == key:
        return True
    if point.open_ended:
        return False
    costs = alone[point.path][key]
    return max(costs) - min(costs) > NOTHING


def _ends(study: Study, key: str, own: list[Point]) -> tuple[float, float]:
    """Lowest and highest present value of a candidate over the readings of its silences taken together."""
    choices: list[tuple[Changes, ...]] = [({}, *one.readings) for one in own]
    if prod(len(one) for one in choices) <= MOST_COMBINATIONS:
        costs = [_together(study, key, picked) for picked in product(*choices)]
        return min(costs), max(costs)
    return _improved(study, key, choices, 1), _improved(study, key, choices, -1)


def _improved(study: Study, key: str, choices: list[tuple[Changes, ...]], sign: int) -> float:
    """The lowest (1) or highest (-1) cost that changing one reading after the other reaches."""
    picked: list[Changes] = [{} for _ in choices]
    best = _together(study, key, tuple(picked))
    better = True
    while better:
        better = False
        for place, readings in enumerate(choices):
            for reading in readings:
                tried = [*picked[:place], reading, *picked[place + 1 :]]
                cost = _together(study, key, tuple(tried))
                if sign * (best - cost) > NOTHING:
                    picked, best, better = tried, cost, True
    return best


def _together(study: Study, key: str, picked: tuple[Changes, ...]) -> float:
    merged: dict[str, object] = {}
    for one in picked:
        merged.update(one)
    return _costs(study, merged)[key] if merged else study.base[key]


def _effect(study: Study, key: str, point: Point, costs: list[float], near: bool) -> Effect:
    if point.open_ended:
        switch = study.switch_value(point.path)
        return Effect(point, study.base[key], study.base[key], "no" if switch is None else "alone", switch)
    low, high = min(costs), max(costs)
    if study.flips(key, low) or study.flips(key, high):
        return Effect(point, low, high, "alone")
    return Effect(point, low, high, "together" if near and high - low > NOTHING else "no")

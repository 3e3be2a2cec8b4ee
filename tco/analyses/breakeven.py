"""Break-even volumes: which candidate costs least at how many sides a month, and where that changes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np

from tco.analyses.crossings import Best, Crossing, crossings, envelope
from tco.analyses.piecewise import trace
from tco.analyses.switches import CHUNK, average_sides, known_to, over_volume, part_of, scaled
from tco.model.evaluate import Key, evaluate
from tco.model.kinds import Array
from tco.model.model import Model

COST: Final = "measures.present_value"
PER_SIDE: Final = "measures.cost_per_side"
POINTS: Final = 201
SEASON: Final = "calendar month"


@dataclass(frozen=True)
class Pair:
    """Two candidates over the searched volumes.

    Attributes
    ----------
    first, second : the candidates
    crossings : in rising order; empty when one is cheaper throughout ("never")
    cheaper_at_low, cheaper_at_high : the cheaper one at both ends of the range; empty where they cost the same
    """

    first: str
    second: str
    crossings: tuple[Crossing, ...]
    cheaper_at_low: str
    cheaper_at_high: str

    @property
    def never(self) -> bool:
        """True when the same candidate is cheaper throughout."""
        return not any(one.changes or one.kind == "equal" for one in self.crossings)


@dataclass(frozen=True, eq=False)
class BreakEven:
    """The answer of `break_even`.

    Attributes
    ----------
    candidates : in the order asked for
    average : sides a month of the scenario itself
    volumes : the grid for drawings, sides a month, shape (points,)
    costs : cost in today's money at each volume of the grid, by candidate
    per_side : levelised cost per printed side at each volume of the grid, by candidate; not a number at volume 0
    pairs : every pair, in the order of the candidates
    best : who costs least over which volumes
    complete : False when there were more bends than the search follows; crossings may then be missing
    """

    candidates: tuple[str, ...]
    average: float
    volumes: Array
    costs: Mapping[str, Array]
    per_side: Mapping[str, Array]
    pairs: tuple[Pair, ...]
    best: tuple[Best, ...]
    complete: bool

    def pair(self, first: str, second: str) -> Pair:
        """Return the pair of two candidates, in whichever order they are named."""
        return next(one for one in self.pairs if {one.first, one.second} == {first, second})


def break_even(
    model: Model,
    candidates: Sequence[str],
    lowest: float,
    highest: float,
    *,
    replace: Mapping[Key, Array | float] | None = None,
) -> BreakEven:
    """Search all volumes between two for the places where the cheaper candidate changes.

    The mix, the season and the trend stay as they are; only the number of jobs changes.

    Parameters
    ----------
    model : the model; `volume_scale` is its figure for all asked work, `work.average_sides` the sides a month at
        scale 1
    candidates : whose `measures.present_value` to compare
    lowest, highest : sides a month, 0 <= lowest < highest. The range has no natural end: beyond the last band, limit
        and post every cost is straight, so one more crossing may lie at any volume; whoever asks says how far an
        answer is of use. A study is searched to twice its own volume, see `tco.publish.publish.FURTHEST`
    replace : other figures to take, one number each, for instance `months_alike(model)`

    Raises
    ------
    ValueError
        The range is empty, begins below 0 or there is no work.
    """
    if not 0 <= lowest < highest or not np.isfinite(highest):
        raise ValueError("the volumes to search must rise from 0 or more")
    given = dict(replace or {})
    curves = {one: trace(over_volume(model, f"{one}.{COST}", given), lowest, highest) for one in candidates}
    pairs: list[Pair] = []
    for first, second in combinations(candidates, 2):
        found = crossings(first, curves[first], second, curves[second])
        low, high = (_cheaper(first, second, curves[first].at(end)[0], curves[second].at(end)[0])
                     for end in (np.array([lowest]), np.array([highest])))  # fmt: skip
        pairs.append(Pair(first, second, found, low, high))
    average = average_sides(model, given)
    volumes = np.linspace(lowest, highest, POINTS)
    costs, per_side = _grid(model, candidates, volumes, average, given)
    best = envelope(curves, {(pair.first, pair.second): pair.crossings for pair in pairs})
    complete = all(curve.complete for curve in curves.values())
    return BreakEven(tuple(candidates), average, volumes, costs, per_side, tuple(pairs), best, complete)


def months_alike(model: Model) -> dict[Key, Array | float]:
    """Return what to replace so that every month brings the same work: twelve months' figures become their mean."""
    return {
        line.id: float(line.value.mean())
        for line in model.lines
        if line.is_input and line.value is not None and line.shape.axis is not None and line.shape.axis.name == SEASON
    }


def _cheaper(first: str, second: str, one: float, other: float) -> str:
    if abs(one - other) <= 1e-11 * max(abs(one), abs(other)):
        return ""
    return first if one < other else second


def _grid(
    model: Model, candidates: Sequence[str], volumes: Array, average: float, given: Mapping[Key, Array | float]
) -> tuple[dict[str, Array], dict[str, Array]]:
    cost_keys = {one: f"{one}.{COST}" for one in candidates}
    side_keys = {one: f"{one}.{PER_SIDE}" for one in candidates}
    wanted = {*cost_keys.values(), *side_keys.values()}
    part = part_of(model, wanted)
    known = known_to(part, given)
    rows: dict[str, list[Array]] = {key: [] for key in wanted}
    for start in range(0, len(volumes), CHUNK):
        some = volumes[start : start + CHUNK]
        found = evaluate(part, scaled(part, known, some / average), wanted)
        for key in wanted:
            rows[key].append(np.broadcast_to(found[key][:, 0, 0], some.shape))
    whole = {key: np.concatenate(parts) for key, parts in rows.items()}
    per_side = {one: np.where(volumes > 0, whole[key], np.nan) for one, key in side_keys.items()}
    return {one: whole[key] for one, key in cost_keys.items()}, per_side

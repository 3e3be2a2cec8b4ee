"""What each ranged figure does to the lead of the cheapest candidate, and where it makes another one the cheapest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from tco.analyses.draws import NOBODY, Comparison, comparison, one_at_a_time
from tco.analyses.narrow import narrow
from tco.analyses.ranged import Ranged, base_of, ranged
from tco.model.evaluate import Key
from tco.model.kinds import Array
from tco.model.model import Model

# How far beyond its range a figure is followed, as a share of the width of the range.
BEYOND: Final = 1.0
GRID: Final = 32
CENT: Final = 0.005
PAIRS: Final = 3
MAP_STEPS: Final = 9


@dataclass(frozen=True)
class Switch:
    """A value of a figure from which on another candidate costs least.

    Attributes
    ----------
    value : at a tie both cost the same there, to the cent; at a jump it is the first value beyond
    kind : {'tie', 'jump'}
    winner : who costs least beyond; empty when nobody does all the work
    inside : True when it lies within low and high of the figure
    """

    value: float
    kind: Literal["tie", "jump"]
    winner: str
    inside: bool


@dataclass(frozen=True)
class Swing:
    """One figure at its low and its high end, all others as they are.

    Attributes
    ----------
    figure : the figure
    lead_low, lead_high : lead of the leader over the cheapest other in today's money, negative when it leads no more
    winner_low, winner_high : who costs least at both ends
    below, above : the nearest switch below and above the figure's own value; None: never within `searched`
    searched : between which values switches were looked for
    swing : the largest lead less the smallest, of low, own value and high
    """

    figure: Ranged
    lead_low: float
    lead_high: float
    winner_low: str
    winner_high: str
    below: Switch | None
    above: Switch | None
    searched: tuple[float, float]
    swing: float


@dataclass(frozen=True)
class Cross:
    """Two figures at low, own value and high each: who costs least and the lead of the leader in each of nine cells.

    Rows belong to `down`, columns to `across`.
    """

    down: Ranged
    across: Ranged
    winners: tuple[tuple[str, ...], ...]
    leads: tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class Map:
    """Two figures over their ranges in equal steps: who costs least and by how much, for every pair of values.

    Rows belong to the values of `down`, columns to those of `across`; a lead is that of whoever costs least there over
    the next, None where nobody comes next. A winner is empty when nobody does all the work.
    """

    down: Ranged
    across: Ranged
    down_values: tuple[float, ...]
    across_values: tuple[float, ...]
    winners: tuple[tuple[str, ...], ...]
    leads: tuple[tuple[float | None, ...], ...]


@dataclass(frozen=True)
class Sensitivity:
    """One-way swings, the largest first, the pairs of the three largest, and a map of the two largest.

    `reason` tells why there is nothing to tell; `lead` is then 0.
    """

    leader: str
    runner_up: str
    lead: float
    swings: tuple[Swing, ...]
    crosses: tuple[Cross, ...]
    reason: str = ""
    map: Map | None = None


def sensitivity(model: Model, candidates: Sequence[str] | None = None) -> Sensitivity:
    """Move every ranged figure on its own, and the three that matter most two at a time.

    Parameters
    ----------
    model : the model
    candidates : those compared; all when absent. Whoever leaves work undone is never the cheapest.
    """
    field = comparison(model, candidates)
    start = field.costs()
    leader, second = int(start.winner[0]), start.second()
    if NOBODY in (leader, second):
        return Sensitivity(start.name(leader), "", 0.0, (), (), "fewer than two candidates do all the work")
    name = start.name(leader)
    lead = float(start.lead(name)[0])
    found = tuple(one for one in ranged(model) if field.reads(one.key))
    if not found:
        return Sensitivity(name, start.name(second), lead, (), (), "no figure has a range")
    swings = _swings(field, name, lead, found)
    most = [one.figure for one in swings[:PAIRS] if one.swing > CENT]
    crosses = _crosses(field, name, list(combinations(most, 2)))
    both = two_way(field, most[0], most[1]) if len(most) > 1 else None
    return Sensitivity(name, start.name(second), lead, swings, crosses, map=both)


def two_way(field: Comparison, down: Ranged, across: Ranged, steps: int = MAP_STEPS) -> Map:
    """Look at every pair of values of two figures, from low to high, whole figures at whole numbers.

    Parameters
    ----------
    field : what decides between the candidates
    down, across : two figures with a range
    steps : values of each, at least 2
    """
    values = [one.limits.hold(np.linspace(one.low, one.high, steps)) for one in (down, across)]
    rows, columns = np.meshgrid(*values, indexing="ij")
    costs = field.costs({down.key: rows.ravel(), across.key: columns.ravel()})
    winners = [costs.name(int(place)) for place in costs.winner]
    ranked = np.sort(costs.ranked, axis=1)
    apart = (ranked[:, 1] - ranked[:, 0]).tolist() if ranked.shape[1] > 1 else []
    leads = [gap if np.isfinite(gap) else None for gap in apart] or [None] * len(winners)
    parts = range(0, len(winners), steps)
    return Map(
        down,
        across,
        tuple(values[0].tolist()),
        tuple(values[1].tolist()),
        tuple(tuple(winners[start : start + steps]) for start in parts),
        tuple(tuple(leads[start : start + steps]) for start in parts),
    )


def _swings(field: Comparison, leader: str, lead: float, found: tuple[Ranged, ...]) -> tuple[Swing, ...]:
    places = np.arange(len(found))
    ends = np.array([[one.low, one.high] for one in found])
    costs = field.costs(one_at_a_time(base_of(found), np.repeat(places, 2), ends.ravel()))
    leads, winners = costs.lead(leader).reshape(-1, 2), costs.winner.reshape(-1, 2)
    searched = np.array([_searched(one) for one in found])
    below = _switches(field, leader, found, searched[:, 0])
    above = _switches(field, leader, found, searched[:, 1])
    swings = []
    for place, one in enumerate(found):
        low, high = float(leads[place, 0]), float(leads[place, 1])
        swings.append(
            Swing(
                one, low, high, costs.name(int(winners[place, 0])), costs.name(int(winners[place, 1])),
                below[place], above[place], (float(searched[place, 0]), float(searched[place, 1])),
                max(low, lead, high) - min(low, lead, high),
            )
        )  # fmt: skip
    return tuple(sorted(swings, key=lambda one: -one.swing))


def _searched(one: Ranged) -> tuple[float, float]:
    """The range and as much again on either side, within what the figure can be."""
    more = BEYOND * (one.high - one.low)
    low, high = one.limits.hold(np.array([one.low - more, one.high + more]))
    return float(low), float(high)


def _switches(field: Comparison, leader: str, found: tuple[Ranged, ...], ends: Array) -> list[Switch | None]:
    """The first switch on the way from each figure's own value to one end."""
    base = base_of(found)
    own = np.array([one.value for one in found])
    grid = own[:, None] + (ends - own)[:, None] * (np.arange(GRID + 1) / GRID)
    for place, one in enumerate(found):
        grid[place] = one.limits.hold(grid[place])
    here = field.candidates.index(leader)

    def lost(which: NDArray[np.intp], values: Array) -> NDArray[np.bool_]:
        return np.asarray(field.costs(one_at_a_time(base, which, values)).winner != here)

    flags = lost(np.repeat(np.arange(len(found)), GRID + 1), grid.ravel()).reshape(grid.shape)
    first = flags.argmax(axis=1)
    open_ones = np.flatnonzero(flags.any(axis=1))
    before, after = grid[open_ones, first[open_ones] - 1], grid[open_ones, first[open_ones]]
    smooth = np.array([not found[place].limits.whole for place in open_ones], dtype=np.bool_)
    if smooth.any():
        before[smooth], after[smooth] = narrow(
            lambda which, values: lost(open_ones[smooth][which], values), before[smooth], after[smooth]
        )
    switches: list[Switch | None] = [None] * len(found)
    if len(open_ones):
        beyond = field.costs(one_at_a_time(base, open_ones, after))
        just_before = field.costs(one_at_a_time(base, open_ones, before)).lead(leader)
        ties = np.minimum(np.abs(just_before), np.abs(beyond.lead(leader))) <= CENT
        for row, place in enumerate(open_ones.tolist()):
            one, value = found[place], float(after[row])
            winner = beyond.name(int(beyond.winner[row]))
            switches[place] = Switch(
                value, "tie" if ties[row] else "jump", winner, one.low <= value <= one.high
            )
    return switches


def _crosses(field: Comparison, leader: str, pairs: list[tuple[Ranged, Ranged]]) -> tuple[Cross, ...]:
    made = []
    for down, across in pairs:
        rows, columns = np.meshgrid(_three(down), _three(across), indexing="ij")
        given: dict[Key, Array | float] = {down.key: rows.ravel(), across.key: columns.ravel()}
        costs = field.costs(given)
        names = [costs.name(int(place)) for place in costs.winner]
        leads = costs.lead(leader).tolist()
        made.append(
            Cross(
                down, across,
                tuple(tuple(names[row : row + 3]) for row in (0, 3, 6)),
                tuple(tuple(leads[row : row + 3]) for row in (0, 3, 6)),
            )
        )  # fmt: skip
    return tuple(made)


def _three(one: Ranged) -> list[float]:
    return [one.low, one.value, one.high]

"""Solving for a term: the value of one figure at which two candidates cost the same in today's money."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from tco.analyses.draws import Comparison, Costs, comparison, one_at_a_time
from tco.analyses.narrow import cross
from tco.analyses.ranged import Ranged, base_of, figure
from tco.model.evaluate import Key
from tco.model.kinds import Array
from tco.model.model import Model

CENT: Final = 0.005
FLAT: Final = 1e-9
# Steps up to twice the figure's own value, and from there to so many times it.
NEAR: Final = 128
FAR: Final = 64
FARTHEST: Final = 100.0
# The same where many figures are solved for at once.
FEW_NEAR: Final = 24
FEW_FAR: Final = 12
# Values of the second of two figures.
POINTS: Final = 9
LEAST_SIZE: Final = 1e-6
LARGEST_SIZE: Final = 1e9
LOOKS: Final = 3
# All differences of costs for a list of figures and values: (place of the figure, value) by draw.
Difference = Callable[[NDArray[np.intp], Array], Array]


@dataclass(frozen=True)
class Root:
    """A value at which two candidates change places or cost the same.

    Attributes
    ----------
    value : of the figure; at a jump the first value beyond, seen from the smaller values
    kind : at a tie both cost the same, to the cent; at a jump the dearer becomes the cheaper without a tie
    change : value less the figure's own; `percent` the same as a share of the figure, None when it is nothing now
    difference : cost of the candidate less cost of the other there, today's money
    undone : ids of those of the two that leave work undone there, as `solve` tells; their cost is not that of all work
    """

    value: float
    kind: Literal["tie", "jump"]
    change: float
    percent: float | None
    difference: float
    undone: tuple[str, ...] = ()


@dataclass(frozen=True)
class Solution:
    """What it takes of one figure to make a candidate cost the same as another.

    Attributes
    ----------
    candidate, against : ids
    figure : the figure with its own value
    now : cost of the candidate less cost of the other with the figure as it is, today's money
    roots : all values found, smallest first; none: it cannot be done with this figure
    searched : smallest and largest value tried; `at_low`, `at_high` the difference reached there
    moves : False when the difference does not depend on the figure at all
    undone : ids of those of the two that leave work undone with the figure as it is, as `solve` tells
    """

    candidate: str
    against: str
    figure: Ranged
    now: float
    roots: tuple[Root, ...]
    searched: tuple[float, float]
    at_low: float
    at_high: float
    moves: bool
    undone: tuple[str, ...] = ()

    @property
    def can(self) -> bool:
        """True when there is a value that does it."""
        return bool(self.roots)

    @property
    def nearest(self) -> Root | None:
        """The root that asks for the smallest change."""
        return min(self.roots, key=lambda one: abs(one.change), default=None)


def solve(
    model: Model,
    candidate: str,
    key: str,
    against: str,
    *,
    out_of: str | None = None,
    low: float | None = None,
    high: float | None = None,
    given: Mapping[Key, float] | None = None,
) -> Solution:
    """Find every value of a figure at which two candidates tie in present value.

    Parameters
    ----------
    model : the model
    candidate, against : the two
    key : the figure, whoever it belongs to
    out_of : another figure of the same unit that gives up what `key` takes, so that their sum stays: solves for a mix
    low, high : where to look; a generous range when absent
    given : other figures to take, one number each

    Returns
    -------
    A solution with its roots. Roots closer together than a step of the search may be missed; the steps are a 64th of
    the figure near its own value and a fifteenth of the value itself far above it.

    Raises
    ------
    ValueError
        A candidate is unknown, the two figures do not go together, or the range is empty.
    ModelError
        A key is no single figure.
    """
    field = comparison(model, [candidate, against])
    one = figure(model, key)
    other = figure(model, out_of) if out_of is not None else None
    if other is not None and other.unit != one.unit:
        raise ValueError(f"{key} is in {one.unit}, {out_of} in {other.unit}")
    most = one.value + other.value if other is not None else None
    grid = _grid(one, low, most if high is None else high, model.columns)
    if len(grid) < 2:
        raise ValueError("the range to search is empty")

    def costs(values: Array) -> Costs:
        replaced: dict[Key, Array | float] = {**(given or {}), key: values}
        if other is not None:
            replaced[other.key] = one.value + other.value - values
        return field.costs(replaced)

    def difference(_: NDArray[np.intp], values: Array) -> Array:
        worth = costs(values).worth
        return np.broadcast_to(worth[:, 0] - worth[:, 1], values.shape)

    found = ties(difference, (one,), [grid], candidate, against)[0]
    barred = costs(np.array([one.value, *(root.value for root in found.roots)])).barred
    now, *there = [tuple(name for name, left in zip(field.candidates, row, strict=True) if left) for row in barred]
    roots = tuple(replace(root, undone=undone) for root, undone in zip(found.roots, there, strict=True))
    return replace(found, roots=roots, undone=now)


def along(
    model: Model, candidate: str, key: str, against: str, second: str, points: int = POINTS
) -> tuple[tuple[float, Solution], ...]:
    """Solve for one figure at several values of another: the line on which two candidates tie.

    Parameters
    ----------
    model, candidate, key, against : as for `solve`
    second : the other figure; over its range in equal steps, or from half to one and a half times its value without one
    points : how many values

    Returns
    -------
    Values of the second figure, rising, each with what the first one has to be there.

    Raises
    ------
    ValueError
        As `solve`, and when the second figure is 0 without a range.
    """
    other = figure(model, second)
    ends = (other.low, other.high) if other.low < other.high else (0.5 * other.value, 1.5 * other.value)
    if ends[0] == ends[1]:
        raise ValueError(f"{second} is 0 and has no range to look along: write low and high")
    values = np.unique(other.limits.hold(np.sort(np.linspace(*ends, points))))
    return tuple((float(value), solve(model, candidate, key, against, given={second: value})) for value in values)


def many(field: Comparison, some: tuple[Ranged, ...], candidate: str, against: str, columns: int) -> list[Solution]:
    """Solve for several figures at once, each on its own, in larger steps than `solve`.

    Only what somebody could sign is tried: nothing below nothing, no large side at less than one click.
    """
    mine, theirs = (field.candidates.index(name) for name in (candidate, against))
    base = base_of(some)

    def difference(which: NDArray[np.intp], values: Array) -> Array:
        worth = field.costs(one_at_a_time(base, which, values)).worth
        return np.broadcast_to(worth[:, mine] - worth[:, theirs], values.shape)

    grids = [_grid(one, _signed(one), None, columns, FEW_NEAR, FEW_FAR) for one in some]
    return ties(difference, some, grids, candidate, against)


def ties(
    difference: Difference, some: tuple[Ranged, ...], grids: Sequence[Array], candidate: str, against: str
) -> list[Solution]:
    """Find the roots of each figure on its grid."""
    own = np.array([one.value for one in some])
    now = difference(np.arange(len(some)), own)
    xs, ys = list(grids), _on(difference, grids)
    for _ in range(LOOKS):
        closer = [_closer(one, x, y) for one, x, y in zip(some, xs, ys, strict=True)]
        if not any(len(points) for points in closer):
            break
        more = _on(difference, closer)
        for place, points in enumerate(closer):
            order = np.argsort(np.concatenate([xs[place], points]), kind="stable")
            xs[place] = np.concatenate([xs[place], points])[order]
            ys[place] = np.concatenate([ys[place], more[place]])[order]
    roots = _roots(difference, some, xs, ys)
    solutions = []
    for place, one in enumerate(some):
        x, y = xs[place], ys[place]
        moves = bool(np.ptp(y) > FLAT) if len(y) else False
        found = tuple(_root(one, *root) for root in roots[place]) if moves else ()
        solutions.append(
            Solution(
                candidate, against, one, float(now[place]), found,
                (float(x[0]), float(x[-1])), float(y[0]), float(y[-1]), moves,
            )
        )  # fmt: skip
    return solutions


def _root(one: Ranged, value: float, tie: bool, difference: float) -> Root:
    change = value - one.value
    return Root(value, "tie" if tie else "jump", change, change / abs(one.value) if one.value else None, difference)


def _signed(one: Ranged) -> float:
    return min(1.0, one.value) if one.key.endswith(".oversize_counts") else 0.0


def _grid(
    one: Ranged, low: float | None, high: float | None, columns: int, near: int = NEAR, far: int = FAR
) -> Array:
    """Values to try: close together around the figure's own, then farther and farther apart."""
    limits, value = one.limits, abs(one.value)
    least = limits.least if low is None else max(low, limits.least)
    tops = [top for top in (high, limits.most) if top is not None]
    if limits.whole:
        # Beyond the last column of the model a longer contract would have to be built anew.
        top = min([*tops, float(columns)])
        return np.arange(np.ceil(least), np.floor(top) + 1)
    if tops:
        points = np.linspace(least, min(tops), 2 * near + 1)
    elif value > 0:
        close, distant = np.linspace(least, 2 * value, near + 1), np.geomspace(2 * value, FARTHEST * value, far)
        points = np.concatenate([close, distant])
    else:
        points = np.concatenate([[least], np.geomspace(LEAST_SIZE, LARGEST_SIZE, 3 * far)])
    inside = points[(points >= least) & (points <= min(tops, default=np.inf))]
    return np.unique(np.append(inside, one.value) if inside.size and inside[0] <= one.value <= inside[-1] else inside)


def _on(difference: Difference, grids: Sequence[Array]) -> list[Array]:
    sizes = [len(grid) for grid in grids]
    found = difference(np.repeat(np.arange(len(grids)), sizes), np.concatenate(grids))
    return np.split(found, np.cumsum(sizes)[:-1])


def _closer(one: Ranged, x: Array, y: Array) -> Array:
    """Points around every place where the difference comes close to nothing without changing sign there."""
    if one.limits.whole or len(x) < 3:
        return np.empty(0)
    size = np.abs(y)
    low = (size[1:-1] < size[:-2]) & (size[1:-1] < size[2:]) & (np.sign(y[:-2]) == np.sign(y[2:])) & (size[1:-1] > 0)
    places = np.flatnonzero(low & (np.sign(y[1:-1]) == np.sign(y[2:]))) + 1
    parts = [np.linspace(x[place - 1], x[place + 1], 18)[1:-1] for place in places]
    return np.setdiff1d(np.concatenate(parts), x) if parts else np.empty(0)


def _roots(
    difference: Difference, some: tuple[Ranged, ...], xs: Sequence[Array], ys: Sequence[Array]
) -> list[list[tuple[float, bool, float]]]:
    """(value, whether it is a tie, difference) of each root of each figure, by rising values."""
    found: list[list[tuple[float, bool, float]]] = [[] for _ in some]
    which, before, after = [], [], []
    for place, (x, y) in enumerate(zip(xs, ys, strict=True)):
        zero = np.flatnonzero(y == 0)
        # Of a range of values that all tie the two ends are told.
        ends = [at for at in zero if at in (0, len(x) - 1) or y[at - 1] != 0 or y[at + 1] != 0]
        found[place].extend((float(x[at]), True, 0.0) for at in ends)
        for at in np.flatnonzero(y[:-1] * y[1:] < 0):
            if some[place].limits.whole:
                found[place].append((float(x[at + 1]), bool(abs(y[at + 1]) <= CENT), float(y[at + 1])))
            else:
                which.append(place)
                before.append(x[at])
                after.append(x[at + 1])
    if which:
        figures = np.array(which, dtype=np.intp)
        low, high = cross(
            lambda place, values: difference(figures[place], values), np.array(before), np.array(after)
        )
        at_low, at_high = difference(figures, low), difference(figures, high)
        for row, place in enumerate(figures):
            low_is_nearer = abs(at_low[row]) < abs(at_high[row])
            value, rest = (low[row], at_low[row]) if low_is_nearer else (high[row], at_high[row])
            if abs(rest) <= CENT:
                found[place].append((float(value), True, float(rest)))
            else:
                found[place].append((float(high[row]), False, float(at_high[row])))
    return [sorted(roots) for roots in found]

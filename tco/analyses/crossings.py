"""Where two figures made of straight pieces change places, and who is lowest of many."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from tco.analyses.piecewise import Pieces
from tco.model.kinds import Array

EQUAL: Final = 1e-11

Kind = Literal["tie", "jump", "equal"]


@dataclass(frozen=True)
class Crossing:
    """A volume, or a range of volumes, at which two candidates cost the same or change places.

    Attributes
    ----------
    kind : {'tie', 'jump', 'equal'}
        At a tie the difference is zero at one volume; at a jump it changes sign without being zero; over an equal range
        it is zero throughout.
    low, high : float
        Sides a month. Both the same for a tie; the last volume before and the first after a jump; the ends of a range.
    cheaper_below, cheaper_above : str
        The cheaper candidate just below and just above; empty at an end of what was searched. The same twice means that
        the two only touch.
    """

    kind: Kind
    low: float
    high: float
    cheaper_below: str
    cheaper_above: str

    @property
    def changes(self) -> bool:
        """True when the cheaper one below is not the cheaper one above."""
        return bool(self.cheaper_below and self.cheaper_above and self.cheaper_below != self.cheaper_above)


@dataclass(frozen=True)
class Best:
    """A range of volumes over which the same candidates cost least: one, or several that cost the same throughout."""

    low: float
    high: float
    candidates: tuple[str, ...]


@dataclass(frozen=True)
class _Stretch:
    """Volumes over which the difference keeps its sign; whether it is zero at either end."""

    sign: int
    low: float
    high: float
    zero_at_low: bool
    zero_at_high: bool


def crossings(first: str, one: Pieces, second: str, other: Pieces) -> tuple[Crossing, ...]:
    """Return every crossing of two candidates, in rising order; none when one is cheaper throughout."""
    stretches = _stretches(one, other)
    names = {-1: first, 1: second}
    found: list[Crossing] = []
    for place, stretch in enumerate(stretches):
        below = stretches[place - 1].sign if place else 0
        if stretch.sign == 0:
            above = stretches[place + 1].sign if place + 1 < len(stretches) else 0
            kind: Kind = "equal" if stretch.high > stretch.low else "tie"
            found.append(Crossing(kind, stretch.low, stretch.high, names.get(below, ""), names.get(above, "")))
            continue
        if place == 0:
            if stretch.zero_at_low:
                found.append(Crossing("tie", stretch.low, stretch.low, "", names[stretch.sign]))
        elif below:
            found.append(_between(stretches[place - 1], stretch, names))
        if place + 1 == len(stretches) and stretch.zero_at_high:
            found.append(Crossing("tie", stretch.high, stretch.high, names[stretch.sign], ""))
    return tuple(found)


def _between(below: _Stretch, above: _Stretch, names: dict[int, str]) -> Crossing:
    here, there = names[below.sign], names[above.sign]
    if below.zero_at_high:
        return Crossing("tie", below.high, below.high, here, there)
    if above.zero_at_low:
        return Crossing("tie", above.low, above.low, here, there)
    return Crossing("jump", below.high, above.low, here, there)


def _segments(one: Pieces, other: Pieces) -> tuple[Array, Array, Array, Array, Array]:
    """Cut two figures into common straight segments: ends, difference at both ends, size of the figures."""
    nodes = np.unique(np.concatenate([one.low, one.high, other.low, other.high]))
    low = np.concatenate([nodes[:-1], nodes[_alone(one, nodes) | _alone(other, nodes)]])
    high = np.concatenate([nodes[1:], nodes[_alone(one, nodes) | _alone(other, nodes)]])
    order = np.lexsort((high, low))
    low, high = low[order], high[order]
    middle = (low + high) / 2
    first, second = _piece(one, low, high, middle), _piece(other, low, high, middle)
    kept = (first >= 0) & (second >= 0)
    low, high, first, second = low[kept], high[kept], first[kept], second[kept]
    at = [(one.on(first, x), other.on(second, x)) for x in (low, high)]
    size = np.maximum.reduce([np.abs(value) for pair in at for value in pair])
    return low, high, at[0][0] - at[0][1], at[1][0] - at[1][1], size


def _alone(pieces: Pieces, nodes: Array) -> NDArray[np.bool_]:
    return np.isin(nodes, pieces.low[pieces.low == pieces.high])


def _piece(pieces: Pieces, low: Array, high: Array, middle: Array) -> NDArray[np.intp]:
    """Return the piece that holds each segment whole; -1 where the segment lies in a jump."""
    place = np.clip(np.searchsorted(pieces.low, middle, side="right") - 1, 0, None)
    inside = (pieces.low[place] <= low) & (pieces.high[place] >= high)
    return np.where(inside, place, -1)


def _stretches(one: Pieces, other: Pieces) -> list[_Stretch]:
    low, high, at_low, at_high, size = _segments(one, other)
    sign_low = np.where(np.abs(at_low) <= EQUAL * size, 0, np.sign(at_low)).astype(int)
    sign_high = np.where(np.abs(at_high) <= EQUAL * size, 0, np.sign(at_high)).astype(int)
    found: list[_Stretch] = []
    for place in range(len(low)):
        start, end, here, there = float(low[place]), float(high[place]), int(sign_low[place]), int(sign_high[place])
        if here * there < 0:
            tie = start + (end - start) * float(at_low[place] / (at_low[place] - at_high[place]))
            _extend(found, _Stretch(here, start, tie, False, True))
            _extend(found, _Stretch(there, tie, end, True, False))
        else:
            _extend(found, _Stretch(here or there, start, end, here == 0, there == 0))
    return found


def _extend(found: list[_Stretch], new: _Stretch) -> None:
    """Add a stretch; it continues the last one when the sign is the same and nothing happens in between."""
    last = found[-1] if found else None
    if last is not None and last.sign == new.sign and (new.sign == 0 or not (last.zero_at_high or new.zero_at_low)):
        found[-1] = _Stretch(last.sign, last.low, new.high, last.zero_at_low, new.zero_at_high)
    else:
        found.append(new)


def envelope(curves: Mapping[str, Pieces], found: Mapping[tuple[str, str], tuple[Crossing, ...]]) -> tuple[Best, ...]:
    """Return who costs least over which volumes, in rising order.

    Between two neighbouring crossings of any pair the order of all candidates stays the same, so one volume between
    them decides.
    """
    some = next(iter(curves.values()))
    start, end = float(some.low[0]), float(some.high[-1])
    nodes = {start, end}
    gaps: list[tuple[float, float]] = []
    for crossing in (one for pair in found.values() for one in pair):
        nodes.update((crossing.low, crossing.high))
        if crossing.kind == "jump":
            gaps.append((crossing.low, crossing.high))
    ordered = np.array(sorted(nodes))
    middles = (ordered[:-1] + ordered[1:]) / 2
    costs = np.array([curve.at(middles) for curve in curves.values()])
    least = costs.min(axis=0)
    best: list[Best] = []
    for place, middle in enumerate(middles):
        if any(low < middle < high for low, high in gaps):
            continue
        near = costs[:, place] <= least[place] + EQUAL * abs(least[place])
        names = tuple(name for name, is_near in zip(curves, near, strict=True) if is_near)
        low, high = float(ordered[place]), float(ordered[place + 1])
        if best and best[-1].candidates == names:
            best[-1] = Best(best[-1].low, high, names)
        else:
            best.append(Best(low, high, names))
    return tuple(best)

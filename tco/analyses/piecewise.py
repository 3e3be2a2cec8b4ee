"""A figure over volume as straight pieces, found completely: every kink, every jump.

Between two neighbouring volumes with the same switches the figure is straight, so the line through them is the figure
itself. Where the switches differ the interval is halved, or cut where the lines on both sides meet, until it is
shorter than a thousandth of a side. One evaluation serves all intervals of a round.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tco.analyses.switches import OverVolume
from tco.model.kinds import Array

STEP: Final = 1e-3
START: Final = 17
MOST_POINTS: Final = 20_000
# A chord may be off by this share of the cost, a cent in a million: work passed on between unlike presses is curved.
STRAIGHT: Final = 1e-8
NOISE: Final = 1e-11

Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Pieces:
    """Straight pieces in rising order.

    Attributes
    ----------
    low, high : ends of each piece, sides a month, shape (pieces,). A piece starts where the last one ended, or up to a
        thousandth of a side later when the figure jumps in between. A single volume may be a piece.
    at_low, at_high : the figure at both ends, shape (pieces,)
    complete : False when there are more switches than the search has patience for; pieces are then chords
    """

    low: Array
    high: Array
    at_low: Array
    at_high: Array
    complete: bool

    def at(self, volumes: Array) -> Array:
        """Return the figure at volumes within the range, shape (volumes,); at a jump the value before it."""
        place = np.clip(np.searchsorted(self.low, volumes, side="left") - 1, 0, None)
        return self.on(place, volumes)

    def on(self, place: NDArray[np.intp], volumes: Array) -> Array:
        """Return the figure on the lines of given pieces."""
        width = self.high[place] - self.low[place]
        part = np.where(width > 0, (volumes - self.low[place]) / np.where(width > 0, width, 1.0), 0.0)
        return self.at_low[place] + (self.at_high[place] - self.at_low[place]) * part


@dataclass
class _Samples:
    """What is known: volumes in rising order, figure, signature; `straight` belongs to the interval after each."""

    x: Array
    y: Array
    sign: NDArray[np.uint64]
    straight: Flags

    def add(self, x: Array, y: Array, sign: NDArray[np.uint64], proved: Array) -> None:
        """Insert new volumes; intervals beginning in `proved` are straight from now on."""
        everything = np.concatenate([self.x, x])
        order = np.argsort(everything, kind="stable")
        old = np.concatenate([self.straight, np.zeros(len(x), dtype=np.bool_)])[order]
        self.x = everything[order]
        self.y = np.concatenate([self.y, y])[order]
        self.sign = np.concatenate([self.sign, sign])[order]
        self.straight = old | np.isin(self.x, proved)


def trace(figure: OverVolume, lowest: float, highest: float) -> Pieces:
    """Find all straight pieces of a figure between two volumes.

    Parameters
    ----------
    figure : the figure over volume
    lowest, highest : sides a month, 0 <= lowest < highest
    """
    x = np.linspace(lowest, highest, START)
    y, sign = figure.at(x)
    known = _Samples(x, y, sign, np.zeros(START, dtype=np.bool_))
    step = max(STEP, highest * 1e-13)
    complete = True
    while True:
        wide = np.append(np.diff(known.x) > step, False)
        same = np.append(known.sign[1:] == known.sign[:-1], False)
        _extend(known, same)
        check = np.flatnonzero(same & wide & ~known.straight)
        cut = np.flatnonzero(~same & wide)
        if len(check) + len(cut) == 0:
            known.straight |= same
            break
        if len(known.x) > MOST_POINTS:
            complete = False
            known.straight[:-1] = True
            known.sign[:] = 0
            break
        _round(figure, known, check, cut, step)
    return _pieces(known, step, complete)


def _extend(known: _Samples, same: Flags) -> None:
    """Prove intervals without looking inside: same switches as a wider straight neighbour, and its line carried on."""
    size = np.abs(known.y).max()
    x, y, straight = known.x, known.y, known.straight[:-1]
    width, slope = np.diff(x), np.diff(y) / np.diff(x)
    ends = np.abs(np.diff(slope)) * np.stack([width[1:], width[:-1]]) <= STRAIGHT * size
    alike = same[:-2] & same[1:-1]
    straight[1:] |= alike & straight[:-1] & (width[1:] <= width[:-1]) & ends[0]
    straight[:-1] |= alike & straight[1:] & (width[:-1] <= width[1:]) & ends[1]


def _round(figure: OverVolume, known: _Samples, check: NDArray[np.intp], cut: NDArray[np.intp], step: float) -> None:
    """Look at the middle of every open interval, and on both sides of where the lines beside it meet."""
    middles = (known.x[check] + known.x[check + 1]) / 2
    meets = _meeting(known, cut)
    inside = (meets - step / 4 > known.x[cut]) & (meets + step / 4 < known.x[cut + 1])
    more = np.concatenate([(known.x[cut] + known.x[cut + 1]) / 2, meets[inside] - step / 4, meets[inside] + step / 4])
    more = np.setdiff1d(more, known.x)
    y, sign = figure.at(np.concatenate([middles, more]))
    chord = (known.y[check] + known.y[check + 1]) / 2
    size = np.abs(known.y).max()
    straight = (sign[: len(check)] == known.sign[check]) & (np.abs(y[: len(check)] - chord) <= STRAIGHT * size)
    proved = np.concatenate([known.x[check][straight], middles[straight]])
    known.add(np.concatenate([middles, more]), y, sign, proved)


def _meeting(known: _Samples, cut: NDArray[np.intp]) -> Array:
    """Where the straight lines left and right of intervals meet; not a number where there are none."""
    before, after = np.clip(cut - 1, 0, None), np.clip(cut + 2, None, len(known.x) - 1)
    usable = (cut > 0) & (cut + 2 < len(known.x))
    usable &= known.straight[before] & known.straight[np.clip(cut + 1, None, after)]
    with np.errstate(divide="ignore", invalid="ignore"):
        left = (known.y[cut] - known.y[before]) / (known.x[cut] - known.x[before])
        right = (known.y[after] - known.y[cut + 1]) / (known.x[after] - known.x[cut + 1])
        gap = known.y[cut + 1] - known.y[cut] - right * (known.x[cut + 1] - known.x[cut])
        return np.where(usable, known.x[cut] + gap / (left - right), np.nan)


def _pieces(known: _Samples, step: float, complete: bool) -> Pieces:
    """Join straight intervals that are one line; decide between kink and jump in the narrow intervals left over."""
    ends = _ends(known)
    rows: list[list[float]] = []
    for first, last in ends:
        rows.append([known.x[first], known.x[last], known.y[first], known.y[last]])
    noise = NOISE * float(np.abs(known.y).max())
    joined: list[list[float]] = [rows[0]]
    for row in rows[1:]:
        before = joined[-1]
        if row[0] > before[1]:
            link = _link(before, row, step, noise)
            if link is not None:
                joined.append(link)
        joined.append(row)
    table = np.array([row for row in joined if row[1] > row[0] or _alone(row, joined)]).reshape(-1, 4)
    return Pieces(table[:, 0], table[:, 1], table[:, 2], table[:, 3], complete)


def _alone(row: list[float], rows: list[list[float]]) -> bool:
    """Whether a single volume is a piece of its own: no other piece begins or ends there."""
    return not any(other is not row and row[0] in (other[0], other[1]) for other in rows)


def _ends(known: _Samples) -> list[tuple[int, int]]:
    """First and last sample of every straight line; samples that belong to none stand alone."""
    found: list[tuple[int, int]] = []
    size = float(np.abs(known.y).max())
    first = 0
    for last in range(1, len(known.x) + 1):
        if last < len(known.x) and known.straight[last - 1] and known.sign[last] == known.sign[first]:
            continue
        x, y = known.x[first:last], known.y[first:last]
        line = np.interp(x, x[[0, -1]], y[[0, -1]])
        if np.abs(y - line).max() <= STRAIGHT * size:
            found.append((first, last - 1))
        else:
            found.extend((one, one + 1) for one in range(first, last - 1))
        first = last
    return found


def _slope(row: list[float]) -> float:
    return (row[3] - row[2]) / (row[1] - row[0]) if row[1] > row[0] else 0.0


def _link(before: list[float], row: list[float], step: float, noise: float) -> list[float] | None:
    """Close the gap between two lines: move both ends to where they meet, or bridge it; None where the figure jumps."""
    start, end = before[1], row[0]
    left, right = _slope(before), _slope(row)
    if row[1] > row[0] and abs(row[2] + right * (start - end) - before[3]) <= noise:
        row[0], row[2] = start, before[3]
        return None
    if before[1] > before[0] and abs(before[3] + left * (end - start) - row[2]) <= noise:
        before[1], before[3] = end, row[2]
        return None
    if before[1] > before[0] and row[1] > row[0] and left != right:
        meets = start + (row[2] - before[3] - right * (end - start)) / (left - right)
        if start - step <= meets <= end + step and before[0] < meets < row[1]:
            value = before[3] + left * (meets - start)
            before[1], before[3], row[0], row[2] = meets, value, meets, value
            return None
    if abs(row[2] - before[3]) <= 2 * (abs(left) + abs(right)) * (end - start) + noise:
        return [start, end, before[3], row[2]]
    return None

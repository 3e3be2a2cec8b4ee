"""How a figure spreads over its range: from points between 0 and 1 to values."""

from __future__ import annotations

from typing import Final, Literal, TypeAlias

import numpy as np

from tco.model.kinds import Array

Shape: TypeAlias = Literal["triangular", "pert", "uniform"]
SHAPES: Final[tuple[Shape, ...]] = ("triangular", "pert", "uniform")
# Weight of the most likely value against each end in the usual PERT mean, (low + 4 value + high) / 6.
WEIGHT: Final = 4.0


def spread(shape: Shape, low: float, value: float, high: float, points: Array) -> Array:
    """Return the values below which such a share of all futures lies.

    Parameters
    ----------
    shape : triangular and PERT have their peak at `value`; uniform takes only the ends
    low, value, high : low <= value <= high, low < high: the ends are extremes, nothing lies beyond
    points : shares between 0 and 1, shape (draws,)
    """
    if shape == "uniform":
        return low + (high - low) * points
    peak = (value - low) / (high - low)
    if shape == "triangular":
        rising = np.sqrt(points * peak)
        falling = 1 - np.sqrt((1 - points) * (1 - peak))
        return low + (high - low) * np.where(points < peak, rising, falling)
    from scipy.special import betaincinv  # starting scipy takes a second

    return low + (high - low) * np.asarray(betaincinv(1 + WEIGHT * peak, 1 + WEIGHT * (1 - peak), points))


def of_a_hundred(shares: Array) -> tuple[int, ...]:
    """Return whole counts that add up to 100, by largest remainder; of equal remainders the first is served first.

    Parameters
    ----------
    shares : not negative, at least one above 0, shape (parts,)
    """
    exact = 100.0 * shares / shares.sum()
    counts = np.floor(exact + 1e-9)
    missing = 100 - int(counts.sum())
    for place in np.argsort(counts - exact, kind="stable")[:missing]:
        counts[place] += 1
    return tuple(int(count) for count in counts)

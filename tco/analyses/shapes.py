"""How a figure spreads over its range: from points between 0 and 1 to values.

Low and high are the ends of a triangular, PERT or uniform figure: nothing lies beyond them. A normal or lognormal one
has no ends; there they are the points that 1 in 10 futures fall below and 1 in 10 rise above.
"""

from __future__ import annotations

from typing import Final, Literal, TypeAlias

import numpy as np

from tco.model.kinds import Array

Shape: TypeAlias = Literal["triangular", "pert", "uniform", "normal", "lognormal"]
SHAPES: Final[tuple[Shape, ...]] = ("triangular", "pert", "uniform", "normal", "lognormal")
BEYOND: Final[tuple[Shape, ...]] = ("normal", "lognormal")
# The share of futures below low, and above high, of a shape without ends.
TAIL: Final = 0.1
# Points nearer to 0 or 1 are taken for this one: a shape without ends would be infinite there.
SMALLEST: Final = 2.0**-32
# Weight of the most likely value against each end in the usual PERT mean, (low + 4 value + high) / 6.
WEIGHT: Final = 4.0


def spread(shape: Shape, low: float, value: float, high: float, points: Array) -> Array:
    """Return the values below which such a share of all futures lies.

    Parameters
    ----------
    shape : triangular and PERT have their peak at `value`; uniform, normal and lognormal take only the ends
    low, value, high : low <= value <= high, low < high; a lognormal figure lies above 0
    points : shares between 0 and 1, shape (draws,)

    Raises
    ------
    ValueError
        A lognormal figure whose low is not above 0.
    """
    if shape == "normal":
        return (low + high) / 2 + (high - low) / 2 * _scores(points)
    if shape == "lognormal":
        if low <= 0:
            raise ValueError(f"a lognormal figure lies above 0, and low is {low:g}")
        return np.asarray(np.sqrt(low * high) * (high / low) ** (_scores(points) / 2))
    if shape == "uniform":
        return low + (high - low) * points
    peak = (value - low) / (high - low)
    if shape == "triangular":
        rising = np.sqrt(points * peak)
        falling = 1 - np.sqrt((1 - points) * (1 - peak))
        return low + (high - low) * np.where(points < peak, rising, falling)
    from scipy.special import betaincinv  # starting scipy takes a second

    return low + (high - low) * np.asarray(betaincinv(1 + WEIGHT * peak, 1 + WEIGHT * (1 - peak), points))


def _scores(points: Array) -> Array:
    """Standard normal quantiles, as multiples of that of 1 in 10."""
    from scipy.special import ndtri  # starting scipy takes a second

    return np.asarray(ndtri(np.clip(points, SMALLEST, 1 - SMALLEST)) / ndtri(1 - TAIL))


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

"""Narrowing down where something changes, for many figures at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tco.model.kinds import Array

PARTS: Final = 16
ROUNDS: Final = 14
# Two values closer than this share of their size are the same for everyone.
FINE: Final = 4e-16


def narrow(
    changed: Callable[[NDArray[np.intp], Array], NDArray[np.bool_]], before: Array, after: Array
) -> tuple[Array, Array]:
    """Find the place between `before`, where nothing has changed yet, and `after`, where it has.

    Parameters
    ----------
    changed : tells for places in the lists and values, both of shape (asked,), whether it has changed there
    before, after : ends of every interval, in either direction, shape (intervals,)

    Returns
    -------
    The ends when they are neighbours, as closely as numbers can be told apart: the last value before a change and the
    first after it. If there are several changes between two ends, one of them is found.
    """
    before, after = before.astype(np.float64), after.astype(np.float64)
    steps = np.arange(1, PARTS) / PARTS
    for _ in range(ROUNDS):
        wide = np.flatnonzero(np.abs(after - before) > FINE * np.maximum(np.abs(after), np.abs(before)))
        if len(wide) == 0:
            break
        low, high = before[wide], after[wide]
        points = low[:, None] + (high - low)[:, None] * steps
        found = changed(np.repeat(wide, len(steps)), points.ravel()).reshape(points.shape)
        # The first change from the left: everything before it is still as it was.
        whole = np.concatenate([low[:, None], points, high[:, None]], axis=1)
        flags = np.concatenate([found, np.ones((len(wide), 1), dtype=np.bool_)], axis=1)
        first = flags.argmax(axis=1)
        rows = np.arange(len(wide))
        before[wide], after[wide] = whole[rows, first], whole[rows, first + 1]
    return before, after


# Around where a straight line would cross, as shares of the interval; the middle keeps the search from ever stalling.
AROUND: Final = np.array([-1e-3, -1e-6, -1e-10, 0.0, 1e-10, 1e-6, 1e-3])
MOST_ROUNDS: Final = 64


def cross(figure: Callable[[NDArray[np.intp], Array], Array], low: Array, high: Array) -> tuple[Array, Array]:
    """Find where figures change sign between two ends at which their signs differ.

    Parameters
    ----------
    figure : values for places in the lists and points, both of shape (asked,)
    low, high : ends of every interval, low < high, shape (intervals,)

    Returns
    -------
    Neighbouring ends with different signs; both the same where the figure is exactly nothing.
    """
    low, high = low.astype(np.float64), high.astype(np.float64)
    rows = np.arange(len(low))
    at_low, at_high = figure(rows, low).copy(), figure(rows, high).copy()
    for _ in range(MOST_ROUNDS):
        wide = np.flatnonzero(high - low > FINE * np.maximum(np.abs(high), np.abs(low)))
        if len(wide) == 0:
            break
        a, b, ya, yb = low[wide], high[wide], at_low[wide], at_high[wide]
        share = ya / (ya - yb)
        points = np.clip(share[:, None] + AROUND * np.minimum(1.0, 1e3 * share * (1 - share))[:, None], 0, 1)
        points = np.sort(np.concatenate([points, np.full((len(wide), 1), 0.5)], axis=1), axis=1)
        x = a[:, None] + (b - a)[:, None] * points
        y = figure(np.repeat(wide, x.shape[1]), x.ravel()).reshape(x.shape)
        x, y = np.column_stack([a, x, b]), np.column_stack([ya, y, yb])
        changed = np.sign(y) != np.sign(ya)[:, None]
        first = changed.argmax(axis=1)
        one = np.arange(len(wide))
        exact = y[one, first] == 0
        low[wide] = np.where(exact, x[one, first], x[one, first - 1])
        high[wide], at_low[wide], at_high[wide] = x[one, first], y[one, first - 1], y[one, first]
    return low, high

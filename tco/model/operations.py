"""What each operation does to arrays, and which side every choice among numbers took.

Every value is an array of shape (draws or 1, entries or 1, months or 1).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tco import finance
from tco.model.kinds import Array


def _safe_divide(part: Array, whole: Array) -> Array:
    zero = whole == 0
    return np.where(zero, 0.0, part / np.where(zero, 1.0, whole))


def _level_payment(principal: Array, rate: Array, months: Array) -> Array:
    return np.asarray(finance.level_payment(principal, rate, months))


def flag(value: NDArray[Any]) -> Array:
    """0 and 1 of a comparison."""
    return value.astype(np.float64)


OPERATIONS: Final[dict[str, Callable[..., Array]]] = {
    "+": np.add,
    "-": np.subtract,
    "*": np.multiply,
    "/": np.divide,
    "safe /": _safe_divide,
    "power": np.power,
    "growth": lambda rate, years: np.power(1.0 + rate, years),
    "level payment": _level_payment,
    "=": lambda a, b: flag(a == b),
    "<": lambda a, b: flag(a < b),
    "<=": lambda a, b: flag(a <= b),
    ">": lambda a, b: flag(a > b),
    ">=": lambda a, b: flag(a >= b),
    "and": lambda a, b: flag((a != 0) & (b != 0)),
    "or": lambda a, b: flag((a != 0) | (b != 0)),
    "not": lambda a: 1.0 - a,
    "min": lambda *args: _fold(np.minimum, args),
    "max": lambda *args: _fold(np.maximum, args),
    "up": np.ceil,
    "down": np.floor,
    "mod": lambda a, b: a - b * np.floor(a / b),
}

ALIKE: Final = 1e-12  # rounding of a few dozen operations, relative

SWITCHES: Final[dict[str, Callable[..., Array]]] = {
    "safe /": lambda _, whole: flag(whole == 0),
    "=": lambda a, b: flag(a == b),
    "<": lambda a, b: flag(a < b),
    "<=": lambda a, b: flag(a <= b),
    ">": lambda a, b: flag(a > b),
    ">=": lambda a, b: flag(a >= b),
    "min": lambda *args: flag(_side(np.less_equal, args)),
    "max": lambda *args: flag(_side(np.greater_equal, args)),
    "up": np.ceil,
    "down": np.floor,
    "mod": lambda a, b: np.floor(a / b),
}


def _fold(function: Callable[[Array, Array], Array], args: tuple[Array, ...]) -> Array:
    result = args[0]
    for other in args[1:]:
        result = function(result, other)
    return result


def _side(compare: Callable[[Array, Array], Array], args: tuple[Array, ...]) -> Array:
    """Which argument of a minimum or maximum was taken, counted from 0; equal to rounding is no change of side."""
    taken, best = np.zeros(()), args[0]
    for place, other in enumerate(args[1:], 1):
        keeps = np.logical_or(compare(best, other), np.abs(best - other) <= ALIKE * np.abs(best))
        taken = np.where(keeps, taken, float(place))
        best = np.where(keeps, best, other)
    return taken

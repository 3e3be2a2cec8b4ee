"""Units of measure as small exponent tables.

A unit is a sorted tuple of (name, power) pairs; the empty tuple is a plain number. Month is an ordinary dimension, so a
flow is "per month" and a one-off is an amount times an event (1/month). `ANY` is the unit of zero and fits everywhere.
The check finds sums of different kinds. It cannot find a wrong sign, a wrong limit or a minimum written for a maximum.
"""

from __future__ import annotations

from typing import Final, TypeAlias

Unit: TypeAlias = tuple[tuple[str, int], ...]

NAMES: Final = frozenset(
    {"money", "side", "sheet", "click", "set", "job", "load", "post", "press"}
    | {"minute", "hour", "day", "week", "month", "quarter", "year"}
    | {"kW", "kWh", "kg", "g", "m2", "mm", "litre", "ml"}
)
NONE: Final[Unit] = ()
ANY: Final[Unit] = (("any", 0),)


class UnitMismatchError(ValueError):
    """Two things of different kinds were added, compared or declared equal."""


def unit(text: str) -> Unit:
    """Read a unit such as ``money/click``, ``hour/post/month`` or ``1``; names outside the vocabulary are refused."""
    powers: dict[str, int] = {}
    for place, part in enumerate(text.split("/")):
        for name in part.split("*"):
            if name == "1":
                continue
            if name not in NAMES:
                raise UnitMismatchError(f"{name!r} in {text!r} is no unit of this model")
            powers[name] = powers.get(name, 0) + (1 if place == 0 else -1)
    return _tidy(powers)


def _tidy(powers: dict[str, int]) -> Unit:
    return tuple(sorted((name, power) for name, power in powers.items() if power))


def times(left: Unit, right: Unit) -> Unit:
    """The unit of a product. Zero times anything still fits everywhere."""
    if ANY in (left, right):
        return ANY
    powers = dict(left)
    for name, power in right:
        powers[name] = powers.get(name, 0) + power
    return _tidy(powers)


def over(left: Unit, right: Unit) -> Unit:
    """The unit of a quotient."""
    if ANY in (left, right):
        return ANY
    return times(left, tuple((name, -power) for name, power in right))


def same(left: Unit, right: Unit, where: str) -> Unit:
    """The common unit of two things that are added or compared; `where` names them in the complaint."""
    if left == ANY:
        return right
    if right in (ANY, left):
        return left
    raise UnitMismatchError(f"{where}: {spell(left)} does not go with {spell(right)}")


def spell(measure: Unit) -> str:
    """Write a unit the way `unit` reads it."""
    if measure == ANY:
        return "any"
    above = [name for name, power in measure for _ in range(power)]
    below = [name for name, power in measure for _ in range(-power)]
    return "/".join(["*".join(above) or "1", *below])

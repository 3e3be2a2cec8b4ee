"""What each operation does to units: the first of the four tables of the vocabulary."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeAlias

from tco.units import ANY, NONE, Unit, UnitMismatchError, over, same, spell, times, unit

UnitRule: TypeAlias = Callable[[tuple[Unit, ...], str], Unit]

A_MONTH: Final = unit("1/month")
MONTH: Final = unit("month")


def _alike(units: tuple[Unit, ...], where: str) -> Unit:
    measure = ANY
    for one in units:
        measure = same(measure, one, where)
    return measure


def _compare(units: tuple[Unit, ...], where: str) -> Unit:
    _alike(units, where)
    return NONE


def _plain(units: tuple[Unit, ...], where: str) -> Unit:
    for one in units:
        if one not in (NONE, ANY):
            raise UnitMismatchError(f"{where}: {spell(one)} where a plain number is needed")
    return NONE


def _growth(units: tuple[Unit, ...], where: str) -> Unit:
    _plain(units[:1], where)
    same(units[1], unit("year"), where)
    return NONE


def _level(units: tuple[Unit, ...], where: str) -> Unit:
    """Principal, rate a month, number of months."""
    same(units[1], A_MONTH, where)
    _plain(units[2:], where)
    return times(units[0], A_MONTH)


UNIT_RULES: Final[dict[str, UnitRule]] = {
    "+": _alike,
    "-": _alike,
    "*": lambda units, _: times(units[0], units[1]),
    "/": lambda units, _: over(units[0], units[1]),
    "safe /": lambda units, _: over(units[0], units[1]),
    "power": _plain,
    "growth": _growth,
    "level payment": _level,
    "=": _compare,
    "<": _compare,
    "<=": _compare,
    ">": _compare,
    ">=": _compare,
    "and": _plain,
    "or": _plain,
    "not": _plain,
    "min": _alike,
    "max": _alike,
    "up": lambda units, _: units[0],
    "down": lambda units, _: units[0],
    "mod": _alike,
}

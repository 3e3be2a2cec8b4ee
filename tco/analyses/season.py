"""Other seasons than the written ones, with the work of all other months left as it is.

A season's figures are divided by their mean, so changing one month alone would move work out of all others. Where the
volume is a figure beside the season it is changed as well, so that only the wanted months change.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TypeAlias

import numpy as np

from tco.model.evaluate import Key, evaluate
from tco.model.kinds import Array
from tco.model.model import Model
from tco.scenario.figure import FlowFigure, Readings, Twelve, Volume
from tco.scenario.schema import Scenario

CALENDAR = "calendar month"
ASKED = "work.asked_sides"
Recipe: TypeAlias = "dict[Key, float] | str"


def first_year(model: Model) -> Array | None:
    """Return the sides asked in each month of the first year, shape (12,); None where no season is written."""
    seasons = [
        line for line in model.lines
        if line.is_input and line.shape.axis is not None and line.shape.axis.name == CALENDAR
    ]  # fmt: skip
    if not seasons or ASKED not in model or model.columns < 12:
        return None
    # Cut off after the horizon the first year would not be whole.
    horizon = model["months"].value if "months" in model else None
    if horizon is not None and horizon[0, 0] < 12:
        return None
    return np.array(evaluate(model, {}, {ASKED})[ASKED][0, 0, :12])


def busiest_month(model: Model) -> int | None:
    """Return the month of the year of operation with the most work, counted from 0; None without a season."""
    sides = first_year(model)
    return None if sides is None else int(sides.argmax())


def quietest_months(model: Model, number: int) -> tuple[int, ...] | None:
    """Return so many months in a row with the least work, counted from 0; None without a season."""
    sides = first_year(model)
    if sides is None:
        return None
    twice = np.concatenate([sides, sides])
    sums = [float(twice[start : start + number].sum()) for start in range(12)]
    start = int(np.argmin(sums))
    return tuple((start + step) % 12 for step in range(number))


def emptied(model: Model, scenario: Scenario, months: Collection[int]) -> Recipe:
    """Return what to replace so that some months of every year bring no work."""
    return reshaped(model, scenario, dict.fromkeys(months, 0.0))


def reshaped(model: Model, scenario: Scenario, factors: Mapping[int, float]) -> Recipe:
    """Return what to replace so that some months of every year bring so many times their work, all others the same.

    Parameters
    ----------
    model, scenario : the scenario and its model
    factors : multiples by month of the year of operation, counted from 0

    Returns
    -------
    Figures to replace, or the reason why it cannot be said.
    """
    given: dict[Key, float] = {}
    pairs: list[tuple[str, Volume, Twelve | None]] = []
    if scenario.jobs:
        pairs = [(one.name, one.jobs, one.season or scenario.season) for one in scenario.jobs.values()]
    elif scenario.work is not None:
        both = (("colour", scenario.work.colour), ("black", scenario.work.black))
        pairs = [(name, volume, scenario.season) for name, volume in both if volume is not None]
    for name, volume, season in pairs:
        written = volume if isinstance(volume, Twelve) else season
        if written is None:
            return f"no season is written for {name}"
        old = np.array(written.values)
        new = old * [factors.get(month, 1.0) for month in range(12)]
        if not new.sum() > 0:
            return f"no work would be left of {name}"
        given |= {(written.path, month): float(new[month]) for month in factors}
        given |= _more(volume, float(new.sum() / old.sum()))
    known = {*model.by_id, *model.entries}
    unknown = [key for key in given if (key[0] if isinstance(key, tuple) else key) not in known]
    return given if not unknown else f"{unknown[0]} is no figure of its own"


def _more(volume: Volume, ratio: float) -> dict[Key, float]:
    """Change a volume that stands beside its season; twelve figures carry theirs already."""
    if isinstance(volume, FlowFigure):
        return {volume.path: volume.number * ratio}
    if isinstance(volume, Readings):
        first, last = volume.first.number, volume.last.number
        return {volume.last.path: first + (last - first) * ratio}
    return {}

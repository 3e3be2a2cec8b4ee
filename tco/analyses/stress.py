"""The fixed stress table and the named futures: questions that need no range from the user."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from tco.analyses.draws import NOBODY, Costs, comparison
from tco.analyses.mishaps import DIES_AFTER, STOPS, Outage, press_dies, press_down, stops
from tco.analyses.season import busiest_month, emptied, quietest_months, reshaped
from tco.model.evaluate import Key
from tco.model.kinds import Array
from tco.model.model import Model
from tco.scenario.figure import MONTH_NAMES
from tco.scenario.locales import percent
from tco.scenario.schema import Scenario

Changes: TypeAlias = dict[Key, float]
# Changes to make, or the reason why it cannot be said.
Recipe: TypeAlias = "Changes | str"

VOLUMES: Final = (-0.30, -0.15, 0.15)
INCREASES: Final = (0.0, 0.03, 0.05, 0.10)
DISCOUNT_POINTS: Final = (-0.02, 0.02)
WAGES: Final = 0.10
FALLS: Final = (0.05, 0.10, 0.15)
EMPTY: Final = 4
NO_LIMIT: Final = 1.0


@dataclass(frozen=True)
class Cell:
    """One question with its answer.

    Attributes
    ----------
    group, label : for instance "volume" and "30% less work"
    winner, second : who costs least and who comes next; empty when nobody does all the work
    lead : today's money between the two; None without a second
    costs : cost in today's money of every candidate, in the table's order
    barred : candidates that leave work undone in this cell
    changes : figures that differ from the scenario: key, entry of a column counted from 0 or None, value
    reason : why it cannot be said; everything else is then empty
    as_paid : True where costs and lead are money as paid until a month, not discounted
    """

    group: str
    label: str
    winner: str = ""
    second: str = ""
    lead: float | None = None
    costs: tuple[float, ...] = ()
    barred: tuple[str, ...] = ()
    changes: tuple[tuple[str, int | None, float], ...] = ()
    reason: str = ""
    as_paid: bool = False

    @property
    def is_said(self) -> bool:
        """False when the scenario has no such figure."""
        return not self.reason


@dataclass(frozen=True)
class Stress:
    """The table: the scenario as written first, then one cell per question; what a press that is down does, at last."""

    candidates: tuple[str, ...]
    as_written: Cell
    cells: tuple[Cell, ...]
    outages: tuple[Outage, ...] = ()

    def group(self, name: str) -> tuple[Cell, ...]:
        """The cells of one group, in order."""
        return tuple(cell for cell in self.cells if cell.group == name)

    @property
    def winners(self) -> tuple[str, ...]:
        """Everybody who costs least somewhere in the table."""
        return tuple(dict.fromkeys(cell.winner for cell in (self.as_written, *self.cells) if cell.winner))


def stress(model: Model, scenario: Scenario, candidates: Sequence[str] | None = None) -> Stress:
    """Fill the stress table.

    Parameters
    ----------
    model : the model of the scenario
    scenario : tells which month is the busiest and which class follows which season
    candidates : those compared; all when absent
    """
    field = comparison(model, candidates)
    asked = list(_questions(model, scenario))
    said: list[Changes] = [{}, *(recipe for _, _, recipe in asked if not isinstance(recipe, str))]
    costs = field.costs(_together(model, said))
    found = iter(range(1, len(said)))
    cells = tuple(
        Cell(group, label, reason=recipe) if isinstance(recipe, str)
        else _cell(group, label, costs, next(found), recipe)
        for group, label, recipe in asked
    )  # fmt: skip
    written = _cell("", "As written", costs, 0, {})
    down, outages = _down(model, scenario, field.candidates)
    gone = _gone(model, scenario, field.candidates)
    early = _early(model, field.candidates, costs.barred[0])
    return Stress(field.candidates, written, (*cells, down, gone, *early), outages)


def _down(model: Model, scenario: Scenario, candidates: Sequence[str]) -> tuple[Cell, tuple[Outage, ...]]:
    label = "the press is down for two weeks in the busiest month"
    found = press_down(model, scenario, candidates)
    if isinstance(found, str):
        return Cell("press", label, reason=found), ()
    label += f", {scenario.label(found.month + 1)}, once"
    return _cell("press", label, found.costs, 0, {}), found.outages


def _gone(model: Model, scenario: Scenario, candidates: Sequence[str]) -> Cell:
    found = press_dies(model, scenario, candidates)
    if isinstance(found, str):
        return Cell("press", f"the present press dies after month {DIES_AFTER}", reason=found)
    name, typed = found
    costs = comparison(model, candidates).costs(overtype=typed)
    return _cell("press", f"{name} dies after month {DIES_AFTER}, fetches nothing and has no successor", costs, 0, {})


def _early(model: Model, candidates: Sequence[str], barred: NDArray[np.bool_]) -> Iterator[Cell]:
    found = stops(model, candidates, barred)
    for month in STOPS:
        label = f"everything stops after month {month}, money as paid"
        if month not in found:
            yield Cell("stop", label, reason=f"fewer than {month} months are compared")
        else:
            yield replace(_cell("stop", label, found[month], 0, {}), as_paid=True)


def _together(model: Model, said: Sequence[Changes]) -> dict[Key, Array | float]:
    """One draw for each set of changes."""
    given: dict[Key, Array | float] = {}
    for key in dict.fromkeys(key for changes in said for key in changes):
        own = value_of(model, key)
        given[key] = np.array([changes.get(key, own) for changes in said])
    return given


def _cell(group: str, label: str, costs: Costs, draw: int, changes: Changes) -> Cell:
    winner, second = int(costs.winner[draw]), costs.second(draw)
    lead = float(costs.worth[draw, second] - costs.worth[draw, winner]) if NOBODY not in (winner, second) else None
    barred = tuple(name for name, out in zip(costs.candidates, costs.barred[draw], strict=True) if out)
    told = tuple(
        (key[0], key[1], value) if isinstance(key, tuple) else (key, None, value) for key, value in changes.items()
    )
    worth = tuple(costs.worth[draw].tolist())
    return Cell(group, label, costs.name(winner), costs.name(second), lead, worth, barred, told)


def value_of(model: Model, key: Key) -> float:
    """Return the own value of a figure.

    Parameters
    ----------
    key : of a line, of an entry with a key of its own, or (column, entry counted from 0)
    """
    name, place = key if isinstance(key, tuple) else (key, 0)
    line, place = model.entries.get(name, (None, place))
    value = (model[name] if line is None else line).value
    if value is None:
        raise ValueError(f"{name} is no figure of this model")
    return float(value[place, 0])


def keys_ending(model: Model, word: str) -> list[str]:
    """Return the keys of all figures whose last word this is."""
    single = [line.id for line in model.lines if line.is_input and line.shape.axis is None]
    return [key for key in (*single, *model.entries) if key.rsplit(".", maxsplit=1)[-1] == word]


def _all(model: Model, word: str, missing: str, *, times: float = 0.0, plus: float = 0.0) -> Recipe:
    """Change every figure of that name: so many times its own value, and so much more."""
    keys = keys_ending(model, word)
    return {key: value_of(model, key) * times + plus for key in keys} if keys else missing


def _questions(model: Model, scenario: Scenario) -> Iterator[tuple[str, str, Recipe]]:
    place = scenario.money.locale
    for part in VOLUMES:
        label = f"{percent(abs(part), place)} {'less' if part < 0 else 'more'} work"
        yield "volume", label, _all(model, "volume_scale", "there is no work", times=1 + part)
    for rate in INCREASES:
        label = f"every plan rises by {percent(rate, place)} a year, caps as written"
        yield "increase", label, _all(model, "increase", "no plan has an increase", plus=rate)
    yield "resale", "no press sells for anything", _all(model, "sells_for", "no press has a price it sells for")
    yield "worst month", *_worst_month(model, scenario)
    yield from _rates(model, place)
    yield from _futures(model, scenario)


def _rates(model: Model, place: str) -> Iterator[tuple[str, str, Recipe]]:
    key = "money.discount_rate"
    for points in DISCOUNT_POINTS:
        label = f"discount rate {abs(points) * 100:.0f} points {'lower' if points < 0 else 'higher'}"
        recipe: Recipe = "there is no discount rate"
        if key in model:
            rate = value_of(model, key) + points
            recipe = {key: rate} if rate >= 0 else "the discount rate would be below nothing"
        yield "discount rate", label, recipe
    label = f"wages {percent(WAGES, place)} higher"
    yield "wages", label, _all(model, "wage", "no wages are counted", times=1 + WAGES)


def _worst_month(model: Model, scenario: Scenario) -> tuple[str, Recipe]:
    month = busiest_month(model)
    if month is None:
        return "the busiest month twice as busy", "every month is alike: no season is written"
    name = MONTH_NAMES[scenario.calendar(month + 1).month - 1]
    label = f"the busiest calendar month ({name}) twice as busy, every year"
    return label, reshaped(model, scenario, {month: 2.0})


def _futures(model: Model, scenario: Scenario) -> Iterator[tuple[str, str, Recipe]]:
    place = scenario.money.locale
    for fall in FALLS:
        label = f"work falls by {percent(fall, place)} a year"
        yield "future", label, _all(model, "change_per_year", "there is no change a year", plus=-fall)
    caps = keys_ending(model, "increase_cap")
    top = INCREASES[-1]
    recipe = _all(model, "increase", "no plan has an increase", plus=top)
    if not isinstance(recipe, str):
        recipe |= dict.fromkeys(caps, NO_LIMIT)
    yield "future", f"every plan rises by {percent(top, place)} a year and no cap holds", recipe
    label = f"no work in {EMPTY} months in a row, the quietest ones, every year"
    quiet = quietest_months(model, EMPTY)
    if quiet is None:
        yield "future", label, "every month is alike: no season is written"
    else:
        yield "future", label, emptied(model, scenario, quiet)

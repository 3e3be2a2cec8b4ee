"""How sure the answer is: many futures drawn from the ranges that the user wrote, the same for all candidates."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, TypedDict

import numpy as np

from tco.analyses.draws import NOBODY, Costs, comparison
from tco.analyses.ranged import Ranged, ranged
from tco.analyses.shapes import SHAPES, Shape, of_a_hundred, spread
from tco.model.evaluate import Key
from tco.model.kinds import Array
from tco.model.model import Model
from tco.scenario.schema import Scenario

DRAWS: Final = 2**12
DEFAULT: Final[Shape] = "triangular"
SEED: Final = 20_270_401
QUANTILES: Final = (0.1, 0.5, 0.9)
VOLUME_WORDS: Final = ("change_per_year", "volume_scale", "jobs", "sets_per_job")
# What stands in one place of the file for several candidates and is still a price of those that use it.
SHARED_PRICES: Final = ("every_quote", "allowances")


@dataclass(frozen=True)
class Chance:
    """One candidate over all futures.

    Attributes
    ----------
    probability : share of futures in which it is cheapest
    count : the same of 100; the counts of all candidates and of nobody add up to 100
    at_quarter, at_half : probability by the first quarter and half of the draws: has it settled?
    expected_regret, worst_regret : today's money it costs more than the cheapest that does all the work, on average
        and at most; nothing where it is cheaper but leaves work undone
    undone : share of futures in which it leaves work undone
    cost : cost in today's money that is not exceeded in 10, 50 and 90 of 100 futures
    """

    candidate: str
    probability: float
    count: int
    at_quarter: float
    at_half: float
    expected_regret: float
    worst_regret: float
    undone: float
    cost: tuple[float, float, float]


@dataclass(frozen=True)
class Driver:
    """A ranged figure and how its order goes with the order of the lead: rank correlation, -1 to 1."""

    figure: Ranged
    correlation: float


@dataclass(frozen=True)
class Risk:
    """The answer of `simulate`.

    Attributes
    ----------
    leader : who is cheapest as written; the lead is its own over the cheapest other in the same future, negative when
        it is not cheapest
    nobody : share of futures in which no candidate does all the work; `nobody_count` the same of 100
    lead : the lead that is not exceeded in 10, 50 and 90 of 100 futures
    drivers : strongest first
    shape : of all figures but those in `shapes`, by key
    together : by name, the keys of figures that took the same place in their ranges
    """

    draws: int
    shape: Shape
    seed: int
    leader: str
    chances: tuple[Chance, ...]
    nobody: float
    nobody_count: int
    lead: tuple[float, float, float]
    drivers: tuple[Driver, ...]
    shapes: Mapping[str, Shape] = field(default_factory=dict)
    together: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def chance(self, candidate: str) -> Chance:
        """The chance of one candidate."""
        return next(one for one in self.chances if one.candidate == candidate)


@dataclass(frozen=True)
class NotAssessed:
    """Why nothing can be said about how sure the answer is: the ranges that are missing, in words."""

    missing: tuple[str, ...]

    @property
    def reason(self) -> str:
        """One line."""
        return "how sure: not assessed, because there is no range on " + " nor on ".join(self.missing)


@dataclass(frozen=True, eq=False)
class Futures:
    """The draws themselves: the figures, their values, shape (draws,) each, and the costs they lead to."""

    figures: tuple[Ranged, ...]
    values: tuple[Array, ...]
    costs: Costs


def assess(model: Model, scenario: Scenario, candidates: Sequence[str] | None = None) -> Risk | NotAssessed:
    """Return how sure the answer is, or what is missing to say so.

    Probabilities need a range on volume and on at least one price of each of the two leaders; without them the
    laziest scenario would give the surest answer.
    """
    start = comparison(model, candidates).costs()
    leader, second = int(start.winner[0]), start.second()
    if NOBODY in (leader, second):
        return NotAssessed(("two candidates that do all the work",))
    with_range = ranged(model)
    missing = []
    if not any(is_volume(one) for one in with_range):
        missing.append("volume")
    missing.extend(
        f"any price of {name}"
        for name in (start.name(leader), start.name(second))
        if not any(_is_price_of(one, name, model, scenario) for one in with_range)
    )
    return NotAssessed(tuple(missing)) if missing else simulate(model, candidates, **_drawn_as(scenario))


class _DrawnAs(TypedDict):
    """What a scenario may say on how futures are drawn."""

    shape: Shape
    shapes: Mapping[str, Shape]
    together: Mapping[str, tuple[str, ...]]


def _drawn_as(scenario: Scenario) -> _DrawnAs:
    said = scenario.futures
    if said is None:
        return {"shape": DEFAULT, "shapes": {}, "together": {}}
    shapes = {key: shape for shape in SHAPES for key in getattr(said.shapes, shape, None) or ()}
    return {"shape": said.shape, "shapes": shapes, "together": said.together or {}}


def is_volume(one: Ranged) -> bool:
    """True for figures that say how much is printed."""
    words = one.key.split(".")
    return words[-1] in VOLUME_WORDS or words[:2] in (["work", "colour"], ["work", "black"])


def _is_price_of(one: Ranged, candidate: str, model: Model, scenario: Scenario) -> bool:
    """True for sums of money, and for yearly increases of them, that a candidate's own contracts are made of."""
    if "money" not in one.unit and not one.key.endswith(".increase"):
        return False
    if one.candidate == candidate:
        return True
    section = one.key.split(".", maxsplit=1)[0]
    written = dict(scenario.candidates_all)[candidate]
    if section == "outside":
        return bool(written.outside_only)
    blocks = [block for block in model.blocks_of(candidate) if not block.id.startswith(f"{candidate}.present")]
    line = model.entries[one.key][0] if one.key in model.entries else model[one.key]
    used = any(line in block.used for block in blocks)
    kept = one.candidate == "today" and any(press.is_kept for _, press, _ in written.press_items())
    return used and (kept or section in SHARED_PRICES)


def simulate(
    model: Model,
    candidates: Sequence[str] | None = None,
    *,
    draws: int = DRAWS,
    shape: Shape = DEFAULT,
    seed: int = SEED,
    shapes: Mapping[str, Shape] | None = None,
    together: Mapping[str, Collection[str]] | None = None,
) -> Risk:
    """Draw futures and count.

    Parameters
    ----------
    model, candidates : as for `futures`
    draws : a power of two, at least 4
    shape : of all ranges, see `spread`; one that a figure cannot have is triangular there
    seed : the same seed gives the same futures
    shapes : other shapes by key
    together : by name, groups of keys that rise and fall together, each figure at the same place in its range

    Raises
    ------
    ValueError
        No figure has a range, `draws` is no power of two, a shape is unknown, or a figure that is lognormal by name may
        be 0 or less.
    """
    drawn = futures(model, candidates, draws=draws, shape=shape, seed=seed, shapes=shapes, together=together)
    costs = drawn.costs
    leader = int(comparison(model, candidates).costs().winner[0])
    winner = costs.winner
    places = range(len(costs.candidates))
    shares = np.array([np.mean(winner == place) for place in (*places, NOBODY)])
    counts = of_a_hundred(shares)
    regret = _regret(costs)
    chances = tuple(
        Chance(
            costs.candidates[place], float(shares[place]), counts[place],
            float(np.mean(winner[: draws // 4] == place)), float(np.mean(winner[: draws // 2] == place)),
            float(regret[:, place].mean()), float(regret[:, place].max()),
            float(costs.barred[:, place].mean()), _three(costs.worth[:, place]),
        )
        for place in places
    )  # fmt: skip
    name = costs.name(leader)
    lead = costs.lead(name) if name else np.full(draws, np.nan)
    drivers = _drivers(drawn, lead)
    groups = {word: tuple(keys) for word, keys in (together or {}).items()}
    return Risk(
        draws, shape, seed, name, chances, float(shares[-1]), counts[-1], _three(lead), drivers, shapes or {}, groups
    )


def futures(
    model: Model,
    candidates: Sequence[str] | None = None,
    *,
    draws: int = DRAWS,
    shape: Shape = DEFAULT,
    seed: int = SEED,
    shapes: Mapping[str, Shape] | None = None,
    together: Mapping[str, Collection[str]] | None = None,
) -> Futures:
    """Draw every ranged figure that a cost depends on, at scrambled Sobol points; see `simulate`."""
    from scipy.stats import qmc  # starting scipy takes a second

    field = comparison(model, candidates)
    found = tuple(one for one in ranged(model) if field.reads(one.key))
    if not found:
        raise ValueError("no figure has a range")
    if draws < 4 or draws & (draws - 1):
        raise ValueError(f"{draws} draws: write a power of two, such as {DRAWS}")
    own = shapes or {}
    for word in (shape, *own.values()):
        if word not in SHAPES:
            raise ValueError(f"{word} is no shape; there are {', '.join(SHAPES)}")
    words = [own.get(one.key) or _fitting(shape, one) for one in found]
    column = _columns(found, list((together or {}).values()))
    sobol = qmc.Sobol(max(column) + 1, scramble=True, seed=seed)
    points = sobol.random_base2(draws.bit_length() - 1)
    values = tuple(
        one.limits.hold(spread(word, one.low, one.value, one.high, points[:, place]))
        for one, word, place in zip(found, words, column, strict=True)
    )
    given: dict[Key, Array | float] = {one.key: value for one, value in zip(found, values, strict=True)}
    return Futures(found, values, field.costs(given))


def _fitting(shape: Shape, one: Ranged) -> Shape:
    """The shape of all for a figure that can have it: what may be 0 or less has no logarithm."""
    return DEFAULT if shape == "lognormal" and one.low <= 0 else shape


def _columns(found: tuple[Ranged, ...], together: Sequence[Collection[str]]) -> list[int]:
    """Which column of points each figure takes: figures that move together take the same."""
    column: dict[object, int] = {}
    places = []
    for one in found:
        group: object = next((number for number, keys in enumerate(together) if one.key in keys), one.key)
        places.append(column.setdefault(group, len(column)))
    return places


def _regret(costs: Costs) -> Array:
    """What each candidate costs more than the cheapest that does all the work; nothing where nobody does."""
    best = costs.ranked.min(axis=1, keepdims=True)
    return np.where(np.isfinite(best), np.maximum(costs.worth - best, 0.0), 0.0)


def _three(values: Array) -> tuple[float, float, float]:
    low, middle, high = np.quantile(values, QUANTILES, method="inverted_cdf")
    return float(low), float(middle), float(high)


def _drivers(drawn: Futures, lead: Array) -> tuple[Driver, ...]:
    from scipy.stats import rankdata

    def ranks(values: Array) -> Array:
        order: Array = np.asarray(rankdata(values), dtype=np.float64)
        return np.asarray(order - order.mean())

    order = ranks(lead)
    found = []
    for one, values in zip(drawn.figures, drawn.values, strict=True):
        own = ranks(values)
        size = float(np.sqrt((own**2).sum() * (order**2).sum()))
        found.append(Driver(one, float((own * order).sum() / size) if size > 0 else 0.0))
    return tuple(sorted(found, key=lambda one: -abs(one.correlation)))

"""What a budget should not exceed: each fiscal year with every ranged figure at its dearer end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from tco.analyses.draws import COST, evaluate_in_chunks
from tco.analyses.ranged import Ranged, base_of, ranged
from tco.model.evaluate import Key
from tco.model.kinds import Array
from tco.model.model import Model

PAID: Final = "fiscal.paid_by_year"
# It moves no sum that is paid.
DISCOUNT: Final = "money.discount_rate"
# Figures of volume are taken at their high end, whoever gains from less work.
VOLUMES: Final = frozenset({"work.colour", "work.black", "volume_scale"})
VOLUME_WORDS: Final = frozenset({"jobs", "change_per_year"})


@dataclass(frozen=True)
class Ceiling:
    """The most that one candidate costs.

    Attributes
    ----------
    years : money by fiscal year, as long as the column of what is paid
    ends : the figures that were moved, each with the value taken, in reading order
    """

    years: tuple[float, ...]
    ends: tuple[tuple[str, float], ...]


def not_to_exceed(model: Model, candidates: Sequence[str]) -> dict[str, Ceiling]:
    """Return the ceiling of each candidate; without ranges it is what is paid.

    Parameters
    ----------
    model : the model
    candidates : their ids
    """
    figures = tuple(one for one in ranged(model) if one.key != DISCOUNT)
    dearer = {name: [_volume_or_own(one) for one in figures] for name in candidates}
    moved = [place for place, one in enumerate(figures) if not _is_volume(one)]
    if moved:
        worth = _moved_alone(model, candidates, figures, moved)
        for name, costs in worth.items():
            own, ends = costs[-1], costs[:-1].reshape(len(moved), 2)
            for place, (low, high) in zip(moved, ends.tolist(), strict=True):
                one = figures[place]
                if max(low, high) > own:
                    dearer[name][place] = one.high if high >= low else one.low
    given: dict[Key, Array | float] = {
        one.key: np.array([dearer[name][place] for name in candidates]) for place, one in enumerate(figures)
    }
    found = evaluate_in_chunks(model, given, [f"{name}.{PAID}" for name in candidates])
    return {
        name: Ceiling(_years(found[f"{name}.{PAID}"], draw), _ends(figures, dearer[name]))
        for draw, name in enumerate(candidates)
    }


def _is_volume(one: Ranged) -> bool:
    return one.key in VOLUMES or one.key.rsplit(".", maxsplit=1)[-1] in VOLUME_WORDS


def _volume_or_own(one: Ranged) -> float:
    return one.high if _is_volume(one) else one.value


def _moved_alone(
    model: Model, candidates: Sequence[str], figures: Sequence[Ranged], moved: Sequence[int]
) -> dict[str, Array]:
    """Costs in today's money: each figure at its low and its high end, and last as written, shape (2 moved + 1,)."""
    draws = 2 * len(moved) + 1
    base = base_of(tuple(figures[place] for place in moved))
    given: dict[Key, Array | float] = {key: np.full(draws, value) for key, value in base.items()}
    for row, place in enumerate(moved):
        column = given[figures[place].key]
        assert isinstance(column, np.ndarray)
        column[2 * row : 2 * row + 2] = figures[place].low, figures[place].high
    keys = {name: f"{name}.{COST}" for name in candidates}
    found = evaluate_in_chunks(model, given, list(keys.values()))
    return {name: np.broadcast_to(found[key][:, 0, 0], (draws,)) for name, key in keys.items()}


def _years(paid: Array, draw: int) -> tuple[float, ...]:
    return tuple(paid[min(draw, len(paid) - 1), :, 0].tolist())


def _ends(figures: Sequence[Ranged], taken: Sequence[float]) -> tuple[tuple[str, float], ...]:
    return tuple((one.key, value) for one, value in zip(figures, taken, strict=True) if value != one.value)


def nothing_ranged(ceilings: Mapping[str, Ceiling]) -> bool:
    """Tell whether no figure was moved: a ceiling then says nothing that the budget does not."""
    return not any(ceiling.ends for ceiling in ceilings.values())

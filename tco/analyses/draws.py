"""Many draws of the model in pieces that fit the memory, and who costs least in each of them."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from tco.analyses.switches import CHUNK, part_of
from tco.model.evaluate import Key, evaluate
from tco.model.kinds import Array
from tco.model.model import Model

COST: Final = "measures.present_value"
# Either bars a candidate from being called cheapest: work that nobody does, and the months it happens in.
UNDONE: Final = ("measures.unplaced_sides", "measures.uncovered_months")
NOTHING: Final = 1e-6
NOBODY: Final = -1

Flags = NDArray[np.bool_]


def evaluate_in_chunks(
    model: Model,
    replace: Mapping[Key, Array | float],
    keep: Collection[str],
    chunk: int = CHUNK,
    overtype: Mapping[str, Array | float] | None = None,
) -> dict[str, Array]:
    """Evaluate draws a few hundred at a time; every draw is what it would be alone, bit for bit.

    Parameters
    ----------
    model : the model
    replace : figures to take instead, one number or one per draw, shape (draws,)
    keep : keys of the lines wanted
    chunk : draws at a time
    overtype : computed lines to take as given, the same in all draws

    Returns
    -------
    Arrays of shape (draws or 1, entries, months) by key: one row where no replaced figure matters.

    Raises
    ------
    ValueError
        Two figures come with different numbers of draws.
    """
    arrays = {key: np.atleast_1d(np.asarray(given, dtype=np.float64)) for key, given in replace.items()}
    lengths = {len(values) for values in arrays.values()} - {1}
    if len(lengths) > 1:
        raise ValueError(f"figures come with different numbers of draws: {sorted(lengths)}")
    draws = lengths.pop() if lengths else 1
    pieces: dict[str, list[Array]] = {key: [] for key in keep}
    for start in range(0, draws, chunk):
        some = {
            key: values if len(values) == 1 else values[start : start + chunk] for key, values in arrays.items()
        }
        found = evaluate(model, some, keep, overtype=overtype)
        for key, value in found.items():
            pieces[key].append(value)
    sizes = [min(chunk, draws - start) for start in range(0, draws, chunk)]
    return {key: _joined(parts, sizes) for key, parts in pieces.items()}


def _joined(parts: list[Array], sizes: list[int]) -> Array:
    """All draws of a line; the one row it stayed when nothing that was replaced matters to it."""
    untouched = all(len(part) == 1 for part in parts) and max(sizes) > 1
    if len(parts) == 1 or untouched:
        return parts[0]
    return np.concatenate(
        [np.broadcast_to(part, (size, *part.shape[1:])) for part, size in zip(parts, sizes, strict=True)]
    )


@dataclass(frozen=True, eq=False)
class Costs:
    """Costs of all candidates over draws.

    Attributes
    ----------
    candidates : ids in written order
    worth : cost in today's money, shape (draws, candidates)
    barred : True where a candidate leaves work undone and cannot be called cheapest, shape (draws, candidates)
    """

    candidates: tuple[str, ...]
    worth: Array
    barred: Flags

    @property
    def ranked(self) -> Array:
        """Costs of those who may win; infinite for the others, shape (draws, candidates)."""
        return np.where(self.barred | ~np.isfinite(self.worth), np.inf, self.worth)

    @property
    def winner(self) -> NDArray[np.intp]:
        """Place of the cheapest in each draw, the first of equals; -1 where nobody may win, shape (draws,)."""
        ranked = self.ranked
        return np.where(np.isfinite(ranked).any(axis=1), ranked.argmin(axis=1), NOBODY)

    def name(self, place: int) -> str:
        """The id at a place; empty for nobody."""
        return "" if place == NOBODY else self.candidates[place]

    def lead(self, candidate: str) -> Array:
        """How much cheaper a candidate is than the cheapest other that may win: positive when it leads.

        Infinite where no other may win, shape (draws,).
        """
        place = self.candidates.index(candidate)
        others = np.delete(self.ranked, place, axis=1)
        best = others.min(axis=1) if others.shape[1] else np.full(len(others), np.inf)
        return best - self.worth[:, place]

    def second(self, draw: int = 0) -> int:
        """Place of the cheapest but one in a draw; -1 when there is none."""
        order = np.argsort(self.ranked[draw], kind="stable")
        if len(order) < 2 or not np.isfinite(self.ranked[draw, order[1]]):
            return NOBODY
        return int(order[1])


@dataclass(frozen=True, eq=False)
class Comparison:
    """The lines that decide who costs least, as a model of their own.

    Attributes
    ----------
    model : those lines only
    candidates : ids in written order
    """

    model: Model
    candidates: tuple[str, ...]

    def reads(self, key: Key) -> bool:
        """True when the costs depend on a figure."""
        name = key[0] if isinstance(key, tuple) else key
        return name in self.model or name in self.model.entries

    def costs(
        self,
        replace: Mapping[Key, Array | float] | None = None,
        overtype: Mapping[str, Array | float] | None = None,
    ) -> Costs:
        """Return the costs over draws; figures and overtyped lines that no cost depends on are left aside."""
        given = {key: np.atleast_1d(np.asarray(value, dtype=np.float64)) for key, value in (replace or {}).items()}
        draws = max((len(value) for value in given.values()), default=1)
        known = {key: value for key, value in given.items() if self.reads(key)}
        keys = [f"{one}.{name}" for one in self.candidates for name in (COST, *UNDONE)]
        keep = [key for key in keys if key in self.model]
        # A figure tried far outside of its usual values may overflow; such a draw has no cost and nobody wins by it.
        with np.errstate(all="ignore"):
            typed = {key: value for key, value in (overtype or {}).items() if self.reads(key)}
            found = evaluate_in_chunks(self.model, known, keep, overtype=typed)
        worth = np.empty((draws, len(self.candidates)))
        barred = np.zeros(worth.shape, dtype=np.bool_)
        for place, one in enumerate(self.candidates):
            worth[:, place] = found[f"{one}.{COST}"][:, 0, 0]
            for name in UNDONE:
                if f"{one}.{name}" in found:
                    barred[:, place] |= found[f"{one}.{name}"][:, 0, 0] > NOTHING
        return Costs(self.candidates, worth, barred)


def comparison(model: Model, candidates: Sequence[str] | None = None) -> Comparison:
    """Return what decides between candidates; all of the model when none are named.

    Raises
    ------
    ValueError
        A named candidate has no cost in this model.
    """
    everyone = [scope for scope in model.scopes if f"{scope}.{COST}" in model]
    chosen = tuple(everyone if candidates is None else candidates)
    for one in chosen:
        if one not in everyone:
            raise ValueError(f"there is no candidate {one}; there are {', '.join(everyone)}")
    keys = [f"{one}.{name}" for one in chosen for name in (COST, *UNDONE)]
    return Comparison(part_of(model, [key for key in keys if key in model]), chosen)


def one_at_a_time(
    base: Mapping[Key, float], which: NDArray[np.intp], values: Array
) -> dict[Key, Array | float]:
    """Return what to replace so that each draw changes one figure and leaves the others as they are.

    Parameters
    ----------
    base : the figures with their own values
    which : place in `base` of the figure that changes, shape (draws,)
    values : what it becomes, shape (draws,)
    """
    given: dict[Key, Array | float] = {}
    for place, (key, value) in enumerate(base.items()):
        mine = which == place
        if mine.any():
            given[key] = np.where(mine, values, value)
    return given

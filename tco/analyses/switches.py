"""Figures of the model over volume, with one number per draw that says which side every switch took.

A switch is a minimum, maximum, comparison, rounding or band. Where the quantities they compare move in straight lines,
two volumes with the same number have the same formula everywhere between them: the innermost switches compare straight
lines, two straight lines that are in the same order at both ends are so in between, so what is built on them is
straight again, and so on outwards.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tco.model.evaluate import Key, evaluate
from tco.model.kinds import Array
from tco.model.model import Model, reads
from tco.model.nodes import Line

SCALE = "volume_scale"
AVERAGE = "work.average_sides"
CHUNK = 500
FOLD = np.uint64(0x9E3779B97F4A7C15)


def part_of(model: Model, keys: Collection[str]) -> Model:
    """Return the lines that these keys need, and no others, as a model of their own."""
    needed: set[Line] = set()
    open_lines = [model[key] for key in keys]
    while open_lines:
        line = open_lines.pop()
        if line not in needed:
            needed.add(line)
            open_lines.extend(reads(line))
    return replace(
        model,
        lines=tuple(line for line in model.lines if line in needed),
        order=tuple(group for group in model.order if group.lines[0] in needed),
    )


@dataclass
class Signatures:
    """Folds everything that `evaluate` lets it watch into one number per draw.

    A row that does not depend on the draw comes with one draw only and adds the same to all.
    """

    draws: int
    folded: NDArray[np.uint64] = field(init=False)

    def __post_init__(self) -> None:
        self.folded = np.zeros(self.draws, dtype=np.uint64)

    def __call__(self, sides: Array) -> None:
        """Take the sides of one switch, shape (draws or 1, entries, months)."""
        whole = sides.reshape(len(sides), -1).astype(np.int64).view(np.uint64)
        row = (whole * _factors(whole.shape[1])).sum(axis=1, dtype=np.uint64)
        self.folded = self.folded * FOLD + row


@lru_cache(maxsize=32)
def _factors(length: int) -> NDArray[np.uint64]:
    return np.random.default_rng(length).integers(1, 2**64, length, dtype=np.uint64)


@dataclass(frozen=True)
class OverVolume:
    """One figure of a model as a function of sides a month.

    Parameters
    ----------
    model : the whole model
    key : the figure, one value without axis or months
    average : sides a month at volume scale 1
    given : other figures to replace by one number each
    """

    model: Model
    key: str
    average: float
    given: Mapping[Key, Array | float]

    def at(self, volumes: Array) -> tuple[Array, NDArray[np.uint64]]:
        """Return value and signature at each of the volumes, both of shape (volumes,)."""
        values = np.empty(len(volumes))
        signatures = np.empty(len(volumes), dtype=np.uint64)
        for start in range(0, len(volumes), CHUNK):
            some = volumes[start : start + CHUNK]
            # Two draws at least, so that a row that depends on volume always comes with all draws.
            asked = np.concatenate([some, some[-1:]]) if len(some) == 1 else some
            watch = Signatures(len(asked))
            figures = scaled(self.model, self.given, asked / self.average)
            found = evaluate(self.model, figures, {self.key}, watch)[self.key]
            values[start : start + len(some)] = np.broadcast_to(found[:, 0, 0], len(asked))[: len(some)]
            signatures[start : start + len(some)] = watch.folded[: len(some)]
        return values, signatures


def average_sides(model: Model, given: Mapping[Key, Array | float]) -> float:
    """Return the sides of an average month at volume scale 1.

    Raises
    ------
    ValueError
        There is no work, so that no scale makes a volume.
    """
    part = part_of(model, [AVERAGE])
    sides = float(evaluate(part, known_to(part, given), {AVERAGE})[AVERAGE][0, 0, 0])
    if not sides > 0:
        raise ValueError("there is no work to scale")
    return sides


def over_volume(model: Model, key: str, given: Mapping[Key, Array | float]) -> OverVolume:
    """Return a figure of the model as a function of sides a month."""
    part = part_of(model, [key])
    return OverVolume(part, key, average_sides(model, given), known_to(part, given))


def scaled(model: Model, given: Mapping[Key, Array | float], scale: Array) -> dict[Key, Array | float]:
    """Return what to replace for these scales of all asked work."""
    return {**given, SCALE: scale} if SCALE in model else dict(given)


def known_to(model: Model, given: Mapping[Key, Array | float]) -> dict[Key, Array | float]:
    """Return the replaced figures that a part of the model reads."""
    return {key: value for key, value in given.items() if (key[0] if isinstance(key, tuple) else key) in model}

"""At which volumes a candidate leaves work undone, or prints more than is recommended for its presses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from tco.analyses.draws import NOTHING, UNDONE, evaluate_in_chunks
from tco.analyses.switches import average_sides, part_of, scaled
from tco.model.kinds import Array
from tco.model.model import Model
from tco.scenario.schema import Scenario

SIDES: Final = "work.sides"
LEAST: Final = 1e-9


@dataclass(frozen=True)
class Fit:
    """What fits over a grid of volumes, by candidate one flag for each of them.

    Attributes
    ----------
    volumes : sides a month, rising
    undone : True where work is left undone; the candidate cannot be called cheapest there
    beyond : True where a press prints more sides in its busiest month than is recommended for it
    """

    volumes: tuple[float, ...]
    undone: Mapping[str, tuple[bool, ...]]
    beyond: Mapping[str, tuple[bool, ...]]

    def doubtful(self, candidate: str) -> tuple[bool, ...]:
        """True where either holds."""
        return tuple(one or other for one, other in zip(self.undone[candidate], self.beyond[candidate], strict=True))

    def stretches(self, flags: Sequence[bool]) -> list[tuple[float, float]]:
        """The ranges between neighbouring volumes at both of which a flag holds, joined."""
        found: list[tuple[float, float]] = []
        for (low, here), (high, there) in pairwise(zip(self.volumes, flags, strict=True)):
            if here and there:
                start = found.pop()[0] if found and found[-1][1] == low else low
                found.append((start, high))
        return found


def fitting(model: Model, scenario: Scenario, candidates: Sequence[str], volumes: Sequence[float]) -> Fit:
    """Look at every volume of a grid, the mix, season and trend as they are.

    Parameters
    ----------
    model, scenario : the model, and what is recommended for its presses
    candidates : their ids
    volumes : sides a month
    """
    limits = {}
    for one in candidates:
        for name, press, _ in dict(scenario.candidates_all)[one].press_items():
            block = f"{one}.{name}"
            done = next((key for key in (f"{block}.done", f"{block}.regular_done") if key in model), "")
            if press.recommended_volume is not None and done:
                limits[one, done] = press.recommended_volume.number * press.count.number
    undone = [key for one in candidates for line in UNDONE if (key := f"{one}.{line}") in model]
    wanted = {*undone, *(done for _, done in limits), SIDES}
    part = part_of(model, wanted)
    grid = np.asarray(volumes, dtype=np.float64)
    values = evaluate_in_chunks(part, scaled(part, {}, grid / average_sides(model, {})), wanted)
    none = np.zeros(len(grid), dtype=np.bool_)
    left = dict.fromkeys(candidates, none)
    for key in undone:
        left[key.split(".", 1)[0]] = left[key.split(".", 1)[0]] | (values[key][:, 0, 0] > NOTHING)
    most = dict.fromkeys(candidates, none)
    for (one, done), limit in limits.items():
        most[one] = most[one] | (_busiest(values[SIDES], values[done], scenario.horizon) > limit * (1 + LEAST))
    return Fit(
        tuple(volumes),
        {one: tuple(np.broadcast_to(row, grid.shape).tolist()) for one, row in left.items()},
        {one: tuple(np.broadcast_to(row, grid.shape).tolist()) for one, row in most.items()},
    )


def _busiest(sides: Array, done: Array, horizon: int) -> Array:
    """Sides that a press prints in its busiest month, shape (volumes,)."""
    by_month: Array = (sides * done).sum(axis=1)[:, :horizon]
    return np.asarray(by_month.max(axis=1))

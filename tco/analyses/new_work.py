"""Sold work that only some candidates would win: what it brings them, less what it costs them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.model.kinds import Array
from tco.scenario.schema import Scenario


@dataclass(frozen=True)
class Contribution:
    """What one piece of work to be won means to one candidate, in money of the start.

    `charged` is what is charged for the part of it that is done or sent out, `cost` what the candidate costs more with
    it than without.
    """

    work: str
    name: str
    candidate: str
    charged: float
    cost: float

    @property
    def leaves(self) -> float:
        """What the work leaves: negative when it costs more than it brings."""
        return self.charged - self.cost


def new_work(scenario: Scenario, values: Mapping[str, Array]) -> tuple[Contribution, ...]:
    """Return the contribution of each piece of work by itself, for each candidate that would win it.

    The scenario is built once more for each piece, with the work among its job classes; `values` are those without it.
    """
    found = []
    for key, work in (scenario.new_work or {}).items():
        place = len(scenario.jobs or {})
        wanted = [f"{one}.{line}" for one in work.only_with for line in ("measures.present_value", "recovery.worth")]
        won = evaluate(build(scenario.with_new_work(key)), keep=wanted)
        for one in work.only_with:
            cost = f"{one}.measures.present_value"
            more = float(won[cost][0, 0, 0] - values[cost][0, 0, 0])
            found.append(Contribution(key, work.name, one, float(won[f"{one}.recovery.worth"][0, place, 0]), more))
    return tuple(found)

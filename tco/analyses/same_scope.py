"""Whether all candidates do the same work: by class the shares done in house, sent out, and done by nobody."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tco.model.kinds import Array
from tco.model.model import Model
from tco.scenario.schema import Scenario


@dataclass(frozen=True)
class Scope:
    """What becomes of one class of work under one candidate: shares of the asked sides over the months compared."""

    candidate: str
    work: str
    in_house: float
    sent_out: float
    nobody: float


def classes_asked(model: Model) -> tuple[str, ...]:
    """Return the names of the classes of work, in order."""
    axis = model["work.index"].shape.axis
    return axis.labels if axis else ()


def same_scope(scenario: Scenario, values: Mapping[str, Array], names: tuple[str, ...]) -> tuple[Scope, ...]:
    """Return the shares of every candidate and class; a class that is never asked for is left out.

    Parameters
    ----------
    values : all lines of the scenario's model, evaluated once
    names : of the classes of work, in their order
    """
    asked = values["work.index"][0].sum(axis=-1)
    found = []
    for key, _ in scenario.candidates_all:
        out = values[f"{key}.placing.outside"][0].sum(axis=-1)
        nobody = values[f"{key}.placing.unplaced"][0].sum(axis=-1)
        for at, name in enumerate(names):
            if asked[at] > 0:
                shares = float(out[at] / asked[at]), float(nobody[at] / asked[at])
                found.append(Scope(key, name, 1 - sum(shares), *shares))
    return tuple(found)

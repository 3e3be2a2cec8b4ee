"""What it would have cost to stop after each month, and which sums are unavoidable once a contract is signed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tco.model.evaluate import evaluate
from tco.model.kinds import Array
from tco.model.model import Model

CURVE, CONTRACTED, BOUND = "measures.stop_after", "measures.contracted", "measures.still_bound"
YEAR, HORIZON = "time.fiscal_year", "months"


@dataclass(frozen=True, eq=False)
class Stopping:
    """The answer of `stopping`; every row is as long as the months compared.

    Attributes
    ----------
    after : by candidate, money: paid so far, what is still bound, less what the presses would fetch in a straight line
    bound : by candidate, money: what of it is still bound by contracts for equipment
    unavoidable : by candidate, money by fiscal year counted from 1: equipment contracted on signing, also beyond the
        months compared as far as the model has months
    """

    after: Mapping[str, Array]
    bound: Mapping[str, Array]
    unavoidable: Mapping[str, Array]

    def cheapest(self, month: int) -> str:
        """Return who costs least if everything stops after a month (from 1); the first one of equals."""
        return min(self.after, key=lambda name: self.after[name][month - 1])


def stopping(model: Model, candidates: Sequence[str]) -> Stopping:
    """Read the stop-after curve of each candidate, and its contracts by fiscal year.

    Parameters
    ----------
    model : the model
    candidates : their ids
    """
    keys = [f"{name}.{line}" for name in candidates for line in (CURVE, CONTRACTED, BOUND)]
    values = evaluate(model, keep=[*keys, YEAR, HORIZON])
    months = int(values[HORIZON][0, 0, 0])

    def row(key: str) -> Array:
        return np.array(np.broadcast_to(values[key][0, 0], (model.columns,)))

    years = row(YEAR).astype(int)
    return Stopping(
        {name: row(f"{name}.{CURVE}")[:months] for name in candidates},
        {name: row(f"{name}.{BOUND}")[:months] for name in candidates},
        {
            name: np.asarray(np.bincount(years, row(f"{name}.{CONTRACTED}"))[1:], dtype=np.float64)
            for name in candidates
        },
    )

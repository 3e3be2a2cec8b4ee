"""The model's own checks: differences that must be zero before anything is published."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

import numpy as np

from tco.model.kinds import Array
from tco.model.model import Model, reads
from tco.problem import Problem

# A check line may differ from zero by this share of what it compares: rounding in the fifteenth digit, many times over.
CHECKED: Final = 1e-9


def failed_checks(file: str, model: Model, values: Mapping[str, Array]) -> list[Problem]:
    """Return a problem for every check line that is not zero and for every line that is no finite number.

    Parameters
    ----------
    file : the scenario, as named in messages
    model, values : all lines, evaluated
    """
    return [*_not_finite(file, model, values), *_not_zero(file, model, values)]


def _not_zero(file: str, model: Model, values: Mapping[str, Array]) -> Iterator[Problem]:
    for line in model.lines:
        if line.role != "check" or not np.isfinite(values[line.id]).all():
            continue
        off = float(np.abs(values[line.id]).max())
        size = max((float(np.abs(values[other.id]).max()) for other in reads(line)), default=0.0)
        if off > CHECKED * max(size, 1.0):
            what = f"the check `{line.label}` is off by {off:g}"
            yield Problem(file, None, line.id, what, "The model contradicts itself", "Please report this scenario")


def _not_finite(file: str, model: Model, values: Mapping[str, Array]) -> Iterator[Problem]:
    """Yield only the first of each chain: what reads it is no number either."""
    wrong = {line for line in model.lines if not np.isfinite(values[line.id]).all()}
    for line in model.lines:
        if line in wrong and not wrong.intersection(reads(line)):
            what = f"`{line.label}` comes out as no finite number"
            yield Problem(file, None, line.id, what, "", "Look for extreme figures it rests on: tco explain")

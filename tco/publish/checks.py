"""The model's own checks: differences that must be zero before anything is published."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from tco.model.kinds import Array
from tco.model.model import Model, reads
from tco.problem import Problem

# A check line may differ from zero by this share of what it compares: rounding in the fifteenth digit, many times over.
CHECKED: Final = 1e-9


def failed_checks(file: str, model: Model, values: Mapping[str, Array]) -> list[Problem]:
    """Return a problem for every check line that is not zero; a value that is no number fails."""
    found = []
    for line in model.lines:
        if line.role != "check":
            continue
        off = float(np.abs(values[line.id]).max())
        size = max((float(np.abs(values[other.id]).max()) for other in reads(line)), default=0.0)
        if not off <= CHECKED * max(size, 1.0):
            what = f"the check `{line.label}` is off by {off:g}"
            why = "The model contradicts itself, so nothing is published"
            found.append(Problem(file, None, line.id, what, why, "Please report this scenario"))
    return found

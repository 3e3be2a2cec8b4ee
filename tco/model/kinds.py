"""What is said of a line beside its expression: axis, shape, role, kind, timing, and where a figure comes from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]
Role: TypeAlias = Literal[
    "input", "constant", "choice", "quantity", "state", "event", "balance", "cost", "memo", "check"
]
Kind: TypeAlias = Literal[
    "equipment", "service", "supplies", "paper", "people", "space and energy", "outside", "tax", ""
]
Timing: TypeAlias = Literal["opening", "close", ""]
Total: TypeAlias = Literal["sum", "closing", "none"]


class ModelError(ValueError):
    """The cost model itself is wrong: a programmer's mistake, never a user's."""


@dataclass(frozen=True)
class Axis:
    """The rows of a small table: job classes, bands, recovery years, calendar months."""

    name: str
    labels: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.labels)


@dataclass(frozen=True)
class Shape:
    """One value or one per month, and along which axis."""

    months: bool = False
    axis: Axis | None = None

    def with_(self, other: Shape, where: str) -> Shape:
        """The shape of two things combined entry by entry and month by month."""
        if self.axis is not None and other.axis is not None and self.axis != other.axis:
            raise ModelError(f"{where}: a table by {self.axis.name} does not go with one by {other.axis.name}")
        return Shape(self.months or other.months, self.axis or other.axis)


SCALAR: Final = Shape()


@dataclass(frozen=True)
class Origin:
    """Where a figure comes from, as the user wrote it."""

    source: str = ""
    status: str = "definition"
    date: str = ""
    note: str = ""
    low: float | None = None
    high: float | None = None

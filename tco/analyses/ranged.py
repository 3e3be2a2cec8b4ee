"""Which figures of a model have a range, and how far any figure may be moved at all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from tco.model.evaluate import Key
from tco.model.kinds import Array, ModelError, Origin
from tco.model.lines import COMPARISON, SHARED
from tco.model.model import Model
from tco.model.nodes import Line
from tco.units import spell

# Last words of keys. Rates of growth may be negative; what is added on top may be more than the whole; some figures
# count things and have nothing between two numbers.
GROWTH: Final = frozenset({"increase", "increase_cap", "change_per_year", "inflation"})
ADDED: Final = frozenset({"waste", "on_cost", "running_allowance", "cooling"})
WHOLE: Final = frozenset({
    "months", "from_month", "until_month", "count", "advance_rents", "every_months", "renewal_months", "notice_months",
    "increase_every", "increase_from", "relief_after_months", "sides_per_set",
})  # fmt: skip


@dataclass(frozen=True)
class Limits:
    """Between what a figure may lie; `most` None: no end. `whole` figures are tried at whole numbers only."""

    least: float
    most: float | None
    whole: bool

    def hold(self, values: Array) -> Array:
        """Return values pulled inside."""
        held = np.clip(values, self.least, self.most)
        return np.round(held) if self.whole else held


@dataclass(frozen=True)
class Ranged:
    """One figure with what is known of it.

    Attributes
    ----------
    key : path in the scenario, also the key of the input line or of its entry
    label, unit : in words; `percent` figures are shown as such
    low, value, high : the range outside which the writer would be surprised, and the figure itself; both ends are the
        value itself for a figure without a range
    source : where it comes from
    candidate : id of the candidate whose figure it is; empty for what all share
    limits : between what it may be moved
    """

    key: str
    label: str
    unit: str
    percent: bool
    low: float
    value: float
    high: float
    source: str
    candidate: str
    limits: Limits


def ranged(model: Model) -> tuple[Ranged, ...]:
    """Return all figures with both ends of a range, in reading order."""
    return tuple(one for one in _figures(model) if one.low < one.high)


def figure(model: Model, key: str) -> Ranged:
    """Return what is known of one figure.

    Raises
    ------
    ModelError
        The key is no single figure of this model.
    """
    if key in model.entries:
        line, place = model.entries[key]
        return _entry(line, place)
    if key not in model or not model[key].is_input or model[key].shape.axis is not None:
        raise ModelError(f"{key} is no single figure of this model")
    return _single(model[key])


def figures(model: Model, scope: str) -> tuple[Ranged, ...]:
    """Return the single figures of one candidate, or of what all share, in reading order."""
    wanted = "" if scope == SHARED else scope
    return tuple(one for one in _figures(model) if one.candidate == wanted)


def base_of(some: tuple[Ranged, ...]) -> dict[Key, float]:
    """Return figures with their own values."""
    return {one.key: one.value for one in some}


def _figures(model: Model) -> Iterator[Ranged]:
    for line in model.lines:
        if not line.is_input:
            continue
        if line.shape.axis is None:
            yield _single(line)
        elif line.entry_keys:
            yield from (_entry(line, place) for place in range(len(line.entry_keys)))


def _single(line: Line) -> Ranged:
    assert line.value is not None
    return _ranged(line, line.id, line.label, float(line.value[0, 0]), line.origin)


def _entry(line: Line, place: int) -> Ranged:
    assert line.value is not None
    assert line.shape.axis is not None
    label = f"{line.label}: {line.shape.axis.labels[place]}"
    return _ranged(line, line.entry_keys[place], label, float(line.value[place, 0]), line.entry_origins[place])


def _ranged(line: Line, key: str, label: str, value: float, origin: Origin) -> Ranged:
    low, high = (value, value) if origin.low is None or origin.high is None else (origin.low, origin.high)
    scope = line.block.scope
    owner = "" if scope in (SHARED, COMPARISON) else scope
    return Ranged(
        key, label, spell(line.unit), line.percent, low, value, high, origin.source, owner, limits_of(key, line)
    )


def limits_of(key: str, line: Line) -> Limits:
    """Return between what a figure may be moved, by the last word of its key."""
    word = key.rsplit(".", maxsplit=1)[-1]
    if word in WHOLE:
        return Limits(0.0 if word in ("advance_rents", "notice_months", "relief_after_months") else 1.0, None, True)
    if word in GROWTH:
        return Limits(-0.5, 1.0, False)
    return Limits(0.0, 1.0 if line.percent and word not in ADDED else None, False)

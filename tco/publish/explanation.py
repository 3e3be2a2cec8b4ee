"""One line of the model told in full: its formula in words, the values that went in, the figures it rests on."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from tco.model.kinds import Array, Origin
from tco.model.model import Model, reads
from tco.model.nodes import Line
from tco.model.words import words
from tco.scenario.schema import Scenario
from tco.units import spell

MOST_FIGURES: Final = 40
MOST_ENTRIES: Final = 12


@dataclass(frozen=True)
class Told:
    """One value of a line: `when` it holds, as text; the value of every entry with its label."""

    label: str
    key: str
    unit: str
    when: str
    values: tuple[tuple[str, float], ...]
    percent: bool = False
    word: str = ""


@dataclass(frozen=True)
class Source:
    """A figure of the scenario, or one entry of a column of figures."""

    label: str
    key: str
    unit: str
    value: float
    percent: bool
    status: str
    source: str
    place: str


@dataclass(frozen=True)
class Explanation:
    """Everything that `explain` found."""

    line: Told
    block: str
    formula: str
    inputs: tuple[Told, ...]
    figures: tuple[Source, ...]
    more_figures: int


def find_line(model: Model, key: str) -> tuple[Line, int | None] | None:
    """Return the line of a key and, for a figure that is one entry of a column, its place; None when there is none."""
    if key in model:
        return model[key], None
    for line in model.lines:
        if key in line.entry_keys:
            return line, line.entry_keys.index(key)
    return None


def nearest_keys(model: Model, key: str) -> list[str]:
    """Return up to five keys that were probably meant: similar ones, then those that hold the word."""
    keys = [*(line.id for line in model.lines), *(one for line in model.lines for one in line.entry_keys)]
    close = difflib.get_close_matches(key, keys, n=5, cutoff=0.6)
    return list(dict.fromkeys([*close, *(one for one in keys if key and key in one)]))[:5]


def explain(scenario: Scenario, values: Mapping[str, Array], line: Line, place: int | None, month: int) -> Explanation:
    """Tell a line in one month.

    Parameters
    ----------
    line, place : as `find_line` gave them
    month : operating month from 1, for what has months
    """
    late = reads(line)
    inputs = tuple(_told(scenario, values, one, month, late=is_late) for one, is_late in late.items())
    figures = list(_sources(scenario, line, place))
    return Explanation(
        _told(scenario, values, line, month, place=place),
        line.block.label,
        words(line) if line.expr is not None else "",
        inputs,
        tuple(figures[:MOST_FIGURES]),
        max(0, len(figures) - MOST_FIGURES),
    )


def _told(
    scenario: Scenario,
    values: Mapping[str, Array],
    line: Line,
    month: int,
    *,
    place: int | None = None,
    late: bool = False,
) -> Told:
    found = values[line.id]
    axis = line.shape.axis
    when, column = "", 0
    if line.shape.months:
        column = month - 1 - late
        when = f"month {column + 1} ({scenario.label(column + 1)})" if column >= 0 else "before the first month"
        column = max(column, 0)
    row = found[0, :, min(column, found.shape[2] - 1)]
    places = range(len(axis) if axis else 1) if place is None else [place]
    entries = tuple((axis.labels[one] if axis else "", float(row[min(one, len(row) - 1)])) for one in places)
    word = line.text if line.role == "choice" else ""
    return Told(line.label, line.id, spell(line.unit), when, entries, line.percent, word)


def _sources(scenario: Scenario, line: Line, place: int | None) -> Iterator[Source]:
    """Yield every figure that a line rests on, nearest first."""
    seen, queue = {line}, [line]
    while queue:
        here = queue.pop(0)
        yield from _figures(scenario, here, place if here is line else None)
        new = [other for other in reads(here) if other not in seen]
        seen.update(new)
        queue.extend(new)


def _figures(scenario: Scenario, line: Line, place: int | None) -> Iterator[Source]:
    if line.value is None or line.role not in ("input", "constant"):
        return
    count = len(line.value)
    for one in range(count) if place is None else [place]:
        key = line.entry_keys[one] if line.entry_keys else line.id
        origin = line.entry_origins[one] if line.entry_origins else line.origin
        axis = line.shape.axis
        label = f"{line.label}: {axis.labels[one]}" if axis else line.label
        yield Source(
            label, key, spell(line.unit), float(line.value[one, 0]), line.percent, origin.status, origin.source,
            _place(scenario, key, origin, constant=line.role == "constant"),
        )  # fmt: skip


def _place(scenario: Scenario, key: str, origin: Origin, *, constant: bool) -> str:
    """Where a figure is written, as file and line; who put it there when it is not written."""
    lines = scenario.document.lines
    for path in (f"candidates.{key}", key):
        if path in lines:
            return f"{scenario.document.file}:{lines[path]}"
    if constant:
        return "no input"
    return "an allowance" if origin.source == "allowance" else "filled in, not written in the file"

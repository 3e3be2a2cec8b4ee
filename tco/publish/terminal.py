"""What the command line prints, as plain lines of text."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from tco.problem import Problem
from tco.publish.explanation import MOST_ENTRIES, Explanation, Told
from tco.publish.numbers import Numbers
from tco.scenario.reference import Section
from tco.scenario.schema import Scenario

LARGE = 100


def plain(text: str) -> str:
    """Return text without characters that would steer a terminal."""
    return "".join(char if char.isprintable() or char == "\n" else "?" for char in text)


def gap_lines(scenario: Scenario) -> Iterator[str]:
    """Yield the gaps of a scenario under the candidate they belong to, then those that all share."""
    names = {key: candidate.title for key, candidate in scenario.candidates_all}
    folded: dict[str, list[Problem]] = {key: [] for key in (*names, "")}
    for gap in scenario.gaps:
        first = gap.path.split(".", maxsplit=1)[0]
        folded[first if first in names else ""].append(gap)
    for key, gaps in folded.items():
        if gaps:
            yield f"  {names.get(key, 'Every candidate')}: {len(gaps)}"
            yield from (f"    {gap.text()}" for gap in gaps)


def figure_text(numbers: Numbers, value: float, *, percent: bool = False) -> str:
    """Return a number for people: two decimals when large, six digits when small."""
    if not math.isfinite(value):
        return f"{value}"
    if percent:
        return numbers.as_percent(numbers.exact(_six(value * 100)))
    if abs(value) >= LARGE:
        return numbers.fixed(value, 0 if numbers.fixed(value, 2) == numbers.fixed(round(value), 2) else 2)
    return numbers.exact(_six(value))


def _six(value: float) -> float:
    return float(f"{value:.6g}")


def explanation_lines(found: Explanation, numbers: Numbers) -> Iterator[str]:
    """Yield a line of the model told in full, in the numbers of the scenario."""
    yield f"{found.block}: {found.line.label}  [{found.line.key}]"
    if found.formula:
        yield f"  = {found.formula}"
    yield from _values(numbers, found.line, "  ")
    if found.inputs:
        yield "What went in:"
        for one in found.inputs:
            yield f"  {one.label}  [{one.key}]"
            yield from _values(numbers, one, "    ")
    if found.figures:
        yield "Figures it rests on:"
        for figure in found.figures:
            value = _with_unit(figure_text(numbers, figure.value, percent=figure.percent), figure.unit)
            source = f", {figure.source}" if figure.source else ""
            yield f"  {figure.label}  [{figure.key}]"
            yield f"    {value}; {figure.status}{source}; {figure.place}"
        if found.more_figures:
            yield f"  and {found.more_figures} more"


def _values(numbers: Numbers, told: Told, indent: str) -> Iterator[str]:
    when = f"{told.when}: " if told.when else ""
    if told.word:
        yield f"{indent}{told.word}"
        return
    for label, value in told.values[:MOST_ENTRIES]:
        text = _with_unit(figure_text(numbers, value, percent=told.percent), told.unit)
        yield f"{indent}{when}{label + ': ' if label else ''}{text}"
    if len(told.values) > MOST_ENTRIES:
        yield f"{indent}and {len(told.values) - MOST_ENTRIES} more entries"


def _with_unit(text: str, unit: str) -> str:
    return text if unit in ("1", "any") else f"{text} {unit}"


def reference_lines(sections: Iterable[Section]) -> Iterator[str]:
    """Yield the keys of a scenario file: path, meaning, unit, default, choices and an example."""
    for place, section in enumerate(sections):
        if place:
            yield ""
        yield f"{section.path or 'Top level'}: {section.title}"
        if section.also:
            yield f"  The same keys under {', '.join(section.also)}."
        for key in section.keys:
            yield f"  {section.path}.{key.name}" if section.path else f"  {key.name}"
            yield f"    {key.meaning}"
            words = f": {', '.join(key.words)}" if key.words else ""
            yield f"    {key.unit}{words}. Default: {key.default}."
            yield f"    {key.example}"

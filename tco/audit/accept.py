"""The scenario with the figures of an edited workbook, its comments and order kept."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from tco.audit.expected import Expected
from tco.audit.read_back import Input, Inputs
from tco.audit.yaml_edit import Change, EditError, edited
from tco.model.nodes import Line
from tco.problem import Problem, ScenarioError
from tco.scenario.changes import full_path
from tco.scenario.load import load_text
from tco.scenario.schema import Scenario
from tco.scenario.tree import public_path

_DERIVED: Final = " in the scenario"  # how the origin of a month that comes from a date ends


@dataclass(frozen=True)
class Accepted:
    """The text of the scenario with changed inputs, and what it means."""

    text: str
    scenario: Scenario


def accept_inputs(expected: Expected, inputs: Inputs, file: str) -> tuple[Accepted | None, tuple[Problem, ...]]:
    """Write changed inputs into the text of the scenario.

    Returns
    -------
    The scenario, or None with everything that stands against it, told by cell.
    """
    problems = list(inputs.problems)
    changed = inputs.changed
    document = expected.scenario.document
    if not changed:
        return (None if problems else Accepted(document.text, expected.scenario)), tuple(problems)
    changes: dict[tuple[str, int | None], tuple[Input, Change]] = {}
    for one in changed:
        wrong = _conflict(one, inputs, file) or _derived(one, file)
        if wrong is not None:
            problems.append(wrong)
            continue
        line = one.spot.line
        keys = full_path(line.id if _is_twelve(line) else one.key)
        place = one.spot.entry if _is_twelve(line) else None
        changes[".".join(keys), place] = (one, Change(tuple(keys), one.new, line.percent, place))
    if problems:
        return None, tuple(problems)
    made = _text(document.text, list(changes.values()), expected.scenario, file)
    return (None, tuple(made)) if isinstance(made, list) else (made, ())


def _is_twelve(line: Line) -> bool:
    return line.shape.axis is not None and not line.entry_keys


def _conflict(one: Input, inputs: Inputs, file: str) -> Problem | None:
    """A figure that is written once but stands in several cells must be changed in all of them."""
    if _is_twelve(one.spot.line):
        return None
    others = (other for other in inputs.found if other.key == one.key and other.spot != one.spot)
    other = next((other for other in others if other.new != one.new), None)
    if other is None:
        return None
    what, why = f"is changed here, but not alike in {other.cell}", "Both are one figure of the scenario"
    return Problem(file, None, f"{one.cell} ({one.key})", what, why, "Change both alike")


def _derived(one: Input, file: str) -> Problem | None:
    source = one.spot.line.origin.source
    if not source.endswith(_DERIVED):
        return None
    what, why = f"is a month counted from a date: {source}", "The scenario holds the date, not the count"
    return Problem(file, None, f"{one.cell} ({one.key})", what, why, "Change the date in the scenario and build again")


def study_date(scenario: Scenario) -> str:
    """The day of the study, else the first day of its first month."""
    written = scenario.prepared.date if scenario.prepared is not None else None
    try:
        return dt.date.fromisoformat(written or "").isoformat()
    except ValueError:
        return dt.date(scenario.start.year, scenario.start.month, 1).isoformat()


def _text(
    text: str, changes: Sequence[tuple[Input, Change]], scenario: Scenario, file: str
) -> Accepted | list[Problem]:
    """Write all changes; where a source cannot be noted beside a figure, write that figure bare."""
    date, start = study_date(scenario), scenario.start.month
    bare: set[str] = set()
    while True:
        wanted = [replace(change, bare=one.key in bare) for one, change in changes]
        try:
            new = edited(text, wanted, date, start)
        except EditError:
            return list(_one_by_one(text, changes, date, start, file))
        try:
            return Accepted(new, load_text(new, scenario.document.file))
        except ScenarioError as error:
            found = error.problems
        paths = {public_path(problem.path) for problem in found}
        unable = {one.key for one, _ in changes if any(f"{path}.".startswith(f"{one.key}.") for path in paths)}
        if unable <= bare:
            return [_by_cell(problem, [one for one, _ in changes], file) for problem in found]
        bare |= unable


def _one_by_one(text: str, changes: Sequence[tuple[Input, Change]], date: str, start: int, file: str) -> list[Problem]:
    problems = []
    for one, change in changes:
        try:
            edited(text, [change], date, start)
        except EditError as error:
            hint = "Change it in the scenario and build again"
            problems.append(Problem(file, None, f"{one.cell} ({one.key})", str(error), "", hint))
    return problems


def _by_cell(problem: Problem, changed: Sequence[Input], file: str) -> Problem:
    """The same words, but with the cell instead of the line."""
    path = public_path(problem.path)
    near = [one for one in changed if f"{path}.".startswith(f"{one.key}.") or one.key.startswith(f"{path}.")]
    place = ", ".join(f"{one.cell} ({one.key})" for one in near[:3]) or path
    return replace(problem, file=file, line=None, path=place)

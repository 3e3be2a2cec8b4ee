"""What was changed in a workbook since its export, and what that does to the answer."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Final

from tco.audit.accept import Accepted, accept_inputs
from tco.audit.cells import Book, Cell, read_book
from tco.audit.compare_cells import Compared, compare
from tco.audit.effects import Answer, Effect, answer, answer_of, answer_to, candidates_of, effect
from tco.audit.expected import Expected, expect
from tco.audit.findings import TRACED, Finding, cells, finding, shown
from tco.audit.open_safely import refuse
from tco.audit.places import Spots
from tco.audit.read_back import Input, Inputs, read_inputs
from tco.audit.stale import stale_values
from tco.audit.touched import with_effects
from tco.model.evaluate import Key, evaluate
from tco.model.kinds import ModelError
from tco.problem import Problem
from tco.publish.workbook.layout import HEAD_ROWS
from tco.publish.workbook.properties import whole
from tco.publish.workbook.scenario_text import NUMBER, SCENARIO_SHEET, TEXT, text_hash, text_of
from tco.publish.workbook.write import SCHEMA_VERSION
from tco.scenario.load import load, load_text
from tco.scenario.schema import Scenario
from tco.units import unit

_MONTH: Final = unit("month")
_OTHER_VERSION: Final = (
    "The workbook was written by another version of this program, whose formulas differ: formulas, rows and stored "
    "values were not compared, inputs were"
)
_OTHER_MONTHS: Final = (
    "The workbook cannot show all of what was changed, because its months were laid out for the figures as exported; "
    "the answer here is that of a new build"
)


@dataclass(frozen=True)
class Audit:
    """An edited workbook beside its export.

    Parameters
    ----------
    file : the workbook
    scenario : the scenario it was made from
    findings : what was changed, inputs first, then in order of the sheets
    problems : figures that cannot be read or that the rules of a scenario refuse, by cell
    before, after : the answer as exported, and with all changed inputs together
    accepted : the scenario with the changed inputs; None when there are problems
    stored : the present values stored in the workbook itself; empty where it stores none
    log : what somebody noted on the sheet of changes
    remarks : what limits this audit
    checked : whether formulas could be compared; not those that another version of this program wrote
    """

    file: str
    scenario: Scenario
    findings: tuple[Finding, ...]
    problems: tuple[Problem, ...]
    before: Answer
    after: Answer
    accepted: Accepted | None
    stored: Mapping[str, float]
    log: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    checked: bool = True

    @property
    def touched(self) -> bool:
        """Whether formulas were touched, so that the workbook no longer calculates what the engine does."""
        return any(one.touches for one in self.findings)

    @property
    def together(self) -> Effect:
        """What all changed inputs do together."""
        return effect(self.before, self.after)

    @property
    def names(self) -> dict[str, str]:
        """Names of the candidates by id."""
        return {key: one.title for key, one in self.scenario.candidates_all}


def audit(workbook: Path, scenario: Path | None = None) -> Audit:
    """Read an edited workbook and compare it with its export.

    Parameters
    ----------
    workbook : a file that this program wrote and somebody may have changed
    scenario : the scenario it was made from; the one it carries when absent

    Raises
    ------
    ScenarioError
        The file cannot be opened safely, is no workbook of this program, or belongs to another scenario.
    """
    book = read_book(workbook)
    return audit_book(book, _expected(book, scenario))


def audit_book(book: Book, expected: Expected) -> Audit:
    """Compare a workbook that was read with its export."""
    spots = Spots(expected)
    compared = compare(expected, spots, book)
    inputs = read_inputs(expected, book, compared.sheets)
    accepted, problems = accept_inputs(expected, inputs, book.file)
    ids, changed = candidates_of(expected.model), inputs.changed
    before, replaced = answer_of(ids, expected.values), replacements(changed)
    values = evaluate(expected.model, replace=replaced) if replaced else expected.values
    live = after = answer_of(ids, values)
    checked = book.properties.get("model_hash") == expected.model_hash
    remarks = [] if checked else [_OTHER_VERSION]
    if accepted is not None and changed:
        after = answer_to(accepted.scenario)
        if not _agree(live, after):
            remarks.append(_OTHER_MONTHS)
    found = [_changed(one, expected, before) for one in changed]
    if checked:
        found += _names(inputs, expected)
        found += with_effects(expected, spots, compared, replaced)
        if not any(one.touches and one.kind not in TRACED for one in found):
            should = expected.book_with(values) if replaced else expected.book
            found += stale_values(compared.sheets, should, spots, compared.touched, expected.model)
    order = {one.actual.name: place for place, one in enumerate(compared.sheets.values())}
    found.sort(key=lambda one: (one.kind != "changed input", one.kind == "stale value", order.get(one.sheet, -1)))
    return Audit(
        book.file, expected.scenario, tuple(found), problems, before, after, accepted, _stored(expected, compared),
        compared.log, tuple(remarks), checked,
    )  # fmt: skip


def _expected(book: Book, scenario: Path | None) -> Expected:
    """The export of the scenario that a workbook carries, or of one given beside it."""
    told = book.properties
    version = told.get("schema_version")
    if version is None:
        refuse(book.file, "was not written by this program", "It says nothing of its origin", "Give such a workbook")
    if version != str(SCHEMA_VERSION):
        why = f"It is of version {version[:20]}, this program writes {SCHEMA_VERSION}"
        refuse(book.file, "cannot be read back", why, "Use the program that wrote it, or build it again")
    if scenario is not None:
        read = load(scenario)
        if read.fingerprint != told.get("scenario_hash"):
            why, hint = "Its fingerprint is another one", "Leave the scenario out: the workbook carries its own"
            refuse(book.file, f"was not made from {scenario}", why, hint)
        return expect(read, told)
    text = carried_text(book)
    return _expected_of(text, whole(told, "scenario_file") or "scenario.yaml", tuple(sorted(told.items())))


@lru_cache(maxsize=4)
def _expected_of(text: str, name: str, told: tuple[tuple[str, str], ...]) -> Expected:
    return expect(load_text(text, name), dict(told))


def carried_text(book: Book) -> str:
    """The scenario that a workbook carries.

    Raises
    ------
    ScenarioError
        It carries none, or the text is not the one it was exported with.
    """
    sheet = book.sheets.get(SCENARIO_SHEET)
    hint = "Name the scenario it was made from as well"
    if sheet is None:
        refuse(book.file, "does not carry its scenario", f"It has no sheet {SCENARIO_SHEET}", hint)
    rows = sorted({row for row, _ in sheet.cells if row >= HEAD_ROWS})
    text = text_of((_text(sheet.cells.get((row, NUMBER))), _text(sheet.cells.get((row, TEXT)))) for row in rows)
    if text_hash(text) != book.properties.get("scenario_text_hash"):
        why = "It is kept for comparing; figures are changed on the input sheets"
        refuse(book.file, f"carries a scenario that was changed (sheet {SCENARIO_SHEET})", why, hint)
    return text


def _text(cell: Cell | None) -> str:
    return "" if cell is None else shown(cell.value)


def replacements(changed: Sequence[Input]) -> dict[Key, float]:
    """Changed inputs as figures to replace; those that became unknown keep their old figure."""
    found: dict[Key, float] = {}
    for one in changed:
        if one.new is not None:
            line = one.spot.line
            found[line.id if line.shape.axis is None else (line.id, one.spot.entry)] = one.new
    return found


def _changed(one: Input, expected: Expected, before: Answer) -> Finding:
    notes = [f"typed as a formula: {one.formula}"] if one.formula else []
    notes += ["a share: 0.05 is 5 %"] if one.spot.line.percent else []
    new = "unknown" if one.new is None else shown(one.new)
    place = cells(one.row, one.column, one.column)
    made = finding("changed input", one.sheet, place, one.key, one.spot.label, shown(one.old), new, "; ".join(notes))
    return replace(made, effect=effect_of(one, expected, before))


def effect_of(one: Input, expected: Expected, before: Answer) -> Effect | None:
    """What one changed input does alone; built again where it may need other months, None where it cannot be built."""
    if one.new is None or one.spot.line.unit == _MONTH:
        accepted, _ = accept_inputs(expected, Inputs((one,)), "")
        if accepted is not None:
            return effect(before, answer_to(accepted.scenario))
    if one.new is None:
        return None
    try:
        return effect(before, answer(expected.model, replacements([one])))
    except ModelError:
        return None


def _names(inputs: Inputs, expected: Expected) -> list[Finding]:
    names, homes = expected.layout.names, expected.layout.homes
    found = [
        finding("lost name", homes[line].sheet, "", line.id, line.label, old=names[line]) for line in inputs.names_lost
    ]
    for line, named in inputs.names_moved:
        new = f"{named.sheet}, row {named.row + 1}"
        found.append(finding("moved name", homes[line].sheet, "", line.id, line.label, names[line], new))
    return found


def _agree(one: Answer, other: Answer) -> bool:
    return one.worth.keys() == other.worth.keys() and all(
        abs(one.worth[key] - other.worth[key]) <= max(0.005, 1e-9 * abs(one.worth[key])) for key in one.worth
    )


def _stored(expected: Expected, compared: Compared) -> dict[str, float]:
    """What the workbook itself stores as the present value of each candidate."""
    found = {}
    for key in candidates_of(expected.model):
        home = expected.layout.homes[expected.model[f"{key}.measures.present_value"]]
        aligned = compared.sheets.get(home.sheet)
        place = aligned.to_actual(home.row, home.column) if aligned is not None else None
        cell = aligned.actual.cells.get(place) if aligned is not None and place is not None else None
        if cell is not None and isinstance(cell.value, float):
            found[key] = cell.value
    return found


def as_json(found: Audit) -> str:
    """The whole audit as JSON, for programs."""

    def told(one: Answer) -> dict[str, object]:
        return {"present_value": dict(one.worth), "cheapest": one.cheapest}

    data = {
        "workbook": Path(found.file).name,
        "scenario": found.scenario.title,
        "formulas_checked": found.checked,
        "formulas_touched": found.touched,
        "findings": [one.as_dict() for one in found.findings],
        "problems": [one.as_dict() for one in found.problems],
        "before": told(found.before),
        "after": told(found.after),
        "stored_in_workbook": dict(found.stored),
        "log": list(found.log),
        "remarks": list(found.remarks),
    }
    return json.dumps(data, indent=1, ensure_ascii=False)

"""The workbook as it would be exported today from the scenario it carries, kept in memory instead of a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, Final

from tco.assemble import build
from tco.audit.cells import Book as Read
from tco.audit.cells import Cell, Named, Sheet, column_index
from tco.audit.sheet_xml import At
from tco.model.evaluate import evaluate
from tco.model.kinds import Array
from tco.model.model import Model
from tco.publish.publish import Computed, study_of
from tco.publish.recording import make_report
from tco.publish.workbook.layout import Layout, lay_out
from tco.publish.workbook.ledger import Source
from tco.publish.workbook.properties import whole
from tco.publish.workbook.styles import Book
from tco.publish.workbook.write import fill, model_hash
from tco.scenario.schema import Scenario

_DONE: Final = 0  # what a writer returns when it has written


@dataclass(frozen=True, eq=False)
class Expected:
    """A scenario with its model and the cells of its workbook, without what the engine searches for in minutes."""

    scenario: Scenario
    model: Model
    values: Mapping[str, Array]
    source: Source

    @property
    def layout(self) -> Layout:
        """Where every line stands."""
        return self.source.layout

    @cached_property
    def book(self) -> Read:
        """The workbook as exported."""
        return _remembered(self.source)

    @cached_property
    def model_hash(self) -> str:
        """The hash of all formulas by key."""
        return model_hash(self.layout)

    def book_with(self, values: Mapping[str, Array]) -> Read:
        """The workbook with other values beside its formulas."""
        return _remembered(Source(self.layout, values, self.source.study))


def expect(scenario: Scenario, properties: Mapping[str, str] | None = None) -> Expected:
    """Make the workbook of a scenario again.

    Parameters
    ----------
    scenario : the scenario the workbook was made from
    properties : what the workbook says of its own export: version, fingerprint, verdict
    """
    told = properties or {}
    model = build(scenario)
    values = evaluate(model)
    computed = Computed(scenario, model, values, {}, make_report(scenario, model, values, None))
    study = study_of(computed, whole(told, "verdict"), told.get("program_version", ""))
    study = replace(study, fingerprint=told.get("scenario_hash", scenario.fingerprint))
    layout = lay_out(model, {one.id: one.name for one in study.candidates})
    return Expected(scenario, model, values, Source(layout, values, study))


def _remembered(source: Source) -> Read:
    memory = _Workbook()
    fill(Book(memory), source)
    sheets = {name: Sheet(name, page.found) for name, page in memory.pages.items()}
    return Read(Path(source.study.scenario_file).name, sheets, memory.names, memory.properties)


class _Quiet:
    """Takes every other call of a writer and remembers nothing: widths, charts, protection, print set-up."""

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return lambda *_, **__: _DONE


class _Page(_Quiet):
    """A sheet that remembers its cells."""

    def __init__(self) -> None:
        self.found: dict[At, Cell] = {}

    def write_string(self, row: int, column: int, text: str, form: Any) -> int:
        self.found[row, column] = Cell(text, unlocked=form)
        return _DONE

    def write_blank(self, row: int, column: int, _: None, form: Any) -> int:
        if form:  # an empty cell that may be filled in
            self.found[row, column] = Cell(None, unlocked=True)
        return _DONE

    def write_number(self, row: int, column: int, number: float, form: Any) -> int:
        self.found[row, column] = Cell(float(number), unlocked=form)
        return _DONE

    def write_formula(self, row: int, column: int, formula: str, form: Any, value: float | str) -> int:
        kept = value if isinstance(value, str) else float(value)
        self.found[row, column] = Cell(kept, formula, unlocked=form)
        return _DONE

    def write_url(self, row: int, column: int, _: str, form: Any, string: str = "") -> int:
        self.found[row, column] = Cell(string, unlocked=form)
        return _DONE


class _Workbook(_Quiet):
    """A workbook that remembers sheets, names and properties."""

    def __init__(self) -> None:
        self.pages: dict[str, _Page] = {}
        self.names: dict[str, Named] = {}
        self.properties: dict[str, str] = {}

    def add_worksheet(self, name: str, _: Any) -> _Page:
        self.pages[name] = _Page()
        return self.pages[name]

    def get_worksheet_by_name(self, name: str) -> _Page:
        return self.pages[name]

    def add_format(self, properties: Mapping[str, Any]) -> bool:
        """A format is remembered as whether its cells may be typed over."""
        return not properties.get("locked", True)

    def add_chart(self, _: Any) -> _Quiet:
        return _Quiet()

    def define_name(self, name: str, target: str) -> int:
        sheet, _, area = target.removeprefix("=").rpartition("!")
        ends = [part.strip("$").split("$") for part in area.split(":")]
        last = int(ends[-1][1]) - 1
        self.names[name] = Named(sheet.strip("'"), int(ends[0][1]) - 1, column_index(ends[0][0]), last)
        return _DONE

    def set_custom_property(self, name: str, value: str, _: str) -> int:
        self.properties[name] = value
        return _DONE

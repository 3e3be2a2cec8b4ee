"""How rooms turn the figures of a scenario into lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from tco.model.kinds import Axis, Origin
from tco.model.lines import SHARED, Block, Builder
from tco.model.nodes import MONTHS_A_YEAR, Line
from tco.model.vocabulary import stacked
from tco.scenario.figure import Figure, FlowFigure, Twelve, YearMonth
from tco.scenario.schema import Scenario
from tco.units import spell, times, unit

CONSTANTS: Final[dict[str, tuple[str, str, float, str]]] = {
    "minutes_an_hour": ("Minutes in an hour", "minute/hour", 60, "definition"),
    "months_a_quarter": ("Months in a quarter", "month/quarter", 3, "definition"),
    "working_days_a_week": ("Working days in a week", "day/week", 5, "common practice"),
    "weeks_a_year": ("Weeks in a year", "week/year", 52, "common practice"),
    "hours_a_year": ("Hours in a year", "hour/year", 8760, "definition, 365 days"),
    "days_a_year": ("Days in a year", "day/year", 365.25, "definition, with leap days"),
    "days_a_rent_month": ("Days in a month of rent", "day", 30, "common practice: interim rent by thirtieths"),
    "one_side": ("Sides on a one-sided sheet", "side/sheet", 1, "definition"),
    "two_sides": ("Sides on a two-sided sheet", "side/sheet", 2, "definition"),
    "click_a_side": ("Clicks a small side", "click/side", 1, "definition of the click"),
    "kwh_a_kw_hour": ("Kilowatt-hours in a kilowatt for an hour", "kWh/kW/hour", 1, "definition"),
    "grams_a_kilogram": ("Grams in a kilogram", "g/kg", 1000, "definition"),
    "one_litre": ("One litre", "litre", 1, "definition: ink by area is priced by the litre"),
    "ml_a_litre": ("Millilitres in a litre", "ml/litre", 1000, "definition"),
    "one_post": ("One post", "post", 1, "definition"),
    "one_month": ("One month", "month", 1, "definition"),
    "side_tolerance": ("Sides that count as none", "side", 0.001, "a thousandth of a side"),
    "loads_a_job": ("Loads a job begins with", "load/job", 1, "common practice: the first load is part of make-ready"),
    "no_limit_sheets": ("Beyond every tray", "sheet/load", 1e15, "stands for no limit"),
    "no_limit": ("Beyond every volume", "click", 1e15, "stands for no upper limit"),
    "half_a_post": ("Smallest part of a post", "post", 0.5, "common practice: half posts are hired"),
    "tolerance": ("Tolerance of rounding up", "1", 1e-9, "keeps a whole number whole"),
    "cent": ("Money that counts as nothing", "money", 0.005, "half a cent"),
    "major_part": ("Major part of the life", "1", 0.75, "common practice with ASC 842"),
    "substantially_all": ("Substantially all of the value", "1", 0.9, "common practice with ASC 842"),
}


@dataclass(frozen=True)
class Desk:
    """Gives rooms their input lines: one figure of the scenario is one line, wherever it is used.

    `locale` is for labels that hold a number.
    """

    builder: Builder
    scopes: tuple[str, ...]
    locale: str

    def constant(self, block: Block, name: str) -> Line:
        """A number that is true by definition or agreed in the trade."""
        label, measure, value, source = CONSTANTS[name]
        home = self._home("constants", "Definitions", SHARED)
        line = home.given(name, label, measure, value, role="constant", origin=Origin(source=source))
        return _used(block, line)

    def take(self, block: Block, figure: Figure, label: str, measure: str, *, percent: bool = False) -> Line:
        """The input line of a figure; one written elsewhere than in this candidate lives in a block of that place."""
        home = self._home_of(figure.path, block)
        line = home.given(
            figure.path, label, measure, figure.number, origin=origin(figure), percent=percent, own_key=True
        )
        return _used(block, line)

    def a_month(self, block: Block, figure: FlowFigure, label: str, measure: str) -> Line:
        """An amount in time, per month: as written, or converted by a line when it is per quarter or year."""
        given = self.take(block, figure, label, spell(times(unit(measure), unit(f"1/{figure.per}"))))
        if figure.per == "month":
            return given
        key = f"{figure.path.replace('.', '_')}_a_month"
        known = block.builder.by_id.get(f"{block.id}.{key}")
        if known is not None:
            return known
        months = self.constant(block, "months_a_quarter") if figure.per == "quarter" else MONTHS_A_YEAR
        return block.line(key, f"{label}, a month", f"{measure}/month", given / months)

    def twelve(self, block: Block, figures: Twelve, label: str, measure: str, axis: Axis) -> Line:
        """Twelve figures, one for each calendar month from the month of the start."""
        home = self._home_of(figures.path, block)
        noted = Origin(source=figures.source, status=figures.status)
        line = home.given(figures.path, label, measure, figures.values, axis=axis, origin=noted, own_key=True)
        return _used(block, line)

    def date(self, block: Block, key: str, label: str, scenario: Scenario, when: YearMonth) -> Line:
        """The operating month of a calendar month."""
        noted = Origin(source=f"{when} in the scenario", status="estimated")
        return block.given(key, label, "1", scenario.operating_month(when), origin=noted)

    def column(
        self,
        block: Block,
        key: str,
        label: str,
        measure: str,
        axis: Axis,
        figures: Sequence[Figure],
        *,
        percent: bool = False,
    ) -> Line:
        """A column of figures: its own table, or put together when entries share a figure written once."""
        paths = tuple(figure.path for figure in figures)
        for known in self.builder.by_id.values():
            # A column that another press or candidate uses too, such as the bands of a plan that is kept.
            if known.entry_keys == paths and known.shape.axis == axis and known.unit == unit(measure):
                return _used(block, known)
        if len(set(paths)) == len(paths):
            cells = [(figure.path, figure.number, origin(figure)) for figure in figures]
            return block.column(key, label, measure, axis, cells, percent=percent)
        single = [self.take(block, figure, label, measure, percent=percent) for figure in figures]
        return block.line(key, label, measure, stacked(axis, single), percent=percent)

    def fixed(self, block: Block, key: str, label: str, measure: str, axis: Axis, values: Sequence[float]) -> Line:
        """A column that follows from words of the scenario, such as the size of a sheet."""
        noted = Origin(source="follows from the scenario's words")
        return block.given(key, label, measure, values, axis=axis, role="constant", origin=noted)

    def _home_of(self, path: str, block: Block) -> Block:
        section = path.split(".", maxsplit=1)[0]
        if section == block.scope or (block.scope == SHARED and section not in self.scopes):
            return block
        return self._home(
            f"{section}.terms", f"Terms: {section.replace('_', ' ')}", section if section in self.scopes else SHARED
        )

    def _home(self, name: str, label: str, scope: str) -> Block:
        for block in self.builder.blocks:
            if block.id == name:
                return block
        return self.builder.block(name, label, scope)


def origin(figure: Figure) -> Origin:
    """What is known about a figure beside its value."""
    return Origin(figure.source, figure.status, figure.date, figure.note, figure.low, figure.high)


def _used(block: Block, line: Line) -> Line:
    if line.block is not block and line not in block.used:
        block.used.append(line)
    return line

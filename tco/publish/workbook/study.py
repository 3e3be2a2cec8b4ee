"""What the workbook tells beside the model: whose study it is, and what was found when it was exported."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

Said: TypeAlias = "str | float"


@dataclass(frozen=True)
class Amount:
    """A number as the engine found it, with its number format."""

    value: float
    form: str


Shown: TypeAlias = "str | Amount"


@dataclass(frozen=True)
class Part:
    """A table of results of the engine: a heading, sentences below it, heads of columns, rows."""

    heading: str
    notes: tuple[str, ...] = ()
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[Shown, ...], ...] = ()


@dataclass(frozen=True)
class Contender:
    """A candidate as readers know it; `id` is its scope in the model."""

    id: str
    name: str
    is_reference: bool = False


@dataclass(frozen=True)
class Study:
    """The study a workbook belongs to.

    Parameters
    ----------
    title, prepared_by, prepared_for : texts of the user; may be empty
    date : day of the study; the workbook's own time stamp, so that the same study gives the same bytes
    version : version of the program
    fingerprint : hash of the scenario
    currency : currency as written beside units, for instance USD
    start_year, start_month : the first operating month
    candidates : in order of the scenario
    months : the horizon; columns may run further
    paper : size of paper for printing
    verdict : the answer of the study in words
    breakeven : rows found by the engine, the first one being headings; not live
    gaps : what the study had to assume
    found : what the sheets of results hold, by name of the sheet; not live
    scenario_text, scenario_file : the scenario as written and the name of its file; empty when there is no text
    """

    title: str
    prepared_by: str
    prepared_for: str
    date: dt.date
    version: str
    fingerprint: str
    currency: str
    start_year: int
    start_month: int
    candidates: tuple[Contender, ...]
    months: int
    paper: Literal["letter", "a4"]
    verdict: str
    breakeven: tuple[tuple[Said, ...], ...] = ()
    gaps: tuple[str, ...] = ()
    found: Mapping[str, tuple[Part, ...]] = field(default_factory=dict)
    scenario_text: str = ""
    scenario_file: str = "scenario.yaml"

    def name_of(self, candidate: str) -> str:
        """The name of a candidate, or its id when the study does not name it."""
        return next((one.name for one in self.candidates if one.id == candidate), candidate)

"""The one frozen record that everything published is made from: plain text, plain numbers, nothing to compute.

Pages and data files only look things up here, so a figure cannot differ between them. `tco.publish.recording` is the
only place where lines of the model become figures to show; `tco.advice.verdict` holds the rules for naming a winner.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

from tco.advice.dates import Due
from tco.advice.questions import Questions
from tco.advice.record import QuoteWarning
from tco.advice.silence import Silence
from tco.advice.verdict import Verdict
from tco.analyses.breakeven import Pair
from tco.analyses.concessions import Offer
from tco.analyses.crossings import Best
from tco.analyses.evidence import Evidence
from tco.analyses.fitting import Fit
from tco.analyses.new_work import Contribution
from tco.analyses.not_to_exceed import Ceiling
from tco.analyses.risk import NotAssessed, Risk
from tco.analyses.same_scope import Scope
from tco.analyses.sensitivity import Sensitivity
from tco.analyses.stress import Stress
from tco.problem import Problem

KINDS: Final = ("equipment", "service", "supplies", "paper", "people", "space and energy", "outside", "tax")


@dataclass(frozen=True)
class Entry:
    """One line of the model as Figures shows it.

    `values` has the shape (entries or 1, months or 1); `total` is its sum or closing value, entry by entry, and None
    where neither means anything. `reads` and `readers` are keys of other entries.
    """

    key: str
    label: str
    block: str
    block_label: str
    scope: str
    role: str
    unit: str
    values: tuple[tuple[float, ...], ...]
    monthly: bool = False
    axis: str = ""
    axis_labels: tuple[str, ...] = ()
    total: tuple[float, ...] | None = None
    total_means: str = ""
    kind: str = ""
    percent: bool = False
    words: str = ""
    source: str = ""
    status: str = ""
    date: str = ""
    note: str = ""
    low: float | None = None
    high: float | None = None
    reads: tuple[str, ...] = ()
    readers: tuple[str, ...] = ()
    entry_keys: tuple[str, ...] = ()

    @property
    def is_input(self) -> bool:
        """True for what the user wrote, number or word."""
        return self.role in ("input", "choice")


@dataclass(frozen=True)
class Press:
    """One press of a candidate; `utilisation` is hours needed over hours there, month by month, None without speeds."""

    id: str
    key: str
    name: str
    utilisation: tuple[float, ...] | None = None


@dataclass(frozen=True)
class ClassCost:
    """What one finished set and one job of a class cost: with everything spread, and for one more."""

    name: str
    set_full: float
    set_next: float
    job_full: float
    job_next: float


@dataclass(frozen=True)
class Candidate:
    """One candidate: its measures by name, its statement by kind, what is unknown about it.

    `measures` holds what the model has under ``<id>.measures.``; a measure that cannot be told is absent. `kinds` is
    the present value by kind. The rows of `statement`, `net` and `cumulative` have one value a month of the horizon.
    """

    id: str
    name: str
    place: int
    measures: Mapping[str, float]
    kinds: Mapping[str, float]
    statement: Mapping[str, tuple[float, ...]]
    net: tuple[float, ...]
    cumulative: tuple[float, ...]
    presses: tuple[Press, ...] = ()
    classes: tuple[ClassCost, ...] = ()
    gaps: tuple[Problem, ...] = ()
    terms: tuple[str, ...] = ()
    quote: str = ""

    @property
    def is_reference(self) -> bool:
        """True for the present position."""
        return self.place == 0

    def key(self, measure: str) -> str:
        """The key of a measure in Figures."""
        return f"{self.id}.measures.{measure}"


@dataclass(frozen=True)
class Volumes:
    """Cost against average volume.

    `volumes` are sides a month, `per_side` the levelised cost of a printed side at each of them by candidate (not a
    number where nothing is printed); `pairs` and `best` as the search for break-evens found them; `fit` tells at which
    of the volumes work is left undone or more is printed than recommended.
    """

    volumes: tuple[float, ...]
    per_side: Mapping[str, tuple[float, ...]]
    pairs: tuple[Pair, ...]
    best: tuple[Best, ...]
    complete: bool = True
    fit: Fit | None = None

    def around(self, volume: float) -> Best | None:
        """The range of the cheapest that holds a volume; None outside of what was searched."""
        return next((one for one in self.best if one.low <= volume <= one.high), None)


@dataclass(frozen=True)
class LastYear:
    """One heading of last year: what was paid and what the model gives."""

    heading: str
    paid: float
    modelled: float


@dataclass(frozen=True)
class Facts:
    """What the study rests on, in the words and figures of its scenario."""

    title: str
    file: str
    year: int
    month: int
    months: int
    currency: str = "USD"
    locale: str = "en_US"
    paper: str = "letter"
    prepared_by: str = ""
    prepared_for: str = ""
    date: str = ""
    left_out: tuple[str, ...] = ()
    last_year: tuple[LastYear, ...] = ()
    discount_rate: float = 0.0
    discount_basis: str = "effective"
    freed_hours: str = ""
    fiscal_month: int = 1
    income_tax: bool = False
    sales_tax: bool = False
    average_sides: float = 0.0
    introduction: str = ""
    recommendation: str = ""
    fingerprint: str = ""
    version: str = ""
    from_file: bool = True


@dataclass(frozen=True)
class Report:
    """The whole study. What only some studies have, or only a publication computes, is None elsewhere."""

    facts: Facts
    candidates: tuple[Candidate, ...]
    verdict: Verdict
    entries: tuple[Entry, ...]
    gaps: tuple[Problem, ...] = ()
    volumes: Volumes | None = None
    years: tuple[int, ...] = ()
    fiscal_years: tuple[int, ...] = ()
    calendar_months: tuple[int, ...] = ()
    stress: Stress | None = None
    risk: Risk | NotAssessed | None = None
    sensitivity: Sensitivity | None = None
    evidence: Evidence | None = None
    scope: tuple[Scope, ...] = ()
    new_work: tuple[Contribution, ...] = ()
    silence: Silence | None = None
    warnings: tuple[QuoteWarning, ...] = ()
    questions: tuple[Questions, ...] = ()
    concessions: tuple[Offer, ...] = ()
    dates: tuple[Due, ...] = ()
    stop_after: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    ceilings: Mapping[str, Ceiling] = field(default_factory=dict)
    calendars: Mapping[str, bytes] = field(default_factory=dict)
    by_key: Mapping[str, Entry] = field(init=False, repr=False, compare=False)
    home: Mapping[str, str] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_key", {entry.key: entry for entry in self.entries})
        parts = {key: entry.key for entry in self.entries for key in entry.entry_keys}
        object.__setattr__(self, "home", {**parts, **{entry.key: entry.key for entry in self.entries}})

    def candidate(self, name: str) -> Candidate:
        """The candidate of that id; KeyError when there is none."""
        for one in self.candidates:
            if one.id == name:
                return one
        raise KeyError(name)

    @property
    def reference(self) -> Candidate:
        """The present position."""
        return self.candidates[0]

    @cached_property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of cost that at least one candidate has, in order."""
        return tuple(kind for kind in KINDS if any(kind in one.statement for one in self.candidates))

    @property
    def capacity_checked(self) -> bool:
        """True when every press of every candidate has speeds."""
        presses = [press for one in self.candidates for press in one.presses]
        return bool(presses) and all(press.utilisation is not None for press in presses)


def yearly_sums(row: Sequence[float], of: Sequence[int]) -> dict[int, float]:
    """Plain sums of a row of months by the year that each of them belongs to, years rising."""
    found: dict[int, list[float]] = {year: [] for year in sorted(set(of))}
    for value, year in zip(row, of, strict=True):
        found[year].append(value)
    return {year: sum(values) for year, values in found.items()}

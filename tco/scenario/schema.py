"""The scenario: everything the user may write, after completion."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field, PrivateAttr

from tco.problem import Problem
from tco.scenario.changes import won
from tco.scenario.figure import Band, Figure, FlowFigure, Readings, Twelve, Volume, YearMonth
from tco.scenario.kinds import (
    ARE_WORDS,
    IS_WORD,
    Amount,
    CalendarMonth,
    KnownRate,
    LongText,
    MonthOrFigure,
    Months,
    PositiveShare,
    Quantity,
    Season,
    Share,
    Text,
    Texts,
    Whole,
    YearlyRate,
)
from tco.scenario.part import Part, WhenAbsent
from tco.scenario.schema_accepted import Accepted
from tco.scenario.schema_books import Books, LeaseAccounting
from tco.scenario.schema_candidate import Candidate, LastYear, PresentLease, Today
from tco.scenario.schema_finance import Cash, Lease, Loan, Owned, Rental, TodayLease
from tco.scenario.schema_futures import Futures
from tco.scenario.schema_money import IncomeTax, Money, SalesTax
from tco.scenario.schema_names import ByCandidate, ById, Named
from tco.scenario.schema_press import FrontEnd, Power, Press, Supply, Tray
from tco.scenario.schema_service import ByColour, Meter, MeterTerms, Service
from tco.scenario.schema_shop import Emissions, Finishing, Labour, Outside, Shop
from tco.scenario.schema_work import JobClass, NewWork, OversizeShare, PlainWork
from tco.scenario.tree import Document, plain

LeftOut = Literal["paper", "labour", "energy", "space", "supplies", "finishing"]


class Prepared(Part):
    """Who made the comparison, for whom, when."""

    by: Text | None = Field(default=None, description="Who made the comparison. Text.", examples=["J. Anselm"])
    for_: Text | None = Field(default=None, alias="for", description="Whom it is made for. Text.",
                             examples=["Finance committee"])
    date: Text | None = Field(default=None, description="Day it was made. YYYY-MM-DD.", examples=["2027-02-01"])


class EveryQuote(Part):
    """Terms that hold in every quote unless it says otherwise; read once, inherited by every candidate."""

    oversize_counts: Quantity | None = Field(
        default=None, description="Clicks of one side on a large sheet. Factor; default what the plan says.",
        examples=[2])
    blank_backs: Annotated[Literal["count", "free"], IS_WORD] | None = Field(
        default=None, description="Whether the blank back of a two-sided sheet is a click. Word; default what the plan "
        "says.", examples=["count"])
    settled: Annotated[Literal["monthly", "quarterly", "yearly"], IS_WORD] | None = Field(
        default=None, description="Period over which minimums, included clicks and bands are settled. Word; default "
        "what the plan says.", examples=["quarterly"])
    stub: Annotated[Literal["full", "pro rata"], IS_WORD] | None = Field(
        default=None, description="How a period that contract or study cuts short is settled. Word; default what the "
        "plan says.", examples=["full"])
    increase: YearlyRate | None = Field(
        default=None, description="Increase each time. Share; default what the plan says.", examples=["3%"])
    increase_from: MonthOrFigure | None = Field(
        default=None, description="First month with increased prices: YYYY-MM, or contract month. Month; default what "
        "the plan says.", examples=["2028-07"])
    increase_every: Whole | None = Field(
        default=None, description="Months from one increase to the next. Months; default what the plan says.",
        examples=[12])
    increase_cap: YearlyRate | None = Field(
        default=None, description="Highest increase each time. Share; default what the plan says.", examples=["4%"])
    covered: Texts | None = Field(
        default=None, description="What every quote says is included. Words.", examples=[["delivery"]])
    not_covered: Texts | None = Field(
        default=None, description="What every quote says is not included. Words.", examples=[["staples"]])
    present_lease: Annotated[PresentLease, IS_WORD] | None = Field(
        default=None, description="What becomes of the running lease of the present press. Word; default what the "
        "candidate says.", examples=["finish"])


@dataclass(frozen=True, slots=True)
class Settled:
    """Where a scenario came from: the file, what was filled in, how to build it again with changes."""

    document: Document
    filled: Mapping[str, str]
    small_size: str
    rebuild: Callable[[Document, Mapping[str, object]], Scenario]


class Scenario(Part):
    """A checked and completed scenario."""

    title: Text = Field(description="Title of the comparison. Text.", examples=["Colour press for Wrenlock"])
    prepared: Prepared | None = Field(default=None, description="Author, reader, date. Section.",
                                      examples=["{by: J. Anselm, date: 2027-02-01}"])
    introduction: LongText | None = Field(default=None, description="Words before the answer. Text.",
                                          examples=["The lease of the present press ends in June."])
    recommendation: LongText | None = Field(default=None, description="The author's own conclusion. Text.",
                                            examples=["Take the Birch, with the freight written into the lease."])
    start: CalendarMonth = Field(description="First month compared, operating month 1. YYYY-MM.", examples=["2027-03"])
    months: Months = Field(description="Length of the study. Months.", examples=[60])
    money: Money = Field(description="Currency, rates, tax. Section.", examples=["{discount_rate: 7.5%}"])
    work: PlainWork | None = Field(default=None, description="Plain volumes, unless `jobs` are written. Section.",
                                   examples=["{colour: 24000, black: {per_year: 504000}}"])
    jobs: ById[JobClass] | None = Field(
        default=None, description="Job classes by id, unless `work` is written. Section.",
        examples=["{tests: {colour: black, sides_per_set: 12, sets_per_job: 30, jobs: 5200}}"])
    new_work: ById[NewWork] | None = Field(
        default=None, description="Sold work that only some candidates would win, by id: what it would contribute is "
        "shown apart. Section.", examples=[
            ("{posters: {colour: colour, sides_per_set: 1, sets_per_job: 40, jobs: 230, charge_per_set: 4.5, "
             "only_with: [birch]}}")])
    season: Season | None = Field(default=None, description="Twelve months from start, or by month name. Any scale.",
                                  examples=[[1, 1, 1, 1, 1, 1, 0.2, 0.2, 1.5, 1, 1, 1]])
    busiest_week: PositiveShare | None = Field(
        default=None, description="Share of its month that is done in the busiest week of any month. Share.",
        examples=["38%"])
    change_per_year: Annotated[KnownRate, WhenAbsent(0)] = Field(
        description="Change of volume. A year.", examples=["-3%"])
    volume_scale: Annotated[Quantity, WhenAbsent(1)] = Field(
        description="Multiplies all volumes. Factor.", examples=[1])
    waste: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Sheets added per good sheet. Share.", examples=["3%"])
    coverage: Annotated[Share, WhenAbsent(0.05)] = Field(
        description="Toner or ink coverage of a side. Share.", examples=["5%"])
    shop: Shop = Field(description="Hours, people, prices of the shop. Section; absent: none of them is counted.",
                       examples=["{hours_per_week: 40, electricity: 0.14}"])
    outside: Outside | None = Field(default=None, description="Prices of the outside printer. Section.",
                                     examples=["{black: 0.034, colour: 0.145}"])
    today: Today | None = Field(default=None, description="The present position, written like a candidate. Section.",
                                examples=["{name: Keep the present press, service: {black: 0.009}}"])
    every_quote: EveryQuote | None = Field(default=None, description="Shared terms of all quotes. Section.",
                                           examples=["{settled: quarterly, oversize_counts: 2}"])
    allowances: Named[Annotated[Figure, Amount.__metadata__[0]]] | None = Field(
        default=None, description="Figures for prices that nobody stated, by key. Section.",
        examples=["{return_freight: 1500, increase: 4%}"])
    candidates: ByCandidate[Candidate] = Field(
        description="What is compared, by id. Section.", examples=["{birch: {cash: {price: 58500}}}"])
    futures: Futures | None = Field(
        default=None, description="How the futures are drawn that say how sure the answer is. Section.",
        examples=["{shape: pert}"])
    left_out: Annotated[tuple[LeftOut, ...], ARE_WORDS] = Field(
        default=(), description="What no candidate counts. Words.", examples=[["paper", "labour"]])
    accepted: Accepted | None = Field(
        default=None, description="Warnings that are settled, each with the reason: `<candidate>.<code>` for one "
        "candidate, `<code>` for all. Section.", examples=["{birch.rent-timing: Confirmed by letter of 3 February}"])

    _gaps: tuple[Problem, ...] = PrivateAttr(default=())
    _settled: Settled | None = PrivateAttr(default=None)

    def settle(self, settled: Settled) -> None:
        """Remember where the scenario came from; called once, by completion."""
        self._settled = settled
        for key, candidate in self.candidates_all:
            candidate.identify(key)

    def settle_gaps(self, gaps: Iterable[Problem]) -> None:
        """Remember what was assumed; called once, by completion."""
        self._gaps = tuple(gaps)

    @property
    def settled(self) -> Settled:
        """Where the scenario came from; ValueError when it was not made by completion."""
        if self._settled is None:
            message = "this scenario was not made by complete()"
            raise ValueError(message)
        return self._settled

    @property
    def gaps(self) -> tuple[Problem, ...]:
        """What was computed by an assumption."""
        return self._gaps

    @property
    def document(self) -> Document:
        """The file as read."""
        return self.settled.document

    @property
    def filled(self) -> dict[str, str]:
        """Paths of the file that the tool filled in, with what it put there."""
        return dict(self.settled.filled)

    @property
    def small_size(self) -> str:
        """The small sheet size of this scenario: letter or a4 unless `work.size` names another."""
        return self.settled.small_size

    @property
    def unit_size(self) -> str:
        """The size whose area is 1 for coverage: letter or a4 by money.paper_sizes."""
        return "letter" if self.money.paper_sizes == "inch" else "a4"

    @property
    def horizon(self) -> int:
        """Months of the study as a plain integer."""
        return int(self.months.number)

    @property
    def candidates_all(self) -> list[tuple[str, Candidate]]:
        """All candidates with their ids, today first if it is written."""
        first: list[tuple[str, Candidate]] = [("today", self.today)] if self.today is not None else []
        return first + list(self.candidates.items())

    @property
    def reference_id(self) -> str:
        """Id of the candidate all others are compared with: today, else the first one."""
        return self.candidates_all[0][0]

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the inputs; comments, order of keys and spelling of numbers do not matter."""
        text = json.dumps(plain_inputs(self.document), sort_keys=True, separators=(",", ":"), ensure_ascii=True)
        return hashlib.sha256(text.encode()).hexdigest()

    def is_left_out(self, subject: LeftOut) -> bool:
        """Tell whether no candidate counts this subject."""
        return subject in self.left_out

    def calendar(self, month: int) -> YearMonth:
        """Return the calendar month of an operating month (1 is `start`)."""
        return self.start.plus(month - 1)

    def label(self, month: int) -> str:
        """Return an operating month as `2027-03`."""
        return str(self.calendar(month))

    def operating_month(self, when: YearMonth) -> int:
        """Return the operating month of a calendar month; 0 or less before start."""
        return when.index - self.start.index + 1

    def with_changes(self, changes: Mapping[str, object]) -> Scenario:
        """Return the scenario built anew with other values at these paths; ScenarioError when it is not valid."""
        return self.settled.rebuild(self.document, changes)

    def with_new_work(self, key: str) -> Scenario:
        """Return the scenario in which the work of this entry under `new_work` is one more job class."""
        return self.settled.rebuild(won(self.document, key), {})


def plain_inputs(document: Document) -> object:
    """Return the data with percent as numbers, for comparing inputs."""
    return _normal(plain(document.data))


def _normal(value: object) -> object:
    if isinstance(value, dict):
        return {key: _normal(child) for key, child in value.items()}
    if isinstance(value, list):
        return [_normal(child) for child in value]
    if isinstance(value, str) and value.strip().endswith("%"):
        try:
            return float(f"{float(value.strip()[:-1]) / 100:.15g}")
        except ValueError:
            return value
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


__all__ = [
    "Band", "Books", "ByColour", "Candidate", "Cash", "Emissions", "EveryQuote", "Figure", "Finishing", "FlowFigure",
    "FrontEnd",
    "IncomeTax", "JobClass", "Labour", "LastYear", "Lease", "LeaseAccounting", "Loan", "Meter", "MeterTerms",
    "Money", "Outside", "OversizeShare", "Owned",
    "PlainWork", "Power", "Prepared", "Press", "Readings", "Rental", "SalesTax", "Scenario", "Service", "Settled",
    "Shop", "Supply", "Today", "TodayLease", "Tray", "Twelve", "Volume", "YearMonth",
]

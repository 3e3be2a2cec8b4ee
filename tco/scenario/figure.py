"""Figures as the rooms see them: a value with its range, source, status and place in the file."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

Status = Literal["contracted", "quoted", "invoiced", "measured", "estimated", "unknown", "assumed"]
STATUSES: tuple[Status, ...] = ("contracted", "quoted", "invoiced", "measured", "estimated", "unknown", "assumed")
Per = Literal["month", "quarter", "year"]
MONTHS_PER: dict[Per, int] = {"month": 1, "quarter": 3, "year": 12}
MONTH_NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def round15(value: float) -> float:
    """Return `value` at 15 significant digits, which every spreadsheet keeps as well."""
    return float(f"{value:.15g}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One number of the scenario.

    Attributes
    ----------
    value : float or None
        The number; None only where `unknown` was written and nothing could stand for it. In a completed
        scenario it is always a number (a figure that stays unknown is 0 with status *unknown*).
    low, high : float or None
        The range outside which the writer would be surprised.
    source, date, note : str
        Where the figure comes from, when it was read, a remark; empty when not written.
    status : str
        One of contracted, quoted, invoiced, measured, estimated, unknown, assumed.
    path : str
        Where it is written, without `candidates.`; the key of its input line.
    line : int or None
        Line of the file; None when the tool filled it in.
    """

    value: float | None
    path: str
    low: float | None = None
    high: float | None = None
    source: str = ""
    status: Status = "estimated"
    date: str = ""
    note: str = ""
    line: int | None = None

    @property
    def number(self) -> float:
        """The value as a number; ValueError when it is unknown."""
        if self.value is None:
            raise ValueError(f"{self.path} is unknown")
        return self.value

    @property
    def is_assumed(self) -> bool:
        """True when the user wrote no number here."""
        return self.status in ("assumed", "unknown")

    @property
    def has_range(self) -> bool:
        """True when low and high are both written and differ."""
        return self.low is not None and self.high is not None and self.low < self.high


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowFigure(Figure):
    """An amount in time: `value` belongs to one month, quarter or year as written; converting it is a line."""

    per: Per = "month"

    @property
    def months(self) -> int:
        """Months of the period the value belongs to: 1, 3 or 12."""
        return MONTHS_PER[self.per]


@dataclass(frozen=True, slots=True, kw_only=True)
class Twelve:
    """Twelve numbers, the first one for the calendar month of the scenario's `start` (month names already sorted)."""

    values: tuple[float, ...]
    path: str
    source: str = ""
    status: Status = "estimated"
    line: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Two meter readings: a volume of last - first sides in `days` days."""

    first: Figure
    last: Figure
    first_date: dt.date
    last_date: dt.date
    path: str
    line: int | None = None

    @property
    def days(self) -> int:
        """Days between the two readings."""
        return (self.last_date - self.first_date).days


@dataclass(frozen=True, slots=True)
class Band:
    """One volume band: from this many clicks of the settlement period, this rate a click."""

    from_: Figure
    rate: Figure


@dataclass(frozen=True, slots=True)
class YearMonth:
    """A calendar month, written YYYY-MM."""

    year: int
    month: int
    path: str = ""
    line: int | None = None

    @property
    def index(self) -> int:
        """Months since year 0, for differences."""
        return self.year * 12 + self.month - 1

    def plus(self, months: int) -> YearMonth:
        """Return the month that many months later."""
        year, month = divmod(self.index + months, 12)
        return YearMonth(year, month + 1, self.path, self.line)

    def __str__(self) -> str:
        return f"{self.year:04d}-{self.month:02d}"


@dataclass(frozen=True, slots=True)
class DatedFigure:
    """A figure that acts in one month."""

    when: YearMonth
    figure: Figure


@dataclass(frozen=True, slots=True)
class DatedPrices:
    """List prices from a month on: of the base, and of single meters by id; what is absent stays as it was."""

    when: YearMonth
    base: FlowFigure | None
    rates: dict[str, Figure]


Volume = FlowFigure | Twelve | Readings

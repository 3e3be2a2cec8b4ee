"""Work for the oracle: the calendar, the job classes of an average month and the work index of every month."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from tests.oracle import reading as r


@dataclass(frozen=True)
class Clock:
    """Months, years, prices and discount factors of one scenario."""

    months: int
    start: int  # months since the year 0
    rate: float
    nominal: bool
    inflation: float
    fiscal_start: int  # calendar month 0 ... 11

    def operating_month(self, raw: Any) -> int:
        """Turn YYYY-MM or a number of a month into the number of an operating month."""
        text = str(raw)
        return r.month_count(raw) - self.start + 1 if "-" in text.strip("-") else round(float(text))

    def year(self, month: int) -> int:
        """Give the year of operation, from 1."""
        return (month - 1) // 12 + 1

    def calendar(self, month: int) -> int:
        """Give the calendar month, 0 ... 11."""
        return (self.start + month - 1) % 12

    def closes_fiscal_year(self, month: int) -> bool:
        """Say whether a fiscal year ends with this month, by calendar or by the horizon."""
        return month == self.months or self.calendar(month + 1) == self.fiscal_start

    def fiscal_year(self, month: int) -> int:
        """Give the fiscal year, 1 being the one that holds month 1."""
        return 1 + sum(1 for m in range(2, month + 1) if self.calendar(m) == self.fiscal_start)

    def price_level(self, month: int) -> float:
        """Give the price level, a step each anniversary."""
        return float((1 + self.inflation) ** (self.year(month) - 1))

    def factor(self, month: int, timing: str) -> float:
        """Give the discount factor of a flow."""
        years = {"opening": month - 1, "middle": month - 0.5, "close": month}[timing] / 12
        return float((1 + self.rate / 12) ** (-12 * years) if self.nominal else (1 + self.rate) ** -years)


@dataclass(frozen=True)
class Work:
    """One class of work, average month."""

    key: str
    colour: bool
    sides: float
    sets: float
    jobs: float
    good_sheets: float
    run_sheets: float
    passes: float
    blank_passes: float  # blank backs of run sheets
    large: float  # share on large sheets; 0 or 1 for a job class
    size: str  # small size of a plain class
    large_size: str
    two_sided: float  # share of the sides
    heavy: bool
    coverage: float
    finishes: tuple[str, ...]
    stock: str | None
    index: tuple[float, ...]  # months 1 ... H at position 0 ...

    def mean_of_sizes(self, of_size: Any) -> float:
        """Weigh a quantity of the small and of the large size."""
        if self.large in (0.0, 1.0):
            return float(of_size(self.large_size if self.large else self.size))
        return (1 - self.large) * float(of_size(self.size)) + self.large * float(of_size(self.large_size))


def clock_of(data: r.Tree) -> Clock:
    """Read the calendar and the money basis."""
    money = data.get("money") or {}
    rate = money.get("discount_rate", money.get("borrowing_rate"))
    return Clock(
        months=round(r.number(data["months"])),
        start=r.month_count(data["start"]),
        rate=r.number(rate),
        nominal=str(money.get("discount_basis", "effective")).startswith("nominal"),
        inflation=r.number(money.get("inflation")),
        fiscal_start=r.calendar_month(money.get("fiscal_year_starts", "January")),
    )


def small_size(data: r.Tree) -> str:
    """Give letter or a4."""
    named = str((data.get("money") or {}).get("paper_sizes", "letter")).lower()
    return "a4" if named in ("a4", "iso", "metric", "a") else "letter"


def season_factors(raw: Any, clock: Clock) -> list[float]:
    """Give twelve factors, the first one for the month of `start`, with mean 1."""
    if raw is None:
        return [1.0] * 12
    if isinstance(raw, dict):
        named = {r.calendar_month(k): r.number(v) for k, v in raw.items()}
        figures = [named[clock.calendar(m)] for m in range(1, 13)]
    else:
        figures = [r.number(x) for x in raw]
    mean = sum(figures) / 12
    return [x / mean if mean else 0.0 for x in figures]


def work_index(data: r.Tree, clock: Clock, season: list[float], change: float) -> tuple[float, ...]:
    """Give the index of months 1 ... H."""
    scale = r.number(data.get("volume_scale"), 1.0)
    return tuple(scale * season[(m - 1) % 12] * (1 + change) ** (clock.year(m) - 1) for m in range(1, clock.months + 1))


def classes_of(data: r.Tree, clock: Clock) -> list[Work]:
    """Read jobs or plain volumes."""
    if data.get("jobs"):
        return [job_class(data, clock, key, job) for key, job in data["jobs"].items()]
    work = data.get("work") or {}
    return [plain_class(data, clock, key) for key in ("colour", "black") if key in work]


def job_class(data: r.Tree, clock: Clock, key: str, job: r.Tree) -> Work:
    """Read one class of jobs."""
    raw = job["jobs"]
    jobs = 12 * r.amount(raw) if isinstance(raw, dict) else r.number(raw)
    jobs /= 12
    per_sheet = 2 if r.yes(job.get("two_sided")) else 1
    sides_per_set = r.number(job["sides_per_set"])
    sets = jobs * r.number(job.get("sets_per_job"), 1.0)
    sides = sets * sides_per_set
    good = sets * math.ceil(sides_per_set / per_sheet)
    run = good * (1 + r.number(job.get("waste", data.get("waste")))) + jobs * r.number(job.get("make_ready_sheets"))
    size = str(job.get("size") or small_size(data)).lower()
    colour = str(job.get("colour", "black")) == "colour"
    finish = job.get("finish") or ()
    coverage = job.get("coverage", data.get("coverage"))
    return Work(
        key=key,
        colour=colour,
        sides=sides,
        sets=sets,
        jobs=jobs,
        good_sheets=good,
        run_sheets=run,
        passes=run * per_sheet,
        blank_passes=(good * per_sheet - sides) * run / good if good else 0.0,
        large=float(r.is_large(size)),
        size=size,
        large_size=size,
        two_sided=float(per_sheet - 1),
        heavy=r.yes(job.get("heavy")),
        coverage=r.by_colour(coverage, colour, 0.05),
        finishes=(finish,) if isinstance(finish, str) else tuple(finish),
        stock=job.get("paper"),
        index=work_index(
            data,
            clock,
            season_factors(job.get("season", data.get("season")), clock),
            r.number(job.get("change_per_year", data.get("change_per_year"))),
        ),
    )


def plain_sides(raw: Any) -> tuple[float, list[Any] | None]:
    """Give sides a month and, for twelve figures, the season they carry."""
    if isinstance(raw, list):
        return sum(r.number(x) for x in raw) / 12, raw
    if isinstance(raw, dict) and "readings" in raw:
        read = sorted((r.date(day), r.number(meter)) for day, meter in raw["readings"].items())
        (day_1, meter_1), (day_2, meter_2) = read
        return (meter_2 - meter_1) / (day_2 - day_1).days * 365.25 / 12, None
    return r.amount(raw), None


def plain_class(data: r.Tree, clock: Clock, key: str) -> Work:
    """Read plain volumes of one colour."""
    work = data["work"]
    colour = key == "colour"
    sides, own_season = plain_sides(work[key])
    two_sided = r.by_colour(work.get("two_sided_share"), colour, 0.0)
    spoilage = 1 + r.number(data.get("waste"))
    good = sides * (1 - two_sided / 2)
    size = str(work.get("size") or small_size(data)).lower()
    large_size = str(work.get("large_size") or ("a3" if small_size(data) == "a4" else "ledger")).lower()
    change = work.get("change_per_year", data.get("change_per_year"))
    return Work(
        key=key,
        colour=colour,
        sides=sides,
        sets=0.0,
        jobs=0.0,
        good_sheets=good,
        run_sheets=good * spoilage,
        passes=sides * spoilage,
        blank_passes=0.0,
        large=r.by_colour(work.get("oversize_share"), colour, 0.0),
        size=size,
        large_size=large_size,
        two_sided=two_sided,
        heavy=False,
        coverage=r.by_colour(data.get("coverage"), colour, 0.05),
        finishes=(),
        stock=None,
        index=work_index(
            data, clock, season_factors(own_season or data.get("season"), clock), r.by_colour(change, colour, 0.0)
        ),
    )

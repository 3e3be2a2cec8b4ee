"""The one frozen record that everything published is made from: plain text, plain numbers, nothing to compute.

Pages, workbook and data files only look things up here, so a figure cannot differ between them. `make_report` is the
only place where lines of the model become figures to show; `tco.advice.verdict` holds the rules for naming a winner.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

import numpy as np

from tco.advice.verdict import Standing, Verdict, judge
from tco.analyses.breakeven import BreakEven, Pair
from tco.analyses.crossings import Best
from tco.model.kinds import Array
from tco.model.model import Model, reads
from tco.model.nodes import Line
from tco.model.words import words
from tco.problem import Problem
from tco.scenario.figure import MONTH_NAMES
from tco.scenario.schema import Candidate as Written
from tco.scenario.schema import Scenario
from tco.units import spell

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
    number where nothing is printed); `pairs` and `best` as the search for break-evens found them.
    """

    volumes: tuple[float, ...]
    per_side: Mapping[str, tuple[float, ...]]
    pairs: tuple[Pair, ...]
    best: tuple[Best, ...]
    complete: bool = True

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


@dataclass(frozen=True)
class Report:
    """The whole study."""

    facts: Facts
    candidates: tuple[Candidate, ...]
    verdict: Verdict
    entries: tuple[Entry, ...]
    gaps: tuple[Problem, ...] = ()
    volumes: Volumes | None = None
    years: tuple[int, ...] = ()
    fiscal_years: tuple[int, ...] = ()
    calendar_months: tuple[int, ...] = ()
    by_key: Mapping[str, Entry] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "by_key", {entry.key: entry for entry in self.entries})

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


def make_report(
    scenario: Scenario, model: Model, values: Mapping[str, Array], breakeven: BreakEven | None = None
) -> Report:
    """Put everything that is published into one record.

    Parameters
    ----------
    scenario : the checked scenario
    model, values : its model, and all its lines evaluated with one draw, shape (1, entries, months)
    breakeven : the search over volumes; None when there was none
    """
    months = _months(scenario, values)
    fiscal = _row(values["time.fiscal_year"], months)
    candidates = tuple(
        _candidate(scenario, model, values, place, key, one, months)
        for place, (key, one) in enumerate(scenario.candidates_all)
    )
    volumes = None
    if breakeven is not None:
        per_side = {key: tuple(row.tolist()) for key, row in breakeven.per_side.items()}
        volumes = Volumes(
            tuple(breakeven.volumes.tolist()), per_side, breakeven.pairs, breakeven.best, breakeven.complete
        )
    return Report(
        facts=_facts(scenario, values),
        candidates=candidates,
        verdict=judge([_standing(one) for one in candidates]),
        entries=tuple(_entry(model, line, values[line.id], scenario.horizon) for line in model.lines),
        gaps=scenario.gaps,
        volumes=volumes,
        years=tuple(m // 12 + 1 for m in range(months)),
        fiscal_years=tuple(int(number) for number in fiscal),
        calendar_months=tuple((scenario.start.month - 1 + m) % 12 + 1 for m in range(months)),
    )


def _months(scenario: Scenario, values: Mapping[str, Array]) -> int:
    """The months of the statements: the horizon, or longer where a relief of tax arrives later."""
    last = scenario.horizon
    for key, _ in scenario.candidates_all:
        paid = np.flatnonzero(values[f"{key}.statement.net"][0, 0])
        last = max(last, int(paid[-1]) + 1 if len(paid) else 0)
    return last


def _row(values: Array, months: int) -> tuple[float, ...]:
    return tuple(values[0, 0, :months].tolist())


def _facts(scenario: Scenario, values: Mapping[str, Array]) -> Facts:
    money, prepared = scenario.money, scenario.prepared
    labour = scenario.shop.labour
    return Facts(
        title=scenario.title,
        file=scenario.document.file,
        year=scenario.start.year,
        month=scenario.start.month,
        months=scenario.horizon,
        currency=money.currency,
        locale=getattr(money, "locale", None) or "en_US",
        paper="letter" if money.paper_sizes == "inch" else "a4",
        prepared_by=(prepared.by or "") if prepared else "",
        prepared_for=(prepared.for_ or "") if prepared else "",
        date=(prepared.date or "") if prepared else "",
        left_out=tuple(scenario.left_out),
        last_year=_last_year(scenario.reference_id, values),
        discount_rate=money.discount_rate.number,
        discount_basis=money.discount_basis,
        freed_hours=labour.freed_hours if labour else "",
        fiscal_month=1 + MONTH_NAMES.index(money.fiscal_year_starts[:3]),
        income_tax=money.income_tax is not None,
        sales_tax=money.sales_tax is not None,
        average_sides=float(values["work.average_sides"][0, 0, 0] * values["volume_scale"][0, 0, 0]),
    )


def _last_year(today: str, values: Mapping[str, Array]) -> tuple[LastYear, ...]:
    """What was paid and what the model gives, by heading; empty when no sums were written."""
    head, tail = f"{today}.last_year.", "_modelled"
    found = []
    for key, modelled in values.items():
        if key.startswith(head) and key.endswith(tail):
            heading = key.removeprefix(head).removesuffix(tail)
            paid = values[f"{today}.last_year.{heading}"]
            found.append(LastYear(heading, float(paid[0, 0, 0]), float(modelled[0, 0, 0])))
    return tuple(found)


def _candidate(
    scenario: Scenario, model: Model, values: Mapping[str, Array], place: int, key: str, one: Written, months: int
) -> Candidate:
    head = f"{key}.measures."
    measures = {
        name.removeprefix(head): float(value[0, 0, 0])
        for name, value in values.items()
        if name.startswith(head) and model[name].role == "memo" and value.shape == (1, 1, 1)
    }
    slugs = {kind: kind.replace(" ", "_") for kind in KINDS}
    statement = {
        kind: _row(values[f"{key}.statement.{slug}"], months)
        for kind, slug in slugs.items()
        if f"{key}.statement.{slug}" in values
    }
    presses = []
    for name, press, _ in one.press_items():
        used = values.get(f"{key}.{name}.utilisation")
        presses.append(
            Press(
                name, f"{key}.{name}", _press_name(one, name, press.name), None if used is None else _row(used, months)
            )
        )
    forms = [form for _, press, _ in one.press_items() for form in (press.cash, press.loan, press.lease, press.rental)]
    if not any(forms):
        # Nothing is bought, borrowed or rented, so nothing can be paid later.
        measures |= {"financing_effect": 0.0, "at_cash_price": measures["present_value"]}
    return Candidate(
        id=key,
        name=one.title,
        place=place,
        measures=measures,
        kinds={kind: measures[f"pv_{slug}"] for kind, slug in slugs.items() if f"pv_{slug}" in measures},
        statement=statement,
        net=_row(values[f"{key}.statement.net"], months),
        cumulative=_row(values[f"{key}.statement.cumulative"], months),
        presses=tuple(presses),
        classes=_classes(model, values, key),
        gaps=tuple(gap for gap in scenario.gaps if gap.path == key or gap.path.startswith(key + ".")),
        terms=_terms(model, key),
        quote=one.quote or "",
    )


def _press_name(one: Written, name: str, written: str | None) -> str:
    return written or (name.replace("_", " ").capitalize() if one.presses else one.title)


def _classes(model: Model, values: Mapping[str, Array], key: str) -> tuple[ClassCost, ...]:
    parts = [f"{key}.class_cost.{part}" for part in ("set_full", "set_next", "job_full", "job_next")]
    if not all(part in values for part in parts):
        return ()
    axis = model[parts[0]].shape.axis
    columns = [values[part][0, :, 0].tolist() for part in parts]
    return tuple(
        ClassCost(name, *figures) for name, *figures in zip(axis.labels if axis else (), *columns, strict=True)
    )


def _terms(model: Model, scope: str) -> tuple[str, ...]:
    """Keys of the inputs that a candidate's own blocks hold or use, in reading order."""
    found: dict[str, None] = {}
    for block in model.blocks_of(scope):
        for line in (*block.lines, *block.used):
            if line.role in ("input", "choice"):
                found.setdefault(line.id)
    return tuple(found)


def _standing(one: Candidate) -> Standing:
    told = one.measures
    return Standing(
        one.id,
        told["present_value"],
        told["level_month"],
        told.get("unplaced_sides", 0.0),
        told.get("uncovered_months", 0.0),
        told.get("at_cash_price"),
        told.get("financing_effect"),
        told.get("pv_people_saved"),
        told.get("pv_people_stay"),
    )


def _entry(model: Model, line: Line, values: Array, horizon: int) -> Entry:
    rows = tuple(tuple(row) for row in values[0].tolist())
    total: Sequence[float] | None = None
    if line.shape.months and line.total == "sum":
        total = [sum(row) for row in rows]
    elif line.shape.months and line.total == "closing":
        total = [row[min(horizon, len(row)) - 1] for row in rows]
    axis, origin, block = line.shape.axis, line.origin, line.block
    return Entry(
        key=line.id,
        label=line.label,
        block=block.id,
        block_label=block.label,
        scope=block.scope,
        role=line.role,
        unit=spell(line.unit),
        values=rows,
        monthly=line.shape.months,
        axis=axis.name if axis else "",
        axis_labels=axis.labels if axis else (),
        total=tuple(total) if total is not None else None,
        total_means=line.total,
        kind=line.kind,
        percent=line.percent,
        words=words(line) if line.expr is not None else line.text,
        source=origin.source,
        status=origin.status,
        date=origin.date,
        note=origin.note,
        low=origin.low,
        high=origin.high,
        reads=tuple(other.id for other in reads(line)),
        readers=tuple(other.id for other in model.readers[line]),
    )

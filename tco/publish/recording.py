"""The lines of the model become figures to show: from a scenario and its computed model to the record of the study."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from tco.advice.record import QuoteWarning
from tco.advice.silence import Silence
from tco.advice.verdict import Standing, Verdict, judge
from tco.advice.warnings import not_comparable
from tco.analyses.breakeven import BreakEven
from tco.analyses.same_scope import classes_asked, same_scope
from tco.model.kinds import Array, Origin
from tco.model.model import Model, reads
from tco.model.nodes import Line
from tco.model.words import words
from tco.report import KINDS, Candidate, ClassCost, Entry, Facts, LastYear, Press, Report, Volumes
from tco.scenario.figure import MONTH_NAMES
from tco.scenario.schema import Candidate as Written
from tco.scenario.schema import Scenario
from tco.units import spell


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
        verdict=judge([standing(one) for one in candidates]),
        entries=tuple(_entry(model, line, values[line.id], scenario.horizon) for line in model.lines),
        gaps=scenario.gaps,
        volumes=volumes,
        years=tuple(m // 12 + 1 for m in range(months)),
        fiscal_years=tuple(int(number) for number in fiscal),
        stop_after=_stop_after(scenario, values),
        scope=same_scope(scenario, values, classes_asked(model)),
        calendar_months=tuple((scenario.start.month - 1 + m) % 12 + 1 for m in range(months)),
    )


def _stop_after(scenario: Scenario, values: Mapping[str, Array]) -> dict[str, tuple[float, ...]]:
    """Cost of stopping after each month of the horizon, by candidate; empty when the model does not tell."""
    rows = {key: values.get(f"{key}.measures.stop_after") for key, _ in scenario.candidates_all}
    return {key: _row(row, scenario.horizon) for key, row in rows.items() if row is not None}


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
        locale=money.locale,
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
        introduction=scenario.introduction or "",
        recommendation=scenario.recommendation or "",
        fingerprint=scenario.fingerprint,
        from_file=bool(scenario.document.text),
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
    for turn in one.fleet(scenario.horizon):
        name, called = turn.id, one.turn_title(turn)
        used = values.get(f"{key}.{name}.utilisation")
        presses.append(Press(name, f"{key}.{name}", called, None if used is None else _row(used, months)))
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


def judged(report: Report, found: Silence, warnings: tuple[QuoteWarning, ...]) -> Verdict:
    """Return the verdict again, now that it is known what the quotes leave open."""
    wrong = not_comparable(warnings)
    standings = []
    for one in report.candidates:
        bar = found.bar(one.id)
        titles = tuple(point.title for key in (one.id, "") for point in wrong.get(key, ()))
        standings.append(replace(standing(one), low=bar.low, high=bar.high, unsettled=titles))
    return judge(standings)


def standing(one: Candidate) -> Standing:
    """What the verdict needs of a candidate, before any advice."""
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


def _origin(line: Line) -> Origin:
    """Where a line comes from: its own origin, or those of its places, each told once."""
    if not line.entry_origins:
        return line.origin

    def told(words: Iterable[str]) -> str:
        return "; ".join(filter(None, dict.fromkeys(words)))

    some = line.entry_origins
    return replace(
        line.origin,
        source=told(one.source for one in some),
        status=told(one.status for one in some),
        date=told(one.date for one in some),
        note=told(one.note for one in some),
    )


def _entry(model: Model, line: Line, values: Array, horizon: int) -> Entry:
    rows = tuple(tuple(row) for row in values[0].tolist())
    total: Sequence[float] | None = None
    if line.shape.months and line.total == "sum":
        total = [sum(row) for row in rows]
    elif line.shape.months and line.total == "closing":
        total = [row[min(horizon, len(row)) - 1] for row in rows]
    axis, origin, block = line.shape.axis, _origin(line), line.block
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
        entry_keys=line.entry_keys,
        readers=tuple(other.id for other in model.readers[line]),
    )

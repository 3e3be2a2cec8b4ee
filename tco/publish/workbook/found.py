"""From the record of the study to the sheets of results: what the answer rests on, how sure it is, what is open."""

from __future__ import annotations

from typing import Final

from tco.advice.record import QuoteWarning
from tco.analyses.evidence import ENOUGH, STATUSES, STEP, Evidence, Rests
from tco.analyses.risk import NotAssessed, Risk
from tco.analyses.sensitivity import Sensitivity, Swing, Switch
from tco.analyses.stress import Cell, Stress
from tco.model.model import Model
from tco.model.nodes import Line
from tco.publish.workbook.stored import EVIDENCE, UNCERTAINTY, WARNINGS
from tco.publish.workbook.study import Amount, Part, Shown
from tco.publish.workbook.styles import number_format, unit_words
from tco.report import Report
from tco.scenario.locales import percent

_MONEY, _SHARE, _COUNT = "#,##0.00", "0.0%", "#,##0"
_SEVERITIES: Final = {"error": "not yet comparable", "warn": "warning", "inform": "to know"}
_NEVER: Final = "never"


def found(report: Report, model: Model) -> dict[str, tuple[Part, ...]]:
    """What every sheet of results holds; without what was not looked for."""
    made = {
        EVIDENCE: _evidence(report, model),
        UNCERTAINTY: _uncertainty(report, model),
        WARNINGS: _warnings(report, model),
    }
    return {name: parts for name, parts in made.items() if parts}


def _names(report: Report) -> dict[str, str]:
    return {one.id: one.name for one in report.candidates} | {"": "nobody"}


def _money(value: float | None) -> Shown:
    return "" if value is None else Amount(value, _MONEY)


# Evidence ----------------------------------------------------------------------------------------------------------


def _evidence(report: Report, model: Model) -> tuple[Part, ...]:
    told = report.evidence
    if told is None:
        return ()
    names = _names(report)
    heads = ("", "Candidate", "Figures", *(status.capitalize() for status in STATUSES))
    rows: list[tuple[Shown, ...]] = [
        (
            one.candidate, names[one.candidate], Amount(one.figures, _COUNT),
            *(Amount(one.shares[status], _SHARE) for status in STATUSES),
        )
        for one in told.candidates
    ]  # fmt: skip
    notes = (*_how(report.facts.locale), _not_moved(told))
    shares = Part("Share of each candidate's present value, by where the figures come from", notes, heads, tuple(rows))
    return (shares, *(_heaviest(one, names[one.candidate], report, model) for one in told.candidates))


def _how(place: str) -> tuple[str, ...]:
    step = percent(STEP, place)
    return (
        f"The weight of a figure: how far the present value of cost moves when it alone is moved by {step} of itself.",
        f"Taken as half the way from {step} less to {step} more. Receipts weigh as costs do.",
        f"A share is a weight over the sum of all weights of the candidate; shares add up to {percent(1, place)}.",
        "Where figures multiply each other, as rate times clicks, each of them carries the whole product.",
    )


def _not_moved(told: Evidence) -> str:
    return (
        f"Not moved: {told.counting} figures that count months, presses or sides, and {told.nothing} that are nothing; "
        "what is unknown and computed as nothing stands on About. The volume scale is a lever and left out."
    )


def _heaviest(one: Rests, name: str, report: Report, model: Model) -> Part:
    more = f"{percent(STEP, report.facts.locale)} more costs, {report.facts.currency}"
    heads = ("Key", "Figure", "Unit", "Value", more, "Share", "So far", "Status", "Date", "Source")
    rows: list[tuple[Shown, ...]] = []
    so_far = 0.0
    for each in one.most:
        so_far += each.share
        line = model[each.line]
        rows.append(
            (
                each.key, each.label, unit_words(line, report.facts.currency),
                Amount(each.value, number_format(line)), _money(each.moves), Amount(each.share, _SHARE),
                Amount(so_far, _SHARE), each.status, each.date, each.source,
            )
        )  # fmt: skip
    most = percent(ENOUGH, report.facts.locale)
    note = f"{one.needed} figures carry {most} of the weight; the heaviest {len(rows)} are shown."
    return Part(f"{name}: the heaviest figures", (note,), heads, tuple(rows))


# Uncertainty -------------------------------------------------------------------------------------------------------


def _uncertainty(report: Report, model: Model) -> tuple[Part, ...]:
    names = _names(report)
    parts = []
    if report.sensitivity is not None:
        parts.append(_swings(report.sensitivity, names, report.facts.currency, model))
    if report.risk is not None:
        parts.append(_futures(report.risk, names, report.facts.currency))
    if report.stress is not None:
        parts.append(_stress(report.stress, names, report.facts.currency))
    return tuple(parts)


def _swings(told: Sensitivity, names: dict[str, str], currency: str, model: Model) -> Part:
    heading = "One figure at a time, each at both ends of its range"
    if told.reason:
        return Part(heading, (f"Nothing to tell: {told.reason}.",))
    ends = (f"Lead at low, {currency}", f"Lead at high, {currency}", "Cheapest at low", "Cheapest at high")
    changes = ("Changes below, at", "then cheapest", "Changes above, at", "then cheapest")
    heads = ("Key", "Figure", "Unit", "Low", "As written", "High", *ends, *changes)
    notes = (
        f"The lead of {names[told.leader]} over the cheapest other, in today's money; negative: it leads no more.",
        "Changes at: the value from which another candidate is cheapest, looked for as far again as the range is wide.",
    )
    return Part(heading, notes, heads, tuple(_swing(one, names, currency, model) for one in told.swings))


def _swing(one: Swing, names: dict[str, str], currency: str, model: Model) -> tuple[Shown, ...]:
    figure = one.figure
    form, unit = _form(figure.key, model), unit_words(_line(figure.key, model), currency)
    return (
        figure.key, figure.label, unit,
        *(Amount(value, form) for value in (figure.low, figure.value, figure.high)),
        _lead(one.lead_low), _lead(one.lead_high), names[one.winner_low], names[one.winner_high],
        *_switch(one.below, names, form), *_switch(one.above, names, form),
    )  # fmt: skip


def _lead(value: float) -> Shown:
    return Amount(value, _MONEY) if abs(value) != float("inf") else "no other can win"


def _switch(told: Switch | None, names: dict[str, str], form: str) -> tuple[Shown, Shown]:
    return (_NEVER, "") if told is None else (Amount(told.value, form), names[told.winner])


def _line(key: str, model: Model) -> Line:
    return model.entries[key][0] if key in model.entries else model[key]


def _form(key: str, model: Model) -> str:
    return number_format(_line(key, model))


def _futures(told: Risk | NotAssessed, names: dict[str, str], currency: str) -> Part:
    heading = "Futures drawn from the ranges, the same for all candidates"
    if isinstance(told, NotAssessed):
        return Part(heading, (f"{told.reason[0].upper()}{told.reason[1:]}.",))
    heads = ("", "Candidate", "Cheapest, of 100", "Share", "By half of them", "By a quarter", "Leaves work undone",
             f"Cost, 10 of 100, {currency}", f"50 of 100, {currency}", f"90 of 100, {currency}",
             f"Regret on average, {currency}", f"At most, {currency}")  # fmt: skip
    rows: list[tuple[Shown, ...]] = [
        (
            one.candidate, names[one.candidate], Amount(one.count, _COUNT),
            *(Amount(part, _SHARE) for part in (one.probability, one.at_half, one.at_quarter, one.undone)),
            *(_money(value) for value in (*one.cost, one.expected_regret, one.worst_regret)),
        )
        for one in told.chances
    ]  # fmt: skip
    rows.append(("", "Nobody does all the work", Amount(told.nobody_count, _COUNT), Amount(told.nobody, _SHARE)))
    notes = (
        f"{told.draws:,} futures, {told.shape} between low and high, seed {told.seed}.",
        "Cost: what is not exceeded in so many of 100 futures. Regret: more than the cheapest of the same future.",
    )
    return Part(heading, notes, heads, tuple(rows))


def _stress(told: Stress, names: dict[str, str], currency: str) -> Part:
    heads = ("Subject", "What if", "Cheapest", f"Lead, {currency}", "Next",
             *(f"{names[one]}, {currency}" for one in told.candidates))  # fmt: skip
    rows = tuple(_cell(one, names) for one in (told.as_written, *told.cells))
    note = "Questions that need no range. Cost in today's money of each candidate."
    return Part("What if", (note,), heads, rows)


def _cell(one: Cell, names: dict[str, str]) -> tuple[Shown, ...]:
    if not one.is_said:
        return one.group, one.label, "cannot be said", "", one.reason
    return (
        one.group, one.label, names[one.winner], _money(one.lead), names[one.second] if one.second else "",
        *(_money(value) for value in one.costs),
    )  # fmt: skip


# Warnings ----------------------------------------------------------------------------------------------------------


def _warnings(report: Report, model: Model) -> tuple[Part, ...]:
    names = _names(report) | {"": "all"}
    open_ones = [one for one in report.warnings if not one.accepted]
    settled = [one for one in report.warnings if one.accepted]
    heads = ("Code", "What is unsaid or doubtful", "Line", "Candidate", f"Money at stake, {report.facts.currency}",
             "Changes from", "To ask", "Assumed meanwhile", "Accepted because")  # fmt: skip
    parts = []
    for severity, words in _SEVERITIES.items():
        rows = tuple(_warning(one, names, model) for one in open_ones if one.severity == severity)
        if rows:
            parts.append(Part(f"Open: {words}", (), heads, rows))
    if settled:
        rows = tuple(_warning(one, names, model) for one in settled)
        parts.append(Part("Accepted, with the reason", (), heads, rows))
    return tuple(parts) or (Part("Nothing is open", ("No warning was found.",)),)


def _warning(one: QuoteWarning, names: dict[str, str], model: Model) -> tuple[Shown, ...]:
    stake = one.swing if one.readings else None
    known = one.path in model.entries or one.path in model
    switch: Shown = "" if one.switch is None else Amount(one.switch, _form(one.path, model) if known else _MONEY)
    return (
        one.key, one.title, "" if one.line is None else str(one.line), names.get(one.candidate, one.candidate),
        _money(stake), switch, one.question, one.assumed, one.accepted,
    )  # fmt: skip

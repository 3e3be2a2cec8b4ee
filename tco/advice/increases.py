"""Warnings about prices that may rise."""

from __future__ import annotations

from collections.abc import Iterator

from tco.advice.record import QuoteWarning
from tco.advice.study import Changes, PlanAt, Study
from tco.scenario.figure import Figure, YearMonth

# Increases every silent quote is looked at with. The project's own stress table, no forecast.
STRESS = (0.0, 0.03, 0.05, 0.10)


def stress(study: Study, figure: Figure) -> dict[str, float]:
    """Return the increases to try: the writer's own range where there is one."""
    if figure.low is not None and figure.high is not None and figure.low < figure.high:
        return {f"{study.percent(value)} each time": value for value in (figure.low, figure.high)}
    return {f"{study.percent(value)} a year": value for value in STRESS}


def increase_unstated(study: Study) -> Iterator[QuoteWarning]:
    """A quote that says nothing on increases has not said there are none."""
    for one in study.plans():
        if one.plan.increase.is_assumed and one.plan.increases is None:
            figure, path = one.plan.increase, f"{one.path}.increase"
            yield study.warning(
                "increase-unstated", one.candidate, "warn", path,
                f"{one.name}: nothing is said on increases of the service prices",
                "By how much may base and click prices rise, from which month, how often, and what is the cap for the "
                "whole contract?",
                f"{study.percent(figure.number)} each time; not mentioned is not zero",
                study.at(one.candidate, figure, path, stress(study, figure)),
                study.switch_value(figure.path, 1.0),
            )  # fmt: skip
    for press in study.presses():
        rental = press.press.rental
        if rental is not None and rental.increase.is_assumed:
            path = f"{press.path}.rental.increase"
            yield study.warning(
                "increase-unstated", press.candidate, "warn", path,
                f"{press.name}: nothing is said on increases of the rent",
                "By how much may the rent rise, from which month and how often?",
                f"{study.percent(rental.increase.number)} each time; not mentioned is not zero",
                study.at(press.candidate, rental.increase, path, stress(study, rental.increase)),
                study.switch_value(rental.increase.path, 1.0),
            )  # fmt: skip


def increase_open(study: Study) -> Iterator[QuoteWarning]:
    """An increase is named, but not its cap, its start or the prices it holds for."""
    for one in study.plans():
        plan = one.plan
        if plan.increase.is_assumed or plan.increase.number <= 0:
            continue
        missing = [
            word for word, unsaid in (
                ("a cap", plan.increase_cap is None and plan.increase.status != "contracted"),
                ("a first month", study.silent(f"{one.path}.increase_from")),
                ("the prices that rise", study.silent(f"{one.path}.increase_on")),
            ) if unsaid
        ]  # fmt: skip
        if "a cap" in missing:
            path = f"{one.path}.increase"
            yield study.warning(
                "increase-open", one.candidate, "warn", path,
                f"{one.name}: the increase is named without {', '.join(missing)}",
                f"Please confirm that prices rise by no more than {study.percent(plan.increase.number)} each time, "
                "from which month, and whether base, click prices and minimums rise alike.",
                _assumed(study, one), study.at(one.candidate, plan.increase, path, stress(study, plan.increase)),
            )  # fmt: skip


def _assumed(study: Study, one: PlanAt) -> str:
    begin = one.plan.increase_from
    when = f"from {begin}" if isinstance(begin, YearMonth) else f"from contract month {begin.number:.0f}"
    return f"{study.percent(one.plan.increase.number)} each time, {when}, on {', '.join(one.plan.increase_on)}"


def cap_scope(study: Study) -> Iterator[QuoteWarning]:
    """A cap on increases that may end with the contract while the press stays in use."""
    for one in study.plans():
        cap, months = one.plan.increase_cap, one.plan.months
        if cap is None or months is None:
            continue
        first = int(min((press.from_month.number for press in one.presses), default=1))
        used = int(study.row(f"{one.block}.active").sum())
        if used > months.number:
            path = f"{one.path}.increase_cap"
            both: dict[str, Changes] = {"cap kept": {path: cap.number}, "no cap": {path: None}}
            yield study.warning(
                "cap-scope", one.candidate, "warn", path,
                f"{one.name}: the cap on increases is promised for {months.number:.0f} months, the press stays "
                f"{used} from month {first}",
                "Does the cap also hold when the contract goes on, and for a press that replaces this one?",
                "The cap holds as long as the press is used", study.readings(one.candidate, both),
            )  # fmt: skip

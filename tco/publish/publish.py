"""From a scenario to a folder of files: compute, check, put into one record, write everything or nothing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path
from typing import Final

from tco.advice.dates import calendar_file, dates
from tco.advice.questions import questions
from tco.advice.silence import silence
from tco.advice.study import Study as Looked
from tco.advice.warnings import find_warnings
from tco.analyses.breakeven import BreakEven, break_even, months_alike
from tco.analyses.concessions import Offer, concessions
from tco.analyses.evidence import evidence
from tco.analyses.fitting import fitting
from tco.analyses.new_work import new_work
from tco.analyses.not_to_exceed import not_to_exceed
from tco.analyses.risk import assess
from tco.analyses.sensitivity import sensitivity
from tco.analyses.stress import stress
from tco.analyses.switches import average_sides
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.model.kinds import Array
from tco.model.model import Model
from tco.problem import Problem
from tco.publish.cautions import used
from tco.publish.checks import failed_checks
from tco.publish.downloads import pictures
from tco.publish.files import PublishError, publish_folder, safe_name
from tco.publish.ledger import ledger_text
from tco.publish.numbers import Numbers
from tco.publish.pages.files import LEDGER, RESULTS, SCENARIO
from tco.publish.parts import Kit
from tco.publish.recording import judged, make_report
from tco.publish.results import results, results_text
from tco.publish.sentences import headline
from tco.publish.site import build_site
from tco.publish.workbook.found import found as found_sheets
from tco.publish.workbook.study import Contender, Said, Study
from tco.publish.workbook.styles import WorkbookError
from tco.publish.workbook.write import write_workbook
from tco.report import Report, Volumes
from tco.scenario.schema import Scenario

# Break-evens are searched from nothing up to this many times the volume of the scenario. The quotes were asked for
# around that volume: at twice of it other presses and other bands would be offered, so a crossing farther out answers
# nothing. `break_even` itself searches any range. The project's own choice.
FURTHEST: Final = 2.0

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Computed:
    """A scenario, computed. `break_evens` is empty when there is no work to scale."""

    scenario: Scenario
    model: Model
    values: Mapping[str, Array]
    break_evens: Mapping[str, BreakEven]
    report: Report


@dataclass(frozen=True)
class Published:
    """What was published: the answer in one line, and where to look."""

    title: str
    answer: str
    folder: Path
    site: Path
    workbook: Path


def _silent(_: str) -> None:
    """Tell nobody."""


def publish(scenario: Scenario, folder: Path, tell: Tell = _silent) -> Published:
    """Publish a scenario into a folder: site, workbook, results.json, ledger.csv and a copy of the scenario.

    Parameters
    ----------
    scenario : a checked scenario
    folder : absent, empty or published before; replaced as a whole
    tell : called with each step, in words

    Raises
    ------
    PublishError
        A check of the model fails, the workbook would be too large, or the folder cannot be replaced; what stood there
        is untouched.
    """
    computed = compute(scenario, tell)
    book = f"{safe_name(folder.name)}.xlsx"
    answer = _answer(computed.report)
    publish_folder(folder, lambda place: _write(computed, place, book, answer, tell))
    return Published(scenario.title, answer, folder, folder / "index.html", folder / book)


def compute(scenario: Scenario, tell: Tell = _silent) -> Computed:
    """Compute everything that is published.

    Raises
    ------
    PublishError
        A check line of the model is not zero, or a line is no number.
    """
    tell("computing")
    model = build(scenario)
    values = evaluate(model)
    failed = failed_checks(scenario.document.file, model, values)
    if failed:
        raise PublishError(failed)
    tell("searching for break-even volumes")
    break_evens = _break_evens(scenario, model)
    report = make_report(scenario, model, values, break_evens.get("season"))
    tell("asking what could change the answer")
    study = Looked(scenario, model, values)
    found = find_warnings(study)
    unsaid = silence(study, found)
    report = replace(
        report,
        verdict=judged(report, unsaid, found),
        silence=unsaid,
        warnings=found,
        questions=questions(study, found),
        concessions=_concessions(model, report),
        volumes=_fitted(report.volumes, model, scenario),
        dates=dates(study),
        calendars={key: calendar_file(study, key) for key, _ in scenario.candidates_all},
        facts=replace(report.facts, version=version("tco")),
        ceilings=not_to_exceed(model, [key for key, _ in scenario.candidates_all]),
        new_work=new_work(scenario, values),
        stress=stress(model, scenario),
        risk=assess(model, scenario),
        sensitivity=sensitivity(model),
        evidence=evidence(model),
    )
    return Computed(scenario, model, values, break_evens, report)


def _fitted(volumes: Volumes | None, model: Model, scenario: Scenario) -> Volumes | None:
    """The volumes, with where the work does not fit."""
    if volumes is None:
        return None
    ids = [key for key, _ in scenario.candidates_all]
    return replace(volumes, fit=fitting(model, scenario, ids, volumes.volumes))


def _concessions(model: Model, report: Report) -> tuple[Offer, ...]:
    """The room of whoever costs least and what each of the others that do all the work would have to give."""
    leader, *others = report.verdict.order or ("",)
    return concessions(model, leader, others) if others else ()


def _break_evens(scenario: Scenario, model: Model) -> dict[str, BreakEven]:
    average = float(evaluate(model, keep={"work.average_sides"})["work.average_sides"][0, 0, 0])
    if not average > 0:
        return {}
    ids = [key for key, _ in scenario.candidates_all]
    highest = FURTHEST * average_sides(model, {}) * max(1.0, scenario.volume_scale.number)
    found = {"season": break_even(model, ids, 0.0, highest)}
    alike = months_alike(model)
    if alike:
        found["months_alike"] = break_even(model, ids, 0.0, highest, replace=alike)
    return found


def _answer(report: Report) -> str:
    found = headline(Kit(report, Numbers(report.facts.locale, report.facts.currency), used(report)))
    text = f"{found.main}, {found.condition}" if found.condition else found.main
    return text.replace("\u00a0", " ")


def _write(computed: Computed, folder: Path, book: str, answer: str, tell: Tell) -> None:
    scenario, model, values = computed.scenario, computed.model, computed.values
    program = version("tco")
    tell("writing the site")
    made = build_site(computed.report, book)
    for name, content in {**made, **pictures(made)}.items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(content)
    tell("writing the workbook")
    try:
        write_workbook(model, values, study_of(computed, answer, program), folder / book)
    except WorkbookError as error:
        raise PublishError([Problem(scenario.document.file, None, "", str(error), "", "")]) from None
    tell("writing the data files")
    report = computed.report
    assert report.evidence is not None
    found = results(
        scenario, model, values, computed.break_evens, program, report.verdict, answer, report.ceilings,
        report.evidence, report.new_work,
    )  # fmt: skip
    (folder / RESULTS).write_text(results_text(found), encoding="utf-8")
    months = [scenario.label(month) for month in range(1, model.columns + 1)]
    (folder / LEDGER).write_bytes(ledger_text(model, values, months).encode("utf-8"))
    if scenario.document.text:  # as it was read; a scenario made from another by changes has no text of its own
        (folder / SCENARIO).write_bytes(scenario.document.text.encode("utf-8"))


def study_of(computed: Computed, answer: str, program: str) -> Study:
    """Return what the workbook tells beside the model."""
    scenario = computed.scenario
    prepared = scenario.prepared
    first = scenario.reference_id
    return Study(
        title=scenario.title,
        prepared_by=(prepared.by or "") if prepared else "",
        prepared_for=(prepared.for_ or "") if prepared else "",
        date=_date(scenario),
        version=program,
        fingerprint=scenario.fingerprint,
        currency=scenario.money.currency,
        start_year=scenario.start.year,
        start_month=scenario.start.month,
        candidates=tuple(Contender(key, one.title, key == first) for key, one in scenario.candidates_all),
        months=scenario.horizon,
        paper="letter" if scenario.money.paper_sizes == "inch" else "a4",
        verdict=answer,
        breakeven=_rows(scenario, computed.break_evens),
        found=found_sheets(computed.report, computed.model),
        gaps=tuple(replace(gap, file=Path(gap.file).name).text() for gap in scenario.gaps),
        scenario_text=scenario.document.text,
        scenario_file=Path(scenario.document.file).name,
    )


def _date(scenario: Scenario) -> dt.date:
    """Return the day of the study, else of its first month; never of the clock: same study, same bytes."""
    try:
        return dt.date.fromisoformat((scenario.prepared and scenario.prepared.date) or "")
    except ValueError:
        return dt.date(scenario.start.year, scenario.start.month, 1)


def _rows(scenario: Scenario, break_evens: Mapping[str, BreakEven]) -> tuple[tuple[Said, ...], ...]:
    names = {key: one.title for key, one in scenario.candidates_all}
    months = {"season": "as they are", "months_alike": "all alike"}
    rows: list[tuple[Said, ...]] = [
        ("Months", "Between", "and", "Kind", "From sides a month", "To sides a month", "Cheaper below", "Cheaper above")
    ]
    for which, found in break_evens.items():
        for pair in found.pairs:
            ends = (months[which], names[pair.first], names[pair.second])
            if not pair.crossings:
                cheaper = (names.get(one, "") for one in (pair.cheaper_at_low, pair.cheaper_at_high))
                rows.append((*ends, "never", "", "", *cheaper))
            rows.extend(
                (*ends, one.kind, one.low, one.high, names.get(one.cheaper_below, ""), names.get(one.cheaper_above, ""))
                for one in pair.crossings
            )
    return tuple(rows)

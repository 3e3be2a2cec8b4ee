"""Building one file, and several at once: each core of the machine takes a file of its own."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from tco.advice.study import Study
from tco.advice.warnings import find_warnings
from tco.assemble import build
from tco.audit.opened import load
from tco.model.evaluate import evaluate
from tco.problem import Problem, ScenarioError
from tco.publish.files import PublishError
from tco.publish.terminal_advice import refusals
from tco.scenario.schema import Scenario

if TYPE_CHECKING:
    from tco.publish.publish import Published

OK: Final = 0
MISTAKE: Final = 1
NOT_PUBLISHED: Final = 3

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Outcome:
    """What came of building one file: the exit code, what to say, what to complain about, and what was published."""

    code: int
    said: tuple[str, ...] = ()
    complaint: str = ""
    published: Published | None = None


@dataclass(frozen=True)
class Job:
    """One file to build, and the folder it is published into."""

    file: Path
    folder: Path
    strict: bool
    anonymous: bool


def _silent(_: str) -> None:
    """Tell nobody."""


def build_all(jobs: Sequence[Job], tell: Callable[[str], Tell]) -> Iterator[Outcome]:
    """Build every file and yield the outcomes as they come, so that a small study need not wait for a large one.

    Parameters
    ----------
    jobs : what to build
    tell : shows what is built, and gives the function that is told each step; several at once tell none
    """
    cores = min(len(jobs), os.cpu_count() or 1)
    if cores < 2:
        yield from (build_one(job, tell(str(job.file))) for job in jobs)
        return
    tell(f"{len(jobs)} scenarios")
    # Started afresh, not copied: the drawing library runs threads, which a copy of the process would not have.
    fresh = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(cores, mp_context=fresh) as pool:
        waiting = {pool.submit(build_one, job): job.file for job in jobs}
        for one in as_completed(waiting):
            try:
                yield one.result()
            except BrokenProcessPool:
                what = f"{waiting[one]}: the process that built it was ended from outside, perhaps for want of memory"
                yield Outcome(NOT_PUBLISHED, complaint=f"{what}; build it alone.")


def build_one(job: Job, tell: Tell = _silent) -> Outcome:
    """Load, check and publish one file."""
    try:
        scenario = loaded(job.file, strict=job.strict)
        from tco.publish.anonymous import anonymised  # after loading: a mistake is told at once
        from tco.publish.publish import publish

        if job.anonymous:
            scenario = anonymised(scenario)
        published = publish(scenario, job.folder, tell)
    except ScenarioError as error:
        return Outcome(MISTAKE, complaint=str(error))
    except PublishError as error:
        return Outcome(NOT_PUBLISHED, complaint=str(error))
    said = [published.answer]
    if scenario.gaps:
        said.append(f"  {len(scenario.gaps)} gap{'' if len(scenario.gaps) == 1 else 's'}: tco check {job.file}")
    return Outcome(OK, (*said, f"  {published.site}", f"  {published.workbook}"), published=published)


def loaded(file: Path, *, strict: bool) -> Scenario:
    """Read a file.

    Raises
    ------
    ScenarioError
        The file is wrong, or with `strict` something was assumed, is left undone or is not comparable.
    """
    scenario = load(file)
    if strict:
        study = Study.of(scenario)
        if refused := [*scenario.gaps, *unplaced(scenario), *refusals(study, find_warnings(study))]:
            raise ScenarioError(refused)
    return scenario


def unplaced(scenario: Scenario) -> list[Problem]:
    """Candidates that leave work undone: an error when nothing may be assumed."""
    ids = [key for key, _ in scenario.candidates_all]
    wanted = [f"{key}.measures.{measure}" for key in ids for measure in ("unplaced_sides", "uncovered_months")]
    values = evaluate(build(scenario), keep=wanted)
    found = []
    for key, candidate in scenario.candidates_all:
        sides = values[f"{key}.measures.unplaced_sides"][0, 0, 0]
        months = values[f"{key}.measures.uncovered_months"][0, 0, 0]
        if months > 0:
            what = f"{candidate.title} leaves {sides:,.0f} sides of {months:.0f} months undone"
            hint = "Give an outside price, more hours or another press"
            found.append(Problem(scenario.document.file, None, key, what, "", hint))
    return found

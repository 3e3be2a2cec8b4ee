"""The commands. A user's mistake is never a traceback; heavy libraries are loaded by the command that needs them."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final, Self

import typer

from tco.advice.record import QuoteWarning
from tco.advice.silence import silence
from tco.advice.study import Study
from tco.advice.warnings import find_warnings, settles_nothing
from tco.audit.command_line import add_commands
from tco.audit.opened import WORKBOOK, load
from tco.building import Job, build_all, unplaced
from tco.problem import Problem, ScenarioError
from tco.publish.explanation import explain as explained
from tco.publish.explanation import find_line, nearest_keys
from tco.publish.files import PublishError, safe_name
from tco.publish.results import results_schema
from tco.publish.terminal import explanation_lines, gap_lines, plain
from tco.publish.terminal_advice import as_data, refusals, warning_lines
from tco.scenario.json_schema import json_schema
from tco.scenario.schema import Scenario
from tco.scenario.starting import starting_scenario
from tco.scenario.words import nearest

if TYPE_CHECKING:
    from rich.status import Status

OK: Final = 0
MISTAKE: Final = 1
USAGE: Final = 2
NOT_PUBLISHED: Final = 3

Files = Annotated[list[Path], typer.Argument(metavar="FILE...", help="Scenarios or edited workbooks.")]
File = Annotated[Path, typer.Argument(metavar="FILE", help="A scenario file or an edited workbook.")]
Strict = Annotated[bool, typer.Option("--strict", help="Take gaps, undone work, what is not comparable for mistakes.")]

app = typer.Typer(
    name="tco",
    help="Compare ways of getting a shop's printing done: which press, on which terms?",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _read(file: Path) -> Scenario:
    try:
        return load(file)
    except ScenarioError as error:
        _complain(str(error))
        raise typer.Exit(MISTAKE) from None


def _say(text: str) -> None:
    typer.echo(plain(text))


def _complain(text: str) -> None:
    typer.echo(plain(text), err=True)


@app.command()
def check(
    files: Files,
    as_json: Annotated[bool, typer.Option("--json", help="Print problems as JSON, for programs.")] = False,
    strict: Strict = False,
    everything: Annotated[bool, typer.Option("--all", help="Print every warning, with its question.")] = False,
) -> None:
    """Read scenarios and say everything that is wrong, missing or doubtful."""
    problems: list[Problem] = []
    warnings: list[dict[str, object]] = []
    for file in files:
        try:
            scenario = load(file)
        except ScenarioError as error:
            found = list(error.problems)
        else:
            study, told = _advice(scenario)
            found = [*scenario.gaps, *settles_nothing(study, told)]
            found += [*unplaced(scenario), *refusals(study, told)] if strict else []
            warnings.extend(as_data(study, told))
            if not as_json:
                _tell(study, told, everything=everything)
        if not as_json:
            for problem in found:
                if problem.severity != "gap":
                    _say(problem.text())
        problems.extend(found)
    if as_json:
        typer.echo(json.dumps([*(problem.as_dict() for problem in problems), *warnings], indent=1))
    raise typer.Exit(_verdict(problems, strict=strict))


def _advice(scenario: Scenario) -> tuple[Study, tuple[QuoteWarning, ...]]:
    """The study of a scenario and its warnings; the model is built only now, when the file is known to be sound."""
    study = Study.of(scenario)
    return study, find_warnings(study)


def _tell(study: Study, told: tuple[QuoteWarning, ...], *, everything: bool) -> None:
    """Print gaps and warnings by candidate, and whether what is unsaid can change the answer."""
    scenario = study.scenario
    file = scenario.document.file
    _say(f"{file}: {_counted(len(scenario.gaps), 'gap')}")
    for line in gap_lines(scenario):
        _say(line)
    settled = sum(bool(one.accepted) for one in told)
    apart = f", {settled} accepted" if settled else ""
    _say(f"{file}: {_counted(len(told) - settled, 'warning')}{apart}")
    for line in warning_lines(study, told, everything=everything):
        _say(line)
    if sentence := silence(study, told).sentence:
        _say(f"{sentence}.")


def _verdict(problems: list[Problem], *, strict: bool) -> int:
    wrong = [one for one in problems if one.severity == "error" or (strict and one.severity == "gap")]
    return MISTAKE if wrong else OK


def _counted(number: int, noun: str) -> str:
    return f"no {noun}s" if number == 0 else f"{number} {noun}{'' if number == 1 else 's'}"


@app.command()
def build(
    files: Files,
    output: Annotated[Path, typer.Option("--output", metavar="DIR", help="Folder to publish into.")] = Path("output"),
    strict: Strict = False,
    anonymous: Annotated[bool, typer.Option("--anonymous", help="Name candidates by letters, drop quotes.")] = False,
) -> None:
    """Compute scenarios and publish site, workbook and data files, each into a folder named after its file."""
    folders = [output / safe_name(file.stem) for file in files]
    twice = {folder for folder in folders if folders.count(folder) > 1}
    if twice:
        _complain(f"several files would be published into {', '.join(sorted(str(one) for one in twice))}: rename one")
        raise typer.Exit(USAGE)
    jobs = [Job(file, folder, strict, anonymous) for file, folder in zip(files, folders, strict=True)]
    code, made = OK, []
    with _Progress() as progress:
        for outcome in build_all(jobs, progress.of):
            progress.stop()
            for line in outcome.said:
                _say(line)
            if outcome.complaint:
                _complain(outcome.complaint)
            code = max(code, outcome.code)
            if outcome.published is not None:
                made.append(outcome.published)
            progress.start()
    if len(made) > 1:
        from tco.publish.index import write_index

        try:
            _say(str(write_index(output, sorted(made, key=lambda one: folders.index(one.folder)))))
        except PublishError as error:
            _complain(str(error))
            code = max(code, NOT_PUBLISHED)
    raise typer.Exit(code)


class _Progress:
    """Shows what is at work on standard error, when that is a terminal."""

    def __enter__(self) -> Self:
        self.status: Status | None = None
        return self

    def of(self, what: str) -> Callable[[str], None]:
        """Show what is built, and return what shows its steps."""
        if not sys.stderr.isatty():
            return lambda _: None
        from rich.console import Console
        from rich.text import Text

        self.stop()
        self.status = status = Console(stderr=True).status(Text(plain(what)))
        self.start()
        return lambda step: status.update(Text(f"{plain(what)}: {step}"))

    def start(self) -> None:
        """Show the line, again after something was said."""
        if self.status is not None:
            self.status.start()

    def stop(self) -> None:
        """Clear the line."""
        if self.status is not None:
            self.status.stop()

    def __exit__(self, *_: object) -> None:
        self.stop()


@app.command()
def explain(
    file: File,
    key: Annotated[str, typer.Argument(metavar="KEY", help="Key of a line, as Figures shows it.", show_default=False)],
    month: Annotated[int, typer.Option("--month", metavar="N", min=1, help="Operating month, from 1.")] = 1,
) -> None:
    """Tell how a figure comes about: its formula in words, what went in, where each figure comes from."""
    from tco.assemble import build as assemble
    from tco.model.evaluate import evaluate
    from tco.publish.numbers import Numbers

    scenario = _read(file)
    model = assemble(scenario)
    numbers = Numbers(scenario.money.locale, scenario.money.currency)
    found = find_line(model, key)
    if found is None:
        near = nearest_keys(model, key)
        hint = f"; did you mean {', '.join(near)}?" if near else ""
        _complain(f"no line of {file} has the key {key}{hint}")
        raise typer.Exit(USAGE)
    if month > model.columns:
        _complain(f"month {month} is beyond the last one, {model.columns}")
        raise typer.Exit(USAGE)
    for line in explanation_lines(explained(scenario, evaluate(model), *found, month), numbers):
        _say(line)


@app.command()
def solve(
    file: File,
    candidate: Annotated[str, typer.Argument(metavar="CANDIDATE", help="Id of a candidate.", show_default=False)],
    term: Annotated[
        str, typer.Argument(metavar="TERM", help="Key of a figure, whole or within the candidate.", show_default=False)
    ],
    against: Annotated[str, typer.Option("--against", metavar="OTHER", help="Id of the candidate to equal.")],
    out_of: Annotated[
        str, typer.Option("--out-of", metavar="KEY", help="Figure that gives up what TERM takes: solves for a share.")
    ] = "",
    along: Annotated[
        str, typer.Option("--along", metavar="KEY", help="Second figure: the tie at values over its range.")
    ] = "",
) -> None:
    """Find the value of one figure at which two candidates cost the same in today's money."""
    from tco.analyses.ranged import figure, figures
    from tco.analyses.solve import along as solved_along
    from tco.analyses.solve import solve as solved
    from tco.assemble import build as assemble
    from tco.publish.numbers import Numbers
    from tco.publish.terminal_solve import along_lines, solution_lines

    scenario = _read(file)
    names = {key: one.title for key, one in scenario.candidates_all}
    for key in (candidate, against):
        if key not in names:
            _complain(f"{file} has no candidate {key}; it has {', '.join(names)}")
            raise typer.Exit(USAGE)
    model = assemble(scenario)
    known = {one.key for scope in (candidate, "shared", against) for one in figures(model, scope)}

    def whole(key: str) -> str:
        for one in (f"{candidate}.{key}", key):
            if one in known:
                return one
        near = [one for one in nearest_keys(model, f"{candidate}.{key}") if one in known]
        hint = f"; did you mean {', '.join(near)}?" if near else ""
        _complain(f"no figure of {file} that moves {candidate} has the key {key}{hint}")
        raise typer.Exit(USAGE)

    numbers = Numbers(scenario.money.locale, scenario.money.currency)
    try:
        if along:
            lines = along_lines(solved_along(model, candidate, whole(term), against, whole(along)),
                                figure(model, whole(along)), names, numbers)  # fmt: skip
        else:
            found = solved(model, candidate, whole(term), against, out_of=whole(out_of) if out_of else None)
            lines = solution_lines(found, names, numbers)
    except ValueError as error:
        _complain(f"{file}: {error}")
        raise typer.Exit(USAGE) from None
    for line in lines:
        _say(line)


@app.command()
def schema(
    key: Annotated[str, typer.Argument(metavar="KEY", help="With --text: only this key and what is below it.")] = "",
    results: Annotated[bool, typer.Option("--results", help="The schema of results.json instead.")] = False,
    text: Annotated[bool, typer.Option("--text", help="Every key in words: meaning, unit, default, example.")] = False,
) -> None:
    """Print the JSON Schema of a scenario file, or with --text what each of its keys means."""
    if text or key:
        _reference(key)
        return
    typer.echo(json.dumps(results_schema() if results else json_schema(), indent=1))


def _reference(key: str) -> None:
    from tco.publish.terminal import reference_lines
    from tco.scenario.reference import find, sections

    found = find(key) if key else sections()
    if not found:
        names = {one.name for section in sections() for one in section.keys}
        close = nearest(key.rpartition(".")[2], sorted(names))
        hint = f"; did you mean {close}?" if close else ""
        _complain(f"no key of a scenario is called {key}{hint}")
        raise typer.Exit(USAGE)
    for line in reference_lines(found):
        _say(line)


@app.command()
def start(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write.", show_default=False)],
    workbook: Annotated[bool, typer.Option("--workbook", help="A workbook to fill in, named FILE.xlsx.")] = False,
) -> None:
    """Write a short scenario to fill in; never over a file that is there."""
    from tco.audit.new_file import write_new, write_starting_workbook

    if workbook != (file.suffix.lower() == WORKBOOK):
        _complain(f"{file}: a workbook is written with --workbook and a name that ends in {WORKBOOK}")
        raise typer.Exit(USAGE)
    try:
        if workbook:
            write_starting_workbook(file)
        else:
            write_new(file, starting_scenario().encode("utf-8"))
    except PublishError as error:
        _complain(str(error))
        raise typer.Exit(NOT_PUBLISHED) from None
    _say(f"{file} is written. Fill it in, then: tco check {file}")


add_commands(app)


def main() -> None:
    """Run the command line."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a terminal that lacks a letter gets a question mark
    try:
        app()
    except BrokenPipeError:  # whoever read our output has heard enough
        sys.stderr.close()
        sys.exit(OK)

"""The commands about workbooks and rounds: audit and compare."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Final

import typer

from tco.audit.opened import load
from tco.problem import ScenarioError
from tco.publish.files import PublishError
from tco.publish.terminal import plain

OK: Final = 0
MISTAKE: Final = 1
NOT_PUBLISHED: Final = 3

Book = Annotated[Path, typer.Argument(metavar="WORKBOOK", help="A workbook of this program.", show_default=False)]
Round = Annotated[Path, typer.Argument(help="A scenario file or a workbook.", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="Print everything as JSON, for programs.")]


def add_commands(app: typer.Typer) -> None:
    """Give an application these commands."""
    app.command()(audit)
    app.command()(compare)


def _say(lines: Iterable[str]) -> None:
    for line in lines:
        typer.echo(plain(line))


def _complain(error: Exception) -> None:
    typer.echo(plain(str(error)), err=True)


def audit(
    workbook: Book,
    scenario: Annotated[
        Path | None, typer.Argument(metavar="[SCENARIO]", help="What it was made from; it carries its own.")
    ] = None,
    as_json: AsJson = False,
    page: Annotated[
        Path | None, typer.Option("--page", metavar="FILE.html", help="Write the findings as a page as well.")
    ] = None,
    accept: Annotated[
        Path | None, typer.Option("--accept", metavar="NEW.yaml", help="Write the scenario with the changed figures.")
    ] = None,
    despite_formulas: Annotated[
        bool, typer.Option("--despite-formulas", help="Accept figures even where formulas were touched.")
    ] = False,
) -> None:
    """Say exactly what was changed in a workbook since its export, and what that does to the answer."""
    from tco.audit import commands
    from tco.audit.audit import as_json as told
    from tco.audit.audit import audit as audited
    from tco.audit.show import audit_lines

    try:
        found = audited(workbook, scenario)
        if as_json:
            typer.echo(told(found))
        else:
            _say(audit_lines(found))
        if page is not None:
            commands.write_page(found, page)
        if accept is not None:
            commands.accept(found, accept, despite_formulas=despite_formulas)
    except ScenarioError as error:
        _complain(error)
        raise typer.Exit(MISTAKE) from None
    except PublishError as error:
        _complain(error)
        raise typer.Exit(NOT_PUBLISHED) from None
    raise typer.Exit(MISTAKE if found.problems or (found.touched and not despite_formulas) else OK)


def compare(old: Round, new: Round, as_json: AsJson = False) -> None:
    """Say what each changed figure or choice did to each candidate, one at a time and together."""
    from tco.audit.rounds import compare_rounds, round_lines, rounds_json

    try:
        found = compare_rounds(load(old), load(new))
    except ScenarioError as error:
        _complain(error)
        raise typer.Exit(MISTAKE) from None
    if as_json:
        typer.echo(rounds_json(found))
    else:
        _say(round_lines(found))

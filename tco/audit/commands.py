"""What the commands about workbooks do, apart from printing."""

from __future__ import annotations

from importlib.metadata import version
from pathlib import Path
from typing import Final

from tco.audit.audit import Audit
from tco.audit.expected import expect
from tco.audit.rounds import refuse_touched
from tco.audit.show import audit_page
from tco.problem import Problem, ScenarioError
from tco.publish.files import PublishError, reason
from tco.publish.workbook.write import write_workbook
from tco.scenario.load import load_text
from tco.scenario.starting import starting_scenario

_TO_FILL_IN: Final = "none yet: fill in the yellow cells, save, then tco build this workbook"


def write_new(file: Path, content: bytes) -> None:
    """Write a file that is not there yet.

    Raises
    ------
    PublishError
        It is there already, or the disk refuses.
    """
    try:
        with file.open("xb") as target:
            target.write(content)
    except FileExistsError:
        raise PublishError([Problem(str(file), None, "", "is there already", "", "Choose another name")]) from None
    except OSError as error:
        what = f"cannot be written: {reason(error)}"
        raise PublishError([Problem(str(file), None, "", what, "", "Choose another name")]) from None


def write_page(found: Audit, file: Path) -> None:
    """Write an audit as a page. Raises PublishError like `write_new`."""
    write_new(file, audit_page(found).encode("utf-8"))


def accept(found: Audit, file: Path, *, despite_formulas: bool) -> None:
    """Write the scenario with the changed inputs of an audited workbook.

    Raises
    ------
    ScenarioError
        Figures cannot be accepted, or formulas were touched and that was not allowed.
    PublishError
        The file is there already or cannot be written.
    """
    if found.problems:
        raise ScenarioError(found.problems)
    if not despite_formulas:
        refuse_touched(found)
    if found.accepted is not None:
        write_new(file, found.accepted.text.encode("utf-8"))


def write_starting_workbook(file: Path) -> None:
    """Write the small starting scenario as a workbook to fill in. Raises PublishError like `write_new`."""
    scenario = load_text(starting_scenario(), f"{file.stem}.yaml")
    made = expect(scenario, {"verdict": _TO_FILL_IN, "program_version": version("tco")})
    write_new(file, b"")  # the place is ours from here on
    try:
        write_workbook(made.model, made.values, made.source.study, file)
    except BaseException:
        file.unlink()
        raise

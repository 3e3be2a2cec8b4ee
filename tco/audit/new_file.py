"""Files that must not stand there yet: the small starting scenario as text or as a workbook, pages, scenarios."""

from __future__ import annotations

from importlib.metadata import version
from pathlib import Path
from typing import Final

from tco.problem import Problem
from tco.publish.files import PublishError, reason
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


def write_starting_workbook(file: Path) -> None:
    """Write the small starting scenario as a workbook to fill in. Raises PublishError like `write_new`."""
    from tco.audit.expected import expect
    from tco.publish.workbook.write import write_workbook

    scenario = load_text(starting_scenario(), f"{file.stem}.yaml")
    made = expect(scenario, {"verdict": _TO_FILL_IN, "program_version": version("tco")})
    write_new(file, b"")  # the place is ours from here on
    try:
        write_workbook(made.model, made.values, made.source.study, file)
    except BaseException:
        file.unlink()
        raise

"""What the command `audit` writes beside what it prints."""

from __future__ import annotations

from pathlib import Path

from tco.audit.audit import Audit
from tco.audit.new_file import write_new
from tco.audit.rounds import refuse_touched
from tco.audit.show import audit_page
from tco.problem import ScenarioError


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

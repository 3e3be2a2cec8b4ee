"""A scenario from either kind of file; nothing heavy is loaded for a text file."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from tco.scenario.load import load as load_file
from tco.scenario.schema import Scenario

WORKBOOK: Final = ".xlsx"


def load(path: Path) -> Scenario:
    """Load a scenario file, or what the figures of an edited workbook mean.

    Raises
    ------
    ScenarioError
        Carries all problems found: by file, line and path, or by workbook and cell.
    """
    if path.suffix.lower() != WORKBOOK:
        return load_file(path)
    from tco.audit.rounds import from_workbook

    return from_workbook(path)

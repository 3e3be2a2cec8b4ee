"""Load a scenario file."""

from __future__ import annotations

from pathlib import Path

from tco.scenario.complete import complete
from tco.scenario.read import read, read_text
from tco.scenario.schema import Scenario


def load(path: str | Path) -> Scenario:
    """Read, check and complete a scenario file.

    Raises
    ------
    ScenarioError
        Carries all problems found, each with file, line and path.
    """
    return complete(read(path))


def load_text(text: str, file: str = "scenario.yaml") -> Scenario:
    """Like `load`, from text; `file` is the name used in messages."""
    return complete(read_text(text, file))

"""Lint, types and size of the source: the project's own rules, held by the project's own tests."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.house.tree import ROOT, tracked

LONGEST = 450
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "tco", "scenarios", "site_templates", "tests", "output"}


def run(*command):
    """Run a tool of this environment over the tree; what it says is the message of the failure."""
    done = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_ruff_finds_nothing():
    run("ruff", "check", ".")


def test_mypy_finds_nothing():
    run("mypy")


@pytest.mark.parametrize("folder", ["tco", "site_templates"])
def test_no_source_file_is_too_long(folder):
    lengths = {path: len((ROOT / path).read_bytes().splitlines()) for path in tracked(folder) if is_text(path)}
    assert {path: count for path, count in lengths.items() if count > LONGEST} == {}


def is_text(path):
    return Path(path).suffix not in {".woff2", ".png"}


def test_the_top_level_holds_only_what_was_agreed():
    top = {path.split("/")[0] for path in tracked()}
    assert {name for name in top if not name.startswith(".")} <= TOP_LEVEL

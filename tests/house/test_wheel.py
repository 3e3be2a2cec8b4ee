"""The program as it is installed: built into a wheel, put into a fresh environment, used from another folder."""

import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

from tco.scenario.load import load
from tests.house.tree import ROOT, tracked

SCENARIO = "quick_printer"


def run(*command, cwd):
    environment = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    done = subprocess.run(
        [str(part) for part in command], cwd=cwd, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", folder, cwd=ROOT)
    (made,) = folder.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    """The `bin` folder of an environment that holds the wheel alone and borrows what it needs from this one."""
    home = tmp_path_factory.mktemp("environment") / "venv"
    run(sys.executable, "-m", "venv", "--without-pip", home, cwd=home.parent)
    python = home / "bin" / "python"
    pip = (sys.executable, "-m", "pip", "--python", python, "--disable-pip-version-check")
    run(*pip, "install", "--no-deps", "--no-index", "--quiet", wheel, cwd=home.parent)
    own = Path(run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=home).strip())
    # A path in a .pth file comes after the environment's own folder, and .pth files in it are not read.
    (own / "borrowed.pth").write_text(f"{sysconfig.get_path('purelib')}\n", encoding="utf-8")
    return home / "bin"


def test_the_wheel_holds_the_program_and_its_templates_and_nothing_else(wheel):
    names = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    program = {path for path in tracked("tco") if path.endswith(".py")}
    templates = {f"tco/{path}" for path in tracked("site_templates")}
    assert program | templates <= names
    assert {name for name in names if not name.startswith("tco/") or "__pycache__" in name} == set()


def test_the_installed_program_is_the_one_that_answers(installed, tmp_path):
    at = run(installed / "python", "-c", "import tco, tco.cli; print(tco.__file__, tco.cli.__file__)", cwd=tmp_path)
    assert all(str(installed.parent) in path for path in at.split())


def test_it_checks_and_builds_an_example_from_another_folder(installed, tmp_path):
    scenario = tmp_path / "mine.yaml"
    scenario.write_bytes((ROOT / "scenarios" / f"{SCENARIO}.yaml").read_bytes())
    assert "mine.yaml" in run(installed / "tco", "check", "mine.yaml", cwd=tmp_path)
    run(installed / "tco", "build", "mine.yaml", "--output", "out", cwd=tmp_path)
    folder = tmp_path / "out" / "mine"
    pages = {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.html")}
    assert len(pages) >= 5
    assert "index.html" in pages
    for name, text in pages.items():
        assert text.startswith("<!doctype html>"), name
        assert text.rstrip().endswith("</html>"), name
        assert "<style>" in text, name
        assert "{{" not in text, name
        assert str(ROOT) not in text, name
    title = load(scenario).title
    assert all(title in text for text in pages.values())
    assert zipfile.is_zipfile(folder / "mine.xlsx")
    assert (folder / "results.json").is_file()

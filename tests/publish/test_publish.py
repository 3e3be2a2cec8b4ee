"""From a scenario file to a folder: everything is there, nothing else, the same bytes every time."""

from __future__ import annotations

import json
import subprocess
import sys
import zipfile

import pytest

from tco.publish import publish as publishing
from tco.publish.files import MANIFEST, PublishError
from tco.publish.publish import compute, publish
from tco.publish.workbook.styles import WorkbookError
from tco.scenario.load import load
from tco.scenario.starting import starting_scenario


def written(folder, text=None, name="two_quotes.yaml"):
    file = folder / name
    file.write_text(text or starting_scenario(), encoding="utf-8")
    return file


def everything(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture(scope="module")
def published(tmp_path_factory):
    place = tmp_path_factory.mktemp("published")
    return publish(load(written(place)), place / "out" / "two_quotes")


def test_everything_is_there(published):
    found = everything(published.folder)
    expected = {"index.html", "two_quotes.xlsx", "results.json", "ledger.csv", "scenario.yaml", MANIFEST}
    assert expected <= set(found)
    assert found["scenario.yaml"].decode("utf-8") == starting_scenario()
    assert set(json.loads(found[MANIFEST])) == set(found) - {MANIFEST}
    assert published.site.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert zipfile.is_zipfile(published.workbook)
    assert json.loads(found["results.json"])["reference"] == "today"


def test_the_answer_is_one_line_the_same_in_the_data_file(published):
    # What Birch leaves unsaid on its increase is worth more than its lead over Cedar.
    assert "\n" not in published.answer
    assert published.answer.startswith("Too close to call: Lease the Birch and Buy the Cedar")
    told = json.loads(everything(published.folder)["results.json"])["verdict"]
    assert told["answer"] == published.answer
    assert (told["winner"], told["lowest"]) == (None, "birch")
    assert told["money_in_open_gaps"] > told["lead"] > 0


def test_the_same_scenario_gives_the_same_bytes_elsewhere(published, tmp_path):
    (tmp_path / "deep").mkdir()
    again = publish(load(written(tmp_path / "deep")), tmp_path / "elsewhere" / "two_quotes")
    assert everything(again.folder) == everything(published.folder)


def test_no_file_tells_where_it_was_made(published):
    place = str(published.folder.parent).encode()
    book = zipfile.ZipFile(published.workbook)
    parts = [book.read(name) for name in book.namelist()]
    assert [name for name, content in everything(published.folder).items() if place in content] == []
    assert not any(place in part for part in parts)


def test_a_failing_check_publishes_nothing(tmp_path, monkeypatch):
    problem = load(written(tmp_path)).gaps[0]
    monkeypatch.setattr(publishing, "failed_checks", lambda *_: [problem])
    with pytest.raises(PublishError):
        publish(load(written(tmp_path)), tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_workbook_that_cannot_be_written_publishes_nothing(tmp_path, monkeypatch):
    def refuses(*_):
        raise WorkbookError("too many formulas")

    monkeypatch.setattr(publishing, "write_workbook", refuses)
    with pytest.raises(PublishError, match="too many formulas"):
        publish(load(written(tmp_path)), tmp_path / "out")
    assert [path.name for path in tmp_path.iterdir()] == ["two_quotes.yaml"]


def test_twelve_volumes_are_searched_with_and_without_season(tmp_path):
    old, new = "colour: {value: 26000, low: 20000, high: 32000}", f"colour: {[40_000] * 6 + [9] * 6}"
    text = starting_scenario().replace(old, new)
    computed = compute(load(written(tmp_path, text)))
    assert list(computed.break_evens) == ["season", "months_alike"]
    season, alike = computed.break_evens.values()
    assert season.average == pytest.approx(alike.average)
    assert season.pair("birch", "cedar").crossings != alike.pair("birch", "cedar").crossings


def run(*arguments, cwd):
    command = [sys.executable, "-c", "from tco.cli import main; main()", "build", *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, cwd=cwd, check=False, timeout=300)
    assert "Traceback" not in done.stdout + done.stderr, done.stderr
    return done


def test_build_prints_the_answer_and_where_to_look(tmp_path):
    title = "title: Colour press for a quick printer"
    file = written(tmp_path, starting_scenario().replace(title, 'title: "../../x"'))
    done = run(file.name, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    answer, gaps, site, workbook = done.stdout.splitlines()
    assert answer.startswith("Too close to call: Lease the Birch")
    assert gaps.strip() == "5 gaps: tco check two_quotes.yaml"
    assert (tmp_path / site.strip()).is_file()
    assert (tmp_path / workbook.strip()).is_file()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["output", "two_quotes.yaml"]
    assert [path.name for path in (tmp_path / "output").iterdir()] == ["two_quotes"]

    edited = tmp_path / "output" / "two_quotes" / "index.html"
    edited.write_text("mine", encoding="utf-8")
    done = run(file.name, cwd=tmp_path)
    assert done.returncode == 3
    assert "index.html: was changed after it was published" in done.stderr
    assert edited.read_text(encoding="utf-8") == "mine"


def test_build_goes_on_after_a_mistake_and_tells_it(tmp_path):
    wrong = written(tmp_path, starting_scenario().replace("months: 60\n", "months: sixty\n"), "wrong.yaml")
    right = written(tmp_path)
    done = run(wrong, right, "--output", tmp_path / "out", cwd=tmp_path)
    assert done.returncode == 1
    assert "wrong.yaml" in done.stderr
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["two_quotes"]


def test_build_refuses_two_files_of_one_name_and_gaps_when_strict(tmp_path):
    (tmp_path / "a").mkdir()
    one, other = written(tmp_path), written(tmp_path / "a")
    assert run(one, other, cwd=tmp_path).returncode == 2
    done = run("--strict", one, cwd=tmp_path)
    assert done.returncode == 1
    assert "return_freight" in done.stderr
    assert not (tmp_path / "output").exists()

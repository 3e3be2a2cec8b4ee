"""One broken scenario per mistake: the message names the line, the path and what to write instead."""

import re
from pathlib import Path

import pytest

from tco.problem import ScenarioError
from tco.scenario.load import load

FILES = sorted((Path(__file__).parent / "broken").glob("*.yaml"))


def expectation(path: Path) -> tuple[int, str, list[str]]:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    found = re.fullmatch(r"# expect: line (\d+): (.*?): (.*)", first)
    assert found is not None, f"{path.name} does not say what it expects"
    return int(found[1]), found[2], [words.strip() for words in found[3].split("…") if words.strip()]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_mistake_is_told_where_it_stands_and_what_to_write_instead(path):
    line, key, words = expectation(path)
    with pytest.raises(ScenarioError) as caught:
        load(path)
    here = [problem for problem in caught.value.problems if (problem.line, problem.path) == (line, key)]
    assert len(here) == 1, f"wanted line {line}, path {key!r}; got\n{caught.value}"
    text = here[0].text()
    place = 0
    for part in words:
        place = text.find(part, place)
        assert place >= 0, f"{part!r} is not (in this order) in: {text}"
    assert here[0].severity == "error"
    assert here[0].instead, "no word on what to write instead"


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_one_mistake_brings_no_crowd_of_messages(path):
    with pytest.raises(ScenarioError) as caught:
        load(path)
    assert len(caught.value.problems) <= 2, str(caught.value)


def test_there_is_a_file_for_each_of_many_mistakes():
    assert len(FILES) >= 40

"""Files that no honest scenario needs are refused before anything is made of them."""

import time

import pytest

from tco.problem import ScenarioError
from tco.scenario.load import load
from tco.scenario.read import LARGEST_FILE, read, read_text


def test_an_alias_bomb_is_refused_at_once():
    rows = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    rows += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 30)]
    begun = time.perf_counter()
    with pytest.raises(ScenarioError, match="anchor or an alias"):
        read_text("\n".join(rows))
    assert time.perf_counter() - begun < 5


def test_a_big_file_is_refused_unread(tmp_path):
    path = tmp_path / "big.yaml"
    path.write_text("title: x\n" + "# filler\n" * (LARGEST_FILE // 9 + 1))
    with pytest.raises(ScenarioError, match="larger than 1 MB"):
        read(path)


def test_deep_nesting_is_refused():
    with pytest.raises(ScenarioError, match="nested too deeply"):
        read_text("a: " + "[" * 5000)


def test_an_absent_file_is_a_problem_and_no_traceback(tmp_path):
    with pytest.raises(ScenarioError, match="no such file"):
        load(tmp_path / "absent.yaml")


def test_a_file_that_is_no_text_is_refused(tmp_path):
    path = tmp_path / "picture.yaml"
    path.write_bytes(b"\xff\xfe\x00\x01")
    with pytest.raises(ScenarioError, match="UTF-8"):
        load(path)


def test_a_byte_order_mark_does_no_harm(tmp_path):
    path = tmp_path / "marked.yaml"
    path.write_bytes(b"\xef\xbb\xbftitle: x\n")
    assert list(read(path).data) == ["title"]


@pytest.mark.parametrize("text", ["", "# nothing\n", "just words", "- a\n- b\n"])
def test_a_file_without_keys_holds_no_scenario(text):
    with pytest.raises(ScenarioError, match="holds no scenario"):
        read_text(text)


def test_a_second_document_is_refused():
    with pytest.raises(ScenarioError, match="second document"):
        read_text("title: x\n---\ntitle: y\n")


def test_all_duplicates_are_told():
    with pytest.raises(ScenarioError) as caught:
        read_text("a: 1\nb: 2\na: 3\nc: {d: 1, d: 2}\n")
    assert [(problem.line, problem.path) for problem in caught.value.problems] == [(3, "a"), (4, "c.d")]


def test_a_control_character_is_refused():
    with pytest.raises(ScenarioError, match="character"):
        read_text("title: a\x07b\n")


def test_a_number_of_a_million_digits_is_no_danger():
    begun = time.perf_counter()
    assert isinstance(read_text("a: " + "9" * 900_000).data["a"].value, float | str)
    assert time.perf_counter() - begun < 10

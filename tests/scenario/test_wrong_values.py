"""Whatever stands at a key, the answer is a scenario or a list of problems, never a traceback."""

import pytest

from tco.problem import ScenarioError
from tco.scenario.changes import tree_of
from tco.scenario.complete import complete
from tco.scenario.load import load_text
from tco.scenario.read import read_text
from tco.scenario.tree import Document, Items, Node, walk
from tests.scenario.samples import RICH

ODD = (None, "odd", -7, 1e300, [], [1, {"a": 2}], {}, {"odd": {"odder": [3]}}, True, "unknown", "9" * 50)


def replaced(tree, path, value):
    """Return a copy of the tree with `value`, wherever it leads, at a path of the file."""
    if tree.path == path:
        return tree_of(value, path, tree.line)
    if isinstance(tree, Node):
        return Node(tree.path, tree.line, {key: replaced(child, path, value) for key, child in tree.items()})
    if isinstance(tree, Items):
        return Items(tree.path, tree.line, [replaced(child, path, value) for child in tree])
    return tree




def test_the_rich_scenario_is_sound():
    scenario = load_text(RICH)
    assert list(scenario.candidates) == ["one_large", "mixed", "all_out", "rented"]
    assert {gap.severity for gap in scenario.gaps} == {"gap"}


def problems_of(build, argument):
    try:
        build(argument)
    except ScenarioError as error:
        return list(error.problems)
    return []


@pytest.mark.parametrize("first", range(len(ODD)))
def test_an_odd_value_at_any_key_is_told_or_taken(first):
    document = read_text(RICH)
    paths = sorted({item.path for item in walk(document.data) if item.path})
    assert len(paths) > 200
    told = []
    for path in paths[first::len(ODD)]:
        for value in ODD[first:first + 3]:
            told += problems_of(complete, Document(document.file, replaced(document.data, path, value)))
    assert len(told) > 10, "odd values are mostly mistakes"
    assert [problem.text() for problem in told if not problem.what or not problem.instead] == []
    assert [problem.text() for problem in told if problem.instead == "Check this value"] == []


def test_any_key_left_out_is_told_or_filled():
    scenario = load_text(RICH)
    told = []
    for path in sorted({item.path for item in walk(scenario.document.data) if item.path}):
        told += problems_of(scenario.with_changes, {path: None})
    assert len(told) > 20
    assert [problem.text() for problem in told if not problem.instead] == []

"""What tracked files may not say, what the two commands are, and that every test asserts something."""

import ast
import re
import tomllib

import pytest

from tests.house.tree import ROOT, tracked

# Written in two halves, so that this file does not hold what it looks for.
FORBIDDEN = {
    "a path of somebody's machine": r"(?<![\w.-])/(?:wo" + r"rk|ro" + r"ot|ho" + r"me|Us" + r"ers)/",
    "a folder beside the project": r"\.\./sha" + r"red",
    "the host of a package registry": r"(?i)py" + r"pi\.org|pythonho" + r"sted|registry\.np" + r"mjs|artifac" + r"tory",
    "a document that is no part of the project": r"(?i)seed\s+docu" + r"ment",
}
PIN = re.compile(r"[A-Za-z0-9][\w.-]*==\d[\w.]*")


def texts(*folders):
    for path in tracked(*folders):
        content = (ROOT / path).read_bytes()
        if b"\0" not in content:
            yield path, content.decode("utf-8")


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_tracked_file_names(what):
    pattern = re.compile(FORBIDDEN[what])
    found = [path for path, text in texts() if pattern.search(text)]
    assert found == []


def test_the_second_command_of_the_readme_is_what_continuous_integration_runs():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    commands = re.findall(r"```sh\n(sh \.ci/setup.*)\n```", readme)
    assert len(commands) == 2
    assert (ROOT / ".ci/run").read_text(encoding="utf-8") == f"#!/bin/sh\n{commands[1]}\n"


def test_every_direct_requirement_is_pinned_and_nothing_else_is_written_there():
    lines = (ROOT / ".requirements.txt").read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if not PIN.fullmatch(line)] == []
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    direct = project["dependencies"] + project["optional-dependencies"]["tests"]
    names = {re.split(r"[<>=!\[]", requirement)[0].lower() for requirement in direct}
    assert names <= {line.split("==")[0].lower() for line in lines}


def test_every_test_asserts_something():
    silent = [f"{path}: {name}" for path, text in texts("tests") for name in silent_tests(path, text)]
    assert silent == []


def silent_tests(path, text):
    """Tests without an assert, a pytest.raises, or a call of a helper that is named for asserting."""
    if not re.search(r"(^|/)test_\w+\.py$", path):
        return
    tree = ast.parse(text)
    helpers = {node.name: node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}
    for name, node in helpers.items():
        if name.startswith("test_") and not asserts(node, helpers, {name}):
            yield name


def asserts(function, helpers, seen):
    for node in ast.walk(function):
        if isinstance(node, ast.Assert):
            return True
        if isinstance(node, ast.Call):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if called == "raises" or re.match(r"(check|assert|expect)", called):
                return True
            if called in helpers and called not in seen and asserts(helpers[called], helpers, seen | {called}):
                return True
    return False


def test_a_test_without_an_assert_is_seen():
    source = "def test_a():\n    helper()\ndef helper():\n    print()\ndef test_b():\n    assert True\n"
    assert list(silent_tests("tests/test_x.py", source)) == ["test_a"]
    assert list(silent_tests("tests/x.py", source)) == []

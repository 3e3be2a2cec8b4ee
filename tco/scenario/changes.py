"""The same file with other values at some paths."""

from __future__ import annotations

from collections.abc import Mapping

from tco.problem import Problem, ScenarioError
from tco.scenario.numbers import PER_KEYS
from tco.scenario.tree import Document, Items, Leaf, Node, Tree, find

_TOP = frozenset({
    "title", "prepared", "introduction", "recommendation", "start", "months", "money", "work", "jobs", "new_work",
    "season",
    "busiest_week", "change_per_year", "volume_scale", "waste", "coverage", "shop", "outside", "today", "every_quote",
    "allowances", "candidates", "left_out", "accepted", "futures",
})


def changed(document: Document, changes: Mapping[str, object]) -> Document:
    """Return the document with values replaced.

    Paths are those of figures (`birch.service.colour`) or of the file (`candidates.birch…`). A bare number put where
    the file has `{value: …}` or `{per_year: …}` replaces that number and keeps source and range (a range that no longer
    holds the value is dropped). None removes the key.

    Raises
    ------
    ScenarioError
        When a path runs through something that is no section.
    """
    data = document.data
    for path, value in changes.items():
        data = _put_below(data, full_path(path), value, document.file, path)
    return Document(document.file, data)


def won(document: Document, key: str) -> Document:
    """Return the document in which the work of one entry under `new_work` is asked for like any other job class."""
    data = document.data
    entry, jobs = find(data, "new_work", key), find(data, "jobs")
    assert isinstance(entry, Node)
    assert isinstance(jobs, Node)
    asked = Node(entry.path, entry.line, {name: child for name, child in entry.items() if name != "only_with"})
    rest: dict[str, Tree] = {name: child for name, child in data.items() if name != "new_work"}
    rest["jobs"] = Node(jobs.path, jobs.line, {**jobs, key: asked})
    return Document(document.file, Node(data.path, data.line, rest))


def full_path(path: str) -> list[str]:
    """Return the keys from the top of the file to a figure; those of candidates are known without that word."""
    keys = path.split(".")
    return keys if keys[0] in _TOP else ["candidates", *keys]


def _put(tree: Tree, keys: list[str], value: object, file: str, whole: str) -> Tree:
    if isinstance(tree, Node):
        return _put_below(tree, keys, value, file, whole)
    key, rest = keys[0], keys[1:]
    if not isinstance(tree, Items):
        raise ScenarioError([Problem(file, tree.line, whole, "cannot be changed: a part of its path is a single value",
                                     "", f"Change `{tree.path}` itself")])
    if not key.isdigit() or not 1 <= int(key) <= len(tree):
        raise ScenarioError([Problem(file, tree.line, whole, f"has no entry {key}", "", "Count entries from 1")])
    entries = list(tree)
    old = entries[int(key) - 1]
    entries[int(key) - 1] = _put(old, rest, value, file, whole) if rest else _new(old, value, old.path, old.line)
    return Items(tree.path, tree.line, entries)


def _put_below(tree: Node, keys: list[str], value: object, file: str, whole: str) -> Node:
    key, rest = keys[0], keys[1:]
    out = Node(tree.path, tree.line, dict(tree))
    here = out.get(key)
    if rest:
        below = here if here is not None else Node(tree.child_path(key), None)
        out[key] = _put(below, rest, value, file, whole)
    elif value is None:
        out.pop(key, None)
    else:
        out[key] = _new(here, value, tree.child_path(key), here.line if here is not None else tree.line)
    return out


def _new(old: Tree | None, value: object, path: str, line: int | None) -> Tree:
    name = next((key for key in ("value", *PER_KEYS) if isinstance(old, Node) and key in old), None)
    if not isinstance(old, Node) or name is None or isinstance(value, Mapping | list | tuple):
        return tree_of(value, path, line)
    out = Node(path, line, dict(old))
    out[name] = _new(old[name], value, f"{path}.{name}", line)
    number = _number(out[name])
    low, high = _number(out.get("low")), _number(out.get("high"))
    if number is not None and low is not None and number < low:
        del out["low"]
    if number is not None and high is not None and number > high:
        del out["high"]
    return out


def _number(tree: Tree | None) -> float | None:
    value = tree.value if isinstance(tree, Leaf) else None
    if isinstance(value, str) and value.endswith("%"):
        return float(value[:-1]) / 100
    return float(value) if isinstance(value, int | float) else None


def tree_of(value: object, path: str, line: int | None = None) -> Tree:
    """Return plain data as a tree below `path`."""
    if isinstance(value, Mapping):
        return Node(path, line, {str(key): tree_of(child, f"{path}.{key}" if path else str(key), line)
                                 for key, child in value.items()})
    if isinstance(value, list | tuple):
        return Items(path, line, [tree_of(child, f"{path}.{place}", line) for place, child in enumerate(value, 1)])
    if isinstance(value, bool) or value is None:
        return Leaf(value, str(value).lower(), path, line)
    if isinstance(value, int | float):
        # NumPy numbers are plain numbers here.
        return Leaf(int(value) if isinstance(value, int) else float(value), repr(value), path, line)
    return Leaf(str(value), str(value), path, line)

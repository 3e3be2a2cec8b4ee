"""Checks across keys of how futures are drawn: the figures named there have ranges, and are named once."""

from __future__ import annotations

from collections.abc import Iterator

from tco.problem import Problem
from tco.scenario.changes import full_path
from tco.scenario.checks import View, number_at
from tco.scenario.tree import Items, Leaf, Node, Tree, find, node_at


def check_futures(tree: Node, file: str, small: str) -> list[Problem]:
    """Return the problems of `futures` in a completed tree; others are told elsewhere."""
    view = View(tree, file, small)
    return [problem for key in ("shapes", "together") for problem in _named(view, key)]


def _named(view: View, key: str) -> Iterator[Problem]:
    home = node_at(view.tree, "futures", key)
    if home is None:
        return
    seen: dict[str, str] = {}
    for name, tree in home.items():
        for leaf in _leaves(tree):
            said = str(leaf.value)
            found = find(view.tree, *full_path(said))
            low, high = number_at(found, "low"), number_at(found, "high")
            if low is None or high is None:
                yield view.problem(leaf, "", f"names `{said}`, which has no range", "Only a figure with a range varies",
                                   f"Write `low` and `high` at `{said}`, or take it out here")
            elif said in seen:
                yield view.problem(leaf, "", f"names `{said}`, which stands under `{seen[said]}` too", "",
                                   "Name it once")
            elif key == "shapes" and name == "lognormal" and low <= 0:
                yield view.problem(leaf, "", f"names `{said}`, whose `low` is not above 0", "It has no logarithm",
                                   "Put it under another shape")
            seen.setdefault(said, name)


def _leaves(tree: Tree) -> list[Leaf]:
    parts = list(tree) if isinstance(tree, Items) else [tree]
    return [one for one in parts if isinstance(one, Leaf) and one.value is not None]

"""The file as plain data in which every value still knows its path and line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

Scalar = str | int | float | bool | None


@dataclass(frozen=True, slots=True)
class Leaf:
    """One scalar: its meaning, its text as typed, where it stands; `filled` says who filled it in, if not the user."""

    value: Scalar
    text: str
    path: str
    line: int | None
    filled: str = ""


class Node(dict[str, "Tree"]):
    """A mapping that knows where it stands."""

    def __init__(self, path: str, line: int | None, items: dict[str, Tree] | None = None) -> None:
        super().__init__(items or {})
        self.path = path
        self.line = line

    def child_path(self, key: str) -> str:
        """Return the path of `key` below this mapping."""
        return f"{self.path}.{key}" if self.path else key


class Items(list["Tree"]):
    """A list that knows where it stands; entries are numbered from 1 in paths."""

    def __init__(self, path: str, line: int | None, items: list[Tree] | None = None) -> None:
        super().__init__(items or [])
        self.path = path
        self.line = line


Tree = Leaf | Node | Items


@dataclass(frozen=True, slots=True)
class Document:
    """A file that was read: its name, its data, and its text as written (empty once values were changed)."""

    file: str
    data: Node
    text: str = ""

    @property
    def lines(self) -> dict[str, int]:
        """Line (from 1) of every dotted path."""
        return {item.path: item.line for item in walk(self.data) if item.path and item.line is not None}


def walk(tree: Tree) -> Iterator[Tree]:
    """Yield `tree` and everything below it, in written order."""
    yield tree
    if isinstance(tree, Node):
        for child in tree.values():
            yield from walk(child)
    elif isinstance(tree, Items):
        for child in tree:
            yield from walk(child)


def plain(tree: Tree) -> object:
    """Return the tree as ordinary Python data, scalars by meaning."""
    if isinstance(tree, Leaf):
        return tree.value
    if isinstance(tree, Node):
        return {key: plain(child) for key, child in tree.items()}
    return [plain(child) for child in tree]


def find(tree: Tree | None, *keys: str) -> Tree | None:
    """Return what stands below `keys`, or None when any of them is absent or no mapping."""
    for key in keys:
        if not isinstance(tree, Node):
            return None
        tree = tree.get(key)
    return tree


def node_at(tree: Tree | None, *keys: str) -> Node | None:
    """Return the mapping below `keys`, or None."""
    found = find(tree, *keys)
    return found if isinstance(found, Node) else None


def text_at(tree: Tree | None, *keys: str) -> str | None:
    """Return the text of the scalar below `keys`, or None."""
    found = find(tree, *keys)
    return found.text if isinstance(found, Leaf) else None


def public_path(path: str) -> str:
    """Return the key under which a path of the file is known: `candidates.birch.count` is `birch.count`."""
    return path.removeprefix("candidates.")

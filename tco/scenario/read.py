"""Read YAML 1.2 into a tree with lines, refusing what people never mean: duplicates, aliases, tags, huge files."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from tco.problem import Problem, ScenarioError
from tco.scenario.tree import Document, Items, Leaf, Node, Scalar, Tree

LARGEST_FILE = 1_000_000
DEEPEST = 16
LONGEST_INTEGER = 40

_INT = re.compile(r"[-+]?[0-9]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_TRUTH = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_INF = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")


def read(path: str | Path) -> Document:
    """Read a scenario file.

    Raises
    ------
    ScenarioError
        When the file is absent, over 1 MB, not UTF-8 or not the plain YAML that a scenario needs.
    """
    file = str(path)
    place = Path(path)
    try:
        if place.stat().st_size > LARGEST_FILE:
            raise ScenarioError([_problem(file, None, "", "is larger than 1 MB", "A scenario is a page or two of text",
                                          "Give the scenario file, not a data file")])
        text = place.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ScenarioError([_problem(file, None, "", "is not a text file in UTF-8", "", "Save it as UTF-8 text")]) \
            from None
    except OSError as error:
        reason = (error.strerror or "cannot be read").lower()
        raise ScenarioError([_problem(file, None, "", f"cannot be read: {reason}", "", "Check the name of the file")]) \
            from None
    return read_text(text, file)


def read_text(text: str, file: str = "scenario.yaml") -> Document:
    """Read scenario text; `file` is the name used in messages. Raises ScenarioError like `read`."""
    if len(text) > LARGEST_FILE:
        raise ScenarioError([_problem(file, None, "", "is larger than 1 MB", "", "Give the scenario file")])
    yaml = YAML(typ="safe", pure=True)
    yaml.version = (1, 2)
    builder = _Builder(file)
    try:
        data = builder.document(iter(yaml.parse(text)))
    except MarkedYAMLError as error:
        raise ScenarioError([_bad_yaml(file, text, error)]) from None
    except YAMLError as error:
        what = f"holds a character that YAML does not allow: {str(error).splitlines()[0]}"
        raise ScenarioError([_problem(file, None, "", what, "", "Remove it")]) from None
    if builder.problems:
        raise ScenarioError(builder.problems)
    if not isinstance(data, Node):
        raise ScenarioError([_problem(file, 1, "", "holds no scenario", "A scenario is a list of keys with values",
                                      "Start from the text that `tco start FILE` writes")])
    return Document(file, data, text)


def scalar(text: str) -> Scalar:
    """Return the meaning of an unquoted YAML 1.2 scalar; `no`, `1:30` and `2027-03` stay words."""
    if text in ("", "~", "null", "Null", "NULL"):
        return None
    if text in _TRUTH:
        return _TRUTH[text]
    # An integer of many digits would be slow to convert and is refused later as a figure that is too large.
    if _INT.fullmatch(text) and len(text) <= LONGEST_INTEGER:
        return int(text)
    if _FLOAT.fullmatch(text):
        return float(text)
    if _INF.fullmatch(text):
        return float(text.lower().replace(".inf", "inf").replace(".nan", "nan"))
    return text


def _problem(file: str, line: int | None, path: str, what: str, why: str, instead: str) -> Problem:
    return Problem(file, line, path, what, why, instead)


def _bad_yaml(file: str, text: str, error: MarkedYAMLError) -> Problem:
    mark = error.problem_mark or error.context_mark
    line = mark.line + 1 if mark is not None else None
    lines = text.splitlines()
    written = lines[line - 1] if line is not None and line <= len(lines) else ""
    if "\t" in written:
        return _problem(file, line, "", "holds a tab", "YAML allows only spaces for indenting",
                        "Replace the tab by two spaces")
    began = error.context_mark.line + 1 if error.context_mark is not None else line
    since = f" (in what began in line {began})" if began != line else ""
    what = f"is no readable YAML here: {error.problem or 'unexpected text'}{since}"
    return _problem(file, line, "", what, "", "Check colons, brackets, quotes and the indenting of this line and "
                                              "the one above")


class _Builder:
    """Turns parser events into a tree and collects what is refused."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []

    def document(self, events: Iterator[Event]) -> Tree | None:
        result: Tree | None = None
        for event in events:
            if isinstance(event, DocumentStartEvent) and result is not None:
                self._refuse(event, "", "starts a second document", "One file is one scenario", "Remove the line `---`")
                break
            if isinstance(event, NodeEvent) and result is None:
                result = self._tree(event, events, "", 0)
        return result

    def _refuse(self, event: Event, path: str, what: str, why: str, instead: str) -> None:
        self.problems.append(_problem(self.file, event.start_mark.line + 1, path, what, why, instead))

    def _tree(self, event: Event, events: Iterator[Event], path: str, depth: int) -> Tree:
        line = event.start_mark.line + 1
        if isinstance(event, AliasEvent) or getattr(event, "anchor", None):
            self._refuse(event, path, "uses an anchor or an alias (& or *)", "They hide where a figure comes from",
                         "Write the value again, or use `every_quote` or `same_as`")
        if isinstance(event, AliasEvent):
            return Leaf(None, "", path, line)
        if getattr(event, "tag", None):
            self._refuse(event, path, "uses a YAML tag (!)", "A scenario holds only words and numbers", "Remove "
                                                                                                        "the tag")
        if depth > DEEPEST:
            raise ScenarioError([*self.problems, _problem(self.file, line, path, "is nested too deeply", "",
                                                          "Check the brackets of this line")])
        if isinstance(event, ScalarEvent):
            value: Scalar = scalar(event.value) if event.style is None else event.value
            return Leaf(value, event.value, path, line)
        if isinstance(event, SequenceStartEvent):
            items = Items(path, line)
            while not isinstance(inner := next(events), SequenceEndEvent):
                items.append(self._tree(inner, events, f"{path}.{len(items) + 1}" if path else str(len(items) + 1),
                                        depth + 1))
            return items
        if isinstance(event, MappingStartEvent):
            return self._mapping(event, events, path, depth)
        raise AssertionError(f"unexpected event {event!r}")

    def _mapping(self, event: Event, events: Iterator[Event], path: str, depth: int) -> Node:
        node = Node(path, event.start_mark.line + 1)
        first: dict[str, int] = {}
        while not isinstance(inner := next(events), MappingEndEvent):
            if not isinstance(inner, ScalarEvent):
                self._refuse(inner, path, "uses a list or mapping as a key", "", "Write a word before the colon")
                self._tree(inner, events, path, depth + 1)
                self._tree(next(events), events, path, depth + 1)
                continue
            key, line = inner.value, inner.start_mark.line + 1
            below = node.child_path(key)
            value = self._tree(next(events), events, below, depth + 1)
            if key in first:
                self._refuse(inner, below, f"is written twice (first in line {first[key]})",
                             "Only one of them could count", "Remove one of the two")
                continue
            first[key] = line
            node[key] = _at_line(value, line)
        return node


def _at_line(value: Tree, line: int) -> Tree:
    """Return the value with the line of its key, where a person looks for it."""
    if isinstance(value, Leaf):
        return Leaf(value.value, value.text, value.path, line)
    value.line = line
    return value

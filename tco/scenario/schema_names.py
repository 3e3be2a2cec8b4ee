"""Mappings whose keys the user chooses."""

from __future__ import annotations

from typing import Annotated, Any, TypeVar

from pydantic import BeforeValidator, ValidationInfo

from tco.scenario.numbers import refuse
from tco.scenario.rules import context_of
from tco.scenario.tree import Node
from tco.scenario.words import ID_PATTERN, NAME_PATTERN, RESERVED, RESERVED_BESIDE_PRESSES

T = TypeVar("T")


def _mapping(raw: Any) -> Node:
    """Return a section of names; they become part of paths, so dots and blanks are refused."""
    if not isinstance(raw, Node) or not raw:
        refuse(raw, "must be a list of names with values", "", "Write for instance {letter: 0.0078}")
    for key in raw:
        if not NAME_PATTERN.fullmatch(key):
            refuse(raw, f"`{key}` cannot be a name", "Names become part of keys and formulas",
                   "Use up to 40 letters, digits, _ and -", key)
    return raw


def _mapping_of_ids(raw: Any) -> Node:
    if not isinstance(raw, Node) or not raw:
        refuse(raw, "must be sections with ids", "", "Write an id, a colon, and the keys below it")
    return raw


def _ids(raw: Any, info: ValidationInfo) -> Node:
    node = _mapping_of_ids(raw)
    ctx = context_of(info)
    for key in node:
        if not ID_PATTERN.fullmatch(key):
            ctx.problem(node.child_path(key), node[key].line, f"`{key}` cannot be an id",
                        "Ids become keys of lines and names of files",
                        "Use up to 30 small letters, digits and _, beginning with a letter, and put the words "
                        "into `name`")
    return node


def _candidate_ids(raw: Any, info: ValidationInfo) -> Node:
    return _free_ids(raw, info, RESERVED, "a candidate")


def _press_ids(raw: Any, info: ValidationInfo) -> Node:
    return _free_ids(raw, info, RESERVED_BESIDE_PRESSES, "a press")


def _free_ids(raw: Any, info: ValidationInfo, taken: frozenset[str], what: str) -> Node:
    node = _ids(raw, info)
    for key in node:
        if key in taken:
            context_of(info).problem(node.child_path(key), node[key].line, f"`{key}` cannot be the id of {what}",
                                     "The word is reserved for a part of the scenario", f"Write for instance `{key}_1`")
    return node


Named = Annotated[dict[str, T], BeforeValidator(_mapping)]
ById = Annotated[dict[str, T], BeforeValidator(_ids)]
ByCandidate = Annotated[dict[str, T], BeforeValidator(_candidate_ids)]
ByPress = Annotated[dict[str, T], BeforeValidator(_press_ids)]

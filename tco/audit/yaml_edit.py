"""Numbers changed in the text of a scenario, and nothing else: comments, order and spacing stay as they are.

The text is not written anew: the parser only says where each value stands, and the new value is put in its place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from tco.scenario.figure import MONTH_NAMES
from tco.scenario.numbers import PER_KEYS

SOURCE: Final = "workbook, edited"


class EditError(ValueError):
    """A path of the scenario that takes no number of its own; the text says why."""


@dataclass(frozen=True)
class Change:
    """A number for a path of the file, such as ("candidates", "birch", "lease", "rent").

    `value` None stands for `unknown`; `place` is the entry of twelve months, counted from 0; `bare` notes no source.
    """

    keys: tuple[str, ...]
    value: float | None
    percent: bool = False
    place: int | None = None
    bare: bool = False


def edited(text: str, changes: Sequence[Change], date: str, start_month: int) -> str:
    """Return the text with changes.

    Parameters
    ----------
    text : a scenario that can be read
    changes : at most one for each place
    date : of the study, noted beside each changed figure
    start_month : calendar month of month 1, for twelve figures by name

    Raises
    ------
    EditError
        A path leads to something that is no number.
    """
    text = text if text.endswith("\n") else f"{text}\n"
    for change in changes:
        text = _one(text, change, date, start_month)
    return text


def _one(text: str, change: Change, date: str, start_month: int) -> str:
    node = YAML(typ="rt", pure=True).compose(text)
    keys = list(change.keys)
    while keys:
        below = _child(node, keys[0])
        if below is None:
            return _added(text, node, keys, change, date)
        node = below
        keys.pop(0)
    if change.place is not None:
        return _entry(text, node, change, start_month)
    return _figure(text, node, change, date)


def _child(node: Node, key: str) -> Node | None:
    if isinstance(node, MappingNode):
        return next((value for name, value in node.value if name.value == key), None)
    if isinstance(node, SequenceNode):
        if key.isdigit() and 1 <= int(key) <= len(node.value):
            return node.value[int(key) - 1]  # type: ignore[no-any-return]
        raise EditError(f"has no entry {key}")
    raise EditError("stands inside a single value")


def spelled(value: float | None, *, percent: bool) -> str:
    """A number as it is written in a scenario: a share in percent, a whole number without a point."""
    if value is None:
        return "unknown"
    return f"{_plain(float(f'{value * 100:.13g}'))}%" if percent else _plain(value)


def _plain(value: float) -> str:
    text = f"{value:.15g}"
    if "e" in text:
        return f"{value:.0f}" if abs(value) >= 1 else f"{value:.20f}".rstrip("0")
    return text


def _replaced(text: str, node: Node, new: str) -> str:
    return text[: node.start_mark.index] + new + text[node.end_mark.index :]


def _beside_comment(text: str, node: Node, new: str) -> str:
    """Replace a value; a comment behind it stays in its column as far as it can."""
    rest = text[node.end_mark.index :]
    gap = len(rest) - len(rest.lstrip(" "))
    if gap > 1 and rest[gap : gap + 1] == "#":
        rest = " " * max(2, gap - (len(new) - (node.end_mark.index - node.start_mark.index))) + rest[gap:]
    return text[: node.start_mark.index] + new + rest


def _number(node: Node, change: Change) -> str:
    """The new number, as a percentage where the old one was written so, or was none and the figure is a share."""
    written = node.value.strip() if isinstance(node, ScalarNode) else ""
    as_percent = written.endswith("%") or (change.percent and written == "unknown")
    return spelled(change.value, percent=as_percent)


def _figure(text: str, node: Node, change: Change, date: str) -> str:
    """A bare number becomes a mapping that names its new source; in a mapping the number and its source change."""
    if isinstance(node, ScalarNode):
        new = _number(node, change)
        if new == "unknown" or change.bare:
            return _beside_comment(text, node, new)
        return _beside_comment(text, node, f'{{value: {new}, source: "{SOURCE}", date: {date}}}')
    if not isinstance(node, MappingNode):
        raise EditError("is a list, of which only entries can be changed")
    name = next((key.value for key, _ in node.value if key.value in ("value", *PER_KEYS)), None)
    main = _child(node, name) if name is not None else None
    if main is None:
        raise EditError("is a section, not a figure")
    if isinstance(main, MappingNode):  # {per_year: {value: ...}}
        return _figure(text, main, change, date)
    return _in_mapping(text, node, main, change, {"source": f'"{SOURCE}"', "date": date})


def _in_mapping(text: str, node: MappingNode, main: Node, change: Change, noted: Mapping[str, str]) -> str:
    """Change number, source and date; drop a bound that no longer holds the number. From the end, so places hold."""
    edits = [(main.start_mark.index, main.end_mark.index, _number(main, change))]
    missing = dict(noted)
    for place, (key, value) in enumerate(node.value):
        if key.value in missing:
            edits.append((value.start_mark.index, value.end_mark.index, missing.pop(key.value)))
        elif key.value in ("low", "high") and _excludes(key.value, value, change.value):
            edits.append(_removal(text, node, place))
    if node.flow_style:
        more = "".join(f", {key}: {told}" for key, told in missing.items())
    else:
        more = "".join(f"\n{' ' * node.start_mark.column}{key}: {told}" for key, told in missing.items())
    edits[0] = (*edits[0][:2], edits[0][2] + more)
    for start, end, told in sorted(edits, reverse=True):
        text = text[:start] + told + text[end:]
    return text


def _excludes(key: str, node: Node, value: float | None) -> bool:
    written = node.value.strip() if isinstance(node, ScalarNode) else ""
    try:
        bound = float(written[:-1]) / 100 if written.endswith("%") else float(written)
    except ValueError:
        return False
    return value is None or (value < bound if key == "low" else value > bound)


def _removal(text: str, node: MappingNode, place: int) -> tuple[int, int, str]:
    """What to cut for one key of a mapping, with the comma or the line that goes with it."""
    key, value = node.value[place]
    if not node.flow_style:
        end = text.find("\n", value.end_mark.index)
        start = text.rfind("\n", 0, key.start_mark.index) + 1
        return start, len(text) if end < 0 else end + 1, ""
    if place:
        return text.rfind(",", 0, key.start_mark.index), value.end_mark.index, ""
    return key.start_mark.index, node.value[1][0].start_mark.index, ""


def _entry(text: str, node: Node, change: Change, start_month: int) -> str:
    """One of twelve figures, in a list from the first month or by the name of the month."""
    assert change.place is not None
    if isinstance(node, SequenceNode):
        below = _child(node, str(change.place + 1))
    else:
        below = _child(node, MONTH_NAMES[(start_month - 1 + change.place) % 12])
    if not isinstance(below, ScalarNode):
        raise EditError("holds no figure for this month")
    return _replaced(text, below, _number(below, change))


def _added(text: str, node: Node, keys: Sequence[str], change: Change, date: str) -> str:
    """A figure that the file leaves to its default: written at the end of its section, sections around it as well."""
    if change.place is not None or not isinstance(node, MappingNode):
        raise EditError("is not written in the scenario")
    told = spelled(change.value, percent=change.percent)
    if change.value is not None and not change.bare:
        told = f'{{value: {told}, source: "{SOURCE}", date: {date}}}'
    for key in reversed(keys[1:]):
        told = f"{{{key}: {told}}}"
    line = f"{keys[0]}: {told}"
    if node.flow_style:
        if not node.value:
            return _replaced(text, node, f"{{{line}}}")
        at = node.value[-1][1].end_mark.index
        return f"{text[:at]}, {line}{text[at:]}"
    at = _end_of_block(text, node)
    return f"{text[:at]}{' ' * node.start_mark.column}{line}\n{text[at:]}"


def _end_of_block(text: str, node: Node) -> int:
    """The start of the line after the last one that a section stands on."""
    while isinstance(node, MappingNode | SequenceNode) and not node.flow_style and node.value:
        last = node.value[-1]
        node = last[1] if isinstance(last, tuple) else last
    end = node.end_mark.index
    if isinstance(node, ScalarNode) and node.style in ("|", ">"):
        end = len(text[:end].rstrip())
    found = text.find("\n", end)
    return len(text) if found < 0 else found + 1

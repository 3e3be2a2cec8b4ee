"""The reference of the scenario file, made from the schema: every key with meaning, unit, default and example."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, get_args, get_origin

from pydantic import Tag
from pydantic.fields import FieldInfo

from tco.scenario.json_schema import Json, json_schema
from tco.scenario.part import Part, when_absent
from tco.scenario.schema import Scenario

# The unit sentence that ends a description begins with one of these.
UNITS = (
    "Money", "Share", "A year", "YYYY-MM", "Month", "Year", "Week", "Day", "Hour", "Minute", "Clicks", "Sides",
    "Sheets", "Sets", "Jobs", "Rents", "Posts", "People", "Number", "Factor", "Square metres", "kW", "kWh", "kg",
    "Grams", "Millilitres", "Litres", "Any scale", "Word", "Text", "Yes or no", "List", "Section",
)  # fmt: skip
ID = "<id>"
_SILENCE = re.compile(r"^(default|silent:|absent:)\s*")


@dataclass(frozen=True, slots=True)
class Key:
    """One key that a scenario may hold.

    Attributes
    ----------
    name : as written before the colon
    meaning, unit : plain words
    default : what holds when the key is not written; `must be written`, or `none`
    words : the choices, where it is a choice
    example : a line of YAML
    """

    name: str
    meaning: str
    unit: str
    default: str
    words: tuple[str, ...]
    example: str


@dataclass(frozen=True, slots=True)
class Section:
    """Keys that stand together: `path` leads there (empty: the top level), and so do the paths in `also`."""

    path: str
    title: str
    also: tuple[str, ...]
    keys: tuple[Key, ...]


@cache
def sections() -> tuple[Section, ...]:
    """Return all sections in reading order; each key stands in one of them, with every place it may be written at."""
    places: dict[type[Part], list[str]] = {}
    for path, part in _places(Scenario, ""):
        for one in reversed(part.__mro__):
            if one is not Part and issubclass(one, Part):
                places.setdefault(one, []).append(path)
    shapes = json_schema()
    return tuple(
        Section(paths[0], (part.__doc__ or "").split("\n")[0], tuple(paths[1:]), _keys(part, shapes))
        for part, paths in places.items()
    )


def find(asked: str) -> tuple[Section, ...]:
    """Return what stands at and below a key.

    Parameters
    ----------
    asked : a path or its beginning, ids left out or real: `candidates.lease`, `candidates.birch.lease.rent`,
        `birch.lease.rent`; else a piece of a path anywhere: `lease.rent`
    """
    want = asked.split(".")
    for leads in (_begins, _begins_with_ids, _holds, _is_of_a_candidate):
        found = []
        for section in sections():
            for path in (section.path, *section.also):
                kept = tuple(key for key in section.keys if leads([*filter(None, path.split(".")), key.name], want))
                if kept:
                    found.append(replace(section, path=path, also=(), keys=kept))
                    break
        if found:
            return tuple(found)
    return ()


def undocumented(part: type[Part]) -> list[str]:
    """Return what the reader of the schema would miss at the keys of a class, each as an instruction."""
    filled = _filled(part)
    return [told for name, info in part.keys().items()
            for told in lacking(f"{part.__name__}.{name}", info, is_filled=name in filled)]


def lacking(place: str, info: FieldInfo, *, is_filled: bool = False) -> list[str]:
    """Return what a field lacks; `is_filled` tells that the key is required and that the tool fills it in."""
    found = []
    meaning, unit, silence = _said(info)
    if not meaning or not unit.startswith(UNITS):
        found.append("give Field a description: what it means, then its unit as a sentence of its own, such as `Rent "
                     f"of one press. Money a month.` (`{unit}` begins with none of UNITS in tco/scenario/reference.py)")
    if re.search(r"; (default|silent:|absent:)", meaning):
        found.append("say what holds in silence behind the unit: `Money; default 0.`")
    if not info.examples:
        found.append("give Field examples=[...], a value as it is written in the file")
    default = when_absent(info)
    if silence and default is not None and not silence.startswith(_written(default.value, unit)):
        found.append(f"WhenAbsent fills in `{_written(default.value, unit)}`, the description says `{silence}`")
    if is_filled and default is None and not silence:
        found.append("it is filled in when absent; say how behind the unit: `Share; default the shop's.`")
    return [f"{place}: {told}" for told in found]


def _places(part: type[Part], path: str) -> Iterator[tuple[str, type[Part]]]:
    """Yield every place of the file with its class; candidates before `today`, which is written like one."""
    yield path, part
    for name, info in sorted(part.keys().items(), key=lambda item: item[0] == "today"):
        below = f"{path}.{name}" if path else name
        for child, steps in _children(info.annotation, "today" if path.startswith("today") else "new"):
            yield from _places(child, below + steps)


def _children(kind: Any, tag: str, steps: str = "") -> Iterator[tuple[type[Part], str]]:
    """Yield the classes that may stand at a key, with the id between them and the key."""
    if isinstance(kind, type) and issubclass(kind, Part):
        yield kind, steps
        return
    arguments = get_args(kind)
    tags = [one.tag for one in arguments if isinstance(one, Tag)]
    if tags and tag not in tags:
        return
    for argument in arguments:
        yield from _children(argument, tag, f".{ID}" if get_origin(kind) is dict else steps)


def _keys(part: type[Part], shapes: Json) -> tuple[Key, ...]:
    """Return the keys that a class adds to those it inherits."""
    before = {name for base in part.__mro__[1:] if issubclass(base, Part) for name in base.model_fields}
    body = shapes if part is Scenario else shapes["$defs"].get(part.__name__, {})
    shape = body.get("properties", {})
    return tuple(
        _key(name, info, shape.get(name, {})) for name, info in part.keys().items()
        if _field(part, name) not in before
    )


def _field(part: type[Part], name: str) -> str:
    return next(field for field, info in part.model_fields.items() if name in (field, info.alias))


def _key(name: str, info: FieldInfo, shape: Json) -> Key:
    meaning, unit, silence = _said(info)
    default = when_absent(info)
    told = silence or (_written(default.value, unit) if default is not None else "")
    words = () if unit.startswith("Yes or no") else tuple(str(word) for word in _choices(shape))
    return Key(name, meaning, unit, told or ("must be written" if info.is_required() else "none"), words,
               f"{name}: {_yaml(info.examples[0])}" if info.examples else "")


def _said(info: FieldInfo) -> tuple[str, str, str]:
    """Split a description: what it means, the unit (its last sentence), what holds in silence (after a semicolon)."""
    meaning, _, last = (info.description or "").removesuffix(".").rpartition(". ")
    unit, _, silence = last.partition("; ")
    return (f"{meaning}." if meaning else "", unit, _SILENCE.sub("", silence))


def _written(value: object, unit: str) -> str:
    """Return a default as a person would write it: a share as percent."""
    if isinstance(value, tuple):
        return _yaml(list(value))
    if isinstance(value, float) and unit.startswith("Share"):
        return f"{value:.0%}"
    return str(value)


def _yaml(value: object) -> str:
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_yaml, value))}]"
    return str(value)


def _choices(shape: object) -> Iterator[object]:
    """Yield the words that a piece of JSON Schema allows."""
    if isinstance(shape, dict):
        yield from shape.get("enum", ())
        yield from (shape["const"] for _ in range("const" in shape))
        for name in ("anyOf", "items"):
            yield from _choices(shape.get(name))
    elif isinstance(shape, list):
        for one in shape:
            yield from _choices(one)


def _begins(steps: list[str], want: list[str]) -> bool:
    """Tell whether a path begins like this, ids left out."""
    return [step for step in steps if step != ID][: len(want)] == want


def _begins_with_ids(steps: list[str], want: list[str]) -> bool:
    """Tell whether a path begins like this, with an id of the user's where it has one."""
    return len(want) <= len(steps) and all(step in (ID, word) for step, word in zip(steps, want, strict=False))


def _holds(steps: list[str], want: list[str]) -> bool:
    """Tell whether a path has such a piece, ids left out."""
    bare = [step for step in steps if step != ID]
    return any(bare[place : place + len(want)] == want for place in range(len(bare)))


def _is_of_a_candidate(steps: list[str], want: list[str]) -> bool:
    """Tell whether a path begins like this below `candidates`, which keys of lines and messages leave out."""
    return len(want) > 1 and _begins_with_ids(steps, ["candidates", *want])


def _filled(part: type[Part]) -> frozenset[str]:
    """Names of required keys that the user need not write all the same."""
    shapes = json_schema()
    body = shapes if part is Scenario else shapes["$defs"].get(part.__name__, {})
    wanted = {name for name, info in part.keys().items() if info.is_required()}
    return frozenset(wanted) - frozenset(body.get("required", ()))

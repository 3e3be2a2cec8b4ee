"""The base of all schema classes: unknown and missing keys said well, defaults filled where the class declares them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast

from pydantic import BaseModel, ConfigDict, ValidationInfo, model_validator
from pydantic.fields import FieldInfo

from tco.scenario.context import Context
from tco.scenario.numbers import refuse
from tco.scenario.tree import Items, Leaf, Node, Scalar, Tree
from tco.scenario.words import meant, nearest

# How a person calls the section of a class.
_HOMES = {
    "Scenario": "the top level", "Money": "`money`", "PlainWork": "`work`", "JobClass": "a class under `jobs`",
    "Shop": "`shop`", "Labour": "`shop.labour`", "Outside": "`outside`", "Press": "the press itself",
    "Candidate": "the candidate itself", "Service": "`service`", "Meter": "a meter under `service.meters`",
    "Lease": "`lease`", "Loan": "`loan`", "Rental": "`rental`",
    "Today": "`today`", "Cash": "`cash`", "IncomeTax": "`money.income_tax`",
    "Books": "`money.books`", "LeaseAccounting": "`money.lease_accounting`",
}



@dataclass(frozen=True, slots=True)
class WhenAbsent:
    """What the tool writes at a key that the user left out, and on whose word."""

    value: Scalar | tuple[str, ...]
    source: str = "default"

    def tree(self, path: str) -> Tree:
        """Return the value as it would have been read."""
        if isinstance(self.value, tuple):
            return Items(path, None, [Leaf(word, word, f"{path}.{place}", None, self.source)
                                      for place, word in enumerate(self.value, 1)])
        return Leaf(self.value, str(self.value), path, None, self.source)


def when_absent(info: FieldInfo) -> WhenAbsent | None:
    """Return the declared default of a field, if any."""
    return next((item for item in info.metadata if isinstance(item, WhenAbsent)), None)


class Part(BaseModel):
    """A section of the scenario; frozen, refuses unknown keys."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True, populate_by_name=False)

    @classmethod
    def keys(cls) -> dict[str, FieldInfo]:
        """Return the fields by the key that is written in the file."""
        return {info.alias or name: info for name, info in cls.model_fields.items()}

    @classmethod
    def fill(cls, node: Node) -> dict[str, Tree]:  # noqa: ARG003  subclasses read it
        """Return values for absent keys that depend on other keys of the section; overridden where needed."""
        return {}

    @model_validator(mode="before")
    @classmethod
    def _prepare(cls, raw: Any, info: ValidationInfo) -> Node:
        if not isinstance(raw, Node):
            some = ", ".join(list(cls.keys())[:3])
            refuse(raw, "must be a section with keys of its own", "", f"Write keys such as {some}")
        ctx = cast("Context", info.context)
        known = cls.keys()
        whole = Node(raw.path, raw.line)
        for key, child in raw.items():
            if key in known:
                whole[key] = child
            else:
                _unknown_key(raw, key, child, list(known), ctx)
        for key, value in cls.fill(whole).items():
            whole.setdefault(key, value)
        for key, field in known.items():
            if key in whole:
                continue
            default = when_absent(field)
            if default is not None:
                whole[key] = default.tree(raw.child_path(key))
            elif field.is_required():
                ctx.problem(raw.path, raw.line, f"lacks `{key}`", _first_sentence(field), _example(key, field))
        return whole


def _unknown_key(node: Node, key: str, child: Tree, known: list[str], ctx: Context) -> None:
    close = meant(key, known)
    homes = [] if close else _homes(key)
    close = close or (None if homes else nearest(key, known))
    hint = f"Known here: {', '.join(known)}"
    if close:
        hint = f"Did you mean `{close}`?"
    elif homes:
        hint = f"It belongs to {' or '.join(homes)}"
    ctx.problem(node.child_path(key), child.line, f"`{key}` is not known here", "", hint)


def _homes(key: str) -> list[str]:
    """Return up to three sections that know this key."""
    found: list[str] = []
    classes = list(Part.__subclasses__())
    for part in classes:
        classes.extend(part.__subclasses__())
        keys = part.keys()
        if key in keys:
            name = _HOMES.get(part.__name__)
            if name is not None and name not in found:
                found.append(name)
    return found[:3]


def _first_sentence(field: FieldInfo) -> str:
    return (field.description or "").split(". ")[0]


def _example(key: str, field: FieldInfo) -> str:
    return f"Write for instance `{key}: {field.examples[0]}`" if field.examples else f"Add `{key}`"

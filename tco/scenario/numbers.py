"""From what people type to numbers: percent, unknown, mappings with low and high, amounts in time."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import Decimal
from typing import NoReturn

from pydantic_core import PydanticCustomError

from tco.scenario.figure import STATUSES, Per, Status, round15
from tco.scenario.tree import Leaf, Node, Tree
from tco.scenario.words import nearest

FIGURE_KEYS = ("value", "low", "high", "source", "status", "date", "note")
PER_KEYS: dict[str, Per] = {"per_month": "month", "per_quarter": "quarter", "per_year": "year"}
LARGEST = 1e15

_PERCENT = re.compile(r"([-+]?[0-9]*\.?[0-9]+)\s*%")
_THOUSANDS = re.compile(r"[-+]?[0-9]{1,3}([,'_  ][0-9]{3})+(\.[0-9]+)?")
_COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+")
_PLAIN = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")


@dataclass(frozen=True, slots=True)
class Written:
    """A figure as typed, before a rule has judged it; value None is `unknown`."""

    value: float | None
    low: float | None
    high: float | None
    source: str
    status: Status | None
    date: str
    note: str
    path: str
    line: int | None
    filled: str = ""
    per: Per | None = None


def refuse(place: Tree, what: str, why: str = "", instead: str = "", key: str = "") -> NoReturn:
    """Raise the error that pydantic collects; the place tells path and line, `key` goes below the path."""
    path = f"{place.path}.{key}" if key else place.path
    raise PydanticCustomError("scenario", "{what}", {
        "what": what, "why": why, "instead": instead, "path": path, "line": place.line or 0})


def number(leaf: Tree) -> float | None:
    """Return the number of a scalar, None for `unknown`; refuses everything that is no number."""
    if not isinstance(leaf, Leaf):
        refuse(leaf, "must be a number", "", "Write a number such as 1240 or 7.5%")
    value = leaf.value
    if value is None:
        refuse(leaf, "is empty", "Nothing optional needs a placeholder",
               "Remove the line, or write a number, or `unknown`")
    if isinstance(value, bool):
        refuse(leaf, f"must be a number, not `{leaf.text}`", "", "Write a number such as 1240 or 7.5%")
    if isinstance(value, str):
        value = _from_text(leaf, value.strip())
        if value is None:
            return None
    if math.isnan(value) or math.isinf(value):
        refuse(leaf, f"`{leaf.text}` is not a finite number", "", "Write a number, or `unknown`")
    if abs(value) > LARGEST:
        refuse(leaf, f"`{leaf.text[:30]}` is too large to be meant", "", "Write a number below a thousand billion")
    return round15(float(value))


def _from_text(leaf: Leaf, text: str) -> float | None:
    if text == "unknown":
        return None
    if match := _PERCENT.fullmatch(text):
        return float(Decimal(match[1]) / 100)
    if _PLAIN.fullmatch(text):
        return float(text)
    if _THOUSANDS.fullmatch(text):
        bare = re.sub(r"[,'_  ]", "", text)
        refuse(leaf, f"`{text}` has a thousands separator", "A comma could also be a decimal mark", f"Write {bare}")
    if _COMMA.fullmatch(text):
        refuse(leaf, f"`{text}` has a decimal comma", "", f"Write {text.replace(',', '.')}")
    if re.fullmatch(r"[^\w\s]?\s*[0-9][0-9,.]*\s*[^\d\s]*", text):
        bare = re.sub(r"[^0-9.]", "", text)
        refuse(leaf, f"`{text}` is not a bare number", "Units are those of the key, the currency is money.currency",
               f"Write {bare}")
    refuse(leaf, f"must be a number, not `{text[:40]}`", "", "Write a number such as 1240 or 7.5%, or `unknown`")


def text_of(tree: Tree, limit: int = 300) -> str:
    """Return the text of a scalar; refuses lists, mappings, control characters and overlong text."""
    if not isinstance(tree, Leaf) or tree.text == "":
        refuse(tree, "must be text", "", "Write some words, or remove the line")
    text = tree.text.strip()
    if len(text) > limit:
        refuse(tree, f"is longer than {limit:,} characters", "", "Shorten it")
    if any(char < " " and char not in "\n\t" for char in text) or "\x7f" in text:
        refuse(tree, "holds a control character", "Neither page nor workbook can show it", "Remove it")
    return text


def written(tree: Tree, *, flow: bool) -> Written:
    """Return the figure as typed: bare, or a mapping with value (or per_month, per_quarter, per_year) and range."""
    if isinstance(tree, Leaf):
        return Written(number(tree), None, None, "", None, "", "", tree.path, tree.line, tree.filled)
    if not isinstance(tree, Node):
        refuse(tree, "must be one figure, not a list", "", "Write a number such as 1240")
    allowed = (*FIGURE_KEYS, *PER_KEYS) if flow else FIGURE_KEYS
    for key in tree:
        if key not in allowed:
            close = nearest(key, allowed)
            hint = f"Did you mean `{close}`?" if close else f"Known here: {', '.join(allowed)}"
            why = "" if flow or key not in PER_KEYS else "This figure is no amount in time"
            refuse(_below(tree, key), f"`{key}` is not known in a figure", why, hint)
    return _from_mapping(tree, flow)


def _below(tree: Node, key: str) -> Tree:
    child = tree[key]
    return Leaf(None, "", tree.child_path(key), child.line)


def _from_mapping(tree: Node, flow: bool) -> Written:
    names = [key for key in ("value", *PER_KEYS) if key in tree]
    if len(names) != 1:
        wanted = "one of value, per_month, per_quarter, per_year" if flow else "value"
        refuse(tree, f"needs exactly {wanted}" if flow else "needs `value`", "", "Write {value: 1240, low: 1100, "
                                                                                 "high: 1400}"
               if not flow else "Write for instance {per_year: 14880}")
    name, main = names[0], tree[names[0]]
    if name in PER_KEYS and isinstance(main, Node):
        inner = written(main, flow=False)
        return Written(inner.value, inner.low, inner.high, inner.source, inner.status, inner.date, inner.note,
                       tree.path, tree.line, "", PER_KEYS[name])
    value = number(main)
    low = number(tree["low"]) if "low" in tree else None
    high = number(tree["high"]) if "high" in tree else None
    _check_range(tree, value, low, high)
    texts = {key: text_of(tree[key], 2000) if key in tree else "" for key in ("source", "date", "note")}
    return Written(value, low, high, texts["source"], _status(tree), texts["date"], texts["note"],
                   tree.path, tree.line, "", PER_KEYS.get(name))


def _status(tree: Node) -> Status | None:
    if "status" not in tree:
        return None
    text = text_of(tree["status"])
    if text not in STATUSES:
        refuse(tree["status"], f"`{text}` is no status", "", f"Write one of {', '.join(STATUSES)}")
    return text


def _check_range(tree: Node, value: float | None, low: float | None, high: float | None) -> None:
    if low is not None and high is not None and low > high:
        refuse(tree, f"low {low:g} is above high {high:g}", "", "Exchange the two")
    if value is not None and ((low is not None and value < low) or (high is not None and value > high)):
        refuse(tree, f"value {value:g} lies outside low and high",
               "low and high say what would surprise you on either side of the value", "Make low <= value <= high")

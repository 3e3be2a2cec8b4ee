"""Reading for the oracle: a parsed scenario becomes plain numbers, with changes, inheritance and gaps settled.

Order: changes outside candidates, every_quote and same_as, changes inside candidates, then gaps and notation.
"""

from __future__ import annotations

import copy
import datetime as dt
from typing import Any

Tree = dict[str, Any]

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
SIZES = {  # millimetres, shorter edge first
    "letter": (215.9, 279.4),
    "legal": (215.9, 355.6),
    "ledger": (279.4, 431.8),
    "12x18": (304.8, 457.2),
    "13x19": (330.2, 482.6),
    "a4": (210.0, 297.0),
    "a3": (297.0, 420.0),
    "sra3": (320.0, 450.0),
    "ra3": (305.0, 430.0),
    "b4": (250.0, 353.0),
}
FORMS = ("cash", "loan", "lease", "rental", "owned")
SERVICE_KEYS = {
    "base", "colour", "black", "bands", "included", "minimum", "minimum_charge", "settled", "stub",
    "oversize_counts", "blank_backs", "increase", "increase_from", "increase_every", "increase_cap",
    "increase_on", "months",
}  # fmt: skip
LEASE_KEYS = {
    "rent", "months", "paid", "advance_rents", "every_months", "cash_price", "at_end", "buy_price",
    "return_freight", "renewal_rent", "renewal_months", "document_fee", "sells_for",
}  # fmt: skip
TEXT_KEYS = {
    "name", "quote", "source", "status", "date", "note", "title", "covered", "not_covered", "currency",
}  # fmt: skip
# Silence on these is a reading or an unchecked capacity, not a price of zero: the key counts as absent.
DROPPED_WHEN_UNKNOWN = {
    "oversize_counts", "settled", "paid", "stub", "bands", "blank_backs", "at_end", "then", "months",
    "every_months", "advance_rents", "increase_from", "increase_every", "increase_cap", "increase_on",
    "cash_price", "sides_per_minute", "heavy_factor", "two_sided_factor", "trays", "output_sheets",
    "until_month", "renewal_months", "yields", "recommended_volume", "coverage", "waste", "posts",
    "kwh_per_week", "power", "present_lease", "sets_per_hour",
}  # fmt: skip
ABSENT = object()
NOT_KEPT = ("presses", "name", "quote", "posts", "sells_for", "from_month", "until_month")  # of a present press


def prepare(data: Tree, changes: dict[str, float] | None) -> Tree:
    """Give a deep copy in which every figure is a plain number and every candidate says everything itself."""
    tree = copy.deepcopy(data)
    candidates = tree.setdefault("candidates", {}) or {}
    tree["candidates"] = candidates
    ours = {path: new for path, new in (changes or {}).items() if path.split(".")[0] in candidates}
    for path, new in (changes or {}).items():
        if path not in ours:
            set_path(tree, path.split("."), new)
    for candidate in candidates.values():
        inherit(candidate, tree.get("every_quote") or {})
        for key, press in (candidate.get("presses") or {}).items():
            candidate["presses"][key] = expand_same_as(press, key, tree.get("today") or {}, "service" in candidate)
    for path, new in ours.items():
        set_path(candidates, path.split("."), new)
    for place in (tree.get("today") or {}, *candidates.values()):
        ask_for_prices(place)
    out: Tree = plain(tree, "", tree.get("allowances") or {})
    return out


def ask_for_prices(candidate: Tree) -> None:
    """Write `unknown` where a lease does not say what giving the press back, or keeping it, costs."""
    for press in (candidate, *(candidate.get("presses") or {}).values()):
        if isinstance(press.get("lease"), dict):
            bought = press["lease"].get("at_end") == "buy"
            press["lease"].setdefault("buy_price" if bought else "return_freight", "unknown")


def set_path(tree: Any, path: list[str], new: float) -> None:
    """Put a number at a dotted path; a list takes its index from 0; `value` and `per_...` wrappers are kept."""
    key: Any = int(path[0]) if isinstance(tree, list) else path[0]
    if isinstance(tree, dict) and key not in tree and key in (tree.get("presses") or {}):
        tree = tree["presses"]
    if len(path) > 1:
        if isinstance(tree, dict) and not isinstance(tree.get(key), (dict, list)):
            tree[key] = {}
        set_path(tree[key], path[1:], new)
        return
    old = tree[key] if isinstance(tree, list) else tree.get(key)
    wrappers = [k for k in ("value", "per_month", "per_quarter", "per_year") if isinstance(old, dict) and k in old]
    if wrappers:
        set_path(old, [wrappers[0]], new)
    else:
        tree[key] = new


def inherit(candidate: Tree, shared: Tree) -> None:
    """Fill what the candidate's own service plans and leases leave unsaid from every_quote."""
    holders = [candidate, *(candidate.get("presses") or {}).values()]
    for name, keys in (("service", SERVICE_KEYS), ("lease", LEASE_KEYS)):
        terms = {k: v for k, v in shared.items() if k in keys}
        nested = shared.get(name)
        terms |= nested if isinstance(nested, dict) else {}
        for holder in holders:
            if isinstance(holder.get(name), dict):
                holder[name] = copy.deepcopy(terms) | holder[name]
    if "present_lease" in shared:
        candidate.setdefault("present_lease", shared["present_lease"])


def expand_same_as(press: Tree, key: str, today: Tree, pooled: bool) -> Tree:
    """Give the present press overridden by what is written; `kept` names the present press that stays."""
    if "same_as" not in press:
        return press
    present = today.get("presses") or {"": today}
    named = str(press["same_as"]).partition(".")[2]
    kept = next((k for k in (named, key) if k in present), next(iter(present)))
    base = copy.deepcopy({k: v for k, v in present[kept].items() if k not in NOT_KEPT})
    if pooled:  # the plan of the candidate covers all its presses
        base.pop("service", None)
    if any(form in press for form in FORMS):  # its own way of paying replaces today's
        base = {k: v for k, v in base.items() if k not in FORMS}
    return base | press | {"kept": kept}


def plain(node: Any, key: str, allowances: Tree) -> Any:
    """Turn notation into numbers and unknowns into allowances, 5 % for an increase, nothing, or an absent key."""
    if isinstance(node, dict):
        if "value" in node:
            return plain(node["value"], key, allowances)
        if {"low", "high"} & set(node) and not any(str(k).startswith("per_") for k in node):
            return plain("unknown", key, allowances)
        inner = {k: v if k in TEXT_KEYS else plain(v, str(k), allowances) for k, v in node.items()}
        return {str(k): v for k, v in inner.items() if v is not ABSENT}
    if isinstance(node, list):
        return [plain(entry, key, allowances) for entry in node]
    return notation(node.strip(), key, allowances) if isinstance(node, str) else node


def notation(text: str, key: str, allowances: Tree) -> Any:
    """Read a word, a percentage or `unknown`."""
    if text.lower() == "unknown":
        return unknown(key, allowances)
    return float(text[:-1]) / 100 if text.endswith("%") else text


def unknown(key: str, allowances: Tree) -> Any:
    """Say what stands in for an unknown figure."""
    if key in allowances:
        return plain(allowances[key], key, {})
    if key in DROPPED_WHEN_UNKNOWN:
        return ABSENT
    return 0.05 if key == "increase" else 0.0


def number(raw: Any, default: float = 0.0) -> float:
    """Read a figure; None gives the default."""
    return default if raw is None else float(raw)


def amount(raw: Any, default: float = 0.0) -> float:
    """Read an amount in time as a figure a month."""
    if isinstance(raw, dict):
        for key, months in (("per_month", 1), ("per_quarter", 3), ("per_year", 12)):
            if key in raw:
                return number(raw[key]) / months
        raise ValueError(f"no amount in {raw}")
    return number(raw, default)


def yes(raw: Any, default: bool = False) -> bool:
    """Read yes or no."""
    if raw is None:
        return default
    return raw if isinstance(raw, bool) else str(raw).strip().lower() in ("yes", "true", "y", "on")


def by_colour(raw: Any, colour: bool, default: float) -> float:
    """Read one figure for all work, or one each for colour and black."""
    if isinstance(raw, dict):
        return number(raw.get("colour" if colour else "black"), default)
    return number(raw, default)


def date(raw: Any) -> dt.date:
    """Read a date as typed or as the YAML reader gave it."""
    if isinstance(raw, dt.datetime):
        return raw.date()
    return raw if isinstance(raw, dt.date) else dt.date.fromisoformat(str(raw).strip())


def month_count(raw: Any) -> int:
    """Read YYYY-MM (or a date) as months since the year 0."""
    if isinstance(raw, dt.date):
        return raw.year * 12 + raw.month - 1
    year, month = str(raw).strip().split("-")[:2]
    return int(year) * 12 + int(month) - 1


def calendar_month(raw: Any) -> int:
    """Read a month's name or number as 0 ... 11."""
    text = str(raw).strip().lower()
    return int(text) - 1 if text.isdigit() else MONTHS.index(text[:3])


def is_large(size: str) -> bool:
    """Say whether the longer edge is over 364 mm."""
    return SIZES[size][1] > 364


def feed_length(size: str) -> float:
    """Give the edge along which a sheet of this size runs."""
    return SIZES[size][1] if is_large(size) else SIZES[size][0]


def area(size: str) -> float:
    """Give the area of a sheet in square millimetres."""
    return SIZES[size][0] * SIZES[size][1]


def fits(size: str, largest: str | None) -> bool:
    """Say whether a press whose largest sheet is given takes this size."""
    if largest is None or largest == "any":
        return True
    return SIZES[size][0] <= SIZES[largest][0] and SIZES[size][1] <= SIZES[largest][1]

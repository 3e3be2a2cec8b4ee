"""Figures: every input and every calculation, each with an address of its own."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import groupby

from tco.publish.pages.candidate import value_words
from tco.publish.parts import Kit, Link, Page, anchor, clipped
from tco.report import Entry

MOST_LINKS = 12
# Of an input: the page must stay light enough to open. Of a calculation its script reads the formulas backwards, and
# the workbook has every use.
MOST_USES = 8


@dataclass(frozen=True)
class Shown:
    """One entry as it stands on the page."""

    id: str
    key: str
    label: str
    value: str
    comes: tuple[Link, ...]
    status: str
    source: str
    reads: tuple[Link, ...]
    used: tuple[Link, ...]
    more: int
    candidate_input: bool


@dataclass(frozen=True)
class Group:
    """The entries of one block."""

    id: str
    title: str
    entries: tuple[Shown, ...]


@dataclass(frozen=True)
class Scope:
    """The blocks of one scope: what all share, one candidate, the comparison."""

    id: str
    title: str
    inputs: tuple[Group, ...]
    workings: tuple[Group, ...]


def computed_words(kit: Kit, entry: Entry) -> str:
    """The value of a calculation: its total where that means something, else how far it ranges."""
    unit = kit.unit(entry)
    if not entry.monthly:
        return value_words(kit, entry)
    if entry.role in ("state", "event") and len(entry.values) == 1:
        return f"in {sum(value != 0 for value in entry.values[0])} of {len(entry.values[0])} months"
    labels = entry.axis_labels if len(entry.values) > 1 else ("",)
    told = []
    for place, label in enumerate(labels):
        row = entry.values[place]
        if entry.total is not None:
            words = kit.exact(entry, entry.total[place])
        elif min(row) == max(row):
            words = kit.exact(entry, row[0])
        else:
            words = f"{kit.exact(entry, min(row))} to {kit.exact(entry, max(row))}"
        told.append((label, words))
    if entry.total is not None:
        # The sum of a flow over its months has lost the month.
        unit = unit.removesuffix(" a month") if entry.total_means == "sum" else unit
        means = ", in all" if entry.total_means == "sum" else ", at the end"
    else:
        means = ", each month" if all(min(row) == max(row) for row in entry.values) else ", by month"
    return f"{_alike(told)} {unit}".strip() + means


def _alike(told: list[tuple[str, str]]) -> str:
    """The words of every label; once where all are the same, as nothing in every year."""
    if len(told) > 2 and len({words for _, words in told}) == 1:
        return f"{told[0][0]} to {told[-1][0]}: {told[0][1]}"
    return "; ".join(f"{label} {words}".strip() for label, words in told)


def shown(kit: Kit, entry: Entry) -> Shown:
    """An entry in words with its links both ways."""
    span = ""
    if entry.low is not None and entry.high is not None:
        span = f" ({kit.exact(entry, entry.low)} to {kit.exact(entry, entry.high)})"
    value = (value_words(kit, entry) if entry.is_input else computed_words(kit, entry)) + span
    uses = MOST_USES if entry.is_input else 0
    comes, rest = ((), entry.reads) if entry.is_input else linked(kit, entry)
    parts = (entry.source, entry.date, entry.note)
    source = ", ".join(part for part in parts if part)
    return Shown(
        anchor(entry.key),
        entry.key,
        entry.label,
        value,
        comes,
        entry.status if entry.is_input or entry.role == "constant" else "",
        f"source: {source}" if source else "no source",
        _links(kit, entry, rest),
        _links(kit, entry, entry.readers[:uses]),
        max(0, len(entry.readers) - uses) if uses else 0,
        entry.is_input,
    )


def linked(kit: Kit, entry: Entry) -> tuple[tuple[Link, ...], tuple[str, ...]]:
    """The formula of an entry with its lines as links, each at its first mention, and the lines it does not name."""
    left: dict[str, str] = {}
    for key in entry.reads:
        if kit.has(key):
            other = kit.report.by_key[key]
            for told in (other.label, f"{other.block_label}: {other.label}", _of(other)):
                left.setdefault(told, key)
    parts, named = [], set()
    for place, text in enumerate(re.split(r"\[([^\[\]]+)\]", entry.words)):
        key = left.get(text, "") if place % 2 else ""
        if key and key not in named:
            named.add(key)
            parts.append(Link(text, f"#{anchor(key)}"))
        elif text:
            parts.append(Link(f"[{text}]" if place % 2 else text, ""))
    return tuple(parts), tuple(key for key in entry.reads if key not in named)


def _of(other: Entry) -> str:
    return f"{other.block_label} of {other.scope}: {other.label}"


def _links(kit: Kit, entry: Entry, keys: tuple[str, ...]) -> tuple[Link, ...]:
    """Links to other entries; those of another candidate are called with its name."""
    names = {one.id: clipped(one.name, 40) for one in kit.report.candidates if one.id != entry.scope}
    found = []
    for key in (key for key in keys[:MOST_LINKS] if kit.has(key)):
        other = kit.report.by_key[key]
        label = clipped(other.label, 48)
        owner = names.get(other.scope)
        found.append(Link(f"{label} ({owner})" if owner else label, f"#{anchor(key)}"))
    return tuple(found)


def _groups(kit: Kit, entries: list[Entry]) -> tuple[Group, ...]:
    found = []
    for block, members in groupby(entries, key=lambda entry: entry.block):
        items = list(members)
        kind = "i" if items[0].is_input else "c"
        found.append(
            Group(f"{kind}-{anchor(block)}", clipped(items[0].block_label), tuple(shown(kit, e) for e in items))
        )
    return tuple(found)


def scope_title(kit: Kit, scope: str) -> str:
    """A scope in words."""
    names = {one.id: clipped(one.name) for one in kit.report.candidates}
    return names.get(scope, {"shared": "For all candidates", "comparison": "Comparison"}.get(scope, scope))


def build(kit: Kit) -> list[Page]:
    """The page."""
    scopes = []
    for name in dict.fromkeys(entry.scope for entry in kit.report.entries):
        members = [entry for entry in kit.report.entries if entry.scope == name]
        inputs = _groups(kit, [entry for entry in members if entry.is_input])
        workings = _groups(kit, [entry for entry in members if not entry.is_input])
        scopes.append(Scope(f"s-{anchor(name)}", scope_title(kit, name), inputs, workings))
    data = {"scopes": scopes, "count": kit.numbers.whole(len(kit.report.entries))}
    return [Page("figures.html", "Figures", "figures.html.j2", data, "Figures", runs=True)]

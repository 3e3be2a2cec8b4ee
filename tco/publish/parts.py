"""What pages are put together from: links, tables, facts, and the kit that every page builder is given."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from tco.publish.figures import Figure, one_line
from tco.publish.numbers import Numbers
from tco.report import Candidate, Entry, Report

FIGURES_PAGE: Final = "figures.html"
PLURALS: Final[Mapping[str, tuple[str, str]]] = {
    "side": ("page", "pages"),
    "press": ("press", "presses"),
    "mm": ("mm", "mm"),
    "m2": ("m²", "m²"),
    "kW": ("kW", "kW"),
    "kWh": ("kWh", "kWh"),
    "kg": ("kg", "kg"),
    "g": ("g", "g"),
    "ml": ("ml", "ml"),
}


@dataclass(frozen=True)
class Link:
    """Words that lead somewhere inside the site."""

    text: str
    href: str


@dataclass(frozen=True)
class Trail:
    """What a figure is traced to: a label, and a link for each candidate it was taken from, or one for all."""

    label: str
    links: tuple[Link, ...]


@dataclass(frozen=True)
class Cell:
    """One cell of a table: finished words, and where they come from."""

    text: str
    href: str = ""
    css: str = ""


@dataclass(frozen=True)
class Row:
    """One row: its head, cells, and how it is marked. `place` draws the candidate's swatch before the head."""

    head: str
    cells: tuple[Cell, ...]
    href: str = ""
    place: int | None = None
    mark: str = ""
    css: str = ""
    note: str = ""


@dataclass(frozen=True)
class Table:
    """A table with a name, a header of two lines a column (what, unit) and the entries it is traced to.

    The note of a row stands under its head, or with `notes_last` under its last cell.
    """

    id: str
    title: str
    columns: tuple[tuple[str, str], ...]
    rows: tuple[Row, ...]
    head: str = ""
    note: str = ""
    traced: tuple[Trail, ...] = ()
    css: str = ""
    notes_last: bool = False

    def is_worded(self, column: int) -> bool:
        """Whether a column holds words, which stand at the left, as its first cell tells."""
        first = next((row for row in self.rows if row.cells), None)
        return first is not None and "words" in first.cells[column].css


@dataclass(frozen=True)
class Fact:
    """A name with words beside it and, where there is one, the entry it comes from."""

    name: str
    words: str
    link: Link | None = None


@dataclass(frozen=True)
class Page:
    """One page: file name, title, the template that draws it and what the template is given."""

    file: str
    title: str
    template: str
    data: Mapping[str, Any]
    nav: str = ""
    candidate: Candidate | None = None
    css: str = ""
    runs: bool = False


def safe(text: str) -> str:
    """A name that can stand in an id or a file name: anything else becomes its code."""
    return re.sub(r"[^A-Za-z0-9._-]", lambda found: f"_{ord(found[0]):x}_", text)


def anchor(key: str) -> str:
    """The id of an entry on the page of figures."""
    return "f-" + safe(key)


def clipped(text: str, most: int = 90) -> str:
    """Words on one line, cut with an ellipsis when they are longer than a heading can bear."""
    text = one_line(text)
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


@dataclass(frozen=True)
class Kit:
    """The report with its number styles, and the way from any figure to its entry."""

    report: Report
    numbers: Numbers
    cautions: dict[str, str] = field(default_factory=dict)
    workbook: str = ""
    drawn: dict[tuple[object, ...], Figure | None] = field(default_factory=dict, compare=False, repr=False)

    def draw(self, make: Callable[..., Figure | None], *more: object) -> Figure | None:
        """A figure, drawn once however many pages show it."""
        key = (make.__name__, *more)
        if key not in self.drawn:
            self.drawn[key] = make(self.report, self.numbers, *more)
        return self.drawn[key]

    @cached_property
    def pages_of(self) -> dict[str, str]:
        """The file of each candidate's page; names that only differ in capitals are told apart by a number."""
        found: dict[str, str] = {}
        taken: set[str] = set()
        for one in self.report.candidates:
            name = safe(one.id)[:60].strip(".") or "one"
            if name.lower() in taken:
                name = f"{name}-{one.place}"
            taken.add(name.lower())
            found[one.id] = f"candidate-{name}.html"
        return found

    def name(self, candidate: str, most: int = 90) -> str:
        """The name of a candidate, short enough for a heading, or for so many characters."""
        return clipped(self.report.candidate(candidate).name, most)

    def href(self, key: str) -> str:
        """The address of an entry; KeyError when the figure has none, so that nothing untraced is shown."""
        if key not in self.report.by_key:
            raise KeyError(f"{key} is shown but has no entry in Figures")
        return f"{FIGURES_PAGE}#{anchor(key)}"

    def link(self, key: str, words: str = "") -> Link:
        """A link to an entry, called by its label."""
        address = self.href(key)
        return Link(words or clipped(self.report.by_key[key].label, 60), address)

    def has(self, key: str) -> bool:
        """Whether the model has such a line."""
        return key in self.report.by_key

    def traced(self, keys: Iterable[str]) -> tuple[Trail, ...]:
        """Links to those of the keys that exist; the same line of several candidates is labelled once."""
        found: dict[str, list[Link]] = {}
        for key in dict.fromkeys(self.report.home[key] for key in keys if key in self.report.home):
            entry = self.report.by_key[key]
            owner = next((one for one in self.report.candidates if one.id == entry.scope), None)
            label = clipped(entry.label, 60)
            found.setdefault(label, []).append(self.link(key, clipped(owner.name, 40) if owner else label))
        owners = {link.text for links in found.values() for link in links}
        if len(found) > 1 and len(owners) == 1:
            # All of one candidate, whose name stands above: the labels are the links.
            return tuple(Trail(label, (Link(label, links[0].href),)) for label, links in found.items())
        return tuple(Trail(label, tuple(links)) for label, links in found.items())

    def unit(self, entry: Entry) -> str:
        """The unit of an entry in words: ``USD a page``, ``pages a month``; a percentage has its sign beside it."""
        return "" if entry.percent else unit_words(entry.unit, self.numbers.currency)

    def with_unit(self, entry: Entry, words: str) -> str:
        """A value of an entry in words, with its unit."""
        return f"{words} {self.unit(entry)}".strip()

    def exact(self, entry: Entry, value: float) -> str:
        """A value in full, without its unit; a percentage with its sign as the locale has it."""
        if not math.isfinite(value):
            return "none"
        if entry.percent:
            return self.numbers.as_percent(self.numbers.exact(value * 100))
        return self.numbers.exact(value)


def unit_words(unit: str, currency: str) -> str:
    """A unit of the model in words."""
    above, *below = unit.split("/")
    words = []
    for part in above.split("*"):
        if part == "money":
            words.append(currency)
        elif part not in {"1", "any"}:
            words.append(PLURALS.get(part, (part, part + "s"))[1])
    per = [f"a {PLURALS.get(part, (part, ''))[0]}" for part in below]
    return " ".join(words + per).replace("a hour", "an hour")

"""Where every line stands in the workbook: pure, from the model to addresses.

Rows and columns count from 0, as the writer does. The same column is the same month on every ledger.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from tco.model.kinds import Axis
from tco.model.lines import COMPARISON, SHARED, Block
from tco.model.model import Model, references
from tco.model.nodes import Home, Line
from tco.publish.workbook.arrange import Columns, in_turn, linked, parts
from tco.publish.workbook.names import names_of, sheet_title

KEY, LABEL, UNIT, VALUE, TOTAL, WORDS, OPENING, FIRST_MONTH = range(8)
NUMBER_COLUMN: Final = UNIT  # a table counts its entries where other rows have their unit
HEAD_ROWS: Final = 4  # title, note, calendar month, column headings

ASSUMPTIONS, QUOTES, WORK, TABLES = "Assumptions", "Quotes", "Work", "Tables"
INPUT_SHEETS: Final = (ASSUMPTIONS, QUOTES, WORK, TABLES)


@dataclass(frozen=True)
class Place:
    """The first cell of a line: its value, the first entry of its column, or its first month."""

    sheet: str
    row: int
    column: int


@dataclass(frozen=True)
class Row:
    """A line of a ledger with one value, or with months: then one row for each entry of its axis."""

    line: Line
    row: int
    link: bool


@dataclass(frozen=True)
class Grid:
    """A small table of a ledger: entries down, lines across. `row` is that of the first entry.

    Above it stand one row a line (key, label, unit, words) and one row of headings.
    """

    axis: Axis
    row: int
    columns: tuple[tuple[Line, int, bool], ...]


@dataclass(frozen=True)
class Section:
    """A block on a ledger, or its continuation after blocks it reads; `row` is that of its heading."""

    block: Block
    row: int
    parts: tuple[Row | Grid, ...]
    end: int
    continued: bool = False


@dataclass(frozen=True)
class Ledger:
    """All calculated lines of one scope; `end` is the first row below them."""

    sheet: str
    scope: str
    sections: tuple[Section, ...]
    end: int

    @property
    def monthly(self) -> bool:
        """Whether any line has months; a ledger without them needs no columns for them."""
        parts = [part for section in self.sections for part in section.parts]
        return any(isinstance(part, Row) and part.line.shape.months for part in parts)


@dataclass(frozen=True)
class Term:
    """One row of an input sheet: a figure or a choice, or the same one of several candidates side by side."""

    key: str
    row: int
    lines: Mapping[int, Line]  # by column

    @property
    def first(self) -> Line:
        """The line that gives the row its label and unit."""
        return next(iter(self.lines.values()))


@dataclass(frozen=True)
class Group:
    """A heading of an input sheet with its rows."""

    heading: str
    row: int
    terms: tuple[Term, ...]


@dataclass(frozen=True)
class InputTable:
    """A small table of an input sheet; `row` is that of its first entry, with four rows of headings above."""

    heading: str
    axis: Axis
    row: int
    columns: tuple[tuple[Line, int], ...]


@dataclass(frozen=True, eq=False)
class Layout:
    """Addresses of a whole model."""

    model: Model
    candidates: tuple[str, ...]
    ledgers: tuple[Ledger, ...]
    inputs: Mapping[str, tuple[Group, ...]]
    tables: Mapping[str, tuple[InputTable, ...]]
    homes: Mapping[Line, Place]
    links: Mapping[tuple[Home, Line], Place]
    names: Mapping[Line, str]

    @property
    def first_month(self) -> str:
        """The column of the first month, as a letter."""
        return column_name(FIRST_MONTH)

    @property
    def last_month(self) -> str:
        """The column of the last month, as letters."""
        return column_name(FIRST_MONTH + self.model.columns - 1)

    @cached_property
    def read_late(self) -> frozenset[Line]:
        """The lines that some formula reads a month late, so that they need a value before the first month."""
        found = ((line.expr, line.opening) for line in self.model.lines)
        nodes = (node for pair in found for node in pair if node is not None)
        return frozenset(line for node in nodes for line, late in references(node) if late)

    def seen_from(self, block: Home, line: Line) -> Place:
        """Where a formula of a block reads a line."""
        return self.homes[line] if line.value is None else self.links[block, line]

    def address(self, line: Line, entry: int = 0) -> str:
        """The absolute address of the value of a line, with its sheet."""
        place = self.homes[line]
        return f"{quoted(place.sheet)}!${column_name(place.column)}${place.row + 1 + entry}"

    @cached_property
    def clock(self) -> str:
        """The ledger that counts the months; the others repeat its headings."""
        return next(ledger.sheet for ledger in self.ledgers if ledger.monthly)

    def ledger(self, scope: str) -> Ledger | None:
        """The ledger of a scope, if that scope calculates anything."""
        return next((ledger for ledger in self.ledgers if ledger.scope == scope), None)

    def owner(self, line: Line) -> str:
        """The candidate a figure belongs to, by its key; otherwise the shared scope."""
        return _owner(line, self.candidates)


def column_name(column: int) -> str:
    """Letters of a column counted from 0."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def quoted(sheet: str) -> str:
    """A sheet name as it stands in a formula; `sheet_title` has taken the apostrophes out."""
    return f"'{sheet}'"


def lay_out(model: Model, titles: Mapping[str, str] | None = None) -> Layout:
    """Give every line of a model its address.

    Parameters
    ----------
    model : the finished model
    titles : names of the candidates by id, for the names of their sheets; the ids when absent
    """
    titles = titles or {}
    candidates = tuple(scope for scope in model.scopes if scope not in (SHARED, COMPARISON))
    homes: dict[Line, Place] = {}
    links: dict[tuple[Home, Line], Place] = {}
    ledgers = []
    for scope in (SHARED, *candidates, COMPARISON):
        number = candidates.index(scope) + 1 if scope in candidates else 0
        sheet = {SHARED: "Shared workings", COMPARISON: "Difference workings"}.get(
            scope, sheet_title(f"L{number}", titles.get(scope, scope))
        )
        ledger = _ledger(sheet, scope, model.blocks_of(scope), homes, links)
        if ledger.sections:
            ledgers.append(ledger)
    figures = [line for line in model.lines if line.value is not None]
    inputs = {
        ASSUMPTIONS: _assumptions(figures, candidates, homes),
        QUOTES: _quotes(figures, candidates, homes),
    }
    tables = {
        sheet: _tables([line for line in figures if _table_sheet(line, candidates) == sheet], sheet, homes)
        for sheet in (WORK, TABLES)
    }
    names = names_of(line for line in figures if line.role != "choice")
    return Layout(model, candidates, tuple(ledgers), inputs, tables, homes, links, names)


# Ledgers -----------------------------------------------------------------------------------------------------------


def _ledger(
    sheet: str, scope: str, blocks: Sequence[Block], homes: dict[Line, Place], links: dict[tuple[Home, Line], Place]
) -> Ledger:
    sections: list[Section] = []
    row = HEAD_ROWS
    for block, calculated in in_turn(blocks):
        new = [line for line in linked(block, calculated) if (block, line) not in links]
        start, row = row, row + 1
        made: list[Row | Grid] = []
        for part in parts(new, calculated):
            if isinstance(part, Columns):
                grid, row = _grid(part, row)
                made.append(grid)
                for line, column, link in grid.columns:
                    _settle(block, line, Place(sheet, grid.row, column), homes, links, link=link)
            else:
                column = FIRST_MONTH if part.shape.months else VALUE
                link = part.value is not None
                made.append(Row(part, row, link))
                _settle(block, part, Place(sheet, row, column), homes, links, link=link)
                row += len(part.shape.axis) if part.shape.axis is not None else 1
        sections.append(Section(block, start, tuple(made), row, any(known.block is block for known in sections)))
        row += 1
    return Ledger(sheet, scope, tuple(sections), max(row - 1, HEAD_ROWS))


def _grid(part: Columns, row: int) -> tuple[Grid, int]:
    """A table that starts at a row with the legend of its columns; and the first row below it."""
    first = row + len(part.lines) + 1
    places = [VALUE, *range(FIRST_MONTH, FIRST_MONTH + len(part.lines))]
    columns = tuple((line, column, line.value is not None) for line, column in zip(part.lines, places, strict=False))
    return Grid(part.axis, first, columns), first + len(part.axis)


def _settle(
    block: Block,
    line: Line,
    place: Place,
    homes: dict[Line, Place],
    links: dict[tuple[Home, Line], Place],
    *,
    link: bool,
) -> None:
    if link:
        links[block, line] = place
    else:
        homes[line] = place


# Input sheets ------------------------------------------------------------------------------------------------------


def _owner(line: Line, candidates: Sequence[str]) -> str:
    head = line.id.partition(".")[0]
    return head if head in candidates else SHARED


def _table_sheet(line: Line, candidates: Sequence[str]) -> str:
    if line.shape.axis is None:
        return ""
    return WORK if line.role == "input" and _owner(line, candidates) == SHARED else TABLES


def _assumptions(figures: Sequence[Line], candidates: Sequence[str], homes: dict[Line, Place]) -> tuple[Group, ...]:
    """Shared figures by block, then shared choices, then constants."""
    mine = [line for line in figures if line.shape.axis is None]
    shared = [line for line in mine if line.role == "input" and _owner(line, candidates) == SHARED]
    choices = [line for line in mine if line.role == "choice" and _owner(line, candidates) == SHARED]
    constants = [line for line in mine if line.role not in ("input", "choice")]
    wanted = [
        (block.label, [line for line in shared if line.block is block])
        for block in dict.fromkeys(line.block for line in shared)
    ]
    wanted += [("Choices: build again to change", choices), ("Definitions and constants: not to be changed", constants)]
    groups: list[Group] = []
    row = HEAD_ROWS + 1  # one row for the first month of the study
    for heading, lines in wanted:
        if not lines:
            continue
        start, row = row, row + 1
        terms = []
        for line in lines:
            homes[line] = Place(ASSUMPTIONS, row, VALUE)
            terms.append(Term(line.id, row, {VALUE: line}))
            row += 1
        groups.append(Group(heading, start, tuple(terms)))
        row += 1
    return tuple(groups)


def _quotes(figures: Sequence[Line], candidates: Sequence[str], homes: dict[Line, Place]) -> tuple[Group, ...]:
    """Figures and choices of the candidates side by side: a row a term, a column a candidate."""
    found: dict[tuple[str, object], dict[int, Line]] = {}
    for place, candidate in enumerate(candidates):
        for line in figures:
            if line.shape.axis is None and line.role in ("input", "choice") and _owner(line, candidates) == candidate:
                tail = line.id.partition(".")[2]
                found.setdefault((tail, (line.unit, line.percent, line.role)), {})[VALUE + place] = line
    by_heading: dict[str, list[tuple[str, dict[int, Line]]]] = {}
    for (tail, _), lines in found.items():
        by_heading.setdefault(tail.rpartition(".")[0], []).append((tail, lines))
    groups: list[Group] = []
    row = HEAD_ROWS
    for terms in by_heading.values():
        start, row = row, row + 1
        made = []
        for tail, lines in terms:
            for column, line in lines.items():
                homes[line] = Place(QUOTES, row, column)
            made.append(Term(tail, row, lines))
            row += 1
        groups.append(Group(_heading(made[0].key), start, tuple(made)))
        row += 1
    return tuple(groups)


def _heading(key: str) -> str:
    """The section of the scenario that a term stands in, as a heading."""
    sections = key.split(".")[:-1]
    return ": ".join(section.replace("_", " ").capitalize() for section in sections) or "Press and candidate"


def _tables(lines: Sequence[Line], sheet: str, homes: dict[Line, Place]) -> tuple[InputTable, ...]:
    found: dict[tuple[Home, Axis], list[Line]] = {}
    for line in lines:
        assert line.shape.axis is not None
        found.setdefault((line.block, line.shape.axis), []).append(line)
    made, row = [], HEAD_ROWS - 1
    for (block, axis), columns in found.items():
        first = row + 4
        placed = tuple((line, VALUE + number) for number, line in enumerate(columns))
        for line, column in placed:
            homes[line] = Place(sheet, first, column)
        made.append(InputTable(block.label, axis, first, placed))
        row = first + len(axis) + 1
    return tuple(made)

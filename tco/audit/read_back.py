"""Inputs of an edited workbook: found by name and key, read as people type, judged by the rules of the scenario."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias

from pydantic_core import PydanticCustomError

from tco.audit.align import Aligned
from tco.audit.cells import Book, Cell, Named, address
from tco.audit.expected import Expected
from tco.audit.places import Spot, entries_of
from tco.model.nodes import Line
from tco.problem import Problem
from tco.publish.workbook.styles import tidy
from tco.scenario.numbers import number
from tco.scenario.tree import Leaf

SAME: Final = 1e-12  # relative; programs keep 15 digits
Where: TypeAlias = tuple[str, int, int]


@dataclass(frozen=True)
class Input:
    """One figure as it was exported and as it stands now; `new` None stands for `unknown`."""

    spot: Spot
    sheet: str
    row: int
    column: int
    old: float
    new: float | None
    formula: str = ""

    @property
    def changed(self) -> bool:
        """Whether it is another figure."""
        return self.new is None or abs(self.new - self.old) > SAME * max(abs(self.old), abs(self.new))

    @property
    def key(self) -> str:
        """The path of the figure."""
        return self.spot.key

    @property
    def cell(self) -> str:
        """Its address."""
        return address(self.sheet, self.row, self.column)


@dataclass(frozen=True)
class Inputs:
    """All inputs, what cannot be read, and names that no longer point where they did."""

    found: tuple[Input, ...]
    problems: tuple[Problem, ...] = ()
    names_lost: tuple[Line, ...] = ()
    names_moved: tuple[tuple[Line, Named], ...] = ()

    @property
    def changed(self) -> tuple[Input, ...]:
        """Those that are other figures now."""
        return tuple(one for one in self.found if one.changed)


def read_inputs(expected: Expected, book: Book, sheets: Mapping[str, Aligned]) -> Inputs:
    """Read every input of the model from an edited workbook.

    Parameters
    ----------
    expected : the workbook as exported
    book : the workbook as read
    sheets : its sheets beside the exported ones, by the exported name
    """
    found: list[Input] = []
    problems: list[Problem] = []
    lost: list[Line] = []
    moved: list[tuple[Line, Named]] = []
    names = {name.lower(): place for name, place in book.names.items()}
    for line in expected.model.lines:
        if line.role != "input" or line.value is None:
            continue
        name = expected.layout.names[line]
        named = names.get(name)
        places = list(_places(line, named, expected, sheets))
        if named is None:
            lost.append(line)
        elif places[0] is not None and places[0] != (named.sheet, named.row, named.column):
            moved.append((line, named))
        for entry, place in enumerate(places):
            spot = Spot(line, entry, "value")
            if place is None:
                what, why = f"{spot.key} is nowhere to be found", "Neither its name nor its key is in the workbook"
                problems.append(Problem(book.file, None, name, what, why, "Put the row back"))
                continue
            read = _read(spot, place, book)
            if isinstance(read, Input):
                found.append(read)
            else:
                problems.append(read)
    return Inputs(tuple(found), tuple(problems), tuple(lost), tuple(moved))


def _places(
    line: Line, named: Named | None, expected: Expected, sheets: Mapping[str, Aligned]
) -> Iterator[Where | None]:
    """Where each entry stands now: where its row with its key went, else where its name points."""
    home = expected.layout.homes[line]
    aligned = sheets.get(home.sheet)
    for entry in range(entries_of(line)):
        place = aligned.to_actual(home.row + entry, home.column) if aligned is not None else None
        if place is not None and aligned is not None:
            yield aligned.actual.name, *place
        elif named is not None and named.row + entry <= named.last_row:
            yield named.sheet, named.row + entry, named.column
        else:
            yield None


def _read(spot: Spot, place: Where, book: Book) -> Input | Problem:
    sheet, row, column = place
    cell = book.sheets[sheet].cells.get((row, column)) if sheet in book.sheets else None
    assert spot.line.value is not None
    old = tidy(float(spot.line.value[spot.entry, 0]))
    try:
        new = _number(cell, spot)
    except PydanticCustomError as error:
        told = error.context or {}
        what, why, instead = (str(told[part]) for part in ("what", "why", "instead"))
        return Problem(book.file, None, f"{address(*place)} ({spot.key})", what, why, instead)
    formula = cell.formula if cell is not None else ""
    return Input(spot, sheet, row, column, old, new if new is None else tidy(new), formula)


def _number(cell: Cell | None, spot: Spot) -> float | None:
    """What a cell means, with the words that the same mistake has in a scenario file."""
    if cell is None or (cell.value is None and not cell.formula):
        raise PydanticCustomError("scenario", "{what}", {
            "what": "is empty", "why": "An empty cell counts as 0 in some programs and as nothing in others",
            "instead": "Type a number, 0 included, or the word unknown"})  # fmt: skip
    if cell.formula and not isinstance(cell.value, float):
        raise PydanticCustomError("scenario", "{what}", {
            "what": f"holds a formula without a number beside it ({cell.formula[:40]})", "why": "",
            "instead": "Type the number, or calculate and save the workbook in a spreadsheet program"})  # fmt: skip
    value = cell.value
    text = str(value).lower() if isinstance(value, bool) else str(value)
    if isinstance(value, str) and value.strip().lower() == "unknown":
        value = "unknown"
    return number(Leaf(value, text, spot.key, None))

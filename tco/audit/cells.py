"""What stands in a workbook: cells by place, names, properties. Places count from 0, as the layout does."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import zip_longest
from pathlib import Path
from typing import Any, Final, TypeAlias

from tco.audit.open_safely import check_package, refuse
from tco.publish.workbook.layout import column_name

MOST_ROWS: Final = 20_000
MOST_COLUMNS: Final = 600
MOST_CELLS: Final = 3_000_000
Content: TypeAlias = "str | float | bool | None"
At: TypeAlias = tuple[int, int]
_NAME: Final = re.compile(r"(?:'((?:[^']|'')+)'|([^'!]+))!\$?([A-Z]{1,3})\$?(\d+)(?::\$?([A-Z]{1,3})\$?(\d+))?")


@dataclass(frozen=True, slots=True)
class Cell:
    """What was typed, or a formula (with its sign of equality) and the value stored beside it.

    `unlocked` is known of cells as exported only: those that may be typed over.
    """

    value: Content
    formula: str = ""
    unlocked: bool = False


@dataclass(frozen=True)
class Sheet:
    """Cells that hold something, by (row, column)."""

    name: str
    cells: Mapping[At, Cell]

    def text(self, row: int, column: int) -> str:
        """The text of a cell; empty for anything else."""
        cell = self.cells.get((row, column))
        return cell.value if cell is not None and isinstance(cell.value, str) and not cell.formula else ""


@dataclass(frozen=True)
class Named:
    """Where a name points: the first cell and the last row."""

    sheet: str
    row: int
    column: int
    last_row: int


@dataclass(frozen=True)
class Book:
    """A workbook as it was read, or as it would be exported."""

    file: str
    sheets: Mapping[str, Sheet]
    names: Mapping[str, Named] = field(default_factory=dict)
    properties: Mapping[str, str] = field(default_factory=dict)


def address(sheet: str, row: int, column: int) -> str:
    """A place as people write it: Quotes!D12, or 'L1 Lease'!H7."""
    plain = sheet if re.fullmatch(r"[A-Za-z_][A-Za-z0-9_]*", sheet) else f"'{sheet}'"
    return f"{plain}!{column_name(column)}{row + 1}"


def read_book(path: Path) -> Book:
    """Read a workbook that `check_package` lets in.

    Raises
    ------
    ScenarioError
        It may not be opened, cannot be understood, or has more rows, columns or cells than a workbook of this program.
    """
    check_package(path)
    import openpyxl
    from openpyxl.utils.exceptions import InvalidFileException

    file = str(path)
    try:
        typed: Any = openpyxl.load_workbook(path, read_only=True, keep_links=False)
        stored: Any = openpyxl.load_workbook(path, read_only=True, keep_links=False, data_only=True)
        try:
            left = MOST_CELLS
            sheets = {}
            for name in [sheet.title for sheet in typed.worksheets]:
                found = dict(_cells(file, typed[name], stored[name]))
                left -= len(found)
                if left < 0:
                    refuse(file, "has more cells than can be looked at", "", "Give a workbook that this program wrote")
                sheets[name] = Sheet(name, found)
            names = {key: place for key, one in typed.defined_names.items() if (place := _named(one.attr_text))}
            told = {one.name: str(one.value or "") for one in typed.custom_doc_props.props}
        finally:
            typed.close()
            stored.close()
    except (
        ArithmeticError, AttributeError, IndexError, KeyError, TypeError, ValueError, SyntaxError, OSError,
        InvalidFileException, zipfile.BadZipFile,
    ):  # fmt: skip
        refuse(file, "cannot be understood as a workbook", "A part of it is damaged", "Save it again as .xlsx")
    return Book(file, sheets, names, told)


def _cells(file: str, typed: Any, stored: Any) -> Iterator[tuple[At, Cell]]:
    for sheet in (typed, stored):
        sheet.reset_dimensions()
    rows = zip_longest(typed.iter_rows(), stored.iter_rows(), fillvalue=())
    for number, (formulas, values) in enumerate(rows):
        if number >= MOST_ROWS:
            refuse(file, f"has more than {MOST_ROWS:,} rows on {typed.title}", "", "Remove the empty rows at its end")
        if len(formulas) > MOST_COLUMNS:
            refuse(file, f"has more than {MOST_COLUMNS} columns on {typed.title}", "", "Remove the columns beyond")
        for column, cell in enumerate(formulas):
            content = cell.value
            if content is None:
                continue
            if cell.data_type != "f":  # a text may begin with a sign of equality and is none the less a text
                yield (number, column), Cell(_content(content))
            else:
                other = values[column].value if column < len(values) else None
                yield (number, column), Cell(_content(other), _formula(content))


def _formula(content: Any) -> str:
    """The text of a formula; other programs store some as areas of one cell, or as a table of trials."""
    text = content if isinstance(content, str) else getattr(content, "text", None) or "TABLE()"
    return text if text.startswith("=") else f"={text}"


def _content(value: Any) -> Content:
    if value is None or isinstance(value, bool | str):
        return value
    if isinstance(value, int | float):
        return float(value)
    if hasattr(value, "toordinal"):  # dates: days as a spreadsheet counts them
        seconds = getattr(value, "hour", 0) * 3600 + getattr(value, "minute", 0) * 60 + getattr(value, "second", 0)
        return float(value.toordinal() - 693594) + seconds / 86400
    if hasattr(value, "total_seconds"):
        return float(value.total_seconds()) / 86400
    return str(value)


def _named(target: str) -> Named | None:
    match = _NAME.fullmatch(target or "")
    if match is None:
        return None
    quoted, plain, letters, row, _, last = match.groups()
    name = quoted.replace("''", "'") if quoted else plain.strip("$")
    return Named(name, int(row) - 1, column_index(letters), int(last or row) - 1)


def column_index(letters: str) -> int:
    """The number of a column, from 0."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number - 1

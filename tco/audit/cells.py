"""What stands in a workbook: cells by place, names, properties. Places count from 0, as the layout does."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from tco.audit.open_safely import check_package, refuse
from tco.audit.sheet_xml import MOST_CELLS, At, Content, shared_texts, sheet_cells, sheet_parts
from tco.publish.workbook.layout import column_name

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

    file, left = str(path), MOST_CELLS
    sheets = {}
    try:
        with zipfile.ZipFile(path) as package:
            texts = shared_texts(package)
            for name, part in sheet_parts(package).items():
                read = sheet_cells(file, package, name, part, texts)
                found = {at: Cell(value, formula) for at, value, formula in read}
                left -= len(found)
                if left < 0:
                    refuse(file, "has more cells than can be looked at", "", "Give a workbook that this program wrote")
                sheets[name] = Sheet(name, found)
        opened: Any = openpyxl.load_workbook(path, read_only=True, keep_links=False)
        try:
            names = {key: place for key, one in opened.defined_names.items() if (place := _named(one.attr_text))}
            told = {one.name: str(one.value or "") for one in opened.custom_doc_props.props}
        finally:
            opened.close()
    except (
        ArithmeticError, AttributeError, IndexError, KeyError, StopIteration, TypeError, ValueError, SyntaxError,
        OSError, InvalidFileException, zipfile.BadZipFile,
    ):  # fmt: skip
        refuse(file, "cannot be understood as a workbook", "A part of it is damaged", "Save it again as .xlsx")
    return Book(file, sheets, names, told)


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

"""Cells of the sheets of a workbook, one after the other as they stand in the file.

Rows that are only numbered cost nothing: spreadsheet programs like to leave a format in the very last row, a million
rows below everything. Rows that are written down are counted, and too many of them are refused.
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from posixpath import dirname, join, normpath
from typing import Any, Final, TypeAlias

from defusedxml.ElementTree import fromstring, iterparse

from tco.audit.open_safely import refuse

MOST_ROWS: Final = 20_000
MOST_COLUMNS: Final = 600
MOST_CELLS: Final = 3_000_000
Content: TypeAlias = "str | float | bool | None"
At: TypeAlias = tuple[int, int]
_MAIN: Final = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_STRICT: Final = "{http://purl.oclc.org/ooxml/spreadsheetml/main}"
_LINK: Final = ("{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id",
                "{http://purl.oclc.org/ooxml/officeDocument/relationships}id")  # fmt: skip
_BOOK: Final = "xl/workbook.xml"


def sheet_parts(package: zipfile.ZipFile) -> dict[str, str]:
    """Names of the sheets in order, each with the part that holds it."""
    links = {one.get("Id"): one.get("Target", "") for one in fromstring(package.read("xl/_rels/workbook.xml.rels"))}
    found = {}
    for sheet in fromstring(package.read(_BOOK)).iter():
        if _plain(sheet.tag) == "sheet":
            target = links[next(sheet.get(name) for name in _LINK if sheet.get(name))]
            place = target[1:] if target.startswith("/") else normpath(join(dirname(_BOOK), target))
            found[sheet.get("name", "")] = place
    return found


def shared_texts(package: zipfile.ZipFile) -> list[str]:
    """Texts that cells share, by number; readings of characters are left out."""
    name = next((part for part in package.namelist() if part.lower() == "xl/sharedstrings.xml"), None)
    if name is None:
        return []
    found = []
    with package.open(name) as stream:
        for _, element in iterparse(stream, events=("end",)):
            if _plain(element.tag) == "si":
                found.append(_text(element))
                element.clear()
    return found


def _plain(tag: str) -> str:
    return tag.removeprefix(_MAIN).removeprefix(_STRICT)


def _text(element: Any) -> str:
    """All runs of a text."""
    told = []
    for part in element:
        if _plain(part.tag) == "t":
            told.append(part.text or "")
        elif _plain(part.tag) == "r":
            told.append(_text(part))
    return "".join(told)


def sheet_cells(
    file: str, package: zipfile.ZipFile, sheet: str, part: str, texts: list[str]
) -> Iterator[tuple[At, Content, str]]:
    """Yield (row, column) from 0, the typed or stored content, and the formula with its sign of equality or nothing.

    Raises
    ------
    ScenarioError
        More rows or columns are written down than a workbook of this program has.
    """
    masters: dict[str, tuple[str, str]] = {}
    rows = 0
    with package.open(part) as stream:
        for _, element in iterparse(stream, events=("end",)):
            if _plain(element.tag) != "row":
                continue
            rows += 1
            if rows > MOST_ROWS:
                refuse(file, f"has more than {MOST_ROWS:,} rows on {sheet}", "", "Remove the empty rows at its end")
            row = int(element.get("r", rows)) - 1
            column = -1
            for cell in element:
                place = cell.get("r")
                column = _column(place) if place else column + 1
                content, formula = _cell(cell, texts, masters, place or "")
                if content is None and not formula:
                    continue
                if column >= MOST_COLUMNS:
                    refuse(file, f"has more than {MOST_COLUMNS} columns on {sheet}", "", "Remove the columns beyond")
                yield (row, column), content, formula
            element.clear()


def _column(place: str) -> int:
    number = 0
    for letter in place.rstrip("0123456789"):
        number = number * 26 + ord(letter) - 64
    return number - 1


def _cell(cell: Any, texts: list[str], masters: dict[str, tuple[str, str]], place: str) -> tuple[Content, str]:
    kind, content, formula = cell.get("t", "n"), None, ""
    for part in cell:
        name = _plain(part.tag)
        if name == "v" and part.text is not None:
            content = _value(kind, part.text, texts)
        elif name == "is":
            content = _text(part)
        elif name == "f":
            formula = _formula(part, masters, place)
    return content, formula


def _value(kind: str, text: str, texts: list[str]) -> Content:
    if kind == "s":
        return texts[int(text)]
    if kind == "b":
        return text.strip() in ("1", "true")
    if kind in ("str", "e", "d"):
        return text
    return float(text)


def _formula(part: Any, masters: dict[str, tuple[str, str]], place: str) -> str:
    """A formula; one that is shared by many cells is written once, in the first of them."""
    text, kind = part.text or "", part.get("t", "normal")
    if kind == "dataTable":
        return "=TABLE()"
    if kind != "shared":
        return f"={text}" if text else ""
    key = part.get("si", "")
    if text:
        masters[key] = (f"={text}", place)
        return f"={text}"
    from openpyxl.formula.translate import Translator

    formula, origin = masters[key]
    return str(Translator(formula, origin=origin).translate_formula(place))

"""Cells: the only place that writes into the workbook. Text can never become a formula, a value is never forgotten."""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass, field
from typing import Any, Final

from tco.model.nodes import Line
from tco.units import Unit, spell

LONGEST_TEXT: Final = 2000
LONGEST_FORMULA: Final = 8192
DIGITS: Final = 15  # a spreadsheet keeps no more
STORED_DIGITS: Final = 10  # of results that are not live: fewer, so that they stay the same whoever saves them
_DROPPED: Final = frozenset(
    {"Cc", "Cf", "Cs", "Cn", "Co"}
)  # controls, direction marks, surrogates, unassigned, private

INK, PALE, RULE, INPUT_INK, INPUT_FILL, GREY, LINK_INK = (
    "#1D3B4A",
    "#E6EEF1",
    "#B8C7CE",
    "#0B2FBF",
    "#FFF8C5",
    "#8A8A8A",
    "#1E6B3C",
)
_BASE: Final[dict[str, Any]] = {"font_name": "Arial", "font_scheme": "none", "font_size": 9, "valign": "vcenter"}
_TEXT: Final = _BASE | {"quote_prefix": True}
_STYLES: Final[dict[str, dict[str, Any]]] = {
    "text": _TEXT,
    "wrap": _TEXT | {"text_wrap": True},
    "key": _TEXT | {"font_color": GREY, "font_size": 7},
    "key wrap": _TEXT | {"font_color": GREY, "font_size": 7, "text_wrap": True, "align": "right"},
    "key wrap left": _TEXT | {"font_color": GREY, "font_size": 7, "text_wrap": True},
    "small right": _TEXT | {"font_color": GREY, "font_size": 8, "align": "right"},
    "small": _TEXT | {"font_color": GREY, "font_size": 8, "indent": 1},
    "words": _TEXT | {"font_color": "#444444", "font_size": 8, "indent": 1},
    "title": _TEXT | {"bold": True, "font_size": 15, "font_color": INK},
    "note": _TEXT | {"font_color": "#444444", "italic": True},
    "head": _TEXT | {"bold": True, "bg_color": INK, "font_color": "#FFFFFF", "text_wrap": True, "valign": "bottom"},
    "head right": _TEXT
    | {"bold": True, "bg_color": INK, "font_color": "#FFFFFF", "text_wrap": True, "valign": "bottom", "align": "right"},
    "head number": _BASE | {"bold": True, "bg_color": INK, "font_color": "#FFFFFF", "align": "right"},
    "section": _TEXT | {"bold": True, "bg_color": PALE, "font_color": INK, "font_size": 10},
    "table head": _TEXT | {"bold": True, "text_wrap": True, "align": "right", "valign": "bottom", "bottom": 1},
    "table head left": _TEXT | {"bold": True, "text_wrap": True, "valign": "bottom", "bottom": 1},
    "choice": _TEXT | {"bg_color": "#EEEEEE", "font_color": "#444444", "text_wrap": True, "align": "right"},
    "input text": _TEXT
    | {"bg_color": INPUT_FILL, "font_color": INPUT_INK, "border": 1, "border_color": RULE, "locked": False},
    "number": _BASE,
    "total": _BASE | {"bold": True},
    "link": _BASE | {"font_color": LINK_INK},
    "answer": _BASE | {"bold": True, "font_size": 11, "font_color": INK},
    "answer text": _TEXT | {"bold": True, "font_size": 11, "font_color": INK, "text_wrap": True},
    "answer text plain": _TEXT | {"bold": True, "font_size": 11, "font_color": INK},
    "stored text": _TEXT | {"font_color": "#555555", "italic": True},
    "stored wrap": _TEXT | {"font_color": "#555555", "italic": True, "text_wrap": True},
    "log": _TEXT | {"border": 1, "border_color": RULE, "locked": False, "text_wrap": True},
    "total right": _BASE | {"bold": True, "align": "right"},
    "stored": _BASE | {"font_color": "#555555", "italic": True},
    "input": _BASE
    | {"bg_color": INPUT_FILL, "font_color": INPUT_INK, "border": 1, "border_color": RULE, "locked": False},
    "constant": _BASE | {"bg_color": "#EEEEEE"},
}


class WorkbookError(ValueError):
    """A workbook that cannot be written; the text says what is in the way."""


def clean(text: str) -> str:
    """Text fit for a cell: composed letters, no control or direction characters but line ends, at most 2,000."""
    composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\t", " "))
    kept = "".join(c for c in composed if c == "\n" or unicodedata.category(c) not in _DROPPED)
    return kept if len(kept) <= LONGEST_TEXT else kept[: LONGEST_TEXT - 1] + "…"


def tidy(value: float) -> float:
    """A figure with the digits a spreadsheet keeps."""
    return float(f"{value:.{DIGITS}g}")


def kept(value: float) -> float:
    """A result of the engine with the digits that are written of it."""
    return float(f"{value:.{STORED_DIGITS}g}")


def unit_words(line: Line, currency: str) -> str:
    """The unit of a line as a reader writes it."""
    if line.percent:
        return "%"
    if line.role == "state":
        return "0 or 1"
    text = spell(line.unit)
    return "number" if text == "1" else text.replace("money", currency)


def number_format(line: Line) -> str:
    """The number format that goes with the unit of a line; custom codes only, so that no locale changes them."""
    if line.percent:
        return "0.00%"
    if line.role in ("state", "event"):
        return "0"
    if line.role == "constant":
        return "General"
    return _format_of(line.unit)


def _format_of(measure: Unit) -> str:
    powers = dict(measure)
    below = {name for name, power in measure if power < 0}
    if powers.get("money", 0) > 0:
        if below & {"click", "side"}:
            return "#,##0.000000"
        return "#,##0.0000" if below & {"sheet", "kWh", "minute", "kg"} else "#,##0.00"
    if powers in ({"year": -1}, {"month": -1}):
        return "0.000000"
    if any(powers.get(name, 0) > 0 for name in ("side", "sheet", "click", "set", "job")):
        return "#,##0.0" if not below - {"month", "year"} else "#,##0.0000"
    return "#,##0.00" if powers.get("hour", 0) > 0 or powers.get("kWh", 0) > 0 else "General"


@dataclass
class Book:
    """The workbook being written, with one format for each style and number format."""

    workbook: Any
    formats: dict[tuple[str, str, int], Any] = field(default_factory=dict)
    formulas: int = 0

    def style(self, name: str, number: str = "", indent: int = 0) -> Any:
        """The format of a style, made once."""
        key = (name, number, indent)
        if key not in self.formats:
            extra: dict[str, Any] = {"num_format": number} if number else {}
            if indent:
                extra["indent"] = indent
            self.formats[key] = self.workbook.add_format(_STYLES[name] | extra)
        return self.formats[key]

    def define(self, name: str, target: str) -> None:
        """Name a cell or a column of cells."""
        if self.workbook.define_name(name, f"={target}") != 0:
            raise WorkbookError(f"the name {name} was refused")

    def page(self, name: str) -> Page:
        """Add a sheet."""
        from tco.publish.workbook.plain_sheet import PlainSheet

        return Page(self, name, self.workbook.add_worksheet(name, PlainSheet))


@dataclass
class Page:
    """One sheet. Every cell goes through `text`, `number` or `formula`; all refuse what did not arrive whole."""

    book: Book
    name: str
    sheet: Any

    def text(self, row: int, column: int, text: str, style: str = "text", indent: int = 0) -> None:
        """Write a text as a string, whatever it begins with."""
        cleaned = clean(text)
        form = self.book.style(style, indent=indent)
        done = (
            self.sheet.write_string(row, column, cleaned, form)
            if cleaned
            else self.sheet.write_blank(row, column, None, form)
        )
        self._sure(done, row, column)

    def number(self, row: int, column: int, value: float, style: str = "number", form: str = "General") -> None:
        """Write a finite number."""
        self._finite(value, row, column)
        self._sure(self.sheet.write_number(row, column, tidy(value), self.book.style(style, form)), row, column)

    def formula(
        self, row: int, column: int, formula: str, value: float | str, style: str = "number", form: str = ""
    ) -> None:
        """Write a formula (without its sign of equality) with the value it has."""
        if isinstance(value, str):
            value = clean(value)
        else:
            self._finite(value, row, column)
        if len(formula) >= LONGEST_FORMULA:
            raise WorkbookError(
                f"a formula of sheet {self.name} has {len(formula)} characters; a spreadsheet takes 8,192"
            )
        self.book.formulas += 1
        done = self.sheet.write_formula(row, column, f"={formula}", self.book.style(style, form), value)
        self._sure(done, row, column)

    def validate(self, row: int, column: int, rule: dict[str, Any]) -> None:
        """Say what may be typed into a cell."""
        self._sure(self.sheet.data_validation(row, column, row, column, rule), row, column)

    def inner_link(self, row: int, column: int, target: str, words: str) -> None:
        """Link to a place in this workbook; neither part comes from the user."""
        self._sure(
            self.sheet.write_url(row, column, f"internal:{target}", self.book.style("small"), string=words), row, column
        )

    def title(self, text: str, note: str) -> None:
        """Write the two lines on top of every sheet."""
        self.text(0, 0, text, "title")
        self.text(1, 0, note, "note")

    def band(self, row: int, text: str, last_column: int, style: str = "section") -> None:
        """Write a heading across a row."""
        for column in range(last_column + 1):
            self.text(row, column, text if column == 0 else "", style)

    def _finite(self, value: float, row: int, column: int) -> None:
        if not math.isfinite(value):
            raise WorkbookError(f"{self.name}, row {row + 1}, column {column + 1}: {value} is no finite number")

    def _sure(self, done: int, row: int, column: int) -> None:
        if done != 0:
            raise WorkbookError(f"{self.name}, row {row + 1}, column {column + 1} was not written (code {done})")

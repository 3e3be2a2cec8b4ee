"""Break-even: what the engine found, marked so, and a place to try a volume live."""

from __future__ import annotations

from typing import Any, Final

from tco.publish.workbook.layout import HEAD_ROWS, LABEL, UNIT, VALUE, quoted
from tco.publish.workbook.ledger import Source
from tco.publish.workbook.printing import finish, set_widths
from tco.publish.workbook.results import side_by_side
from tco.publish.workbook.styles import Book, Page, kept

BREAK_EVEN: Final = "Break-even"
SCALE, AVERAGE = "volume_scale", "work.average_sides"
SIDES_NAME, FIRST_NAME, SECOND_NAME = "g_sides", "g_first", "g_second"
_MONEY, _SIDES, _SCALE = "#,##0.00", "#,##0.0", "0.000000"


def write_break_even(book: Book, source: Source) -> None:
    """Write the sheet."""
    page, study = book.page(BREAK_EVEN), source.study
    page.title("Break-even", "Where the cheapest candidate changes with the volume.")
    width = max(len(study.breakeven[0]) if study.breakeven else 0, VALUE + 1)
    set_widths(page, (14, 46, 18, *(18 for _ in range(VALUE, width))))
    row = _live(page, source, HEAD_ROWS - 1, width)
    if study.breakeven:
        page.band(row, "Found by the engine when exported; not calculated by this workbook", width - 1)
        for number, cells in enumerate(study.breakeven):
            for column, cell in enumerate(cells):
                if isinstance(cell, str):
                    page.text(row + 1 + number, column, cell, "stored text" if number else "head")
                else:
                    page.number(row + 1 + number, column, kept(cell), "stored", _SIDES)
        row += len(study.breakeven) + 1
    else:
        page.text(row, LABEL, "No break-even was looked for when this workbook was exported.")
        row += 1
    finish(page, study, (row - 1, width - 1), head_rows=2)


def _live(page: Page, source: Source, row: int, width: int) -> int:
    """Two small live workings: a volume and the scale it needs, and two candidates and their difference."""
    model, layout = source.layout.model, source.layout
    page.band(row, "Try it here, live", width - 1)
    row += 1
    if SCALE in model and AVERAGE in model and layout.names.get(model[SCALE]):
        scale, average = model[SCALE], model[AVERAGE]
        size, sides = source.value(scale), source.value(average)
        here = layout.homes[scale]
        page.text(row, LABEL, "Volume scale in use (1: the study's own volume)")
        page.formula(row, VALUE, layout.names[scale], size, "link", _SCALE)
        page.inner_link(row, VALUE + 1, f"{quoted(here.sheet)}!D{here.row + 1}", "change it on Assumptions")
        page.text(row + 1, LABEL, "Sides in an average month that it means")
        page.text(row + 1, UNIT, "side/month", "small")
        page.formula(
            row + 1, VALUE, f"{layout.address(average)} * {layout.names[scale]}", sides * size, "total", _SIDES
        )
        page.text(row + 2, LABEL, "Sides a month to try")
        page.text(row + 2, UNIT, "side/month", "small")
        page.number(row + 2, VALUE, sides * size, "input", _SIDES)
        page.validate(row + 2, VALUE, _rule("decimal", 0, 1e12, "A number of sides a month."))
        page.book.define(SIDES_NAME, f"{quoted(BREAK_EVEN)}!$D${row + 3}")
        page.text(row + 3, LABEL, "Volume scale to type on Assumptions for it")
        text = f"IF({layout.address(average)} = 0, 0, {SIDES_NAME} / {layout.address(average)})"
        page.formula(row + 3, VALUE, text, size if sides else 0.0, "total", _SCALE)
        row += 5
    worths = side_by_side(layout, "measures", scalars=True).get("present_value", {})
    if len(worths) > 1 and len(worths) == len(layout.candidates):
        row = _pair(page, source, row, [source.value(worths[place]) for place in sorted(worths)])
    return row + 1


def _pair(page: Page, source: Source, row: int, worths: list[float]) -> int:
    """Candidates with their numbers, two picked ones, and the difference of their present value."""
    layout = source.layout
    lines = side_by_side(layout, "measures", scalars=True)["present_value"]
    page.text(row, LABEL, "Cost in today's money", "table head")
    page.text(row, UNIT, "No.", "table head")
    first = row + 1
    for place, candidate in enumerate(layout.candidates):
        page.text(first + place, LABEL, source.name_of(candidate))
        count = f"ROWS($B${first + 1}:$B{first + place + 1})"
        page.formula(first + place, UNIT, count, place + 1, "number", "0")
        page.formula(first + place, VALUE, layout.address(lines[place]), worths[place], "link", _MONEY)
    last = first + len(worths)
    area, names = f"$D${first + 1}:$D${last}", f"$B${first + 1}:$B${last}"
    for number, (words, name) in enumerate((("First candidate, by number", FIRST_NAME), ("Second", SECOND_NAME))):
        at = last + 1 + number
        page.text(at, LABEL, words)
        page.number(at, VALUE, number + 1, "input", "0")
        page.validate(at, VALUE, _rule("integer", 1, len(worths), "The number of a candidate in the list above."))
        page.book.define(name, f"{quoted(BREAK_EVEN)}!$D${at + 1}")
        chosen = source.name_of(layout.candidates[number])
        page.formula(at, VALUE + 1, f"INDEX({names}, {name})", chosen, "answer")
    page.text(last + 3, LABEL, "First less second, in today's money (0: they tie)")
    text = f"INDEX({area}, {FIRST_NAME}) - INDEX({area}, {SECOND_NAME})"
    page.formula(last + 3, VALUE, text, worths[0] - worths[1], "total", _MONEY)
    return last + 4


def _rule(kind: str, low: float, high: float, message: str) -> dict[str, Any]:
    return {
        "validate": kind,
        "criteria": "between",
        "minimum": low,
        "maximum": high,
        "error_title": "Not possible",
        "error_message": message,
    }

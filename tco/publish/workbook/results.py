"""Results side by side, live: Summary for the reader in a hurry, Comparison for all measures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from textwrap import wrap
from typing import Any, Final

from tco.model.lines import COMPARISON
from tco.model.nodes import Line
from tco.model.words import words
from tco.publish.workbook.layout import (
    ASSUMPTIONS,
    FIRST_MONTH,
    HEAD_ROWS,
    QUOTES,
    TABLES,
    TOTAL,
    UNIT,
    VALUE,
    WORK,
    Layout,
    column_name,
    quoted,
)
from tco.publish.workbook.ledger import Source
from tco.publish.workbook.printing import finish, set_widths
from tco.publish.workbook.sources import SOURCES, changed_range
from tco.publish.workbook.styles import INK, Book, Page, clean

SUMMARY, COMPARISON_SHEET = "Summary", "Comparison"
MASTER_NAME: Final = "chk_master"
MEASURES: Final = (
    "cash_up_front",
    "level_month",
    "present_value",
    "cost_per_side",
    "bound",
    "saving",
    "unplaced_sides",
)
KINDS: Final = ("equipment", "service", "supplies", "paper", "people", "space_and_energy", "outside", "tax")
# Told apart in grey as well: from dark to light, lines also by their dashes.
_COLOURS: Final = ("#1D3B4A", "#C8602B", "#2F7F73", "#8E5AA8", "#B08A1E", "#5B7FBF", "#9B3B4B", "#6F7F3A")
_DASHES: Final = ("solid", "dash", "round_dot", "long_dash", "dash_dot", "square_dot", "long_dash_dot", "solid")
_HEAD: Final = HEAD_ROWS - 1
_NONE: Final = "–"
VERDICT_LINE: Final = 95  # letters of the verdict on one row, which fit the sheet


def side_by_side(layout: Layout, block: str, *, scalars: bool) -> dict[str, dict[int, Line]]:
    """Lines of the same block of every candidate by the rest of their key, each with the position of its candidate."""
    found: dict[str, dict[int, Line]] = {}
    for place, candidate in enumerate(layout.candidates):
        head = f"{candidate}.{block}."
        for line in layout.model.lines:
            fits = line.id.startswith(head) and line.shape.axis is None and line.value is None
            if fits and line.shape.months is not scalars:
                found.setdefault(line.id.removeprefix(head), {})[place] = line
    return found


def write_summary(book: Book, source: Source, rows: Mapping[Line, int], checked: str) -> None:
    """Write the sheet that answers first; `checked` is the stored word of the master check."""
    page, layout, study = book.page(SUMMARY), source.layout, source.study
    prepared = [("for", study.prepared_for), ("by", study.prepared_by)]
    note = ", ".join(f"prepared {word} {name}" for word, name in prepared if name)
    page.title(study.title, f"{note}{', ' if note else ''}{study.date.isoformat()}")
    candidates = layout.candidates
    last_column = max(VALUE + len(candidates) - 1, VALUE + 4)
    set_widths(page, (2, 46, 14, *(18 for _ in range(VALUE, last_column + 1))))
    _names(page, source, "Measure")
    row, found = HEAD_ROWS, side_by_side(layout, "measures", scalars=True)
    worth_row = 0
    for key in MEASURES:
        if key in found:
            _measure(page, row, "", found[key], source, "answer" if key == "present_value" else "number")
            worth_row = row if key == "present_value" else worth_row
            row += 1
    if worth_row:
        row = _lowest(page, row + 1, worth_row, found["present_value"], source)
    page.text(row, 1, "Are all figures as they were exported?")
    changed = (
        f'IF(SUM({changed_range(dict(rows))}) = 0, "yes", "no: the verdict below is that of the exported figures")'
    )
    page.formula(row, VALUE, changed, "yes", "answer")
    page.text(row + 1, 1, "Checks")
    page.formula(row + 1, VALUE, MASTER_NAME, checked, "answer")
    page.text(
        row + 2, 1, "Costs are positive, receipts negative; a saving is the reference less the candidate.", "note"
    )
    page.text(row + 4, 1, "Verdict of the study, as exported:")
    lines = wrap(clean(study.verdict), VERDICT_LINE) or [""]
    for place, line in enumerate(lines, row + 5):  # below all formulas, so that none moves with the words
        page.text(place, 1, line, "answer text plain")
    end = _charts(page, _ways(page, row + 6 + len(lines), source) + 1, source)
    finish(page, study, (end, last_column), head_columns=UNIT)
    page.sheet.fit_to_pages(1, 1)


def _ways(page: Page, row: int, source: Source) -> int:
    """Links to the ledger of each candidate, where every figure it reads has a row, and to the input sheets."""
    layout = source.layout
    page.text(row, 1, "Ledger, line by line")
    for place, candidate in enumerate(layout.candidates):
        ledger = layout.ledger(candidate)
        if ledger is not None:
            page.inner_link(row, VALUE + place, f"{quoted(ledger.sheet)}!A1", ledger.sheet)
    sheets = [ASSUMPTIONS]
    sheets += [name for name in (QUOTES, WORK, TABLES) if layout.inputs.get(name) or layout.tables.get(name)]
    page.text(row + 1, 1, "Figures to change, and where they come from")
    for place, name in enumerate([*sheets, SOURCES]):
        page.inner_link(row + 1, VALUE + place, f"{quoted(name)}!A1", name)
    return row + 2


def _lowest(page: Page, row: int, worth_row: int, worths: Mapping[int, Line], source: Source) -> int:
    candidates = source.layout.candidates
    first, last = column_name(VALUE), column_name(VALUE + len(candidates) - 1)
    worth = f"${first}${worth_row + 1}:${last}${worth_row + 1}"
    names = f"${first}${_HEAD + 1}:${last}${_HEAD + 1}"
    cheapest = min(worths, key=lambda place: source.value(worths[place]))
    page.text(row, 1, "Lowest cost in today's money, live")
    page.formula(
        row,
        VALUE,
        f"INDEX({names}, MATCH(MIN({worth}), {worth}, 0))",
        source.name_of(candidates[cheapest]),
        "answer",
    )
    page.text(
        row + 1, 1, "Arithmetic alone: a candidate that leaves work undone, or a narrow lead, is no winner.", "note"
    )
    return row + 3


def _names(page: Page, source: Source, what: str) -> None:
    page.text(_HEAD, 0, "", "head")
    page.text(_HEAD, 1, what, "head")
    page.text(_HEAD, UNIT, "Unit", "head")
    for place, candidate in enumerate(source.layout.candidates):
        page.text(_HEAD, VALUE + place, source.name_of(candidate), "head right")
    page.sheet.set_row(_HEAD, 28)


def _measure(
    page: Page,
    row: int,
    key: str,
    lines: Mapping[int, Line],
    source: Source,
    style: str = "link",
    *,
    total: bool = False,
) -> None:
    """One row: label, unit and the live value of each candidate; a dash where a candidate has no such line."""
    first = next(iter(lines.values()))
    page.text(row, 0, key, "key")
    page.text(row, 1, first.label)
    page.text(row, UNIT, source.shown(first).replace("/month", "") if total else source.shown(first), "small")
    for place in range(len(source.layout.candidates)):
        line = lines.get(place)
        if line is None:
            page.text(row, VALUE + place, _NONE, "small right")
        elif total:
            home = source.layout.homes[line]
            address = f"{quoted(home.sheet)}!${column_name(TOTAL)}${home.row + 1}"
            page.formula(row, VALUE + place, address, float(source.row(line).sum()), style, source.form(line))
        else:
            page.formula(row, VALUE + place, source.layout.address(line), source.value(line), style, source.form(line))


def write_comparison(book: Book, source: Source) -> None:
    """Write all measures side by side, costs by kind, and the differences between candidates."""
    page, layout = book.page(COMPARISON_SHEET), source.layout
    page.title("Comparison", "Every figure is read from the ledgers and follows the input sheets.")
    last_column = VALUE + len(layout.candidates)
    set_widths(page, (20, 46, 14, *(18 for _ in layout.candidates), 60))
    _names(page, source, "Measure")
    page.text(_HEAD, last_column, "How it comes about (first candidate)", "head", indent=1)
    row = HEAD_ROWS
    measures = side_by_side(layout, "measures", scalars=True)
    shown = [key for key, lines in measures.items() if any(line.role == "memo" for line in lines.values())]
    workings = [key for key in measures if key not in shown]
    for heading, keys in (("Measures", shown), ("Workings of the measures", workings)):
        row = _section(page, row, heading, [(key, measures[key]) for key in keys], source, last_column)
    kinds = [(key, lines) for key, lines in _kinds(layout)]
    row = _section(page, row, "Costs as paid, by kind", kinds, source, last_column, total=True)
    between = [
        line
        for line in layout.model.lines
        if line.block.scope == COMPARISON and line.shape.axis is None and not line.shape.months and line.value is None
    ]
    if between:
        page.band(row, "Between candidates", last_column)
        for line in between:
            row += 1
            _measure(page, row, line.id, {0: line}, source)
            page.text(row, last_column, words(line), "words")
        row += 1
    finish(page, source.study, (max(row - 1, HEAD_ROWS), last_column), head_columns=UNIT)


def _kinds(layout: Layout) -> list[tuple[str, dict[int, Line]]]:
    rows = side_by_side(layout, "statement", scalars=False)
    return [(kind, rows[kind]) for kind in KINDS if kind in rows]


def _section(
    page: Page,
    row: int,
    heading: str,
    parts: Sequence[tuple[str, Mapping[int, Line]]],
    source: Source,
    last_column: int,
    *,
    total: bool = False,
) -> int:
    """A heading and its rows; the first row below, after a gap."""
    if not parts:
        return row
    page.band(row, heading, last_column)
    for key, lines in parts:
        row += 1
        _measure(page, row, key, lines, source, total=total)
        page.text(row, last_column, words(next(iter(lines.values()))), "words")
    return row + 2


def kinds_row(layout: Layout) -> int:
    """The row of Comparison that holds the first kind of cost."""
    measures = side_by_side(layout, "measures", scalars=True)
    shown = sum(any(line.role == "memo" for line in lines.values()) for lines in measures.values())
    groups = (shown, len(measures) - shown)
    return HEAD_ROWS + sum(count + 2 for count in groups if count) + 1


def _charts(page: Page, row: int, source: Source) -> int:
    """Two charts fed by live cells, named from cells: no text becomes a formula. The last row they cover."""
    end = row
    charts = [chart for chart in (_cumulative(page, source), _make_up(page, source)) if chart is not None]
    for chart in charts:
        chart.set_size({"width": 900, "height": 300})
        page.sheet.insert_chart(end, 1, chart, {"object_position": 2})
        end += 21
    return end - 1 if charts else row


def _name_cell(place: int) -> list[Any]:
    return [SUMMARY, _HEAD, VALUE + place]


def _cumulative(page: Page, source: Source) -> Any | None:
    layout = source.layout
    rows = side_by_side(layout, "statement", scalars=False).get("cumulative", {})
    if not rows:
        return None
    chart = page.book.workbook.add_chart({"type": "scatter", "subtype": "straight"})
    last = FIRST_MONTH + min(source.study.months, layout.model.columns) - 1
    for place, line in rows.items():
        home = layout.homes[line]
        chart.add_series(
            {
                "name": _name_cell(place),
                "categories": [layout.clock, _HEAD - 1, FIRST_MONTH, _HEAD - 1, last],
                "values": [home.sheet, home.row, FIRST_MONTH, home.row, last],
                "line": {"color": _COLOURS[place % 8], "width": 2, "dash_type": _DASHES[place % 8]},
            }
        )
    _dress(chart, "Costs so far, by month", "Month")
    months = {"min": 0, "max": last - FIRST_MONTH + 1, "major_unit": 12, "major_gridlines": {"visible": False}}
    chart.set_x_axis({"name": "Month", "num_font": {"size": 8}, "label_position": "low"} | months)
    return chart


def _make_up(page: Page, source: Source) -> Any | None:
    layout, kinds = source.layout, _kinds(source.layout)
    if not kinds:
        return None
    chart = page.book.workbook.add_chart({"type": "bar", "subtype": "stacked"})
    first, last = VALUE, VALUE + len(layout.candidates) - 1
    for number in range(len(kinds)):
        row = kinds_row(layout) + number
        chart.add_series(
            {
                "name": [COMPARISON_SHEET, row, 1],
                "categories": [SUMMARY, _HEAD, first, _HEAD, last],
                "values": [COMPARISON_SHEET, row, first, row, last],
                "fill": {"color": _COLOURS[number % 8]},
                "border": {"color": "#FFFFFF"},
                "gap": 60,
            }
        )
    _dress(chart, "Costs as paid, by kind", "")
    chart.set_y_axis({"reverse": True, "label_position": "low", "num_font": {"size": 9}})
    return chart


def _dress(chart: Any, title: str, axis: str) -> None:
    chart.set_title({"name": title, "name_font": {"size": 11, "color": INK}, "overlay": False})
    chart.set_legend({"position": "bottom", "font": {"size": 9}})
    chart.set_y_axis({"num_format": "#,##0", "num_font": {"size": 8}, "major_gridlines": {"visible": True}})
    chart.set_x_axis({"name": axis, "num_format": "#,##0", "num_font": {"size": 8}})

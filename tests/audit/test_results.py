"""Sheets of results that are not live: silent when untouched, and no cell of them can be typed over unseen."""

import pytest
from openpyxl import load_workbook

from tco.audit.audit import audit
from tco.publish.publish import compute, study_of
from tco.publish.workbook.stored import NOT_FOUND, STORED_NOTE, STORED_SHEETS
from tco.publish.workbook.write import write_workbook
from tco.scenario.load import load_text
from tests.audit.books import edit, office_converted, told

TEXT = """\
title: Two quotes
start: 2027-07
months: 12
money: {discount_rate: {value: 6%, low: 4%, high: 8%}}
work: {colour: {value: 22000, low: 15000, high: 27000}, black: 40000, two_sided_share: 50%}
left_out: [paper, labour, energy, space]
accepted: {birch.rent-timing: Confirmed by letter}
today: {sells_for: 3000, service: {base: 310, colour: 0.098, black: 0.012, increase: 5%}}
candidates:
  birch:
    quote: Tarnwick, offer 1187
    lease: {rent: 440, months: 12, return_freight: unknown}
    service: {base: 220, colour: {value: 0.049, low: 0.045, high: 0.053}, black: 0.009, increase: 3%}
  cedar:
    quote: Osgrove, quotation of 20 January 2027
    cash: {price: 12000, sells_for: {value: 6000, low: 0, high: 8000}}
    service: {base: 190, colour: {value: 0.056, low: 0.05, high: 0.06}, black: 0.0085, increase: 3%}
"""


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    computed, path = compute(load_text(TEXT, "two.yaml")), tmp_path_factory.mktemp("results") / "two.xlsx"
    answer = "Nobody can be named. " * 20  # longer than one property of a workbook
    write_workbook(computed.model, computed.values, study_of(computed, answer.strip(), "0.1.0"), path)
    return path


def cells_of(book):
    """Cells of results that hold something, (sheet, row, column) from 1; not the live part of Break-even."""
    found = {}
    for sheet in load_workbook(book):
        if sheet.title not in (*STORED_SHEETS, "Break-even"):
            continue
        rows = [row for row in sheet.iter_rows(min_row=4) if any(cell.value is not None for cell in row)]
        if sheet.title == "Break-even":
            start = next(n for n, row in enumerate(rows) if str(row[0].value).startswith("Found by the engine"))
            rows = rows[start + 2 :]
        found.update({(sheet.title, c.row, c.column): c.value for row in rows for c in row if c.value is not None})
    return found


def test_an_untouched_workbook_raises_nothing_nor_does_one_that_another_program_saved(book, tmp_path):
    assert audit(book).findings == ()
    assert audit(office_converted(book, tmp_path)).findings == ()


def test_every_sheet_says_that_it_is_not_live_and_about_lists_it(book):
    opened = load_workbook(book)
    about = {row[0].value: row[1].value for row in opened["About"].iter_rows() if row[0].value}
    for name in STORED_SHEETS:
        assert opened[name]["A2"].value == STORED_NOTE
        assert "not live" in about[name]
        assert NOT_FOUND not in [cell.value for row in opened[name].iter_rows() for cell in row]
        cells = [cell for row in opened[name].iter_rows() for cell in row if cell.value is not None]
        assert not [cell for cell in cells if cell.data_type == "f" or not cell.protection.locked]
        assert all(cell.font.i for cell in cells if isinstance(cell.value, int | float))  # as stored figures are


def test_every_cell_of_every_result_that_is_typed_over_is_found(book, tmp_path):
    """One cell of each row: numbers a little larger, texts with a word more, some of them as formulas."""
    cells = cells_of(book)
    assert {sheet for sheet, _, _ in cells} == {*STORED_SHEETS, "Break-even"}
    by_row = {}
    for (sheet, row, column), value in cells.items():
        by_row.setdefault((sheet, row), []).append((column, value))
    changes = {}
    for number, ((sheet, row), held) in enumerate(by_row.items()):
        column, value = held[number % len(held)]
        new = value * 1.001 + 1 if isinstance(value, int | float) else f"{value} indeed"
        changes[sheet, row, column] = f"={value!r}" if number % 3 == 0 and not isinstance(value, str) else new
    found = audit(edit(book, tmp_path, changes))
    assert len(changes) > 60
    assert {one.kind for one in found.findings} == {"changed result"}
    assert not found.touched
    places = {(one.sheet, int(one.cell.split()[1])) for one in found.findings if one.cell}
    counted = [one for one in found.findings if not one.cell]
    assert places <= {(sheet, row) for sheet, row, _ in changes}
    more = sum(int(one.note.split()[1]) for one in counted)
    assert len(places) + more == len(changes)


def test_rows_that_are_gone_and_a_sheet_that_is_gone_are_told(book, tmp_path):
    opened = load_workbook(book)
    opened["Evidence"].delete_rows(12)
    del opened["Warnings"]
    path = tmp_path / "less.xlsx"
    opened.save(path)
    found = audit(path)
    assert told(found) == [("changed result", "Evidence!"), ("deleted sheet", "Warnings!")]
    assert not found.touched

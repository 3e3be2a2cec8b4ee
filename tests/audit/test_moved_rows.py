"""Rows and columns inserted and deleted, sheets renamed, in a program that lets every reference follow."""

import pytest

from tco.audit.audit import audit_book
from tco.audit.cells import read_book
from tests.audit.books import office_edited, told


@pytest.fixture(scope="module")
def found(small, tmp_path_factory):
    """The audits of several edited copies; one office makes them all."""
    folder = tmp_path_factory.mktemp("office")
    rent, row, column = small.input_cell("birch.lease.rent")
    ledger = small.expected.layout.ledger("birch")
    block = ledger.sections[2].row
    line = next(one for one in small.expected.model.lines if one.id == "birch.measures.present_value")
    home = small.expected.layout.homes[line]
    jobs = {
        "untouched": [],
        "inserted": [["insert rows", rent, 4, 2], ["insert rows", ledger.sheet, block, 1]],
        "filled": [
            ["insert rows", ledger.sheet, block, 1],
            ["set", ledger.sheet, block, 1, "A row of my own"],
            ["set", ledger.sheet, block, 3, "=1+1"],
        ],
        "deleted": [["delete rows", ledger.sheet, home.row, 1]],
        "column": [["insert columns", ledger.sheet, 20, 1]],
        "renamed": [["rename", ledger.sheet, "My own name"]],
        "all": [
            ["insert rows", rent, 4, 3],
            ["set", rent, row - 1 + 3, column - 1, 1300.0],
            ["insert rows", ledger.sheet, block, 1],
            ["rename", ledger.sheet, "My own name"],
        ],
    }
    paths = office_edited(small.path, folder, jobs)
    return {name: audit_book(read_book(path), small.expected) for name, path in paths.items()}, ledger, block, home


def test_a_workbook_calculated_and_saved_by_another_program_has_no_findings(found):
    audits, *_ = found
    assert told(audits["untouched"]) == []
    assert not audits["untouched"].touched


def test_empty_rows_are_told_and_touch_nothing(found):
    audits, ledger, block, _ = found
    assert told(audits["inserted"]) == sorted(
        [("inserted row", "Quotes!above row 7"), ("inserted row", f"{ledger.sheet}!above row {block + 2}")]
    )
    assert not audits["inserted"].touched


def test_a_row_with_a_formula_of_its_own_is_told(found):
    audits, ledger, block, _ = found
    assert told(audits["filled"]) == [("inserted row", f"{ledger.sheet}!row {block + 1}")]
    assert "A row of my own" in audits["filled"].findings[0].new
    assert audits["filled"].touched


def test_a_deleted_row_is_told_with_its_key_and_with_what_lost_it(found):
    audits, ledger, _, home = found
    rows = [one for one in audits["deleted"].findings if one.kind == "deleted row"]
    assert [(one.sheet, one.cell, one.key) for one in rows] == [
        (ledger.sheet, f"row {home.row + 1} as exported", "birch.measures.present_value")
    ]
    assert {one.kind for one in audits["deleted"].findings} == {"deleted row"}
    assert audits["deleted"].touched


def test_an_inserted_column_is_told(found):
    audits, ledger, *_ = found
    assert told(audits["column"]) == [("inserted column", f"{ledger.sheet}!column U")]


def test_a_renamed_sheet_is_told_and_its_formulas_are_known(found):
    audits, *_ = found
    assert told(audits["renamed"]) == [("renamed sheet", "My own name!")]
    assert not audits["renamed"].touched


def test_an_input_is_found_by_its_name_wherever_its_row_went(found, small):
    audits, *_ = found
    changed = [one for one in audits["all"].findings if one.kind == "changed input"]
    assert [(one.key, one.old, one.new) for one in changed] == [("birch.lease.rent", "1240", "1300")]
    assert not audits["all"].touched
    assert small.input_cell("birch.lease.rent")[1] + 3 == int(changed[0].cell[1:])

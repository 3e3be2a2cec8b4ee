"""The workbook as an accountant finds it: what may be typed over, what is protected, how it prints."""

import math
import re
import zipfile

import pytest

from tco.publish.workbook.layout import FIRST_MONTH, HEAD_ROWS, INPUT_SHEETS, WORDS, Grid, column_name
from tco.publish.workbook.names import NAME_PATTERN, names_of
from tco.publish.workbook.printing import LEDGER_WIDTHS, MONTH_WIDTH, SMALLEST
from tests.publish.workbook.exported import bare, column_index

INK, FILL = "FF0B2FBF", "FFFFF8C5"
PICKS = {"g_first", "g_second", "g_sides"}
OUR_NAMES = re.compile(r"^(in|g|chk)_[a-z][a-z0-9_]*$")


def input_cells(exported):
    cells = {}
    for line in exported.model.lines:
        if line.role == "input":
            place = exported.layout.homes[line]
            for entry in range(len(line.shape.axis) if line.shape.axis else 1):
                cells[place.sheet, f"{column_name(place.column)}{place.row + 1 + entry}"] = line
    return cells


def defined(exported):
    return {name: item.attr_text for name, item in exported.book.defined_names.items()}


def test_inputs_and_nothing_else_are_unlocked(exported):
    wanted = input_cells(exported)
    targets = [target for name, target in defined(exported).items() if name in PICKS]
    picks = {tuple(target.replace("'", "").replace("$", "").split("!")) for target in targets}
    unlocked = {
        (sheet.title, cell.coordinate)
        for sheet in exported.book
        if sheet.title != "Changes"
        for row in sheet.iter_rows()
        for cell in row
        if not cell.protection.locked
    }
    assert unlocked == set(wanted) | picks
    assert all(sheet.protection.sheet and not sheet.protection.password for sheet in exported.book)


def test_inputs_are_blue_on_yellow_with_validation(exported):
    for (sheet, address), line in input_cells(exported).items():
        cell = exported.book[sheet][address]
        assert sheet in INPUT_SHEETS
        assert (cell.font.color.rgb, cell.fill.fgColor.rgb) == (INK, FILL), line.id
        assert isinstance(cell.value, int | float), line.id
        assert any(address in rule.sqref for rule in exported.book[sheet].data_validations.dataValidation), line.id


def test_a_share_is_asked_back_and_a_text_is_refused(toy_book):
    place = toy_book.layout.homes[toy_book.model["money.discount_rate"]]
    rules = toy_book.book[place.sheet].data_validations.dataValidation
    (rule,) = [rule for rule in rules if f"{column_name(place.column)}{place.row + 1}" in rule.sqref]
    assert (rule.type, rule.formula1, rule.formula2, rule.errorStyle) == ("decimal", "0", "1", "warning")


def test_every_input_has_its_unit_and_its_row_on_sources(exported):
    sheet = exported.book["Sources"]
    rows = {row[0].value: row for row in sheet.iter_rows(min_row=HEAD_ROWS + 1)}
    for line in exported.model.lines:
        if line.role == "input":
            for entry in range(len(line.shape.axis) if line.shape.axis else 1):
                many = line.entry_keys[entry] if line.entry_keys else f"{line.id} [{entry + 1}]"
                row = rows[many if line.shape.axis else line.id]
                origin = line.entry_origins[entry] if line.entry_origins else line.origin
                assert row[2].value, line.id
                assert (row[6].value or "") == origin.status, line.id
                assert row[4].value == pytest.approx(float(line.value[entry, 0]), rel=1e-14)


def test_the_sources_of_a_figure_stand_there_whole(toy_book):
    rows = {row[0].value: [cell.value for cell in row] for row in toy_book.book["Sources"].iter_rows()}
    told = rows["work.sides [1]"]
    assert told[1:3] == ["Sides of the class: letters", "side/month"]
    assert told[6:12] == ["measured", "2027-01-31", "meter card", 3900, 4300, "read on the last day"]


def test_all_names_are_ours_resolve_and_are_used(exported):
    names = defined(exported)
    formulas = " ".join(cell.formula for cell in exported.cells.values())
    columns = {name for line, name in exported.layout.names.items() if line.shape.axis}
    assert names
    for name, target in names.items():
        assert OUR_NAMES.match(name), name
        assert 5 <= len(name) <= 60, name
        sheet, _, address = target.rpartition("!")
        assert sheet.strip("'") in exported.sheets, name
        assert re.fullmatch(r"\$[A-Z]+\$\d+(:\$[A-Z]+\$\d+)?", address), name
        assert name in columns or re.search(rf"\b{name}\b", formulas), name
    for line, name in exported.layout.names.items():
        place = exported.layout.homes[line]
        assert NAME_PATTERN.match(name)
        assert names[name].startswith(f"'{place.sheet}'!${column_name(place.column)}${place.row + 1}"), line.id


def test_long_and_equal_keys_get_different_names():
    class Key:
        def __init__(self, key):
            self.id = key

    keys = ["a.b", "a_b", "x" * 80, "x" * 81, "A.b", "1st", "é", "a"]
    names = names_of(Key(key) for key in keys)
    assert len(set(names.values())) == len(keys)
    assert all(NAME_PATTERN.match(name) and 5 <= len(name) <= 60 for name in names.values())


def test_every_ledger_row_has_key_label_and_unit(exported):
    for name in exported.ledgers:
        keys = []
        for row in exported.book[name].iter_rows(min_row=HEAD_ROWS + 1):
            values = [cell.value for cell in row]
            if values[0] and values[2]:
                keys.append(values[0])
                assert values[1], values
                assert values[5], values
            months = [value for value in values[FIRST_MONTH:] if value is not None]
            assert values[0] or not months or (name, row[0].row) in exported.table_rows, values
        assert len(keys) == len(set(keys)), name


def test_nothing_is_hidden_or_merged(exported):
    for sheet in exported.book:
        assert sheet.sheet_state == "visible"
        assert not sheet.merged_cells.ranges
        assert not any(item.hidden for item in sheet.row_dimensions.values())
        assert not any(item.hidden for item in sheet.column_dimensions.values())


def test_the_file_holds_nothing_foreign(exported):
    with zipfile.ZipFile(exported.path) as parts:
        names = parts.namelist()
        texts = {name: parts.read(name).decode() for name in names if name.endswith((".xml", ".rels"))}
    assert not [name for name in names if re.search(r"externalLink|vba|connection|oleObject|embeddings|customUI", name)]
    relations = [text for name, text in texts.items() if name.endswith(".rels")]
    assert relations
    assert not [text for text in relations if "TargetMode" in text]
    links = [link for text in texts.values() for link in re.findall(r"<hyperlink [^>]*>", text)]
    assert links
    assert not [link for link in links if "r:id=" in link or "location=" not in link]


def test_stored_values_have_the_right_type(exported):
    for key, cell in exported.cells.items():
        assert not (isinstance(cell.stored, str) and cell.stored.startswith("#")), key
        if isinstance(cell.stored, float):
            assert math.isfinite(cell.stored), key


def test_checks_are_all_there_and_wired_to_the_master(exported):
    sheet = exported.book["Checks"]
    wanted = [line.id for line in exported.model.lines if line.role == "check"]
    rows = [row for row in sheet.iter_rows(min_row=HEAD_ROWS + 5) if row[0].value]
    assert [row[0].value for row in rows] == wanted
    target = defined(exported)["chk_master"].replace("'", "").replace("$", "").split("!")
    master = exported.cells["Checks", int(target[1][1:]), column_index(target[1][:1])]
    assert master.stored == "ALL OK"
    assert f"$E${rows[0][0].row}:$E${rows[-1][0].row}" in master.formula
    for row in rows:
        assert bare(row[4].value[1:]) == f"1 * (ABS($D{row[0].row}) <= chk_tolerance)"
        assert exported.cells["Checks", row[0].row, 5].stored == 1


def test_about_says_what_it_is(exported):
    told = {row[0].value: row[1].value for row in exported.book["About"].iter_rows() if row[0].value}
    texts = " ".join(str(value) for row in exported.book["About"].iter_rows(values_only=True) for value in row if value)
    study = exported.study
    assert told["Fingerprint of scenario"] == study.fingerprint
    assert told["Program version"] == study.version
    assert told["As of"] == study.date.isoformat()
    assert "Costs are positive, receipts negative" in texts
    assert [sheet for sheet in exported.sheets if sheet not in told] == []
    assert all(gap in texts for gap in study.gaps)
    assert exported.book["Changes"]["A4"].value == "Date"


def test_properties_carry_what_reading_back_needs(toy_book):
    properties = {item.name: item.value for item in toy_book.book.custom_doc_props.props}
    assert properties["scenario_hash"] == "f" * 16
    assert len(properties["model_hash"]) == 64
    assert properties["schema_version"] == "1"


def test_ledgers_print_their_lines_and_tables_large_enough_to_read(exported):
    """Labels, total and words with the columns of tables, on one page or on two beside repeated labels; no months."""
    inches = {"1": 11.0, "9": 11.69}
    for ledger in exported.layout.ledgers:
        sheet, parts = exported.book[ledger.sheet], [part for one in ledger.sections for part in one.parts]
        assert sheet.freeze_panes == f"E{HEAD_ROWS + 1}"
        assert sheet.print_title_rows == f"$1:${HEAD_ROWS}"
        tables = [column for part in parts if isinstance(part, Grid) for _, column, _ in part.columns]
        last = max([WORDS, *tables])
        assert sheet.print_area == f"'{ledger.sheet}'!$A$1:${column_name(last)}${ledger.end}"
        room = inches[str(sheet.page_setup.paperSize)] - 0.8
        if sheet.sheet_properties.pageSetUpPr is not None and sheet.sheet_properties.pageSetUpPr.fitToPage:
            assert sheet.page_setup.fitToWidth in (None, 1)
            assert room / printed_inches(last) >= SMALLEST / 100
        else:
            assert sheet.page_setup.scale == SMALLEST
            assert sheet.print_title_cols == "$A:$D"
            assert [item.id for item in sheet.col_breaks.brk] == [FIRST_MONTH]
            assert printed_inches(FIRST_MONTH - 1) * SMALLEST / 100 <= room


def printed_inches(last):
    """Width on paper, at full size, of the columns up to one: n characters have 7 n + 5 pixels, 96 to an inch."""
    widths = [*LEDGER_WIDTHS, *([MONTH_WIDTH] * (last + 1 - FIRST_MONTH))][: last + 1]
    return sum(7 * width + 5 for width in widths) / 96


def test_sheets_stand_in_order(exported):
    """What it is, results, inputs, workings, what only the engine finds, checks, sources, changes."""
    ledgers = [ledger.sheet for ledger in exported.layout.ledgers]
    first = ["About", "Summary", "Comparison", "Assumptions", "Quotes", "Work", "Tables"]
    found = ["Fiscal years", "Evidence", "Break-even", "Uncertainty", "Warnings"]
    wanted = [*first, *ledgers, *found, "Checks", "Sources", "Scenario", "Changes"]
    here = exported.book.sheetnames
    assert here == [name for name in wanted if name in here]
    assert {*wanted} - {*here} <= {"Quotes", "Work", "Tables", "Fiscal years", "Scenario"}


def test_other_sheets_print_one_page_wide(exported):
    for sheet in exported.book:
        if sheet.title not in exported.ledgers:
            assert sheet.sheet_properties.pageSetUpPr.fitToPage
            assert sheet.page_setup.fitToWidth in (None, 1)
            assert sheet.freeze_panes
        assert sheet.page_setup.orientation == "landscape"
        assert str(sheet.page_setup.paperSize) == {"letter": "1", "a4": "9"}[exported.study.paper]


def test_the_same_column_is_the_same_month_on_every_ledger(exported):
    assert len(exported.monthly) > 2
    for name in exported.monthly:
        for place, column in enumerate(exported.months):
            assert exported.cells[name, HEAD_ROWS - 1, column].stored == place + 1


def test_summary_finds_the_lowest_cost(exported):
    sheet = exported.book["Summary"]
    (row,) = [row for row in sheet.iter_rows() if row[1].value == "Lowest cost in today's money, live"]
    values = exported.values
    worths = {one.name: values[f"{one.id}.measures.present_value"][0, 0, 0] for one in exported.study.candidates}
    assert exported.cells["Summary", row[0].row, 4].stored == min(worths, key=worths.get)
    assert len(sheet._charts) == 2


def test_every_input_is_two_steps_from_the_summary(exported):
    """A link to the ledger, and there the row of a figure, whose formula is the name or the cell of the input."""
    links = {cell.hyperlink.location for row in exported.book["Summary"].iter_rows() for cell in row if cell.hyperlink}
    sheets = [one.sheet for one in exported.layout.ledgers if one.scope in exported.layout.candidates]
    assert {f"'{name}'!A1" for name in [*sheets, *(one for one in INPUT_SHEETS if one in exported.sheets)]} <= links
    for (_, line), place in exported.layout.links.items():
        formula = exported.cells[place.sheet, place.row + 1, place.column + 1].formula
        wanted = exported.layout.names[line] if line.shape.axis is None else exported.layout.address(line)
        assert formula == wanted, line.id


def test_choices_are_told_and_locked(toy_book):
    cells = [cell for row in toy_book.book["Quotes"].iter_rows() for cell in row if cell.value == "loan"]
    assert len(cells) == 2
    assert all(cell.protection.locked for cell in cells)

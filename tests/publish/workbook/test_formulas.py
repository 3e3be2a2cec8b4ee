"""Formulas of the exported workbook: the rules that modellers and accountants expect, proved from the file."""

import re
from collections import defaultdict

from tco.model.nodes import Bridge, Joined, Number
from tco.model.operations import OPERATIONS
from tco.model.unit_rules import UNIT_RULES
from tco.model.words import PHRASES
from tco.publish.workbook.formulas import ALLOWED_FUNCTIONS, SPELLINGS
from tco.publish.workbook.layout import FIRST_MONTH, HEAD_ROWS, INPUT_SHEETS
from tests.publish.workbook.exported import (
    FUNCTION,
    NUMBER,
    bare,
    references,
    relative,
)

LONGEST = 120
OPENING = FIRST_MONTH  # counted from 1, the column before the first month


def test_the_four_tables_of_the_vocabulary_have_the_same_keys():
    assert set(SPELLINGS) == set(OPERATIONS) == set(UNIT_RULES) == set(PHRASES)


def test_one_formula_per_row_across_the_months(exported):
    shapes = defaultdict(set)
    for (sheet, row, column), cell in exported.cells.items():
        if (
            sheet in exported.ledgers
            and column in exported.months
            and row > HEAD_ROWS
            and (sheet, row) not in exported.table_rows
        ):
            shapes[sheet, row].add(relative(cell.formula, row, column))
    assert shapes
    assert {place: found for place, found in shapes.items() if len(found) != 1} == {}


def test_every_month_of_a_row_is_a_formula(exported):
    for line in exported.model.lines:
        if line.value is None and line.shape.months:
            place = exported.layout.homes[line]
            for entry in range(len(line.shape.axis) if line.shape.axis else 1):
                row = place.row + 1 + entry
                assert all((place.sheet, row, column) in exported.cells for column in exported.months), line.id


def test_the_same_expression_has_the_same_formula_on_every_ledger(exported):
    found = defaultdict(dict)
    for line in exported.model.lines:
        if line.value is None and line.block.scope in exported.layout.candidates and not has_join(line.expr):
            place = exported.layout.homes[line]
            formula = exported.cells[place.sheet, place.row + 1, place.column + 1].formula
            told = by_key(exported, formula, place, line.block.scope)
            found[tail(line.id, line.block.scope), signature(line)].setdefault(told, line.id)
    assert found
    assert {key: told for key, told in found.items() if len(told) > 1} == {}


def tail(key, scope):
    return re.sub(rf"^{re.escape(scope)}\.", "*.", key)


def has_join(node):
    return isinstance(node, Joined) or any(has_join(part) for part in node.parts)


def signature(line):
    """The expression of a line in keys, without the name of its candidate."""

    def told(node):
        if isinstance(node, Bridge):
            return told(node.part)
        if isinstance(node, Number):
            return str(node.value)
        fields = []
        for name in ("line", "flow", "opens", "number", "lag", "month", "values", "keys"):
            other = getattr(node, name, None)
            if other is not None:
                fields.append(tail(other.id, line.block.scope))
        for name in ("lines", "factors"):
            fields.extend(tail(other.id, line.block.scope) for other in getattr(node, name, ()))
        size = len(node.shape.axis) if node.shape.axis else 0
        marks = [str(getattr(node, name, "")) for name in ("op", "how", "place")]
        return f"{type(node).__name__}{marks}{size}({fields};{[told(part) for part in node.parts]})"

    return told(line.expr)


def by_key(exported, formula, place, scope):
    """A formula with keys for addresses."""
    keys = exported.keys
    told = []
    for sheet, _, column, _, row, last, last_row in references(formula):
        home = sheet or place.sheet
        key = keys.get((home, row, column)) or keys.get((home, row, None)) or f"{home}!{row}"
        size = (last - column if last else 0, last_row - row)
        told.append(f"{tail(key.partition(' @ ')[0], scope)}{size}")
    return re.sub(r"<[^>]*>", "{}", relative(formula, place.row + 1, place.column + 1)) + str(told)


def test_numbers_stand_on_input_sheets_only(exported):
    allowed = {*INPUT_SHEETS, "Sources", "Break-even", "Checks"}
    wrong = []
    for sheet in exported.book:
        if sheet.title in allowed:
            continue
        for row in sheet.iter_rows():
            wrong += [
                (sheet.title, cell.coordinate, cell.value)
                for cell in row
                if isinstance(cell.value, int | float) and not (cell.column == OPENING and cell.value == 0)
            ]
    assert wrong == [], wrong
    checks = [cell.value for row in exported.book["Checks"].iter_rows() for cell in row]
    assert [value for value in checks if isinstance(value, int | float)] == [0.005]


def test_literals_are_those_the_model_may_hold(exported):
    literals = {number for cell in exported.cells.values() for number in NUMBER.findall(bare(cell.formula))}
    assert literals <= {"0", "1", "12"}


def test_functions_are_those_every_program_knows(exported):
    used = {name for cell in exported.cells.values() for name in FUNCTION.findall(bare(cell.formula))}
    assert used <= ALLOWED_FUNCTIONS
    assert not any("_xlfn" in cell.formula or "{" in cell.formula for cell in exported.cells.values())


def test_formulas_are_short_and_flat(exported):
    """At most 120 characters, one IF, brackets four deep; plain sums are as long as they have lines to add."""
    for key, cell in exported.cells.items():
        depth = deepest = 0
        for letter in bare(cell.formula):
            depth += (letter == "(") - (letter == ")")
            deepest = max(deepest, depth)
        assert deepest <= 4, (key, cell.formula)
        assert cell.formula.count("IF(") - cell.formula.count("SUMIF(") <= 1, (key, cell.formula)
        only_a_sum = set(re.sub(r"[$A-Z0-9]+", "", bare(cell.formula)).split()) <= {"+"}
        assert len(cell.formula) <= LONGEST or only_a_sum, (key, cell.formula)


def test_operators_have_spaces(exported):
    for key, cell in exported.cells.items():
        text = re.sub(r"-1 \*|\(-1\)|, -1|^-1", "", bare(cell.formula))
        assert not re.search(r"[^ ][+*/^=<>]|[+*/^][^ ]|[A-Z0-9)]-|-[A-Z(]", re.sub(r"<=|>=|<>", "<", text)), (
            key,
            cell.formula,
        )


def test_no_formula_reads_a_later_month(exported):
    for (sheet, row, column), cell in exported.cells.items():
        if sheet not in exported.ledgers or column not in exported.months or (sheet, row) in exported.table_rows:
            continue
        for _, fixed, at, _, _, last, _ in references(cell.formula):
            if last is not None and fixed:
                assert (at, last) == (exported.months[0], exported.months[-1]) or last == at, cell.formula
            elif not fixed:
                assert at - column in (0, -1), (sheet, row, column, cell.formula)


def test_a_formula_reads_upwards_within_a_month(exported):
    wrong = []
    for (sheet, row, column), cell in exported.cells.items():
        if (sheet in exported.ledgers and column == exported.months[0]) or (
            sheet in exported.ledgers and column < OPENING
        ):
            for other, _, at, _, up, _, last_row in references(cell.formula):
                if other is None and at >= column and max(up, last_row) > row:
                    wrong.append((sheet, row, column, cell.formula))
    assert wrong == [], wrong


def test_ranges_over_months_span_all_of_them(exported):
    first, last = exported.months[0], exported.months[-1]
    spans = 0
    for (sheet, row, column), cell in exported.cells.items():
        for other, _, at, _, _, to, _ in references(cell.formula):
            if to is not None and to != at and (other or sheet) in exported.ledgers:
                assert (at, to) == (first, last), (sheet, row, column, cell.formula)
                spans += 1
    assert spans > 0


def test_totals_stand_where_a_sum_means_something(exported):
    for line in exported.model.lines:
        if line.value is None and line.shape.months:
            place = exported.layout.homes[line]
            cell = exported.cells.get((place.sheet, place.row + 1, 5))
            first, last = exported.span
            row = place.row + 1
            wanted = {"sum": f"SUM(${first}{row}:${last}{row})", "closing": f"${last}{row}", "none": None}[line.total]
            assert (cell.formula if cell else None) == wanted, line.id


def test_references_are_whole(exported):
    for key, cell in exported.cells.items():
        assert "[" not in cell.formula, key
        assert "#REF" not in cell.formula, key
        for sheet, *_ in references(cell.formula):
            assert sheet is None or sheet in exported.sheets, key

"""Random edits of a workbook, each with the finding it must give."""

import re

from tco.audit.cells import Cell
from tco.publish.workbook.layout import INPUT_SHEETS, LABEL, column_name
from tests.audit.books import at

KINDS = ("input", "overwrite", "edit", "shorten", "delete", "label")


def mutations(made, draw, count):
    """Return {(sheet, row, column) from 1: content} and the findings that must be told; one edit a row."""
    changes, wanted, used = {}, set(), set()
    while len(wanted) < count:
        kind = KINDS[len(wanted) % len(KINDS)]
        place, content, told = _DRAWN[kind](made, draw)
        if place[:2] in used:
            continue
        used.add(place[:2])
        changes[place[0], place[1] + 1, place[2] + 1] = content
        wanted.add((told, at(place)))
    return changes, sorted(wanted)


def _input(made, draw):
    lines = [line for line in made.expected.model.lines if line.role == "input" and line.shape.axis is None]
    line = draw.choice(lines)
    home, value = made.expected.layout.homes[line], float(line.value[0, 0])
    new = value + 1 if value == int(value) and not line.percent else round(value * 0.9, 6)
    if line.percent and value == 0:
        new = 0.01
    return (home.sheet, home.row, home.column), new, "changed input"


def _formula(made, draw, fits):
    found = [place for place, cell in made.formula_cells.items() if fits(place, cell)]
    return draw.choice(found)


def _overwrite(made, draw):
    place = _formula(made, draw, lambda _, cell: isinstance(cell.value, float))
    return place, made.formula_cells[place].value, "overwritten formula"


def _edit(made, draw):
    place = _formula(made, draw, lambda _, cell: isinstance(cell.value, float))
    formula = made.formula_cells[place].formula.removeprefix("=")
    return place, draw.choice([f"=({formula}) * 1.1", f"=1 + {formula}", _nudged(formula)]), "edited formula"


def _nudged(formula):
    """The same formula with its first reference one row further down; one more summand where it has none."""
    found = re.search(r"(?<![A-Za-z_])(\$?[A-Z]{1,3}\$?)(\d+)(?![\w(])", formula)
    if found is None:
        return f"={formula} + 1"
    return f"={formula[: found.start()]}{found[1]}{int(found[2]) + 1}{formula[found.end() :]}"


def _shorten(made, draw):
    last = made.expected.layout.last_month
    place = _formula(made, draw, lambda _, cell: "SUM(" in cell.formula and f":${last}" in cell.formula)
    before = column_name(made.expected.model.columns + 5)
    formula = made.formula_cells[place].formula.replace(f":${last}", f":${before}")
    return place, f"={formula.removeprefix('=')}", "edited formula"


def _delete(made, draw):
    return _formula(made, draw, lambda _, cell: bool(cell.formula)), None, "deleted formula"


def _label(made, draw):
    found = [
        (sheet.name, *place)
        for sheet in made.expected.book.sheets.values()
        if sheet.name not in ("Break-even", "Changes", "Scenario", "About")
        for place, cell in sheet.cells.items()
        if is_label(sheet.name, place, cell)
    ]
    return draw.choice(found), "Something else", "retyped label"


def is_label(sheet, place, cell: Cell):
    return isinstance(cell.value, str) and not cell.formula and place[1] == LABEL and place[0] > 3 and (
        sheet in INPUT_SHEETS or sheet.startswith("L")
    )  # fmt: skip


_DRAWN = {"input": _input, "overwrite": _overwrite, "edit": _edit, "shorten": _shorten, "delete": _delete,
          "label": _label}  # fmt: skip

"""Exports of the toy and of scenarios, read back once: what the rules of this folder look at."""

import re
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import openpyxl
from openpyxl.utils import get_column_letter

from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.publish.workbook.layout import FIRST_MONTH, NUMBER_COLUMN, Grid, Layout, lay_out
from tco.publish.workbook.study import Contender, Study
from tco.publish.workbook.write import write_workbook
from tests.publish.workbook import toy
from tests.recalc import formula_cells, sheet_names

STRINGS = re.compile(r'"[^"]*"')
NUMBER = re.compile(r"(?<![A-Za-z_$.\d])\d+(?:\.\d+)?(?![\d.]*[A-Za-z_(!])")
FUNCTION = re.compile(r"([A-Za-z_.][A-Za-z0-9_.]*)\(")
REFERENCE = re.compile(r"(?:'([^']*)'!)?(\$?)([A-Z]{1,3})(\$?)(\d+)(?::(\$?)([A-Z]{1,3})(\$?)(\d+))?(?![\w(])")


@dataclass(frozen=True)
class Exported:
    """One workbook with what it was made from."""

    model: object
    values: dict
    study: Study
    path: Path

    @cached_property
    def layout(self) -> Layout:
        return lay_out(self.model, {one.id: one.name for one in self.study.candidates})

    @cached_property
    def cells(self):
        return formula_cells(self.path)

    @cached_property
    def book(self):
        return openpyxl.load_workbook(self.path)

    @cached_property
    def table_rows(self):
        """Rows of small tables on ledgers, headings included; their columns are lines, not months."""
        grids = [
            (ledger.sheet, part)
            for ledger in self.layout.ledgers
            for section in ledger.sections
            for part in section.parts
            if isinstance(part, Grid)
        ]
        return {(sheet, grid.row + 1 + place) for sheet, grid in grids for place in range(-1, len(grid.axis))}

    @cached_property
    def keys(self):
        """The key that stands at an address, (sheet, row, column): of a row of months, column None, or of a value."""
        found = {}
        links = ((line, place) for (_, line), place in self.layout.links.items())
        for line, place in [*self.layout.homes.items(), *links]:
            for entry in range(len(line.shape.axis) if line.shape.axis else 1):
                row = place.row + 1 + entry
                found.setdefault((place.sheet, row, NUMBER_COLUMN + 1), "its number")
                column = None if line.shape.months else place.column + 1
                found[place.sheet, row, column] = f"{line.id}[{entry}]" if entry else line.id
        return found

    @cached_property
    def sheets(self):
        return sheet_names(self.path)

    @property
    def ledgers(self):
        return [ledger.sheet for ledger in self.layout.ledgers]

    @property
    def monthly(self):
        return [ledger.sheet for ledger in self.layout.ledgers if ledger.monthly]

    @property
    def months(self):
        """Columns of months, counted from 1."""
        return range(FIRST_MONTH + 1, FIRST_MONTH + 1 + self.model.columns)

    @property
    def span(self):
        """First and last column of the months, as letters."""
        return get_column_letter(self.months[0]), get_column_letter(self.months[-1])


def export_toy(folder, **more):
    model, values, path = toy.export(folder, **more)
    return Exported(model, values, toy.study(), path)


def export_scenario(scenario, folder, name):
    model = build(scenario)
    values = evaluate(model)
    path = Path(folder) / f"{name}.xlsx"
    study = study_for(scenario)
    write_workbook(model, values, study, path)
    return Exported(model, values, study, path)


def study_for(scenario):
    first = scenario.reference_id
    return Study(
        title=scenario.title, prepared_by="", prepared_for="", date=toy.study().date, version="0.1.0",
        fingerprint=scenario.fingerprint, currency=scenario.money.currency, start_year=scenario.start.year,
        start_month=scenario.start.month,
        candidates=tuple(Contender(key, one.title, key == first) for key, one in scenario.candidates_all),
        months=scenario.horizon, paper="a4", verdict="", gaps=tuple(gap.text() for gap in scenario.gaps),
    )  # fmt: skip


def bare(formula):
    """A formula without its texts and without sheet names."""
    return re.sub(r"'[^']*'!", "", STRINGS.sub('""', formula))


def relative(formula, row, column):
    """A formula with its references written as distances, so that the same formula in two cells reads the same."""

    def told(match):
        sheet, *parts = match.groups()
        ends = [parts[:4], parts[4:]] if parts[4] is not None or parts[5] is not None else [parts[:4]]
        spelled = []
        for fixed_column, letters, fixed_row, number in ends:
            across = letters if fixed_column else f"C{column_index(letters) - column}"
            down = number if fixed_row else f"R{int(number) - row}"
            spelled.append(f"{across},{down}")
        return f"<{sheet or ''}|{':'.join(spelled)}>"

    return REFERENCE.sub(told, STRINGS.sub('""', formula))


def column_index(letters):
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def references(formula):
    """(sheet or None, column fixed, column, row fixed, row, last column or None, last row or None)."""
    for sheet, fixed, letters, fixed_row, row, _, to, _, to_row in REFERENCE.findall(STRINGS.sub('""', formula)):
        last = column_index(to) if to else None
        yield sheet or None, bool(fixed), column_index(letters), bool(fixed_row), int(row), last, int(to_row or row)

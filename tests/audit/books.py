"""Workbooks for these tests: exported once, edited the way people edit them, through three other programs."""

import json
import re
import shutil
import subprocess
import zipfile
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import openpyxl

from tco.audit.cells import address, column_index
from tco.audit.expected import Expected, expect
from tco.publish.workbook.write import write_workbook
from tco.scenario.load import load_text

VERDICT = "Arithmetic alone."
UNO_PYTHON = "/usr/bin/python3"  # the one the office's own package brings its bridge for


@dataclass(frozen=True)
class Made:
    """A scenario exported, with what an audit expects of it."""

    expected: Expected
    path: Path

    @property
    def names(self):
        return self.expected.layout.names

    def input_cell(self, key):
        """(sheet, row, column) of a figure, counted from 1."""
        model = self.expected.model
        line, entry = model.entries[key] if key in model.entries else (model[key], 0)
        home = self.expected.layout.homes[line]
        return home.sheet, home.row + 1 + entry, home.column + 1

    @cached_property
    def formula_cells(self):
        """Cells with formulas on ledgers and result sheets, (sheet, row, column) from 0 to Cell."""
        return {
            (sheet.name, *place): cell
            for sheet in self.expected.book.sheets.values()
            if sheet.name not in ("Break-even", "Changes", "Scenario")
            for place, cell in sheet.cells.items()
            if cell.formula
        }


def export(text, folder, name):
    """Write the workbook of a scenario."""
    scenario = load_text(text, f"{name}.yaml")
    expected = expect(scenario, {"verdict": VERDICT, "program_version": "0.1.0"})
    path = Path(folder) / f"{name}.xlsx"
    write_workbook(expected.model, expected.values, expected.source.study, path)
    return Made(expected, path)


def edit(path, folder, changes, name="edited.xlsx"):
    """A copy that openpyxl saved: {(sheet, row, column) from 1: content}; stored values are lost by that."""
    book = openpyxl.load_workbook(path)
    for (sheet, row, column), content in changes.items():
        book[sheet].cell(row, column).value = content
    made = Path(folder) / name
    book.save(made)
    return made


def patch(path, folder, changes, name="patched.xlsx"):
    """A copy in which the stored numbers of cells are others, whatever the formulas say; nothing else is touched."""
    made = Path(folder) / name
    with zipfile.ZipFile(path) as parts, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as copy:
        sheets = re.findall(r'<sheet name="([^"]*)"', parts.read("xl/workbook.xml").decode())
        for part in parts.namelist():
            text = parts.read(part)
            if part.startswith("xl/worksheets/sheet"):
                sheet = sheets[int(re.findall(r"\d+", part)[0]) - 1]
                for (wanted, cell), number in changes.items():
                    if wanted == sheet:
                        old = re.compile(rf'(<c r="{cell}"[^>]*>(?:<f>[^<]*</f>)?<v>)[^<]*(</v>)')
                        changed, count = old.subn(rf"\g<1>{number!r}\g<2>", text.decode())
                        assert count == 1, (sheet, cell)
                        text = changed.encode()
            copy.writestr(part, text)
    return made


def office_converted(path, folder):
    """The same workbook opened and saved by LibreOffice."""
    office = shutil.which("soffice")
    assert office, "LibreOffice is needed: its package is libreoffice-calc-nogui"
    out = Path(folder) / "converted"
    command = [office, f"-env:UserInstallation=file://{folder}/profile", "--headless", "--norestore"]
    command += ["--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(out), str(path)]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    return out / Path(path).name


def office_edited(path, folder, jobs):
    """Copies edited inside LibreOffice, {name: [[action, sheet, ...], ...]}; references follow moved cells."""
    script = Path(__file__).with_name("office_edits.py")
    order = {"profile": f"{folder}/profile", "source": str(path), "folder": str(folder), "jobs": jobs}
    done = subprocess.run(
        [UNO_PYTHON, str(script)], input=json.dumps(order), capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stderr
    return {name: Path(folder) / f"{name}.xlsx" for name in jobs}


def told(found):
    """Findings as (kind, place), for comparing."""
    return sorted((one.kind, f"{one.sheet}!{one.cell}") for one in found.findings)


def at(place):
    """A place counted from 0 as findings tell it."""
    sheet, row, column = place
    return f"{sheet}!{address('x', row, column).removeprefix('x!')}"


def place_of(sheet, cell):
    """A cell as written, counted from 1."""
    letters, row = re.fullmatch(r"([A-Z]+)(\d+)", cell).groups()
    return sheet, int(row), column_index(letters) + 1

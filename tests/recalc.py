"""Recalculate an exported workbook with programs that know nothing of the model.

Stored values are poisoned first: a program that keeps them instead of calculating shows 999 everywhere.
"""

import html
import re
import shutil
import subprocess
import zipfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np

POISON = 999
ABSOLUTE, RELATIVE = 0.005, 1e-9
_CELL = re.compile(r'<c r="([A-Z]+)(\d+)"([^>]*)><f>(.*?)</f><v>(.*?)</v></c>', re.DOTALL)
_ALWAYS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse">\
<value>0</value></prop></item>
<item oor:path="/org.openoffice.Office.Common/Security/Scripting"><prop oor:name="MacroSecurityLevel" oor:op="fuse">\
<value>3</value></prop></item>
</oor:items>
"""


@dataclass(frozen=True)
class Cell:
    """A formula cell: its formula without the sign of equality, and the value stored beside it."""

    formula: str
    stored: float | str


def sheet_names(path):
    """Sheet names in order; the n-th is the part sheet<n>.xml."""
    with zipfile.ZipFile(path) as parts:
        text = parts.read("xl/workbook.xml").decode()
    return [html.unescape(name) for name in re.findall(r'<sheet name="([^"]*)"', text)]


def formula_cells(path):
    """Every formula cell by (sheet, row, column), both counted from 1."""
    found = {}
    with zipfile.ZipFile(path) as parts:
        for number, sheet in enumerate(sheet_names(path), 1):
            text = parts.read(f"xl/worksheets/sheet{number}.xml").decode()
            for letters, row, attributes, formula, stored in _CELL.findall(text):
                value = html.unescape(stored) if 't="str"' in attributes else float(stored)
                found[sheet, int(row), column_number(letters)] = Cell(html.unescape(formula), value)
    return found


def column_number(letters):
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def poison(path, folder):
    """A copy in which every stored value of a formula is 999."""
    poisoned = Path(folder) / f"poisoned_{Path(path).name}"
    count = 0
    with zipfile.ZipFile(path) as parts, zipfile.ZipFile(poisoned, "w", zipfile.ZIP_DEFLATED) as copy:
        for name in parts.namelist():
            content = parts.read(name)
            if name.startswith("xl/worksheets/sheet"):
                text, changed = re.subn(
                    r'(<c r="[A-Z]+\d+"[^>]*?)( t="str")?(><f>.*?</f>)<v>.*?</v>',
                    rf"\1\3<v>{POISON}</v>",
                    content.decode(),
                    flags=re.DOTALL,
                )
                content, count = text.encode(), count + changed
            copy.writestr(name, content)
    assert count == len(formula_cells(path)) > 0
    return poisoned


def recalc_ironcalc(path, cells, inputs=None):
    """Values of the cells asked for; `inputs` are typed in first, {(sheet, row, column): number}."""
    import ironcalc

    model = ironcalc.load_from_xlsx(str(path), "en", "UTC")
    place = {name: number for number, name in enumerate(sheet_names(path))}
    for (sheet, row, column), value in (inputs or {}).items():
        model.set_user_input(place[sheet], row, column, repr(float(value)))
    model.evaluate()
    return {key: model.get_cell_value(place[key[0]], key[1], key[2]) for key in cells}


def recalc_formualizer(path, cells, inputs=None):
    """The same by another engine."""
    import formualizer

    book = formualizer.load_workbook(str(path))
    for (sheet, row, column), value in (inputs or {}).items():
        book.set_value(sheet, row, column, float(value))
    book.evaluate_all()
    return {key: book.get_value(*key) for key in cells}


def recalc_libreoffice(path, cells, folder):
    """The same by LibreOffice, told to calculate everything on opening."""
    import openpyxl

    profile, out = Path(folder) / "profile", Path(folder) / "recalculated"
    (profile / "user").mkdir(parents=True, exist_ok=True)
    (profile / "user" / "registrymodifications.xcu").write_text(_ALWAYS, encoding="utf-8")
    office = shutil.which("soffice")
    assert office, "LibreOffice is needed: its package is libreoffice-calc-nogui"
    command = [office, f"-env:UserInstallation=file://{profile}", "--headless", "--norestore"]
    command += ["--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(out), str(path)]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    made = out / Path(path).name  # the exit code is 0 even when nothing was made
    assert made.is_file()
    sheets = {key[0] for key in cells}
    book = openpyxl.load_workbook(made, data_only=True)
    return {key: book[key[0]].cell(key[1], key[2]).value for key in cells if key[0] in sheets}


def differences(wanted, found):
    """Cells whose values differ by more than half a cent and a billionth, or are no numbers; {key: (wanted, found)}."""
    wrong = {}
    for key, right in wanted.items():
        got = serial(found[key])
        if isinstance(right, str):
            same = got == right
        else:
            same = isinstance(got, int | float) and abs(got - right) <= max(tolerance(right), RELATIVE * abs(right))
        if not same:
            wrong[key] = (right, got)
    return wrong


def tolerance(right):
    """Half a cent; less for small figures such as prices and factors."""
    return ABSOLUTE if abs(right) >= 1 else 1e-9


def serial(value):
    """Dates as the numbers they are; true and false are kept apart from 1 and 0."""
    if hasattr(value, "toordinal"):
        return value.toordinal() - 693594
    return None if isinstance(value, bool) else value


def stored(cells):
    return {key: cell.stored for key, cell in cells.items()}


def engine_cells(model, values, layout):
    """What the engine says of every cell of every calculated line; {(sheet, row, column): value}, counted from 1."""
    wanted = {}
    for line in model.lines:
        if line.value is not None or line.id not in values:
            continue
        place, array = layout.homes[line], np.asarray(values[line.id][0])
        for (entry, month), value in np.ndenumerate(array):
            wanted[place.sheet, place.row + 1 + entry, place.column + 1 + month] = float(value)
    return wanted


def compare(model, values, layout, cells):
    """Recalculated or stored cells against the engine; {cell: (engine, cell)} of those that differ."""
    return differences(engine_cells(model, values, layout), cells)

"""Names that try to be formulas, links, addresses or broken text stay text, in every place a user's text can reach."""

import html
import re
import zipfile
from pathlib import Path

import pytest

from tco.publish.workbook import styles
from tco.publish.workbook.names import sheet_title
from tco.publish.workbook.styles import LONGEST_TEXT, clean
from tests import recalc
from tests.publish.workbook.exported import Exported
from tests.publish.workbook.toy import export, study, toy

HOSTILE = [
    "=1+1",
    "=cmd|' /C calc'!A0",
    '=HYPERLINK("http://example.invalid","x")',
    "+1",
    "-1",
    "@SUM(1)",
    "{=1+1}",
    "http://example.invalid",
    "internal:'Summary'!A1",
    "tab\there",
    "line\nbreak",
    "bell\x07 nul\x00 del\x7f",
    "right\u202eto left",
    "lone \ud800 surrogate",
    "_x0041_",
    "<b>&amp;</b>",
    "[Book.xlsx]Sheet1'!A1",
    "History",
    "'quoted'",
    "x" * 5000,
    "&L&8&A",
    "\ue000\ue001",
    "\U0001f5a8 press",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_a_hostile_text_stays_text(text, tmp_path):
    names = (text, f"{text} too")
    other = "second"
    model = toy(classes=(text, other, f"{other} {text}"[:60]), names=names)
    for line in model.lines:
        if line.role == "choice":
            line.text = text
        line.label = f"{text[:40]} {line.label}"
        if line.value is not None and line.origin.status != "definition":
            object.__setattr__(line.origin, "source", text)
            object.__setattr__(line.origin, "note", text)
    more = {"title": text, "prepared_by": text, "prepared_for": text, "verdict": text, "currency": text[:10]}
    more |= {"gaps": (text,), "breakeven": ((text, text), (text, 1.0)), "names": names}
    plain = Exported(*[*export(tmp_path, "plain.xlsx")[:2], study()], tmp_path / "plain.xlsx")
    model, values, path = export(tmp_path, "hostile.xlsx", model, **more)
    hostile = Exported(model, values, study(**more), path)
    assert formulas_by_place(hostile) == formulas_by_place(plain)
    check_parts(path)
    found = recalc.recalc_ironcalc(recalc.poison(path, tmp_path), hostile.cells)
    assert recalc.differences(recalc.stored(hostile.cells), found) == {}
    book = hostile.book
    assert [cell.value for row in book["Summary"].iter_rows() for cell in row if cell.data_type == "f"]
    assert any(cell.quotePrefix for cell in book["Summary"][HEAD] if cell.value)


HEAD = 4


def formulas_by_place(exported):
    """Formulas with the names of the candidates' sheets taken out."""
    number = {name: place for place, name in enumerate(exported.sheets)}
    told = {}
    for (sheet, row, column), cell in exported.cells.items():
        formula = re.sub(r"'([^']*)'!", lambda match: f"'{number[match[1]]}'!", cell.formula)
        told[number[sheet], row, column] = formula
    return told


def check_parts(path):
    with zipfile.ZipFile(path) as parts:
        assert parts.testzip() is None
        for name in parts.namelist():
            text = parts.read(name).decode("utf-8")
            if name.startswith("xl/worksheets/_rels"):
                assert "External" not in text
            assert "\x00" not in text
            assert "\x07" not in text
            if name.startswith("xl/charts/chart"):
                sources = [html.unescape(one) for one in re.findall(r"<c:f>(.*?)</c:f>", text)]
                assert sources
                assert [one for one in sources if not re.fullmatch(r"('[^']+'|\w+)!\$[A-Z$0-9:]+", one)] == []


def test_sheet_titles_are_what_programs_accept():
    titles = [sheet_title(f"L{place}", text) for place, text in enumerate(HOSTILE, 1)]
    assert len(set(titles)) == len(titles)
    for title in titles:
        assert 0 < len(title) <= 31
        assert not re.search(r"[\[\]:*?/\\']", title)
        assert title.startswith("L")


def test_cleaned_text_is_composed_capped_and_free_of_controls():
    assert clean("e\u0301") == "é"
    assert clean("a\x00b\x1fc\u202ed\r\ne\tf") == "abcd\ne f"
    assert len(clean("x" * 9999)) == LONGEST_TEXT


def test_the_source_writes_only_through_the_guarded_helpers():
    folder = Path(styles.__file__).parent
    banned = r"\.write\(|write_rich_string|write_array_formula|write_dynamic|insert_textbox"
    for path in sorted(folder.glob("*.py")):
        source = path.read_text(encoding="utf-8")
        assert not re.search(banned, source), path
        if path != Path(styles.__file__):
            assert not re.search(r"\.write_(string|url|number|formula|blank|comment)\(", source), path

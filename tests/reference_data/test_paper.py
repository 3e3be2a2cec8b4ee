"""Sizes, basis weights and masses of paper against published figures."""

import re

import pytest

from tco.reference_data.paper import GRADES, SIZES, grammage, sheet_mass_kg, size
from tests.published import DERIVED, READ, Case, named

PWG = "PWG 5101.1 names, as an open printing library lists them"
GLOSSARY = "paperspecs.com, glossary, basis weight"
WIKI = "printwiki.org, Grammage"
A4_KITCHEN = "thinkmetric.org.uk, everyday paper: 80 g/m² / 16; exact 4.9896, so within 0.3 %"
AREAS = {
    "a4": 0.062370,
    "a3": 0.124740,
    "sra3": 0.144000,
    "ra3": 0.131150,
    "b4": 0.088250,
    "letter": 0.060322,
    "legal": 0.076774,
    "ledger": 0.120645,
    "12x18": 0.139355,
    "13x19": 0.159355,
}
LETTERS = {
    "a4": 1.0339,
    "a3": 2.0679,
    "sra3": 2.3872,
    "ra3": 2.1741,
    "b4": 1.4630,
    "letter": 1,
    "legal": 1.2727,
    "ledger": 2,
    "12x18": 2.3102,
    "13x19": 2.6417,
}
PUBLISHED_GSM_A_POUND = {"bond": 3.760, "text": 1.480, "cover": 2.704, "tag": 1.627}
PUBLISHED_POUNDS_A_GSM = {"bond": 0.266, "text": 0.675, "cover": 0.370}
DERIVED_GSM_A_POUND = {
    "bond": 3.7597,
    "text": 1.4801,
    "cover": 2.7041,
    "tag": 1.6275,
    "index": 1.8080,
    "bristol": 2.1928,
}


def kilograms(sheets, name, gsm):
    return sheet_mass_kg(sheets, size(name), gsm)


def letters(name):
    return size(name).area_m2 / size("letter").area_m2


CASES = [
    *(Case(f"area of {name}", PWG, DERIVED, lambda n=name: size(n).area_m2, m2, 5.1e-7) for name, m2 in AREAS.items()),
    *(
        Case(f"{name} in letters", PWG, DERIVED, lambda n=name: letters(n), ratio, 5.1e-5)
        for name, ratio in LETTERS.items()
    ),
    Case("two A4 are an A3", "ISO 216", READ, lambda: size("a3").area_m2 / size("a4").area_m2, 2, 1e-12),
    *(
        Case(f"pound of {grade}", WIKI, READ, lambda g=grade: grammage(1, g), gsm, 0.001)
        for grade, gsm in PUBLISHED_GSM_A_POUND.items()
    ),
    *(
        Case(f"g/m² of {grade}", WIKI, READ, lambda g=grade: 1 / grammage(1, g), pounds, 0.00075)
        for grade, pounds in PUBLISHED_POUNDS_A_GSM.items()
    ),
    *(
        Case(f"pound of {grade}, exact", "basis sizes", DERIVED, lambda g=grade: grammage(1, g), gsm, 5.1e-5)
        for grade, gsm in DERIVED_GSM_A_POUND.items()
    ),
    Case("basis constant", GLOSSARY + ": 0.026 % high", READ, lambda: grammage(1, "text") * 950, 1_406.5, 0.7),
    Case("20 lb bond", WIKI, READ, lambda: grammage(20, "bond"), 75.2, 0.05),
    Case("70 lb book", WIKI + ": 103.6 g/m² is about 70 lb", READ, lambda: grammage(70, "text"), 103.6, 0.05),
    Case("28 lb bond", "basis sizes", DERIVED, lambda: grammage(28, "bond"), 105.27, 0.005),
    Case("90 lb offset", "basis sizes", DERIVED, lambda: grammage(90, "text"), 133.21, 0.005),
    Case("100 lb cover", "basis sizes", DERIVED, lambda: grammage(100, "cover"), 270.41, 0.005),
    Case("A4 of 80 g/m²", A4_KITCHEN, READ, lambda: 1_000 * kilograms(1, "a4", 80), 5, 0.015),
    Case("ream of A4", "ISO 216", DERIVED, lambda: kilograms(500, "a4", 80), 2.4948, 1e-12),
    Case(
        "ream of letter, 20 lb bond, is 5 lb",
        "a quarter of the basis ream",
        DERIVED,
        lambda: kilograms(500, "letter", grammage(20, "bond")),
        5 * 0.45359237,
        1e-12,
    ),
    Case("9,000 letter", "own", DERIVED, lambda: kilograms(9_000, "letter", grammage(20, "bond")), 40.823, 0.0005),
    Case("3,000 ledger", "own", DERIVED, lambda: kilograms(3_000, "ledger", grammage(80, "text")), 42.857, 0.0005),
]


@pytest.mark.parametrize("case", **named(CASES))
def test_published(case):
    case.check()


@pytest.mark.parametrize("sheet", SIZES, ids=lambda sheet: sheet.name)
def test_the_standard_name_describes_the_sheet(sheet):
    width, height, unit = re.fullmatch(r"\w+_[\w-]+_([\d.]+)x([\d.]+)(mm|in)", sheet.standard_name).groups()
    scale = {"mm": 1, "in": 25.4}[unit]
    assert (sheet.width_mm, sheet.height_mm) == pytest.approx((float(width) * scale, float(height) * scale), abs=1e-9)
    assert sheet.short_edge_mm == sheet.width_mm
    assert sheet.long_edge_mm == sheet.height_mm


def test_which_sizes_are_large():
    assert {sheet.name for sheet in SIZES if sheet.is_large} == {"ledger", "12x18", "13x19", "a3", "sra3", "ra3"}


def test_figures_that_public_pages_have_wrong_are_not_ours():
    # One converter takes bond by the factor of text (20 lb is 29.6 g/m²); one chart has 70 lb text as 73 g/m².
    assert abs(grammage(20, "bond") - 29.6) > 40
    assert abs(grammage(70, "text") - 73) > 25


def test_cutting_a_sheet_in_two_leaves_its_mass():
    assert 2 * kilograms(1, "letter", 90) == pytest.approx(kilograms(1, "ledger", 90), rel=1e-12)
    assert {grade.name for grade in GRADES} == set(DERIVED_GSM_A_POUND)


def test_an_unknown_name_is_answered_with_the_known_ones():
    with pytest.raises(KeyError, match=r"no paper size 'folio'.*letter, legal"):
        size("folio")
    with pytest.raises(KeyError, match=r"no paper grade 'vellum'.*bond, text"):
        grammage(20, "vellum")

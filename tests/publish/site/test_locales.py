"""A study written as another place writes: numbers, money and dates of every page, of terminal and questions."""

import datetime as dt
import html
import re
from dataclasses import replace

import pytest

from tco.advice.study import Study
from tco.advice.warnings import find_warnings
from tco.analyses.breakeven import break_even
from tco.analyses.stress import stress
from tco.problem import ScenarioError
from tco.publish.explanation import explain, find_line
from tco.publish.numbers import Numbers
from tco.publish.recording import make_report
from tco.publish.site import build_site
from tco.publish.terminal import explanation_lines
from tco.publish.terminal_advice import warning_lines
from tco.scenario.load import load_text
from tco.scenario.starting import starting_scenario
from tests.advice.quotes import AS_IN_ENGLISH
from tests.publish.site.glyphs import without_glyph

# Decimal comma and point between thousands; decimal comma and narrow no-break space (CLDR 46, memory).
PLACES = {"de_DE": (r"\d{1,3}(?:\.\d{3})+", "\u00a0€"), "fr_FR": (r"\d{1,3}(?:\u202f\d{3})+", "\u00a0€")}

AMERICAN = re.compile(r"(?<![\d,.])[1-9]\d{0,2}(?:,\d{3})+(?!\d)")


def written(locale):
    text = starting_scenario().replace("currency: USD", f"currency: EUR, locale: {locale}")
    return load_text(text.replace("26000, low: 20000, high: 32000", "260000, low: 200000, high: 320000"))


@pytest.fixture(scope="module", params=PLACES)
def study(request):
    scenario = written(request.param)
    looked = Study.of(scenario)
    ids = [key for key, _ in scenario.candidates_all]
    found = break_even(looked.model, ids, 0.0, 600_000.0)
    warnings = find_warnings(looked)
    asked = stress(looked.model, scenario)
    report = replace(make_report(scenario, looked.model, looked.values, found), warnings=warnings, stress=asked)
    return request.param, looked, warnings, build_site(report)


def words(page):
    text = re.sub(r"<(style|script)>.*?</\1>|<code>.*?</code>|<[^>]*>", " ", page.decode(), flags=re.DOTALL)
    return html.unescape(text)


def test_no_page_groups_thousands_as_another_place_does(study):
    locale, _, _, made = study
    grouped, money = PLACES[locale]
    pages = {name: words(content) for name, content in made.items() if name.endswith(".html")}
    pages.pop("reference.html", None)  # shows what may be typed, the same for every study
    american = {name: AMERICAN.findall(text) for name, text in pages.items()}
    # With a decimal comma three decimals look like a group; figures in full on the page of all figures may have three.
    assert {name: found for name, found in american.items() if found and name != "figures.html"} == {}
    assert len(re.findall(grouped, pages["costs.html"])) > 20
    assert money in pages["index.html"]
    assert "$" not in pages["index.html"]
    assert re.search(r"\d,\d\d\u00a0ct", pages["volume.html"])


def test_percentages_and_decimals_of_the_answer_and_of_the_what_ifs_follow(study):
    made = study[3]
    # The reference of keys shows what may be typed, the same for every study.
    names = [name for name in made if name.endswith(".html") and name != "reference.html"]
    pages = {name: words(made[name]) for name in names}
    assert "30\u00a0% less work" in pages["risk.html"]
    assert [(name, some) for name, text in pages.items() for some in AS_IN_ENGLISH.findall(text)] == []


def test_every_character_has_a_glyph(study):
    assert without_glyph(study[3]) == {}


def test_what_is_asked_and_what_the_terminal_says_follow(study):
    locale, looked, warnings, _ = study
    numbers = Numbers(locale, "EUR")
    text = "\n".join(warning_lines(looked, warnings, everything=True))
    text += "\n".join(gap.text() for gap in looked.scenario.gaps)
    assert AS_IN_ENGLISH.findall(text) == []
    found = explain(looked.scenario, looked.values, *find_line(looked.model, "birch.measures.present_value"), 1)
    text += "\n".join(explanation_lines(found, numbers))
    assert re.search(PLACES[locale][0], text)
    assert AMERICAN.findall(text) == []


@pytest.mark.parametrize(
    ("locale", "text"), [("en_US", "March 9, 2027"), ("de_DE", "9 March 2027"), ("ja_JP", "9 March 2027")]
)
def test_the_month_stands_first_where_it_does_so_in_that_place(locale, text):
    assert Numbers(locale, "USD").date(dt.date(2027, 3, 9)) == text


def test_a_locale_may_be_written_in_the_usual_ways():
    assert written("de-de").money.locale == "de_DE"
    assert load_text(starting_scenario()).money.locale == "en_US"
    assert Numbers("he_IL", "ILS").money(5.0) == "5\u00a0₪"


@pytest.mark.parametrize(("wrong", "near"), [("deutsch", "de_DE"), ("fr_XX", "fr_FR"), ("5", "en_US")])
def test_an_unknown_locale_is_told_with_the_one_probably_meant(wrong, near):
    with pytest.raises(ScenarioError) as caught:
        written(wrong)
    (problem,) = caught.value.problems
    assert problem.path == "money.locale"
    assert f"`{wrong}` is no locale" in problem.text()
    assert problem.text().endswith(f"Write such as {near}")

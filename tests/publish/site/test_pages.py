"""Every page of every kind of study: links, ids, labels, nothing from outside, nothing that could run."""

import base64
import hashlib
import json
import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest

from tco.publish.fonts import templates_root
from tco.publish.numbers import Numbers
from tco.publish.parts import Kit, anchor, safe
from tco.publish.site import build_site, running, style_sheet
from tests.publish.site import built, mock
from tests.publish.site.glyphs import without_glyph
from tests.publish.site.pages import Read, read

STUDIES = ("report", "bare", "barred", "hostile", "many", "crowded")


@pytest.fixture(scope="module", params=STUDIES)
def site(request):
    made = built.site(request.param)
    return built.study(request.param), made, read(made)


def test_every_element_is_closed_in_order(site):
    _, _, pages = site
    assert {name: page.wrong for name, page in pages.items() if page.wrong} == {}


def test_ids_are_single(site):
    _, _, pages = site
    for name, page in pages.items():
        assert len(page.ids) == len(set(page.ids)), (name, sorted(i for i in page.ids if page.ids.count(i) > 1)[:5])


def test_every_link_leads_to_a_place_that_exists(site):
    _, made, pages = site
    dead = []
    for name, page in pages.items():
        for link in page.links:
            file, _, place = link.partition("#")
            if file in made and not file.endswith(".html"):
                continue
            target = pages.get(file or name)
            if target is None or (place and place not in target.ids):
                dead.append((name, link))
    assert dead == []


def test_every_label_exists(site):
    _, _, pages = site
    assert [(name, ref) for name, page in pages.items() for ref in page.refs if ref not in page.ids] == []


def test_nothing_comes_from_outside_and_nothing_runs(site):
    _, _, pages = site
    for page in pages.values():
        tags = {tag for tag, _ in page.tags}
        assert not tags & {"img", "iframe", "link", "object", "form", "base"}
        for tag, name, value in page.attributes:
            assert name != "style", tag
            assert not name.startswith("on")
            assert not re.match(r"\s*(https?:|//|javascript:|data:)", value), (tag, name, value)
        assert not re.search(r"url\((?!data:font/woff2;base64,[\w+/=]+\))|@import", "".join(page.inside["style"]))


def test_every_character_has_a_glyph_in_the_fonts(site):
    assert without_glyph(site[1]) == {}


def test_the_policy_allows_exactly_the_style_sheet_inside(site):
    _, made, pages = site
    for name, page in pages.items():
        style = re.search(r"<style>(.*?)</style>", made[name].decode(), re.DOTALL)[1]
        digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
        (policy,) = [attrs["content"] for tag, attrs in page.tags if tag == "meta" and "http-equiv" in attrs]
        assert policy.startswith("default-src 'none'")
        assert f"style-src 'sha256-{digest}'" in policy
        codes = re.findall(r"<script(| type=\"application/json\"[^>]*)>(.*?)</script>", made[name].decode(), re.DOTALL)
        assert made[name].count(b"<script") == len(codes)
        run = [code for kind, code in codes if not kind]
        hashes = [base64.b64encode(hashlib.sha256(code.encode()).digest()).decode() for code in run]
        assert re.findall(r"script-src 'sha256-([^']+)'", policy) == hashes
        assert sum(len(code) for code in run) < 5_000


def test_every_drawing_carries_a_name_and_a_description(site):
    _, _, pages = site
    drawings = 0
    for page in pages.values():
        for tag, attrs in page.tags:
            if tag == "svg" and "chart" in attrs.get("class", ""):
                drawings += 1
                assert attrs["role"] == "img"
                assert len(attrs["aria-labelledby"].split()) == 2
        assert all(words.strip() for words in page.inside.get("desc", []))
    assert drawings >= 4


def test_every_entry_has_its_anchor_and_its_value(site):
    report, _, pages = site
    ids = set(pages["figures.html"].ids)
    assert {anchor(entry.key) for entry in report.entries} <= ids
    words = "".join(pages["figures.html"].words)
    kit = Kit(report, Numbers(report.facts.locale, report.facts.currency))
    for one in report.candidates:
        assert kit.exact(report.by_key[one.key("present_value")], one.measures["present_value"]) in words


@pytest.mark.parametrize("name", ["report", "hostile"])
def test_the_same_report_gives_the_same_bytes(name):
    assert build_site(built.study(name)) == built.site(name)


def test_weight(site):
    _, made, _ = site
    exempt = {"figures.html", "print.html"}
    pages = {name: len(content) for name, content in made.items() if name.endswith(".html") and name not in exempt}
    assert max(pages.values()) < 400_000
    assert len(made["figures.html"]) < 1_500_000


def test_each_figure_is_offered_as_a_drawing_and_a_specification_in_plain_colours(site):
    _, made, pages = site
    drawings = [name for name in made if name.endswith(".svg")]
    assert len(drawings) >= 4
    for name in drawings:
        root = ET.fromstring(made[name])  # noqa: S314 -- our own file
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert b"var(" not in made[name]
        spec = made[name.removesuffix("svg") + "vl.json"]
        assert json.loads(spec)["$schema"].startswith("https://vega.github.io/schema/vega-lite/")
        assert b"var(" not in spec
        assert name in pages["downloads.html"].links


def test_the_edition_for_printing_has_each_figure_once_and_all_tables_open(site):
    _, made, pages = site
    text = made["print.html"].decode()
    heads = re.findall(r'<figure class="fig" id="p\d+-(fig-[a-z-]+)"', text)
    assert sorted(set(heads) - {"fig-waterfall"}) == sorted(one for one in heads if one != "fig-waterfall")
    assert '<details class="nums">' not in text
    # Only the way back, in the navigation; everything else leads on within the edition.
    assert [link for link in pages["print.html"].links if link.startswith("index.html")] == ["index.html"]


def test_every_sheet_tells_the_study_its_author_and_what_it_was_made_from(site):
    report = site[0]
    report = replace(report, facts=replace(report.facts, fingerprint="0123456789abcdef", version="9.9"))
    foot = re.search(r'@bottom-left\{content:"([^"]*)"', style_sheet("a4", running(report)))[1]
    assert "Version 9.9, fingerprint 0123456789ab" in foot
    assert not re.search(r"[<>&'(){}]", foot)


def test_a_page_of_several_sections_leads_to_each_of_them(site):
    made = site[1]
    for name in ("costs.html", "volume.html", "cash.html"):
        text = made[name].decode()
        links = re.findall(r'<a href="(#[^"]+)">', text.partition('<nav class="jump')[2].partition("</nav>")[0])
        places = re.findall(r'<section class="sec[^"]*" id="([^"]+)"', text)
        assert [link[1:] for link in links] == (places if len(places) > 2 else []), name
    assert 'class="jump' not in made["print.html"].decode()


def shown_as(entry):
    """The size of every value an entry holds, also in hundredths."""
    values = [abs(value) for row in (*entry.values, entry.total or ()) for value in row]
    peaks = [abs(sum(row)) for row in entry.values]
    peaks.append(abs(sum(map(sum, entry.values))))  # the last column of a table by fiscal year
    return [value * factor for value in (*values, *peaks) for factor in (1, 100)]


def test_every_traced_figure_of_a_table_stands_in_figures_to_its_rounding(site):
    report, made, _ = site
    entries = {anchor(entry.key): entry for entry in report.entries}
    seen, wrong = 0, []
    for name, content in made.items():
        if not name.endswith(".html"):
            continue
        for place, told in re.findall(r'<td[^>]*><a href="figures\.html#([^"]+)">([^<]*)</a>', content.decode()):
            digits = re.search(r"\d[\d,]*(?:\.\d+)?", told)
            if digits is None or entries[place].role == "choice":
                continue
            text = digits[0].replace(",", "")
            decimals = len(text.partition(".")[2])
            zeros = 0 if decimals else len(text) - len(text.rstrip("0"))
            seen += 1
            # A saving is the difference of two sums as they are printed: each may be half a step off.
            halves = 2 if place.endswith(".measures.saving") else 1
            room = halves * 0.5 * 10.0 ** (zeros - decimals) * 1.0001
            if float(text) and not any(abs(value - float(text)) <= room for value in shown_as(entries[place])):
                wrong.append((name, place, told))
    assert wrong == []
    assert seen > 40


def test_hostile_names_stay_words():
    made = built.site("hostile")
    for page in read(made).values():
        words = "".join(page.words)
        assert "<script>alert(1)</script>" in words
        assert '=HYPERLINK("http://x.invalid","y")' in words
        assert "W" * 200 not in words
    assert all(re.fullmatch(r"[a-z0-9_./-]+\.[a-z]{3,4}", name) for name in made)


def test_names_of_files_and_ids_keep_to_safe_characters():
    assert safe("../../x y<") == ".._2f_.._2f_x_20_y_3c_"
    assert anchor("birch.plan.colour rate") == "f-birch.plan.colour_20_rate"


def test_a_figure_without_an_entry_is_refused():
    kit = Kit(mock.report(), Numbers("en_US", "USD"))
    with pytest.raises(KeyError, match="no entry in Figures"):
        kit.href("birch.measures.invented")


def test_the_checks_see_damage():
    assert Read("<p><b></p>").wrong
    assert Read('<a href="x.html#y">x</a>').links == ["x.html#y"]


def test_the_templates_are_found():
    assert (templates_root() / "base.html.j2").is_file()

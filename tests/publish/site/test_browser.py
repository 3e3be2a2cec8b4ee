"""The pages in a real browser, opened from disk: silent, self-contained, accessible, on one sheet."""

import os
import re
import shutil
import subprocess
from importlib import resources
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright

from tests.publish.site import built

STUDIES = ("report", "barred", "hostile", "crowded")
WIDTHS = (1280, 390)
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
OVERLAPS = """() => {
  const found = [];
  for (const svg of document.querySelectorAll('svg.chart')) {
    if (getComputedStyle(svg).display === 'none') continue;
    const frame = svg.getBoundingClientRect();
    const boxes = [...svg.querySelectorAll('text:not([stroke])')].map(t => [t.textContent, t.getBoundingClientRect()]);
    boxes.forEach(([words, a], i) => {
      if (a.left < frame.left - 2 || a.right > frame.right + 2 || a.top < frame.top - 2 || a.bottom > frame.bottom + 2)
        found.push(words + ' leaves its drawing');
      for (const [other, b] of boxes.slice(i + 1)) {
        const x = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const y = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        if (x > 1 && y > 5) found.push(words + ' over ' + other);
      }
    });
  }
  return found;
}"""


@pytest.fixture(scope="module")
def axe():
    folder = resources.files("axe_playwright_python")
    return next(Path(str(folder)).rglob("axe.min.js")).read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def folders(tmp_path_factory):
    made = {}
    for name in STUDIES:
        made[name] = tmp_path_factory.mktemp(name)
        for file, content in built.site(name).items():
            (made[name] / file).parent.mkdir(exist_ok=True)
            (made[name] / file).write_bytes(content)
    return made


@pytest.fixture(scope="module")
def browser():
    with sync_playwright() as driver:
        started = driver.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-dev-shm-usage", "--font-render-hinting=none"]
        )
        yield started
        started.close()


class Visit:
    """A page with everything it said and asked for."""

    def __init__(self, browser, path, width, scheme="light"):
        self.context = browser.new_context(
            offline=True, reduced_motion="reduce", locale="en-US", timezone_id="UTC", color_scheme=scheme,
            viewport={"width": width, "height": 900},
        )  # fmt: skip
        self.said, self.asked = [], []
        self.page = self.context.new_page()
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(path.as_uri())

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.context.close()


@pytest.mark.parametrize("study", STUDIES)
def test_pages_are_silent_ask_for_nothing_fit_the_screen_and_keep_words_apart(browser, folders, study):
    drawn = 0
    for path in sorted(folders[study].glob("*.html")):
        if study != "report" and path.stem in ("print", "reference"):
            continue
        if study == "crowded" and path.stem.startswith("candidate") and path.stem[-2:] not in ("-a", "-d", "ay"):
            continue  # of thirteen pages alike three: the longest names, and the present press
        with Visit(browser, path, WIDTHS[0]) as visit:
            for width in WIDTHS:
                visit.page.set_viewport_size({"width": width, "height": 900})
                assert visit.page.evaluate("document.documentElement.scrollWidth") <= width, path.name
                if path.stem != "print":
                    assert visit.page.evaluate(OVERLAPS) == [], (path.name, width)
                drawn += visit.page.locator("svg.chart:visible").count()
            assert visit.said == [], path.name
            assert visit.asked == [path.as_uri()]
    assert drawn > 20


@pytest.mark.parametrize("name", ["index.html", "volume.html", "candidate-birch.html"])
@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (390, "light"), (1280, "dark")])
def test_no_barrier_is_found(browser, folders, axe, name, width, scheme):
    with Visit(browser, folders["report"] / name, width, scheme) as visit:
        visit.page.evaluate(axe)
        found = visit.page.evaluate("rules => axe.run(document, {runOnly: rules})", RULES)
        told = [
            (one["id"], node["target"], node["failureSummary"]) for one in found["violations"] for node in one["nodes"]
        ]
        assert told == []
        assert len(found["passes"]) > 15


@pytest.mark.parametrize("name", ["risk", "questions", "cash", "dates", "figures", "reference", "downloads", "print"])
def test_no_barrier_is_found_on_the_other_pages(browser, folders, axe, name):
    # The longest two have the colours of other pages, where contrast is looked at.
    rest = {"color-contrast": {"enabled": name not in ("print", "reference")}}
    with Visit(browser, folders["report"] / f"{name}.html", 1280) as visit:
        visit.page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
        visit.page.evaluate(axe)
        found = visit.page.evaluate(
            "([rules, rest]) => axe.run(document, {runOnly: rules, rules: rest})", [RULES, rest]
        )
        assert [(one["id"], node["target"]) for one in found["violations"] for node in one["nodes"]] == []


def test_the_slider_moves_by_keyboard_and_says_what_the_engine_computed(browser, folders):
    with Visit(browser, folders["report"] / "volume.html", 1280) as visit:
        slider = visit.page.locator("#slide-at")
        said = visit.page.locator("#slide-said")
        before = said.inner_text()
        assert before.endswith("pages a month: Lease the Birch costs least")
        slider.focus()
        for _ in range(20):
            visit.page.keyboard.press("ArrowLeft")
        assert said.inner_text().endswith("pages a month: Keep the Alder costs least")
        assert slider.get_attribute("aria-valuetext") == said.inner_text()
        assert visit.page.locator("#slide b").first.inner_text().endswith("¢")
        assert visit.said == []


def test_search_and_choice_hide_and_show(browser, folders):
    with Visit(browser, folders["report"] / "figures.html", 1280) as visit:
        every = visit.page.locator(".entries li:visible").count()
        visit.page.locator("#find-text").fill("return of the saving")
        some = visit.page.locator(".entries li:visible").count()
        assert 0 < some < every
        assert visit.page.locator("#find-count").inner_text() == f"{some} found"
        visit.page.locator("#find-text").fill("")
        assert visit.page.locator(".entries li:visible").count() == every
    with Visit(browser, folders["report"] / "index.html", 1280) as visit:
        visit.page.locator("#pick input").nth(1).focus()
        visit.page.keyboard.press("Space")
        assert not visit.page.locator('#t-six tr[data-who="1"]').is_visible()
        assert visit.page.locator('#t-six tr[data-who="2"]').is_visible()


def test_where_a_calculation_is_used_is_read_from_the_formulas(browser, folders):
    with Visit(browser, folders["report"] / "figures.html", 1280) as visit:
        made = visit.page.evaluate("""() => [...document.querySelectorAll('.entries li')].map(one => [
            one.id, [...one.querySelectorAll('p a')].map(a => a.hash.slice(1)),
            [...one.querySelectorAll('small:last-child:not([data-used]) a')].map(a => a.hash.slice(1))])""")
        used = {name: set(uses) for name, _, uses in made}
        inputs = set(visit.page.evaluate("[...document.querySelectorAll('li:has([data-used])')].map(one => one.id)"))
        read = {(target, name) for name, targets, _ in made for target in targets if target not in inputs}
        assert len(read) > 20
        for target, name in read:
            assert name in used[target] or len(used[target]) >= 8, (target, name)


def test_without_a_script_nothing_dead_is_on_the_page(browser, folders):
    context = browser.new_context(offline=True, java_script_enabled=False, viewport={"width": 1280, "height": 900})
    page = context.new_page()
    for name, place in (("volume", "#slide"), ("figures", "#find"), ("index", "#pick")):
        page.goto((folders["report"] / f"{name}.html").as_uri())
        assert page.locator(place).count() == 1
        assert not page.locator(place).is_visible()
        assert page.locator("table:visible, .entries li:visible").count() > 0
    context.close()


def sheets(content, folder, last):
    """The text of the first sheets of a PDF."""
    place = folder / "sheets.pdf"
    place.write_bytes(content)
    tool = shutil.which("pdftotext")
    return [
        subprocess.run(
            [tool, "-f", str(one), "-l", str(one), "-layout", str(place), "-"], capture_output=True, check=True
        ).stdout.decode()
        for one in range(1, last + 1)
    ]  # fmt: skip


def test_the_edition_for_printing_begins_with_answer_and_questions_on_three_sheets(browser, folders, tmp_path):
    with Visit(browser, folders["report"] / "print.html", 1280) as visit:
        content = visit.page.pdf(prefer_css_page_size=True, tagged=True)
    count = len(re.findall(rb"/Type\s*/Page\b", content))
    assert 10 < count < 60
    found = sheets(content, tmp_path, 5)
    assert "about $260 a month less" in " ".join(found[0].split())
    assert "Questions for the dealers" in found[1]
    starts = [number for number, text in enumerate(found, 1) if "Where the money goes" in text]
    assert starts[0] <= 4
    for number, text in enumerate(found, 1):
        assert f"{number} / {count}" in text
        assert "Colour press for Wrenlock Quick Print" in text


def test_one_drawing_of_each_figure_is_shown(browser, folders):
    for width, shown in ((1280, "wide"), (390, "slim")):
        with Visit(browser, folders["report"] / "costs.html", width) as visit:
            for css in ("wide", "slim"):
                seen = [one.is_visible() for one in visit.page.query_selector_all(f"svg.chart.{css}")]
                assert seen == [css == shown] * len(seen)
                assert len(seen) >= 3


@pytest.mark.parametrize("study", ["report", "barred", "crowded"])
def test_the_answer_prints_on_one_sheet_even_from_a_dark_screen(browser, folders, study):
    with Visit(browser, folders[study] / "index.html", 1280, "dark") as visit:
        content = visit.page.pdf(prefer_css_page_size=True, tagged=True)
    assert len(re.findall(rb"/Type\s*/Page\b", content)) == 1
    boxes = {tuple(float(v) for v in box.split()) for box in re.findall(rb"/MediaBox\s*\[([^\]]+)\]", content)}
    (box,) = boxes
    sheet = (595, 842) if study == "barred" else (612, 792)
    assert box[2:] == pytest.approx(sheet, abs=1)

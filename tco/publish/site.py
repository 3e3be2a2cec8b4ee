"""The static site: one builder and one template a page, everything a page needs inside that page.

A page is its own style sheet, its own figures and no script; its content policy allows exactly the style sheet it
carries, by hash. Nothing here writes files: `build_site` gives names and bytes, the same for the same report.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Callable, Mapping
from typing import Any, Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from tco.publish import downloads, print_edition, sentences
from tco.publish.cautions import CAUTIONS, used
from tco.publish.figures import colour
from tco.publish.fonts import font_faces, templates_root
from tco.publish.numbers import Numbers, month_name
from tco.publish.pages import (
    answer,
    candidate,
    cash,
    costs,
    dates,
    entries,
    files,
    method,
    questions,
    reference,
    risk,
    volume,
)
from tco.publish.parts import Kit, Page, clipped
from tco.report import Report

BUILDERS: Final[tuple[Callable[[Kit], list[Page]], ...]] = (
    answer.build,
    costs.build,
    volume.build,
    risk.build,
    cash.build,
    questions.build,
    dates.build,
    candidate.build,
    method.build,
    reference.build,
    entries.build,
    files.build,
)
PLACES: Final = "<!-- places -->"
SECTION: Final = re.compile(r'<section class="sec[^"]*" id="([^"]+)"><h2>(.*?)(?:<small>.*?)?</h2>', re.DOTALL)
SHEETS: Final[Mapping[str, str]] = {"letter": "letter", "a4": "A4"}


def style_sheet(paper: str, running: str = "") -> str:
    """The style sheet of every page: fonts, rules, the sheet of paper it prints on and the words at its foot."""
    text = (templates_root() / "style.css").read_text(encoding="utf-8")
    bare = re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)
    tight = re.sub(r"\s*([{};,])\s*", r"\1", re.sub(r"\s+", " ", bare)).strip()
    foot = (
        f'@bottom-left{{content:"{_quoted(running)}";width:82%;font:8pt Report Sans,sans-serif;color:#57544e}}'
        if running
        else ""
    )
    return f"{font_faces()}{tight}@page{{size:{SHEETS.get(paper, 'A4')};margin:12mm 15mm 14mm;{foot}}}"


def _quoted(text: str) -> str:
    """Words as part of a style sheet: whatever is not a plain letter, digit or mark becomes its code."""
    return re.sub(r"[^A-Za-z0-9 .,:-]", lambda found: f"\\{ord(found[0]):x} ", text)


def script() -> str:
    """The script of the pages that have something to work with."""
    text = (templates_root() / "script.js").read_text(encoding="utf-8")
    bare = re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)
    return "\n".join(line.strip() for line in bare.splitlines() if line.strip())


def content_policy(style: str, code: str = "") -> str:
    """Nothing from anywhere but the style sheet and the script with these hashes, and fonts inside the page."""
    may_run = f" script-src '{_hash(code)}';" if code else ""
    return (
        f"default-src 'none'; style-src '{_hash(style)}';{may_run} font-src data:; base-uri 'none'; form-action 'none'"
    )


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def escaped_json(data: object) -> Markup:
    """Data inside a page: nothing in it can end its element."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    for char in "<>&\u2028\u2029":
        text = text.replace(char, f"\\u{ord(char):04x}")
    return Markup(text)  # noqa: S704 -- escaped just above


def environment() -> Environment:
    """The templates, strict and escaping."""
    made = Environment(
        loader=FileSystemLoader(templates_root()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        auto_reload=False,
    )
    made.filters["drawn"] = Markup  # only for SVG of the drawing kit, which escapes what it is given
    made.filters["ink"] = colour
    made.filters["data"] = escaped_json
    return made


def build_site(report: Report, workbook: str = "") -> dict[str, bytes]:
    """Make every page of the site, its calendars, and each figure as a drawing and as a specification.

    Parameters
    ----------
    report : the study
    workbook : the file name of its workbook; empty when pages and figures are all that is published

    Returns
    -------
    File name to bytes, pages first, in reading order.
    """
    kit = Kit(report, Numbers(report.facts.locale, report.facts.currency), used(report), workbook)
    pages = [page for builder in BUILDERS for page in builder(kit)]
    drawer = environment()
    style = style_sheet(report.facts.paper, running(report))
    shared: dict[str, Any] = {
        "layout": "base.html.j2",
        "style": Markup(style),  # noqa: S704 -- our own file; words of a scenario are in it as codes only
        "policies": {True: content_policy(style, script()), False: content_policy(style)},
        "script": Markup(script()),  # noqa: S704 -- our own file, nothing put into it
        "study": clipped(report.facts.title, 120),
        "prepared": sentences.prepared(report),
        "made_from": sentences.made_from(report),
        "period": f"{report.facts.months} months from {month_name(report.facts.year, report.facts.month)}",
        "nav": [page for page in pages if page.nav],
        "candidates": [page for page in pages if page.candidate is not None],
        "cautions": kit.cautions,
        "caution_names": {key: name for key, (name, _) in CAUTIONS.items()},
        "leader": report.verdict.winner,
    }

    def draw(page: Page, **more: Any) -> str:
        text = drawer.get_template(page.template).render(**shared, page=page, **page.data, **more)
        return re.sub(r"[ \t]*\n\s*\n+", "\n", with_places(text))

    texts = {page.file: draw(page) for page in pages}
    whole = Page(files.PRINT, "For printing", "print.html.j2", {}, css="whole")
    gathered = print_edition.gathered([(page, texts[page.file]) for page in print_edition.order(pages)])
    texts[whole.file] = draw(whole, gathered=Markup(gathered))  # noqa: S704 -- made of pages that were escaped
    made = {name: text.encode("utf-8") for name, text in texts.items()}
    for name, content in report.calendars.items():
        made[dates.calendar_of(kit, name)] = content
    return {**made, **downloads.figure_files(kit, style)}


def with_places(text: str) -> str:
    """A page with links to its sections where it has a place for them and sections enough to need them."""
    if PLACES not in text:
        return text
    found = SECTION.findall(text)
    links = "".join(f'<li><a href="#{place}">{words.strip()}</a></li>' for place, words in found)
    nav = f'<nav class="jump screen" aria-label="On this page"><ul>{links}</ul></nav>'
    return text.replace(PLACES, nav if len(found) > 2 else "")


def running(report: Report) -> str:
    """The words at the foot of every sheet: study, author, reader, date, version and fingerprint."""
    parts = (clipped(report.facts.title, 60), clipped(sentences.prepared(report), 90), sentences.made_from(report))
    return ". ".join(part for part in parts if part)

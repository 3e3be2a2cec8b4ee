"""The edition for printing: all pages in one file, each figure once, tables open, links kept inside."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import partial
from typing import Final

from tco.publish.parts import Page

MAIN: Final = re.compile(r'<main id="main">(.*)</main>', re.DOTALL)
FIGURE: Final = re.compile(r'<figure class="fig" id="([^"]+)">.*?<h3>(.*?)</h3>.*?</figure>', re.DOTALL)
WORKED: Final = re.compile(
    r'<script type="application/json".*?</script>|<fieldset class="pick.*?</fieldset>|<nav class="jump.*?</nav>'
    r'|<div class="slide .*?</div>',
    re.DOTALL,
)
# What is worked with, not read: the page of all figures has thousands of entries and stays on screen; the keys of a
# scenario are the same in every study.
LEFT_OUT: Final = frozenset({"figures.html", "downloads.html", "reference.html"})
FIRST: Final = ("index.html", "questions.html")


def order(pages: Sequence[Page]) -> list[Page]:
    """The answer and the questions first, then the rest as on screen, the candidates before dates and method."""
    kept = [page for page in pages if page.file not in LEFT_OUT]
    first = [page for name in FIRST for page in kept if page.file == name]
    return first + [page for page in kept if page.file not in FIRST]


def gathered(pages: Sequence[tuple[Page, str]]) -> str:
    """The bodies of finished pages as one body.

    Parameters
    ----------
    pages : in order, each with its whole text
    """
    places = {page.file: f"p{place}" for place, (page, _) in enumerate(pages, 1)}
    shown: set[str] = set()
    parts = []
    for page, text in pages:
        found = MAIN.search(text)
        assert found is not None
        own = places[page.file]
        body = WORKED.sub("", found[1])
        body = FIGURE.sub(partial(_once, page, shown), body)
        parts.append(f'<article class="part {page.css}" id="{own}">{_renamed(body, own, places)}</article>')
    return "\n".join(parts)


def _once(page: Page, shown: set[str], match: re.Match[str]) -> str:
    name = match[1] if page.candidate is None else f"{match[1]} {page.file}"
    if name in shown:
        return f'<p class="small">Drawn before: {match[2]}.</p>'
    shown.add(name)
    return match[0]


def _renamed(body: str, own: str, places: dict[str, str]) -> str:
    """Ids and links that stay single and inside when pages stand in one file. Text has no bare quotes to be met."""
    # Every table stands in full here: nothing is left to be scrolled, and so nothing to be named as a region.
    body = re.sub(r' role="region" aria-label(?:ledby)?="[^"]*" tabindex="0"', "", body)
    body = re.sub(r'\b(id|for)="([^"]+)"', rf'\1="{own}-\2"', body)
    body = re.sub(
        r'\b(aria-labelledby|aria-describedby)="([^"]+)"',
        lambda found: f'{found[1]}="{" ".join(f"{own}-{name}" for name in found[2].split())}"',
        body,
    )
    body = body.replace("url(#", f"url(#{own}-").replace('<details class="nums">', '<details class="nums" open>')

    def link(found: re.Match[str]) -> str:
        file, _, place = found[1].partition("#")
        target = own if not file else places.get(file)
        if target is None:
            return found[0]
        return f'href="#{target}-{place}"' if place else f'href="#{target}"'

    return re.sub(r'href="([^"]+)"', link, body)

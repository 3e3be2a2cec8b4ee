"""The author's own words: Markdown without markup of its own, pictures, headings or links."""

from __future__ import annotations

from functools import cache

from markdown_it import MarkdownIt
from markupsafe import Markup

from tco.publish.parts import Kit

FORBIDDEN = ("image", "link", "autolink", "heading", "lheading", "html_block", "html_inline", "reference")


@cache
def _reader() -> MarkdownIt:
    return MarkdownIt("commonmark", {"html": False}).disable(list(FORBIDDEN))


def rendered(text: str) -> Markup:
    """A text as paragraphs, lists and emphasis; everything else in it stays words."""
    return Markup(_reader().render(text))  # noqa: S704 -- the reader escapes what it is given


def contradiction(kit: Kit) -> str:
    """What to say beside a recommendation that names another candidate than the ranking; empty when it does not."""
    text = kit.report.facts.recommendation.lower()
    leader = kit.report.verdict.leader
    named = [one for one in kit.report.candidates if one.name.lower() in text]
    if not named or leader is None or any(one.id == leader for one in named):
        return ""
    return f"This recommendation names {kit.name(named[0].id)}; the lowest cost is that of {kit.name(leader)}."

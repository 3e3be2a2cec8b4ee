"""Which characters the fonts of the site can show, and how wide they are."""

import html
import re
from functools import cache
from io import BytesIO

from fontTools.ttLib import TTFont

from tco.publish.fonts import FACES, templates_root


@cache
def font(name, kind="woff2"):
    return TTFont(BytesIO((templates_root() / "fonts" / f"{name}.{kind}").read_bytes()))


@cache
def characters():
    """What every face can show; a line break is none."""
    return frozenset.intersection(*(frozenset(map(chr, font(name).getBestCmap())) for _, _, name in FACES)) | {"\n"}


@cache
def advances(name):
    """Width of each character of a face, in parts of the size of type."""
    face = font(name)
    each = face["head"].unitsPerEm
    return {chr(code): face["hmtx"][glyph][0] / each for code, glyph in face.getBestCmap().items()}


def shown(page):
    """The characters of a page that a reader sees."""
    text = re.sub(r"<(style|script)>.*?</\1>|<[^>]*>", "", page, flags=re.DOTALL)
    return set(html.unescape(text))


def without_glyph(made):
    """For each page of a site the characters that the fonts cannot show."""
    pages = {name: content.decode("utf-8") for name, content in made.items() if name.endswith(".html")}
    found = {name: "".join(sorted(shown(text) - characters())) for name, text in pages.items()}
    return {name: missing for name, missing in found.items() if missing}

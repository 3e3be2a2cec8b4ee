"""The fonts of the site: inside every page, and known to the program that makes pictures of drawings."""

from __future__ import annotations

import base64
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Final

FACES: Final = (
    ("Report Sans", 400, "report-sans-400"),
    ("Report Sans", 600, "report-sans-600"),
    ("Report Serif", 600, "report-serif-600"),
)


def templates_root() -> Path:
    """The folder of templates: inside an installed package, or beside it in a checkout.

    Raises
    ------
    FileNotFoundError
        It is in neither place.
    """
    beside = Path(__file__).resolve().parents[2] / "site_templates"
    inside = Path(str(resources.files("tco").joinpath("site_templates")))
    for place in (inside, beside):
        if place.is_dir():
            return place
    raise FileNotFoundError("site_templates is neither in the package nor beside it")


@cache
def font_faces() -> str:
    """The faces as part of a style sheet, each with its font inside."""
    return "".join(
        f"@font-face{{font-family:{family};font-weight:{weight};src:url(data:font/woff2;base64,{_inside(name)})}}"
        for family, weight, name in FACES
    )


def _inside(name: str) -> str:
    return base64.b64encode((templates_root() / "fonts" / f"{name}.woff2").read_bytes()).decode("ascii")


@cache
def known_to_pictures() -> None:
    """Tell the drawing library where the fonts are, once: it reads the uncompressed ones."""
    import vl_convert

    vl_convert.register_font_directory(str(templates_root() / "fonts"))

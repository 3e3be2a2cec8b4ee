"""Each figure as files of its own: SVG and PNG in the light colours of the page, and its Vega-Lite specification."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from tco.publish.figures import Figure
from tco.publish.fonts import known_to_pictures
from tco.publish.parts import Kit, safe

FOLDER: Final = "figures"
# Named, not put inside: twenty drawings would each carry fonts of twice their own weight.
FONTS: Final = "Report Sans, Arial, Helvetica, Liberation Sans, sans-serif"
SHARPNESS: Final = 2.0  # pixels of a picture for each unit of its drawing


@dataclass(frozen=True)
class Files:
    """A figure and the names of its files."""

    title: str
    svg: str
    png: str
    spec: str


def names(kit: Kit) -> list[tuple[Figure, Files]]:
    """Every figure drawn so far, once, with its file names."""
    found = []
    for key, figure in kit.drawn.items():
        if figure is None:
            continue
        more = "-".join(safe(str(part)) for part in key[1:])
        stem = f"{FOLDER}/{figure.id.removeprefix('fig-')}{'-' + more[:60] if more else ''}"
        found.append((figure, Files(figure.title, f"{stem}.svg", f"{stem}.png", f"{stem}.vl.json")))
    return found


def light_colours(style: str) -> dict[str, str]:
    """The colours of the light page by name."""
    return dict(re.findall(r"--(\w+):(#[0-9a-f]{6})", style.split("prefers-color-scheme:dark", maxsplit=1)[0]))


def figure_files(kit: Kit, style: str) -> dict[str, bytes]:
    """SVG and specification of every figure, by file name."""
    colours = light_colours(style)
    made = {}
    for figure, files in names(kit):
        made[files.svg] = alone(figure.wide, colours).encode("utf-8")
        made[files.spec] = (json.dumps(coloured(figure.spec, colours), indent=1, sort_keys=True) + "\n").encode("utf-8")
    return made


def alone(svg: str, colours: Mapping[str, str]) -> str:
    """An inline drawing as a file that needs no page around it."""
    head = f'<svg xmlns="http://www.w3.org/2000/svg" font-family="{FONTS}"'
    ground = f'<rect width="100%" height="100%" fill="{colours["paper"]}"/>'
    text = _coloured(svg, colours).replace("<svg", head, 1).replace("</desc>", f"</desc>{ground}", 1)
    return text + "\n"


def coloured(part: Any, colours: Mapping[str, str]) -> Any:
    """A specification with colours in place of their names, so that it can be drawn anywhere."""
    if isinstance(part, dict):
        return {key: coloured(value, colours) for key, value in part.items()}
    if isinstance(part, list):
        return [coloured(value, colours) for value in part]
    return _coloured(part, colours) if isinstance(part, str) and part.startswith("var(--") else part


def _coloured(text: str, colours: Mapping[str, str]) -> str:
    return re.sub(r"var\(--(\w+)\)", lambda found: colours[found[1]], text)


def pictures(made: Mapping[str, bytes]) -> dict[str, bytes]:
    """A PNG of every SVG among the files of a site, by file name."""
    import vl_convert

    known_to_pictures()
    return {
        f"{name.removesuffix('.svg')}.png": bytes(vl_convert.svg_to_png(content.decode("utf-8"), scale=SHARPNESS))
        for name, content in made.items()
        if name.startswith(f"{FOLDER}/") and name.endswith(".svg")
    }

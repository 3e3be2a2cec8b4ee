"""Drawing kit: Vega-Lite specifications as plain dicts, rendered once to static SVG that the page's own CSS colours.

A `Plot` collects marks in data coordinates on two fixed scales; axes and labels are marks like any other, so every
position is ours and the library never moves or drops a label. What comes out has no style attribute, no font, no fixed
colour, and identifiers that begin with the figure's own.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape
from typing import Any, Final, Literal, TypeAlias

Spec: TypeAlias = dict[str, Any]
Point: TypeAlias = tuple[float, float]
Align: TypeAlias = Literal["left", "center", "right"]

WIDE: Final = 760
SLIM: Final = 360
TEXT: Final = 13
SCHEMA: Final = "https://vega.github.io/schema/vega-lite/v5.json"
DASHES: Final = ((6, 4), (2, 3), (11, 4, 2, 4), (9, 3), (1, 4), (14, 4), (5, 2, 1, 2), (3, 6))
COLOURS: Final = 8
BROADEST: Final = 0.66  # mean width of a character, in parts of its size, up to which a text counts by characters
LONGEST: Final = 40  # characters of a label, however much room there is
_GAPS: Final = re.compile(r"[^\S\u00a0\u202f]+")
# Widths of the font's characters in parts of its size: never too small, so that labels keep off each other.
_NARROW: Final = set("iljtfrI.,:;'’|!()[] ")
_BROAD: Final = set("mwMW@%—…&")


@dataclass(frozen=True)
class Grid:
    """The numbers under a figure, finished words: heads of all columns, then rows that begin with their own head."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Figure:
    """A figure of the site: both drawings as SVG, and the specification of the wide one.

    `title` states the finding, `subtitle` what is drawn, `desc` the drawing in words for those who cannot see it;
    `grid` holds the numbers when no table beside the figure does.
    """

    id: str
    title: str
    subtitle: str
    desc: str
    wide: str
    slim: str
    spec: Spec
    grid: Grid | None = None


def colour(place: int) -> str:
    """The colour of a candidate by its place; grey for the reference, repeating when there are more than colours."""
    return f"var(--c{1 if place == 0 else (place - 1) % (COLOURS - 1) + 2})"


def dash(place: int) -> tuple[int, ...]:
    """The dash pattern of a candidate, its second cue beside colour."""
    return DASHES[place % len(DASHES)]


def text_width(text: str, size: float = TEXT, *, bold: bool = False) -> float:
    """About how wide a text is, in pixels, erring on the wide side."""
    units = sum(
        0.35 if char in _NARROW else 0.88 if char in _BROAD else 0.68 if char.isupper() else 0.57 for char in text
    )
    return units * size * (1.06 if bold else 1.0)


def one_line(text: str) -> str:
    """A text without line ends and double spaces; a number and its unit stay together by their no-break space."""
    return _GAPS.sub(" ", text).strip()


def shortened(text: str, most: int = 26) -> str:
    """A text of at most so many characters, or fewer where they are broad ones, cut with an ellipsis."""
    text = one_line(text)
    room, cut = most * BROADEST, text[:most]
    while text_width(cut, 1) > room:
        cut = cut[:-1]
    return text if cut == text else cut[: most - 1].rstrip() + "…"


def fitted(text: str, room: float, *, bold: bool = False) -> str:
    """A text cut with an ellipsis so that it takes at most so many pixels."""
    most = min(len(text), LONGEST)
    while most > 1 and text_width(shortened(text, most), bold=bold) > room:
        most -= 1
    return shortened(text, most)


def spread(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Push positions at least `gap` apart, as near to the wanted ones as a single sweep gets, inside low … high."""
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    placed = [0.0] * len(wanted)
    floor = low
    for i in order:
        placed[i] = max(wanted[i], floor)
        floor = placed[i] + gap
    ceiling = high
    for i in reversed(order):
        placed[i] = min(placed[i], ceiling)
        ceiling = placed[i] - gap
    return placed


def nice_ticks(low: float, high: float, about: int = 5) -> list[float]:
    """Round numbers from at or below `low` to at or above `high`."""
    span = (high - low) or abs(high) or 1.0
    raw = span / about
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(power * factor for factor in (1, 2, 2.5, 5, 10) if power * factor >= raw * 0.999)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [round(i * step, 10) for i in range(first, last + 1)]


@dataclass
class Plot:
    """A drawing surface of `width` × `height` pixels with margins, and marks in data coordinates."""

    width: float
    height: float
    x_domain: Point
    y_domain: Point
    left: float = 56
    right: float = 12
    top: float = 12
    bottom: float = 34
    layers: list[Spec] = field(default_factory=list)

    @property
    def inner(self) -> tuple[float, float]:
        """Width and height inside the margins."""
        return self.width - self.left - self.right, self.height - self.top - self.bottom

    def px(self, x: float) -> float:
        """Pixels from the left margin."""
        return (x - self.x_domain[0]) / (self.x_domain[1] - self.x_domain[0]) * self.inner[0]

    def py(self, y: float) -> float:
        """Pixels from the top margin."""
        return (self.y_domain[1] - y) / (self.y_domain[1] - self.y_domain[0]) * self.inner[1]

    def x_at(self, pixels: float) -> float:
        """The inverse of `px`."""
        return self.x_domain[0] + pixels / self.inner[0] * (self.x_domain[1] - self.x_domain[0])

    def y_at(self, pixels: float) -> float:
        """The inverse of `py`."""
        return self.y_domain[1] - pixels / self.inner[1] * (self.y_domain[1] - self.y_domain[0])

    def _layer(self, mark: Spec, rows: list[Spec], **more: Spec) -> None:
        encoding: Spec = {
            "x": {"field": "x", "type": "quantitative", "axis": None, "scale": _scale(self.x_domain)},
            "y": {"field": "y", "type": "quantitative", "axis": None, "scale": _scale(self.y_domain)},
        }
        encoding.update(more)
        last = self.layers[-1] if self.layers else None
        if last is not None and mark["type"] != "line" and last["mark"] == mark and last["encoding"] == encoding:
            last["data"]["values"].extend(rows)  # one layer for many marks alike: rendering time goes by layers
            return
        self.layers.append({"data": {"values": rows}, "mark": mark, "encoding": encoding})

    def line(self, points: Sequence[Point], ink: str, width: float = 2.25, dashes: Sequence[int] = ()) -> None:
        """A line through points."""
        mark: Spec = {"type": "line", "color": ink, "strokeWidth": width, "strokeJoin": "round"}
        if dashes:
            mark["strokeDash"] = list(dashes)
        rows = [{"i": i, "x": x, "y": y} for i, (x, y) in enumerate(points)]
        self._layer(mark, rows, order={"field": "i", "type": "quantitative"})

    def rule(
        self, start: Point, end: Point, ink: str = "var(--hair)", width: float = 1, dashes: Sequence[int] = ()
    ) -> None:
        """A straight line between two points."""
        mark: Spec = {"type": "rule", "color": ink, "strokeWidth": width}
        if dashes:
            mark["strokeDash"] = list(dashes)
        row = {"x": start[0], "x2": end[0], "y": start[1], "y2": end[1]}
        self._layer(mark, [row], x2={"field": "x2"}, y2={"field": "y2"})

    def bar(self, start: Point, end: Point, ink: str, *, edge: bool = False) -> None:
        """A filled rectangle between two corners, with a paper-coloured edge where it has neighbours."""
        mark: Spec = {"type": "rect", "color": ink}
        if edge:
            mark |= {"stroke": "var(--paper)", "strokeWidth": 1.5}
        row = {"x": start[0], "x2": end[0], "y": start[1], "y2": end[1]}
        self._layer(mark, [row], x2={"field": "x2"}, y2={"field": "y2"})

    def dot(self, at: Point, ink: str, *, filled: bool = False) -> None:
        """A dot, open unless told otherwise."""
        fill = ink if filled else "var(--paper)"
        mark = {
            "type": "point",
            "shape": "circle",
            "size": 70,
            "fill": fill,
            "stroke": ink,
            "strokeWidth": 2,
            "opacity": 1,
        }
        self._layer(mark, [{"x": at[0], "y": at[1]}])

    def text(
        self,
        at: Point,
        words: str,
        *,
        shift: Point = (0, 0),
        align: Align = "left",
        ink: str = "var(--soft)",
        bold: bool = False,
        halo: bool = False,
        size: float = TEXT,
    ) -> None:
        """Words at a point, shifted by pixels; a halo keeps lines beneath from touching them."""
        row = {"x": at[0], "y": at[1], "t": words}
        mark: Spec = {
            "type": "text",
            "align": align,
            "baseline": "middle",
            "dx": shift[0],
            "dy": shift[1],
            "fontSize": size,
        }
        if bold:
            mark["fontWeight"] = 600
        told = {"field": "t", "type": "nominal"}
        if halo:
            under = mark | {"fill": "var(--paper)", "stroke": "var(--paper)", "strokeWidth": 5, "aria": False}
            self._layer(under, [row], text=told)
        self._layer(mark | {"fill": ink}, [row], text=told)

    def spec(self, title: str = "") -> Spec:
        """The specification as plain data."""
        inner = self.inner
        return {
            "$schema": SCHEMA,
            "description": title,
            "width": inner[0],
            "height": inner[1],
            "autosize": {"type": "none"},
            "padding": {"left": self.left, "right": self.right, "top": self.top, "bottom": self.bottom},
            "background": None,
            "config": {"view": {"stroke": None}, "aria": False},
            "layer": self.layers,
        }

    def svg(self, name: str, title: str, desc: str, css: str) -> str:
        """Render to an SVG element with accessible name and description."""
        return render(self.spec(title), name, title, desc, css, (self.width, self.height))


def _short(found: re.Match[str]) -> str:
    """A position to the hundredth of a pixel; words of a drawing stay as they are."""
    return f"{float(found[0]):.2f}".rstrip("0").rstrip(".")


def _scale(domain: Point) -> Spec:
    return {"domain": list(domain), "nice": False, "zero": False}


def render(spec: Spec, name: str, title: str, desc: str, css: str, size: Point) -> str:
    """Render a specification to an inline SVG element.

    Parameters
    ----------
    spec : Vega-Lite specification with fixed size
    name : prefix of every id inside
    title, desc : plain text, read out in place of the drawing
    css : class of the element
    size : width and height in pixels
    """
    import vl_convert

    drawn = str(vl_convert.vegalite_to_svg(json.dumps(spec), vl_version="5.8"))
    body = drawn[drawn.index(">") + 1 : drawn.rindex("</svg>")]
    body = re.sub(r' (?:role|class|aria-[a-z]+|font-family)="[^"]*"', "", body)
    body = re.sub(r"<[^>]*>", lambda tag: re.sub(r"-?\d+\.\d{3,}", _short, tag[0]), body)
    body = re.sub(r'<path(?: d="[^"]*")?(?: display="none")?/>', "", body)
    body = re.sub(r'\bid="', f'id="{name}-', body)
    body = body.replace("url(#", f"url(#{name}-")
    width, height = (f"{value:g}" for value in size)
    head = f'<svg class="{css}" role="img" aria-labelledby="{name}-t {name}-d" viewBox="0 0 {width} {height}"'
    label = f'<title id="{name}-t">{escape(title)}</title><desc id="{name}-d">{escape(desc)}</desc>'
    return f'{head} width="{width}" height="{height}">{label}{body}</svg>'

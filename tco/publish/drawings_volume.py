"""Figures by volume: who costs least at how many pages a month, and what a page costs then."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

from tco.analyses.crossings import Best
from tco.publish.drawings import GAP, both, end_labels, grid, legend
from tco.publish.figures import SLIM, WIDE, Align, Figure, Grid, Plot, colour, dash, nice_ticks, shortened, text_width
from tco.publish.numbers import NONE, Numbers, listed
from tco.publish.parts import clipped
from tco.report import Report, Volumes

# How much of the band turns grey, what the grey says, and how the same is marked in numbers.
DOUBT, MARK = 0.22, "*"
GREY = f"Grey, {MARK} in the numbers: it leaves work undone there, or prints more than is recommended in a month."
ROWS = 16  # volumes in the table under the prices
CAP = 2.5  # how far above the highest price at the own volume the drawing still goes


def names_of(report: Report, best: Best) -> str:
    """The candidates that cost least over a range, in words; who leaves work undone is marked."""
    return listed([marked(report, name) for name in best.candidates], "or")


def marked(report: Report, name: str) -> str:
    """A candidate's name, with a mark when it cannot be called cheapest."""
    return clipped(report.candidate(name).name) + (" (cannot win)" if name in report.verdict.barred else "")


def ribbon(report: Report, numbers: Numbers) -> Figure | None:
    """One band from nothing to the highest volume, coloured by who costs least, with the own volume marked."""
    volumes = report.volumes
    if volumes is None or not volumes.best:
        return None
    low, high = volumes.best[0].low, volumes.best[-1].high
    own = report.facts.average_sides

    def draw(wide: bool) -> Plot:
        rows = _keys(report, volumes, wide)
        plot = Plot(WIDE if wide else SLIM, 104 + GAP * len(rows), (low, high), (1, 0), 4, 4, 30, 40 + GAP * len(rows))
        used: list[tuple[float, float]] = []
        for best in volumes.best:
            place = report.candidate(best.candidates[0]).place
            plot.bar((best.low, 0), (best.high, 1), colour(place), edge=True)
            for start, end in doubtful(volumes, best.candidates[0], best.low, best.high):
                plot.bar((start, 1 - DOUBT), (end, 1), "var(--rule)")
            words = shortened(names_of(report, best), 40)
            room = _room(best, own, low, high)
            if wide and (room[1] - room[0]) / (high - low) * (WIDE - 8) > text_width(words, bold=True) + 12:
                plot.text(((room[0] + room[1]) / 2, 0.5), words, align="center", ink="var(--paper)", bold=True)
        edges = [volumes.best[0].low, *(best.high for best in volumes.best)]
        order = [0, len(edges) - 1, *range(1, len(edges) - 1)]
        for i in order:
            words = numbers.about(edges[i])
            half = text_width(words) / 2 + 4
            at = plot.px(edges[i])
            at = min(max(at, half - 4), plot.inner[0] - half + 4)
            if all(abs(at - other) > half + wide_half for other, wide_half in used):
                plot.text((plot.x_at(at), 1), words, shift=(0, 16), align="center")
                used.append((at, half))
        if low <= own <= high:
            plot.rule((own, plot.y_at(-10)), (own, 1.0), "var(--ink)", 2)
            words = f"you: {numbers.about(own)}"
            half = text_width(words, bold=True) / 2
            at = min(max(plot.px(own), half), plot.inner[0] - half)
            plot.text((plot.x_at(at), plot.y_at(-20)), words, align="center", ink="var(--ink)", bold=True)
        for row, (place, words) in enumerate(rows):
            y = plot.inner[1] + 44 + row * GAP
            plot.bar((plot.x_at(0), plot.y_at(y - 6)), (plot.x_at(12), plot.y_at(y + 6)), colour(place))
            plot.text((plot.x_at(20), plot.y_at(y)), words, ink="var(--ink)")
        return plot

    desc = "; ".join(
        f"from {numbers.about(best.low)} to {numbers.about(best.high)} {names_of(report, best)}"
        for best in volumes.best
    )
    title = ribbon_title(report, numbers, volumes)
    subtitle = "Who costs least, by average pages a month, with the mix and season of your work."
    if any(doubtful(volumes, best.candidates[0], best.low, best.high) for best in volumes.best):
        subtitle += f" {GREY}"
    return both("fig-ribbon", title, subtitle, f"Costs least: {desc}. You print {numbers.about(own)}.", draw)


def doubtful(volumes: Volumes, candidate: str, low: float, high: float) -> list[tuple[float, float]]:
    """The parts of a range in which a candidate leaves work undone or prints more than is recommended."""
    if volumes.fit is None:
        return []
    parts = [(max(start, low), min(end, high)) for start, end in volumes.fit.stretches(volumes.fit.doubtful(candidate))]
    return [(start, end) for start, end in parts if start < end]


def _room(best: Best, own: float, low: float, high: float) -> tuple[float, float]:
    """The part of a band where its name can stand: all of it, or the longer side of the mark of the own volume."""
    middle, near = (best.low + best.high) / 2, 0.12 * (high - low)
    if not best.low < own < best.high or abs(own - middle) > near:
        return best.low, best.high
    return (best.low, own) if own - best.low > best.high - own else (own, best.high)


def _keys(report: Report, volumes: Volumes, wide: bool) -> list[tuple[int, str]]:
    """The names that stand under the band: all of them when slim, else those that do not fit inside."""
    low, high, own = volumes.best[0].low, volumes.best[-1].high, report.facts.average_sides
    once = {}
    for best in volumes.best:
        room = _room(best, own, low, high)
        words = shortened(names_of(report, best), 40)
        fits = (room[1] - room[0]) / (high - low) * (WIDE - 8) > text_width(words, bold=True) + 12
        if not (wide and fits):
            once[best.candidates] = report.candidate(best.candidates[0]).place
    return [
        (place, shortened(listed([marked(report, name) for name in names], "or"), 42)) for names, place in once.items()
    ]


def ribbon_title(report: Report, numbers: Numbers, volumes: Volumes) -> str:
    """The finding: between which volumes the cheapest stays the cheapest."""
    here = volumes.around(report.facts.average_sides)
    if here is None:
        return "Your volume lies outside of what was searched"
    name = shortened(names_of(report, here), 60)
    first, last = here is volumes.best[0], here is volumes.best[-1]
    if first and last:
        return f"{name} costs least at every volume that was searched"
    if last:
        return f"{name} costs least above {numbers.about(here.low)} pages a month"
    if first:
        return f"{name} costs least below {numbers.about(here.high)} pages a month"
    return f"{name} costs least between {numbers.about(here.low)} and {numbers.about(here.high)} pages a month"


def cost_per_page(report: Report, numbers: Numbers) -> Figure | None:
    """The price of a page that just covers everything, by volume, with the volumes where the cheapest changes."""
    volumes = report.volumes
    if volumes is None:
        return None
    own = report.facts.average_sides
    factor = 100.0 if numbers.hundredth else 1.0
    shown = _curves(report, volumes, factor)
    at_own = [_at(points, own) for points in shown.values()]
    known = [value for value in at_own if value is not None] or [max(y for p in shown.values() for _, y in p)]
    cap = max(known) * CAP
    tops = nice_ticks(0, min(cap, max(y for points in shown.values() for _, y in points)))
    edges = [(best.high, after) for best, after in pairwise(volumes.best)]

    def draw(wide: bool) -> Plot:
        count = len(report.candidates)
        inner = max(280.0, GAP * count) if wide else 250.0
        right = 24 + max(text_width(shortened(one.name, 27), bold=True) for one in report.candidates) if wide else 14
        bottom = 50.0 if wide else 60 + GAP * count
        domain = (volumes.volumes[0], volumes.volumes[-1])
        plot = Plot(WIDE if wide else SLIM, inner + bottom + 26, domain, (0, tops[-1]), 44, right, 26, bottom)
        grid(plot, tops, _ticker(numbers, tops))
        for tick in nice_ticks(0, domain[1], 6 if wide else 3):
            if domain[0] <= tick <= domain[1]:
                words = numbers.whole(tick)
                inside = min(0.0, plot.inner[0] + plot.right - plot.px(tick) - text_width(words) / 2)
                plot.text((tick, 0), words, shift=(inside, 16), align="center")
        plot.text((domain[1], 0), "pages a month", shift=(0, 36), align="right")
        leader = report.verdict.leader
        lines = {name: points for name, row in shown.items() if len(points := _clipped(row, tops[-1])) > 1}
        for name, points in lines.items():
            for start, end in doubtful(volumes, name, *domain):
                under = [point for point in points if start <= point[0] <= end]
                if len(under) > 1:
                    plot.line(under, "var(--rule)", 9.0)
        for name, points in sorted(lines.items(), key=lambda item: item[0] == leader):
            best, place = name == leader, report.candidate(name).place
            plot.line(points, colour(place), 3.5 if best else 2.25, () if best else dash(place))
        if domain[0] < own < domain[1]:
            _own_volume(plot, own, f"you: {numbers.about(own)}", tops[-1])
        _changes(plot, [(edge, _at(shown[after.candidates[0]], edge)) for edge, after in edges], tops[-1], numbers)
        names = list(lines)
        if wide:
            end_labels(plot, report, {name: shown[name][-1] for name in names}, leader)
        else:
            legend(plot, report, names, leader, 60)
        return plot

    desc = "At your volume: " + "; ".join(
        f"{shortened(one.name, 60)} {numbers.per_side(one.measures['cost_per_side'])}" for one in report.candidates
    )
    subtitle = f"Price of a page that just covers everything, in {numbers.page_unit}, by average pages a month. "
    subtitle += "At a dot the cheapest changes."
    doubts = {one.id: volumes.fit.doubtful(one.id) for one in report.candidates} if volumes.fit else {}
    if any(any(flags) for flags in doubts.values()):
        subtitle += f" {GREY}"
    made = both("fig-per-page", _per_page_title(report, numbers), subtitle, desc + ".", draw)
    every = max(1, len(volumes.volumes) // ROWS)
    rows = tuple(
        (
            numbers.whole(volume),
            *(
                _price(numbers, volumes.per_side[one.id][i]) + (MARK if doubts and doubts[one.id][i] else "")
                for one in report.candidates
            ),
        )
        for i, volume in enumerate(volumes.volumes)
        if i % every == 0 and volume > 0
    )
    heads = ("Pages a month", *(f"{shortened(one.name, 40)}, {numbers.page_unit}" for one in report.candidates))
    return replace(made, grid=Grid(heads, rows))


def _price(numbers: Numbers, value: float) -> str:
    return numbers.per_side(value, sign=False) if math.isfinite(value) else NONE


def _own_volume(plot: Plot, own: float, words: str, top: float) -> None:
    """A dotted rule at the reader's own volume, with its name above the drawing."""
    plot.rule((own, 0), (own, top), "var(--soft)", 1.25, (2, 3))
    side: Align = "right" if plot.px(own) > plot.inner[0] * 0.7 else "left"
    shift = (4.0 if side == "left" else -4.0, -12.0)
    plot.text((own, top), words, shift=shift, align=side, ink="var(--ink)", bold=True)


def _changes(plot: Plot, edges: list[tuple[float, float | None]], top: float, numbers: Numbers) -> None:
    """Every change of the cheapest; of two close together one has a label, the other stands in the table of ranges."""
    ended = -math.inf
    for edge, height in edges:
        if height is None or height > top:
            continue
        words = numbers.about(edge)
        clear = plot.px(edge) - ended > text_width(words, bold=True) + 8
        _change(plot, (edge, height), words if clear else "")
        ended = plot.px(edge) if clear else ended


def _change(plot: Plot, at: tuple[float, float], words: str) -> None:
    """An open dot where the cheapest changes, with the volume beside it."""
    up = -34.0 if plot.py(at[1]) > 60 else 34.0
    near_end = plot.px(at[0]) > plot.inner[0] * 0.6
    side: Align = "right" if near_end else "left"
    aside = -14.0 if near_end else 14.0
    if not words:
        plot.dot(at, "var(--ink)")
        return
    plot.rule(at, (plot.x_at(plot.px(at[0]) + aside), plot.y_at(plot.py(at[1]) + up * 0.7)), "var(--ink)")
    plot.dot(at, "var(--ink)")
    plot.text(at, words, shift=(aside * 1.3, up), align=side, ink="var(--ink)", bold=True, halo=True)


def _per_page_title(report: Report, numbers: Numbers) -> str:
    best = report.verdict.leader or min(report.candidates, key=lambda one: one.measures["cost_per_side"]).id
    one = report.candidate(best)
    words = numbers.per_side(one.measures["cost_per_side"])
    return f"At your volume a page costs {words} with {shortened(one.name, 60)}, and less the more you print"


def _curves(report: Report, volumes: Volumes, factor: float) -> dict[str, list[tuple[float, float]]]:
    return {
        one.id: [
            (x, y * factor) for x, y in zip(volumes.volumes, volumes.per_side[one.id], strict=True) if math.isfinite(y)
        ]
        for one in report.candidates
    }


def _at(points: list[tuple[float, float]], x: float) -> float | None:
    """The height of a curve at a volume, straight between its points; None outside."""
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= x <= x1:
            return y0 + (y1 - y0) * ((x - x0) / (x1 - x0) if x1 > x0 else 0.0)
    return None


def _clipped(points: list[tuple[float, float]], top: float) -> list[tuple[float, float]]:
    """The part of a falling curve below the top of the drawing, beginning exactly there."""
    inside: list[tuple[float, float]] = []
    for (x0, y0), (x1, y1) in pairwise(points):
        if y0 > top >= y1:
            inside.append((x0 + (x1 - x0) * (y0 - top) / (y0 - y1), top))
        if y1 <= top:
            if y0 <= top and not inside:
                inside.append((x0, y0))
            inside.append((x1, y1))
    return inside


def _ticker(numbers: Numbers, ticks: list[float]) -> Callable[[float], str]:
    step = ticks[1] - ticks[0]
    digits = max(0, -math.floor(math.log10(step) + 1e-9)) if step < 1 else int(step % 1 != 0)
    return lambda value: numbers.fixed(value, digits)

"""The two figures that matter most, moved together: a field of cells, each with the letter of whoever costs least."""

from __future__ import annotations

from dataclasses import replace
from string import ascii_uppercase

from tco.publish.drawings import GAP, both
from tco.publish.drawings_risk import figure_name, value_told
from tco.publish.figures import SLIM, WIDE, Figure, Grid, Plot, colour, shortened, text_width
from tco.publish.numbers import NONE, Numbers, column_step
from tco.report import Report

CELL = 27.0
NOBODY = "nobody does all the work"


def _ink(name: str) -> str:
    """The ink of a letter on the colour of its candidate, or on the grey of nobody."""
    return "var(--paper)" if name else "var(--ink)"


def two_ways(report: Report, numbers: Numbers) -> Figure | None:
    """Who costs least for every pair of values of two figures; None when fewer than two move the lead."""
    found = report.sensitivity.map if report.sensitivity is not None else None
    if found is None:
        return None
    names = {one.id: shortened(one.name, 60) for one in report.candidates}
    here = dict.fromkeys(name for row in found.winners for name in row)
    order = [one.id for one in report.candidates if one.id in here]
    letters = dict(zip(order, ascii_uppercase, strict=False)) | {"": "–"}
    downs = [value_told(numbers, found.down, value) for value in found.down_values]
    acrosses = [value_told(numbers, found.across, value) for value in found.across_values]
    steps = len(downs)

    def draw(wide: bool) -> Plot:
        left = max(text_width(downs[place]) for place in (0, steps // 2, steps - 1)) + 12
        bottom = 52 + GAP * len(letters)
        plot = Plot(WIDE if wide else SLIM, CELL * steps + bottom + 8, (0, steps), (steps, 0), left, 8, 8, bottom)
        for row, winners in enumerate(found.winners):
            for column, name in enumerate(winners):
                ink = colour(report.candidate(name).place) if name else "var(--rule)"
                plot.bar((column, row), (column + 1, row + 1), ink, edge=True)
        for row, winners in enumerate(found.winners):
            for column, name in enumerate(winners):
                plot.text((column + 0.5, row + 0.5), letters[name], align="center", ink=_ink(name), bold=True)
        for place in (0, steps // 2, steps - 1):
            plot.text((0, place + 0.5), downs[place], shift=(-8, 0), align="right")
            edge = plot.inner[0]
            half = text_width(acrosses[place]) / 2
            at = min(max(plot.px(place + 0.5), half), edge - half)
            plot.text((plot.x_at(at), steps), acrosses[place], shift=(0, 16), align="center")
        words = f"down: {figure_name(report, found.down, 44)}; across: {figure_name(report, found.across, 44)}"
        if wide:
            plot.text((0, steps), words, shift=(0, 36))
        for row, name in enumerate([*order, *([""] if "" in here else [])]):
            y = plot.inner[1] + 56 + row * GAP
            ink = colour(report.candidate(name).place) if name else "var(--rule)"
            plot.bar((plot.x_at(0), plot.y_at(y - 7)), (plot.x_at(16), plot.y_at(y + 7)), ink)
            plot.text((plot.x_at(8), plot.y_at(y)), letters[name], align="center", ink=_ink(name), bold=True)
            plot.text((plot.x_at(24), plot.y_at(y)), shortened(names.get(name, NOBODY), 34), ink="var(--ink)")
        return plot

    known = [lead for row in found.leads for lead in row if lead is not None]
    step = column_step(known) if known else None
    rows = tuple(
        (head, *(f"{names.get(name, NOBODY)}, {numbers.whole(lead, step)}" if lead is not None and step is not None
                 else names.get(name, NOBODY) if name else NONE for name, lead in zip(winners, leads, strict=True)))
        for head, winners, leads in zip(downs, found.winners, found.leads, strict=True)
    )  # fmt: skip
    down, across = (figure_name(report, one, 70) for one in (found.down, found.across))
    title = f"{down} and {across}: who costs least"
    if len(here) == 1:
        title = "Two figures at any ends of their ranges: the same costs least"
    subtitle = (
        f"From low to high of both: down {down}, across {across}. In the numbers: who costs least, and by how much."
    )
    cells = [name for row in found.winners for name in row]
    told = "; ".join(
        f"{names.get(name, NOBODY)} costs least in {cells.count(name)} of {len(cells)} cells" for name in here
    )
    span = f"Down {down} from {downs[0]} to {downs[-1]}, across {across} from {acrosses[0]} to {acrosses[-1]}"
    made = both("fig-map", title, subtitle, f"{span}: {told}.", draw)
    return replace(made, grid=Grid((f"{down} \\ {across}", *acrosses), rows))

"""The figures of the study: each from the report, drawn wide and slim, with a title that states the finding."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal

from tco.publish.figures import (
    SLIM,
    TEXT,
    WIDE,
    Align,
    Figure,
    Grid,
    Plot,
    colour,
    dash,
    fitted,
    nice_ticks,
    shortened,
    spread,
    text_width,
)
from tco.publish.numbers import Numbers
from tco.report import KINDS, Candidate, Report, yearly_sums

GAP = 18.0
FEW = 7  # candidates up to which a drawing of their lines has room for words between them


@dataclass(frozen=True)
class Scale:
    """Money on a figure: in units, thousands or millions."""

    step: Decimal
    word: str
    numbers: Numbers

    def told(self, value: float) -> str:
        """The figure without its unit."""
        digits = 1 if self.step > 1 and abs(value) < 10 * float(self.step) and value else 0
        return self.numbers.fixed(value / float(self.step), digits)


def scale_for(numbers: Numbers, largest: float) -> Scale:
    """The scale in which the largest value has at most four digits before the mark."""
    for step, word in ((1_000_000, "million "), (1_000, "thousand ")):
        if abs(largest) >= 20 * step:
            return Scale(Decimal(step), word + numbers.currency_name, numbers)
    return Scale(Decimal(1), numbers.currency_name, numbers)


def both(name: str, title: str, subtitle: str, desc: str, draw: Callable[[bool], Plot]) -> Figure:
    """Draw a figure twice: wide for screens with room, slim for phones and half columns."""
    wide, slim = draw(True), draw(False)
    return Figure(
        name,
        title,
        subtitle,
        desc,
        wide.svg(f"{name}-w", title, desc, "chart wide"),
        slim.svg(f"{name}-s", title, desc, "chart slim"),
        wide.spec(title),
    )


def end_labels(plot: Plot, report: Report, ends: dict[str, tuple[float, float]], leader: str | None) -> None:
    """Names at the ends of lines, pushed apart, with a short leader where one was moved."""
    names = list(ends)
    wanted = [plot.py(ends[name][1]) for name in names]
    placed = spread(wanted, GAP, 0, max(plot.inner[1], GAP * len(names)))
    for name, want, at in zip(names, wanted, placed, strict=True):
        one = report.candidate(name)
        x = ends[name][0]
        if abs(want - at) > 3:
            start = (plot.x_at(plot.px(x) + 3), plot.y_at(want))
            plot.rule(start, (plot.x_at(plot.px(x) + 14), plot.y_at(at)), colour(one.place))
        place = (plot.x_at(plot.px(x) + 18), plot.y_at(at))
        plot.text(place, shortened(one.name, 27), ink=colour(one.place), bold=name == leader)


def legend(plot: Plot, report: Report, names: list[str], leader: str | None, below: float) -> None:
    """One row for each candidate under a slim drawing: its line and its name. `below` is pixels under the plot."""
    for row, name in enumerate(names):
        one, y = report.candidate(name), plot.y_at(plot.inner[1] + below + row * GAP)
        style = () if name == leader else dash(one.place)
        start, end = plot.x_at(0), plot.x_at(30)
        plot.line([(start, y), (end, y)], colour(one.place), 3.5 if name == leader else 2.25, style)
        plot.text((plot.x_at(38), y), shortened(one.name, 34), ink="var(--ink)", bold=name == leader)


def grid(plot: Plot, ticks: list[float], told: Callable[[float], str]) -> None:
    """Hairlines across with their figures at the left; the zero is a firmer line."""
    low, high = plot.x_domain
    for tick in ticks:
        firm = tick == 0
        plot.rule((low, tick), (high, tick), "var(--rule)" if firm else "var(--hair)", 1)
        plot.text((low, tick), told(tick), shift=(-8, 0), align="right")


def overtakes(one: Candidate, other: Candidate) -> int | None:
    """The first month after which `one` has always cost less so far than `other`; None when it does not at the end."""
    month = None
    for m in range(len(one.cumulative) - 1, -1, -1):
        if one.cumulative[m] >= other.cumulative[m]:
            break
        month = m + 1
    return month


def cumulative(report: Report, numbers: Numbers) -> Figure:
    """Money paid so far by month, with the months in which the leader overtakes."""
    verdict = report.verdict
    # A relief of tax may arrive after the horizon; the lines then run on to it.
    months = max(report.facts.months, *(len(one.cumulative) for one in report.candidates))
    highest = max(max(one.cumulative) for one in report.candidates)
    lowest = min(0.0, *(min(one.cumulative) for one in report.candidates))
    scale = scale_for(numbers, highest)
    ticks = nice_ticks(lowest, highest)
    leader = report.candidate(verdict.leader) if verdict.leader else None
    marks: list[tuple[int, Candidate]] = []
    if leader is not None:
        rivals = dict.fromkeys((report.reference.id, verdict.runner_up or report.reference.id))
        for other in (report.candidate(name) for name in rivals if name != leader.id):
            month = overtakes(leader, other)
            if month is not None and month > 1:
                marks.append((month, other))
        marks.sort(key=lambda mark: mark[0])

    def draw(wide: bool) -> Plot:
        count = len(report.candidates)
        inner = max(280.0, GAP * count) if wide else 250.0
        right = 24 + max(text_width(shortened(one.name, 27), bold=True) for one in report.candidates) if wide else 14
        bottom = 34.0 if wide else 44 + GAP * count + 6
        plot = Plot(
            WIDE if wide else SLIM, inner + bottom + 14, (0, months), (ticks[0], ticks[-1]), 56, right, 14, bottom
        )
        grid(plot, ticks, scale.told)
        years = range(months // 12 + 1)
        every = 1 if len(years) <= 8 else 2
        for year in years[::every]:
            words = "start" if year == 0 else f"year {year}" if wide and len(years) < 9 else str(year)
            plot.text((12 * year, ticks[0]), words, shift=(0, 18), align="center")
        for one in sorted(report.candidates, key=lambda item: leader is not None and item.id == leader.id):
            best = leader is not None and one.id == leader.id
            points = [
                (0.0, one.measures.get("cash_up_front", 0.0)),
                *((m + 1.0, v) for m, v in enumerate(one.cumulative)),
            ]
            plot.line(points, colour(one.place), 3.5 if best else 2.25, () if best else dash(one.place))
        for place, (month, other) in enumerate(marks):
            assert leader is not None
            # Among many lines a name would hide some of them; the table under the figure tells whom.
            words = f"below {shortened(other.name, 26 if wide else 16)}" if count <= FEW else ""
            _overtaking(plot, (float(month), leader.cumulative[month - 1]), words, above=place % 2 == 0)
        names = [one.id for one in report.candidates]
        best_name = leader.id if leader else None
        if wide:
            end_labels(plot, report, {one.id: (months, one.cumulative[-1]) for one in report.candidates}, best_name)
        else:
            legend(plot, report, names, best_name, 44)
        return plot

    desc = "Paid by the end: " + "; ".join(
        f"{shortened(one.name, 60)} {numbers.money(one.cumulative[-1])}" for one in report.candidates
    )
    subtitle = f"Money paid so far, {scale.word}, by month. A line that starts above zero needs that sum at the start."
    made = both("fig-cumulative", _cumulative_title(report, leader), subtitle, desc + ".", draw)
    last = max(len(one.cumulative) for one in report.candidates)
    marks_at = [*range(12, last, 12), last]
    rows = tuple(
        (
            f"Month {month}",
            *(numbers.whole(one.cumulative[min(month, len(one.cumulative)) - 1]) for one in report.candidates),
        )
        for month in marks_at
    )
    return replace(made, grid=Grid(("Paid by", *(shortened(one.name, 40) for one in report.candidates)), rows))


def _overtaking(plot: Plot, at: tuple[float, float], words: str, *, above: bool) -> None:
    """An open dot where the leader overtakes, with a leader line to two short lines of words beside the curves."""
    near_end = plot.px(at[0]) > plot.inner[0] * 0.55
    side: Align = "right" if near_end else "left"
    aside, up = (-26.0 if near_end else 10.0), (-44.0 if above else 40.0)
    if plot.py(at[1]) + up < 16:
        up = 40.0
    if plot.py(at[1]) + up > plot.inner[1] - 20:
        up = -44.0
    tip = (plot.x_at(plot.px(at[0]) + aside * 0.8), plot.y_at(plot.py(at[1]) + up * 0.62))
    plot.rule(at, tip, "var(--ink)")
    plot.dot(at, "var(--ink)")
    month = f"month {at[0]:.0f}"
    plot.text(at, month, shift=(aside, up - 8), align=side, ink="var(--ink)", bold=True, halo=True)
    if words:
        plot.text(at, words, shift=(aside, up + 8), align=side, ink="var(--ink)", halo=True)


def _cumulative_title(report: Report, leader: Candidate | None) -> str:
    free = [report.candidate(name) for name in report.verdict.order] or list(report.candidates)
    last = min(free, key=lambda one: one.cumulative[-1])
    if leader is None:
        return f"{shortened(last.name, 60)} has cost least by the end in plain money"
    name = shortened(leader.name, 60)
    if last.id != leader.id:
        return f"In plain money {shortened(last.name, 60)} ends lowest; {name} leads only in today’s money"
    month = max((overtakes(leader, other) or 0 for other in free if other.id != leader.id), default=1)
    return (
        f"{name} has cost least from month {month} on" if month > 1 else f"{name} costs least from the first month on"
    )


def make_up(report: Report, numbers: Numbers) -> Figure:
    """Today's money by kind of cost, one bar for each candidate."""
    kinds = [kind for kind in report.kinds if any(abs(one.kinds.get(kind, 0.0)) > 0 for one in report.candidates)]
    tops = [sum(v for v in one.kinds.values() if v > 0) for one in report.candidates]
    lows = [sum(v for v in one.kinds.values() if v < 0) for one in report.candidates]
    scale = scale_for(numbers, max(tops))
    places = {kind: place + 1 for place, kind in enumerate(KINDS)}

    def draw(wide: bool) -> Plot:
        row = 34.0 if wide else 52.0
        left = max(text_width(shortened(one.name, 27), bold=True) for one in report.candidates) + 12 if wide else 4.0
        rows, legend = len(report.candidates), _legend_rows(kinds, (WIDE if wide else SLIM) - 8)
        top = 14 + 20.0 * len(legend)
        plot = Plot(WIDE if wide else SLIM, top + row * rows + 4, (min(lows), max(tops)), (rows, 0), left, 64, top, 4)
        for line, entries in enumerate(legend):
            for kind, at in entries:
                corner = (plot.x_at(at - left), plot.y_at(-top + 8 + line * 20))
                far = (plot.x_at(at - left + 12), plot.y_at(-top + 20 + line * 20))
                plot.bar(corner, far, f"var(--k{places[kind]})")
                plot.text((far[0], plot.y_at(-top + 14 + line * 20)), kind, shift=(6, 0))
        for i, one in enumerate(report.candidates):
            bold = one.id == report.verdict.leader
            head, body = (i + 0.12, i + 0.88) if wide else (i + 0.42, i + 0.92)
            if wide:
                plot.text((plot.x_at(-left), i + 0.5), shortened(one.name, 27), ink="var(--ink)", bold=bold)
            else:
                plot.text((plot.x_domain[0], i + 0.2), shortened(one.name, 40), ink="var(--ink)", bold=bold)
            up, down = 0.0, 0.0
            for kind in kinds:
                value = one.kinds.get(kind, 0.0)
                start = up if value > 0 else down
                if value == 0:
                    continue
                plot.bar((start, head), (start + value, body), f"var(--k{places[kind]})", edge=True)
                words = scale.told(value)
                if abs(plot.px(value) - plot.px(0)) > text_width(words) + 8:
                    middle = (start + value / 2, (head + body) / 2)
                    plot.text(middle, words, align="center", ink=f"var(--t{places[kind]})")
                up, down = (up + value, down) if value > 0 else (up, down + value)
            total = scale.told(one.measures["present_value"])
            plot.text((up, (head + body) / 2), total, shift=(8, 0), ink="var(--ink)", bold=True)
            if min(lows) < 0:
                plot.rule((0, head - 0.06), (0, body + 0.06), "var(--ink)")
        return plot

    leader = report.verdict.leader or report.candidates[0].id
    best = report.candidate(leader)
    largest = max(kinds, key=lambda kind: best.kinds.get(kind, 0.0)) if kinds else ""
    share = best.kinds.get(largest, 0.0) / best.measures["present_value"] if best.measures["present_value"] else 0.0
    title = f"{largest.capitalize()} is {numbers.percent(share)} of what {shortened(best.name, 60)} costs"
    desc = "; ".join(
        f"{shortened(one.name, 60)}: "
        + ", ".join(f"{kind} {numbers.money(one.kinds[kind])}" for kind in kinds if one.kinds.get(kind))
        for one in report.candidates
    )
    subtitle = f"Cost in today’s money by kind, {scale.word}. Receipts stand left of the line."
    return both("fig-make-up", title, subtitle if min(lows) < 0 else subtitle.split(". ", 1)[0] + ".", desc + ".", draw)


def _legend_rows(kinds: list[str], width: float) -> list[list[tuple[str, float]]]:
    rows: list[list[tuple[str, float]]] = [[]]
    at = 0.0
    for kind in kinds:
        need = 18 + text_width(kind, TEXT) + 18
        if at + need > width and rows[-1]:
            rows.append([])
            at = 0.0
        rows[-1].append((kind, at))
        at += need
    return rows


def by_year(report: Report, numbers: Numbers) -> Figure | None:
    """Cash paid in each year of operation: one small panel for each candidate on a common scale."""
    return _panels(report, numbers, report.years, "fig-by-year", "year of operation")


def by_fiscal_year(report: Report, numbers: Numbers) -> Figure | None:
    """The same by fiscal year."""
    return _panels(report, numbers, report.fiscal_years, "fig-fiscal", "fiscal year")


def _panels(report: Report, numbers: Numbers, of: tuple[int, ...], name: str, what: str) -> Figure | None:
    years = sorted(set(of))
    if len(years) > 10 or len(report.candidates) > 8:
        return None
    sums = {one.id: list(yearly_sums(one.net, of).values()) for one in report.candidates}
    high, low = max(max(row) for row in sums.values()), min(0.0, *(min(row) for row in sums.values()))
    scale = scale_for(numbers, high)

    def draw(wide: bool) -> Plot:
        count = len(report.candidates)
        # Five or six stand in threes: the last row is never a single one of four, and names have room.
        across = (3 if count in (5, 6) else min(count, 4)) if wide else 1
        deep = -(-count // across)
        width, panel, gap, head = (WIDE if wide else SLIM), 110.0, 24.0, 40.0
        height = deep * (panel + head + 26)
        each = (width - gap * (across - 1)) / across
        plot = Plot(width, height, (0, width), (height, 0), 0, 0, 0, 0)
        for i, one in enumerate(report.candidates):
            x0, y0 = (i % across) * (each + gap), (i // across) * (panel + head + 26)
            unit = panel / (high - low)
            zero = y0 + head + high * unit
            bold = one.id == report.verdict.leader
            plot.text((x0, y0 + 10), fitted(one.name, each, bold=bold), ink="var(--ink)", bold=bold)
            plot.rule((x0, zero), (x0 + each, zero), "var(--rule)")
            wide_bar = each / len(years)
            for j, value in enumerate(sums[one.id]):
                left = x0 + j * wide_bar
                if value:
                    plot.bar(
                        (left + wide_bar * 0.16, zero - value * unit), (left + wide_bar * 0.84, zero), colour(one.place)
                    )
                above = zero - max(value, 0) * unit
                plot.text(
                    (left + wide_bar / 2, above), scale.told(value), shift=(0, -10), align="center", ink="var(--ink)"
                )
                base = zero + max(0.0, -low) * unit
                plot.text((left + wide_bar / 2, base), str(years[j]), shift=(0, 14), align="center")
        return plot

    first = {one.id: sums[one.id][0] for one in report.candidates}
    most = report.candidate(max(first, key=lambda name: first[name]))
    title = f"{shortened(most.name, 60)} needs most in the first {what}: {numbers.about_money(first[most.id])}"
    desc = "; ".join(
        f"{shortened(one.name, 60)}: " + ", ".join(numbers.money(v) for v in sums[one.id]) for one in report.candidates
    )
    subtitle = f"Cash paid in each {what}, {scale.word}, not discounted."
    return both(name, title, subtitle, f"By year: {desc}.", draw)

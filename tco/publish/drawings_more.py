"""Figures of differences, of single jobs and of stopping early."""

from __future__ import annotations

from dataclasses import replace

from tco.publish.drawings import GAP, Scale, both, end_labels, grid, legend, scale_for
from tco.publish.figures import (
    SLIM,
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
    text_width,
)
from tco.publish.numbers import MINUS, Numbers
from tco.report import Candidate, Report

LEAST_STEP = 0.5  # differences below half a unit of money are not drawn
MOST_CLASSES = 8
MOST_SHOWN = 12
MOST_COMPARED = 16  # beyond, a drawing for each candidate would make the study heavier than it is worth


def waterfall(report: Report, numbers: Numbers, other: object) -> Figure | None:
    """From the leader's cost to another candidate's, one step for each kind of cost."""
    if report.verdict.leader is None or other == report.verdict.leader or len(report.candidates) > MOST_COMPARED:
        return None
    best, second = report.candidate(report.verdict.leader), report.candidate(str(other))
    steps = [
        (kind, second.kinds.get(kind, 0.0) - best.kinds.get(kind, 0.0))
        for kind in report.kinds
        if abs(second.kinds.get(kind, 0.0) - best.kinds.get(kind, 0.0)) >= LEAST_STEP
    ]
    start, end = best.measures["present_value"], second.measures["present_value"]
    levels = [start]
    for _, value in steps:
        levels.append(levels[-1] + value)
    low, high = min(*levels, end), max(*levels, end)
    # The bars of both totals begin at a cut well below the steps, so that the steps can be seen.
    floor = max(0.0, low - 0.6 * (high - low)) if low > 0 else low
    scale = scale_for(numbers, max(abs(value) for value in (start, end)))
    rows = [(shortened(best.name, 40), start), *steps, (shortened(second.name, 40), end)]
    places = {0: best, len(rows) - 1: second}

    def draw(wide: bool) -> Plot:
        step = 26.0 if wide else 44.0
        left = max(text_width(shortened(name, 30), bold=True) for name, _ in rows) + 12 if wide else 4.0
        side = max(text_width(_signed(scale, value), bold=True) for _, value in rows) + 12
        plot = Plot(WIDE if wide else SLIM, step * len(rows) + 8, (floor, high), (len(rows), 0), left, side, 4, 4)
        at = start
        for row, (name, value) in enumerate(rows):
            one = places.get(row)
            top, bottom = (row + 0.15, row + 0.85) if wide else (row + 0.42, row + 0.88)
            head = (plot.x_at(-left), row + 0.5) if wide else (floor, row + 0.2)
            plot.text(head, shortened(name, 30 if wide else 40), ink="var(--ink)", bold=one is not None)
            begin, until = (floor, value) if one else (at, at + value)
            ink = colour(one.place) if one else "var(--over)" if value > 0 else "var(--c4)"
            plot.bar((begin, top), (until, bottom), ink)
            words = scale.told(value) if one else _signed(scale, value)
            edge = max(begin, until)
            plot.text((edge, (top + bottom) / 2), words, shift=(6, 0), ink="var(--ink)", bold=one is not None)
            at = until
        return plot

    title = _waterfall_title(best, second, steps, numbers)
    cut = f" The bars begin at {scale.told(floor)}." if floor > 0 else ""
    subtitle = f"From one cost in today’s money to the other by kind of cost, {scale.word}.{cut}"
    desc = "; ".join(f"{name} {_signed(scale, value)}" for name, value in steps) or "no difference in any kind"
    table = Grid(
        ("Kind of cost", numbers.currency),
        (
            (rows[0][0], numbers.whole(start)),
            *((name, ("+" if value > 0 else "") + numbers.whole(value)) for name, value in steps),
            (rows[-1][0], numbers.whole(end)),
        ),
    )
    made = both("fig-waterfall", title, subtitle, f"{rows[0][0]} {scale.told(start)}; {desc}; {rows[-1][0]} "
                f"{scale.told(end)}.", draw)  # fmt: skip
    return replace(made, grid=table)


def _signed(scale: Scale, value: float) -> str:
    words = scale.told(value)
    return words if words.startswith(MINUS) else f"+{words}"


def _waterfall_title(best: Candidate, second: Candidate, steps: list[tuple[str, float]], numbers: Numbers) -> str:
    more = second.measures["present_value"] - best.measures["present_value"]
    names = shortened(second.name, 60), shortened(best.name, 60)
    if not steps:
        return f"{names[0]} and {names[1]} cost the same in every kind"
    kind, most = max(steps, key=lambda step: step[1] if more >= 0 else -step[1])
    word = "more" if most > 0 else "less"
    return f"{kind.capitalize()} makes the difference to {names[1]}: {numbers.about_money(abs(most))} {word}"


def class_cost(report: Report, numbers: Numbers) -> Figure | None:
    """What one finished set costs with everything spread over the work, by kind of work and candidate."""
    names = list(dict.fromkeys(item.name for one in report.candidates for item in one.classes))[:MOST_CLASSES]
    if not names:
        return None
    costs = {(one.id, item.name): item.set_full for one in report.candidates for item in one.classes}
    shown = [one for one in report.candidates if one.classes][:MOST_SHOWN]

    def draw(wide: bool) -> Plot:
        across, width = (2, float(WIDE)) if wide else (1, float(SLIM))
        gap, row = 40.0, 20.0
        each = (width - gap * (across - 1)) / across
        head = 28.0
        deep = -(-len(names) // across)
        block = head + row * len(shown) + 14
        plot = Plot(width, deep * block, (0, width), (deep * block, 0), 0, 0, 0, 0)
        called = {one.id: fitted(one.name, each * 0.44, bold=True) for one in shown}
        label = max(text_width(name, bold=True) for name in called.values()) + 8
        for place, name in enumerate(names):
            x, y = (place % across) * (each + gap), (place // across) * block
            plot.text((x, y + 12), shortened(name, 40), ink="var(--ink)", bold=True)
            known = [max(costs.get((one.id, name), 0.0), 0.0) for one in shown]
            words = [numbers.fixed(value, 2) for value in known]
            room = each - label - max(text_width(word) for word in words) - 10
            largest = max(known) or 1.0
            for line, (one, value, word) in enumerate(zip(shown, known, words, strict=True)):
                middle = y + head + row * (line + 0.5)
                bold = one.id == report.verdict.leader
                plot.text((x, middle), called[one.id], ink="var(--ink)", bold=bold)
                until = x + label + room * value / largest
                plot.bar((x + label, middle - 6), (max(until, x + label + 1), middle + 6), colour(one.place))
                plot.text((until, middle), word, shift=(5, 0), ink="var(--ink)", bold=bold)
        return plot

    best = report.candidate(report.verdict.leader or report.candidates[0].id)
    own = [item for item in best.classes if item.name in names]
    dear = max(own, key=lambda item: item.set_full) if own else None
    title = "What a finished set costs"
    if dear is not None:
        title = f"A set of {shortened(dear.name, 40)} costs {numbers.cents(dear.set_full)} with "
        title += shortened(best.name, 50)
    subtitle = (
        f"Cost of one finished set in {numbers.currency}, everything spread over the work; each kind on its own scale."
    )
    desc = "; ".join(
        f"{shortened(name, 40)}: "
        + ", ".join(f"{shortened(one.name, 40)} {numbers.fixed(costs.get((one.id, name), 0.0), 2)}" for one in shown)
        for name in names
    )
    rows = tuple(
        (shortened(name, 60), *(numbers.fixed(costs.get((one.id, name), 0.0), 2) for one in shown)) for name in names
    )
    table = Grid(("Kind of work", *(shortened(one.name, 40) for one in shown)), rows)
    return replace(both("fig-classes", title, subtitle, f"{desc}.", draw), grid=table)


def stop_after(report: Report, numbers: Numbers) -> Figure | None:
    """What it would have cost in all to stop after each month."""
    curves = report.stop_after
    if not curves:
        return None
    months = len(next(iter(curves.values())))
    high = max(max(row) for row in curves.values())
    low = min(0.0, *(min(row) for row in curves.values()))
    scale, ticks, leader = scale_for(numbers, high), nice_ticks(low, high), report.verdict.leader

    def draw(wide: bool) -> Plot:
        count = len(report.candidates)
        inner = max(260.0, GAP * count) if wide else 240.0
        right = 24 + max(text_width(shortened(one.name, 27), bold=True) for one in report.candidates) if wide else 14
        bottom = 34.0 if wide else 50 + GAP * count
        plot = Plot(
            WIDE if wide else SLIM,
            inner + bottom + 14,
            (1, max(2, months)),
            (ticks[0], ticks[-1]),
            56,
            right,
            14,
            bottom,
        )
        grid(plot, ticks, scale.told)
        for month in range(12, months + 1, 12 if months <= 96 else 24):
            align: Align = "center" if plot.px(month) < plot.inner[0] - 30 or wide else "right"
            words = f"month {month}" if wide and months <= 72 else str(month)
            plot.text((month, ticks[0]), words, shift=(0, 18), align=align)
        for one in sorted(report.candidates, key=lambda item: item.id == leader):
            points = [(m + 1.0, value) for m, value in enumerate(curves[one.id])]
            best = one.id == leader
            plot.line(points, colour(one.place), 3.5 if best else 2.25, () if best else dash(one.place))
        names = [one.id for one in report.candidates]
        if wide:
            end_labels(plot, report, {name: (float(months), curves[name][-1]) for name in names}, leader)
        else:
            legend(plot, report, names, leader, 44)
        return plot

    least = [min(curves, key=lambda name: curves[name][m]) for m in range(months)]
    title = _stop_title(report, least)
    years = [month for month in (12, 24, 36, 48, 60, 72, 84, 96, 108, 120) if month <= months]
    rows = tuple(
        (f"Month {month}", *(numbers.whole(curves[one.id][month - 1]) for one in report.candidates)) for month in years
    )
    table = Grid(("Stopped after", *(shortened(one.name, 40) for one in report.candidates)), rows)
    desc = "; ".join(
        f"{shortened(one.name, 60)} {numbers.money(curves[one.id][years[0] - 1 if years else -1])}"
        for one in report.candidates
    )
    subtitle = (
        f"Paid so far and still bound to pay, less what the presses would fetch, {scale.word}, if all stops then."
    )
    made = both("fig-stop", title, subtitle, f"After month {years[0] if years else months}: {desc}.", draw)
    return replace(made, grid=table)


def _stop_title(report: Report, least: list[str]) -> str:
    last = least[-1]
    since = len(least)
    while since and least[since - 1] == last:
        since -= 1
    name = shortened(report.candidate(last).name, 60)
    if not since:
        return f"Whenever you stop, {name} has cost least"
    first = shortened(report.candidate(least[0]).name, 60)
    return f"Stop before month {since + 1} and {name} has not cost least; at first it is {first}"

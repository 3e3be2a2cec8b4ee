"""Figures of how sure the answer is: squares that are counted, ranges of cost, and what moves the lead."""

from __future__ import annotations

from collections.abc import Sequence

from tco.analyses.ranged import Ranged
from tco.analyses.risk import Chance, Risk
from tco.analyses.sensitivity import Swing
from tco.publish.drawings import GAP, both, scale_for
from tco.publish.figures import SLIM, WIDE, Align, Figure, Plot, colour, fitted, shortened, text_width
from tco.publish.numbers import Numbers
from tco.report import Report

MOST_SWINGS = 10
NOBODY = "nobody does all the work"
LEAST = 0.005  # a swing below half a cent moves nothing


def shares(report: Report) -> tuple[tuple[str, int], ...]:
    """How often each candidate is cheapest, the most frequent first: of 100 futures, else of the questions asked."""
    if isinstance(report.risk, Risk):
        found = [(one.candidate, one.count) for one in report.risk.chances] + [("", report.risk.nobody_count)]
    elif report.stress is not None:
        said = [cell.winner for cell in report.stress.cells if cell.is_said]
        found = [(name, said.count(name)) for name in dict.fromkeys(said)]
    else:
        found = []
    return tuple(sorted((pair for pair in found if pair[1]), key=lambda pair: -pair[1]))


def of_hundred(chance: Chance) -> str:
    """In how many of 100 futures a candidate is cheapest; neither all nor none where a few are otherwise."""
    if chance.count == 100 and chance.probability < 1:
        return "more than 99"
    return "fewer than 1" if chance.count == 0 and chance.probability > 0 else str(chance.count)


def squares(report: Report, _: Numbers) -> Figure | None:
    """One square for each future, or for each question, in the colour of who is cheapest there; nothing but counts."""
    found = shares(report)
    if not found:
        return None
    drawn = isinstance(report.risk, Risk)
    total = sum(count for _, count in found)
    names = {name: report.candidate(name).name if name else NOBODY for name, _ in found}
    inks = {name: colour(report.candidate(name).place) if name else "var(--rule)" for name, _ in found}

    def draw(wide: bool) -> Plot:
        across, side = (50, 10.0) if wide else (25, 14.2)
        deep = -(-total // across)
        block = min(total, across) * side
        key_rows = GAP * len(found)
        height = max(deep * side, key_rows) if wide else deep * side + 14 + key_rows
        width = WIDE if wide else SLIM
        plot = Plot(width, height + 8, (0, width), (height, 0), 0, 0, 4, 4)
        place = 0
        for row, (name, count) in enumerate(found):
            for _ in range(count):
                x, y = (place % across) * side, (place // across) * side
                plot.bar((x + 0.6, y + 0.6), (x + side - 1, y + side - 1), inks[name])
                place += 1
            x, y = (block + 22, row * GAP + 9) if wide else (0.0, deep * side + 14 + row * GAP + 9)
            plot.bar((x, y - 6), (x + 12, y + 6), inks[name])
            bold = name == report.verdict.leader
            room = width - (x + 20) - text_width(f"{count} ", bold=bold)
            plot.text((x + 20, y), f"{count} {fitted(names[name], room, bold=bold)}", ink="var(--ink)", bold=bold)
        return plot

    what = "futures you described" if drawn else "what-ifs of the table"
    first, most = found[0]
    subject = f"{shortened(names[first], 60)} is cheapest in" if first else "Nobody does all the work in"
    told = of_hundred(report.risk.chance(first)) if isinstance(report.risk, Risk) and first else str(most)
    title = f"{subject} {told} of {total} {what}"
    desc = "; ".join(f"{shortened(names[name], 60)} {count}" for name, count in found)
    if drawn:
        subtitle = (
            "Each square is one of 100 futures drawn from the ranges in the scenario, the same for all candidates."
        )
    else:
        subtitle = (
            "Each square is one what-if: less work, other increases, no resale and the like. They are no chances."
        )
    return both("fig-squares", title, subtitle, f"Of {total}: {desc}.", draw)


def ranges(report: Report, numbers: Numbers) -> Figure | None:
    """Cost in today's money of each candidate: the middle, and between what it lies in 8 of 10 futures."""
    risk = report.risk
    if not isinstance(risk, Risk):
        return None
    low = min(one.cost[0] for one in risk.chances)
    high = max(one.cost[2] for one in risk.chances)
    pad = (high - low) * 0.03 or 1.0
    scale = scale_for(numbers, high)

    def draw(wide: bool) -> Plot:
        step = 30.0 if wide else 46.0
        width = WIDE if wide else SLIM
        words = {one.candidate: f"{scale.told(one.cost[0])} to {scale.told(one.cost[2])}" for one in risk.chances}
        room = max(text_width(text) for text in words.values())
        left = max(text_width(shortened(one.name, 27), bold=True) for one in report.candidates) + 14 if wide else 6.0
        rows = len(report.candidates)
        plot = Plot(width, step * rows + 8, (low - pad, high + pad), (rows, 0), left, room + 16 if wide else 6.0, 4, 4)
        for row, one in enumerate(report.candidates):
            chance = risk.chance(one.id)
            bold = one.id == report.verdict.leader
            y = row + (0.5 if wide else 0.72)
            start, middle, end = chance.cost
            plot.rule((low - pad, y), (high + pad, y))
            half = 4.5 / step
            plot.bar((start, y - half), (end, y + half), colour(one.place))
            plot.dot((middle, y), colour(one.place))
            if wide:
                plot.text((plot.x_at(-left), y), shortened(one.name, 27), ink="var(--ink)", bold=bold)
                plot.text((plot.x_at(plot.inner[0] + room + 14), y), words[one.id], align="right", ink="var(--ink)")
            else:
                head = row + 0.26
                name = shortened(one.name, int((plot.inner[0] - room - 12) / 8.6))
                plot.text((plot.x_at(0), head), name, ink="var(--ink)", bold=bold)
                plot.text((plot.x_at(plot.inner[0]), head), words[one.id], align="right", ink="var(--ink)")
        return plot

    title = _ranges_title(report, risk)
    desc = "; ".join(
        f"{shortened(one.name, 60)} {numbers.money(risk.chance(one.id).cost[0])} to "
        f"{numbers.money(risk.chance(one.id).cost[2])}, middle {numbers.money(risk.chance(one.id).cost[1])}"
        for one in report.candidates
    )
    subtitle = (
        f"Cost in today’s money, {scale.word}: the bar holds 8 in 10 of the futures you described, the dot is the "
    )
    return both("fig-ranges", title, subtitle + "middle one.", f"8 in 10 futures: {desc}.", draw)


def _ranges_title(report: Report, risk: Risk) -> str:
    best = risk.chance(risk.leader)
    name = shortened(report.candidate(risk.leader).name, 60)
    others = [one for one in risk.chances if one.candidate != best.candidate]
    if all(best.cost[2] < one.cost[0] for one in others):
        return f"Even the dear end of {name} lies below the cheap end of all others"
    if all(best.cost[1] <= one.cost[1] for one in others):
        return f"{name} has the lowest middle, though its range overlaps others"
    return f"{name} does not have the lowest middle of all ranges"


def moving(report: Report) -> tuple[Swing, ...]:
    """The figures whose range moves the lead, strongest first."""
    found = report.sensitivity
    return tuple(one for one in found.swings if one.swing > LEAST) if found else ()


def value_told(numbers: Numbers, figure: Ranged, value: float) -> str:
    """A value of an input, short: a percentage, or the number in full."""
    return numbers.percent(value, 1) if figure.percent else numbers.exact(value)


def figure_name(report: Report, figure: Ranged, most: int) -> str:
    """What a figure is called where figures of several candidates stand together."""
    if not figure.candidate:
        return shortened(figure.label, most)
    return shortened(f"{shortened(report.candidate(figure.candidate).name, most // 2)}: {figure.label}", most)


def tornado(report: Report, numbers: Numbers) -> Figure | None:
    """How the lead over the next candidate moves when one figure goes to its low or its high end."""
    found, swings = report.sensitivity, moving(report)[:MOST_SWINGS]
    if found is None or not swings:
        return None
    ends = [value for one in swings for value in (one.lead_low, one.lead_high)]
    low, high = min(0.0, found.lead, *ends), max(0.0, found.lead, *ends)
    scale = scale_for(numbers, max(abs(low), abs(high)))

    def draw(wide: bool) -> Plot:
        step = 40.0 if wide else 58.0
        labels = [[value_told(numbers, one.figure, v) for v in (one.figure.low, one.figure.high)] for one in swings]
        side = max(text_width(text) for pair in labels for text in pair) + 10
        names = [figure_name(report, one.figure, 44) for one in swings]
        left = max(text_width(name) for name in names) + side + 8 if wide else side
        left = min(left, 390.0)
        plot = Plot(WIDE if wide else SLIM, step * len(swings) + 52, (low, high), (len(swings), 0), left, side, 26, 26)
        plot.rule((found.lead, plot.y_at(-6)), (found.lead, len(swings)), "var(--ink)", 1.5)
        # Where names stand above their bars, the line of no lead keeps off them.
        pieces = [(plot.y_at(-2), len(swings))] if wide else [(row + 0.36, row + 1) for row in range(len(swings))]
        for above, below in pieces:
            plot.rule((0, above), (0, below), "var(--over)", 1.5, (3, 3))
        _axis_words(plot, scale.told(found.lead), found.lead, len(swings))
        for row, (one, name, pair) in enumerate(zip(swings, names, labels, strict=True)):
            if wide:
                words = shortened(name, int((left - side - 8) / 6.2))
                plot.text((plot.x_at(-left), row + 0.5), words, ink="var(--ink)")
                tops = (row + 0.14, row + 0.52)
            else:
                plot.text((plot.x_at(-left), row + 0.2), shortened(name, 42), ink="var(--ink)")
                tops = (row + 0.4, row + 0.68)
            for top, end, words, ink in zip(tops, (one.lead_low, one.lead_high), pair, ("--k1", "--k2"), strict=True):
                deep = 13 / step
                if abs(plot.px(end) - plot.px(found.lead)) > 0.5:
                    plot.bar((found.lead, top), (end, top + deep), f"var({ink})")
                leftward = end < found.lead
                align: Align = "right" if leftward else "left"
                shift = (-5.0 if leftward else 5.0, 0.0)
                plot.text((end, top + deep / 2), words, shift=shift, align=align)
        return plot

    leader, second = (shortened(report.candidate(name).name, 60) for name in (found.leader, found.runner_up))
    title = _tornado_title(report, swings, leader)
    subtitle = (
        f"Lead of {leader} over the cheapest other, {scale.word} of today’s money, when one figure goes to its low end "
        "(upper bar) or high end (lower bar) and all others stay. The values stand at the ends."
    )
    desc = f"The lead over {second} is {numbers.money(found.lead)}. " + "; ".join(
        f"{figure_name(report, one.figure, 80)}: {numbers.money(one.lead_low)} at its low end, "
        f"{numbers.money(one.lead_high)} at its high end"
        for one in swings
    )
    return both("fig-tornado", title, subtitle, desc + ".", draw)


def _axis_words(plot: Plot, lead: str, at: float, rows: int) -> None:
    """The lead as written over its line, and the words for nothing under the line of nothing."""
    words = f"as written: {lead}"
    half = text_width(words, bold=True) / 2
    x = min(max(plot.px(at), half - plot.left), plot.inner[0] + plot.right - half)
    plot.text((plot.x_at(x), plot.y_at(-15)), words, align="center", ink="var(--ink)", bold=True)
    under = "no lead"
    half = text_width(under) / 2
    x = min(max(plot.px(0), half - plot.left), plot.inner[0] + plot.right - half)
    plot.text((plot.x_at(x), rows), under, shift=(0, 14), align="center", ink="var(--over)")


def _tornado_title(report: Report, swings: Sequence[Swing], leader: str) -> str:
    lost = [one for one in swings if min(one.lead_low, one.lead_high) < 0]
    if not lost:
        return f"No single figure takes the lead from {leader} within its range"
    first = figure_name(report, lost[0].figure, 60)
    if len(lost) == 1:
        return f"Only one figure can take the lead from {leader} within its range: {first}"
    return f"{len(lost)} figures can each take the lead from {leader} within their range, first {first}"

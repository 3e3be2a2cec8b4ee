"""How many pages, and what changes with them: cost per page, break-evens, hours needed."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tco.analyses.breakeven import Pair
from tco.analyses.crossings import Best
from tco.publish import sentences
from tco.publish.drawings_volume import cost_per_page, names_of, ribbon
from tco.publish.numbers import NONE, listed
from tco.publish.pages import fit
from tco.publish.parts import Cell, Kit, Page, Row, Table

UNDONE, BEYOND = "leaves work undone", "prints more in a month than is recommended"
MOST_PAIRS = 12
SLIDES = 50  # volumes the slider stops at


def ranges(kit: Kit) -> Table:
    """From which to which volume who costs least, with what a page costs at both ends."""
    report, numbers, volumes = kit.report, kit.numbers, kit.report.volumes
    assert volumes is not None
    rows = []
    for best in volumes.best:
        own = best.low <= report.facts.average_sides <= best.high
        words = f"{numbers.whole(best.low)} to {numbers.whole(best.high)}"
        name, doubt = names_of(report, best), doubts(kit, best)
        css = "barred" if doubt else "best" if own else ""
        rows.append(Row(words, (Cell(name, css="words"),), mark="your volume" if own else "", css=css, note=doubt))
    traced = kit.traced(
        [*(one.key("present_value") for one in report.candidates), "volume_scale", "work.average_sides"]
    )
    note = "The mix of work, its season and its trend stay as they are; only the number of jobs changes. "
    note += "Who leaves work undone cannot be called cheapest there, whatever it costs."
    if not volumes.complete:
        note += " The search met more bends than it follows; a crossing may be missing."
    return Table(
        "t-ranges",
        "Who costs least at which volume",
        (("Costs least", ""),),
        tuple(rows),
        "Pages a month",
        note,
        traced,
    )


def doubts(kit: Kit, best: Best) -> str:
    """Where in a range whoever costs least leaves work undone, or prints more than is recommended; empty: nowhere."""
    volumes, numbers = kit.report.volumes, kit.numbers
    if volumes is None or volumes.fit is None:
        return ""
    told = []
    for words, flags in ((UNDONE, volumes.fit.undone), (BEYOND, volumes.fit.beyond)):
        for start, end in volumes.fit.stretches(flags[best.candidates[0]]):
            low, high = max(start, best.low), min(end, best.high)
            if low < high:
                told.append(f"{words} from about {numbers.about(low)} to {numbers.about(high)}")
    return "; ".join(told)


def pairs(kit: Kit) -> list[Table]:
    """Pairs of candidates with all ties and jumps: every one, or those of the leader and then the others."""
    report, volumes = kit.report, kit.report.volumes
    assert volumes is not None
    leader = report.verdict.leader
    first = [pair for pair in volumes.pairs if leader in (pair.first, pair.second)]
    if len(volumes.pairs) <= MOST_PAIRS or not first:
        return [_pairs(kit, volumes.pairs, "t-pairs", "Break-even volume of each pair")]
    others = [pair for pair in volumes.pairs if pair not in first]
    mine, rest = f"Break-even volume with {kit.name(leader or '')}", "Break-even volume of other pairs"
    return [_pairs(kit, first, "t-pairs", mine), _pairs(kit, others, "t-other-pairs", rest)]


def _pairs(kit: Kit, some: Sequence[Pair], name: str, title: str) -> Table:
    rows = [_pair_row(kit, pair) for pair in some]
    traced = kit.traced(one.key("present_value") for one in kit.report.candidates)
    note = (
        "At a tie both cost the same; at a jump a settlement, a band or a post makes the dearer one cheaper from one "
        "volume to the next. “Never” is an answer: the same candidate is cheaper throughout."
    )
    columns = (("Cheaper at the low end", ""), ("Changes", "pages a month"), ("Cheaper at the high end", ""))
    return Table(name, title, columns, tuple(rows), "Pair", note, traced, "pairs")


def _pair_row(kit: Kit, pair: Pair) -> Row:
    numbers = kit.numbers
    told = []
    for one in pair.crossings:
        if one.kind == "jump":
            told.append(f"jump between {numbers.whole(math.floor(one.low))} and {numbers.whole(math.ceil(one.high))}")
        elif one.kind == "equal":
            told.append(f"the same from {numbers.whole(one.low)} to {numbers.whole(one.high)}")
        else:
            told.append(f"tie at {numbers.whole(one.low)}" + ("" if one.changes else " (touches only)"))
    first, second = (kit.name(name, 60) for name in (pair.first, pair.second))
    ends = [kit.name(end, 60) if end else "both" for end in (pair.cheaper_at_low, pair.cheaper_at_high)]
    cells = (Cell(ends[0], css="words"), Cell("; ".join(told) or "never", css="words"), Cell(ends[1], css="words"))
    return Row(f"{first} and {second}", cells)


def utilisation(kit: Kit) -> Table | None:
    """Hours needed of hours there by calendar month, the fullest of all years; None when no press has speeds."""
    rows, keys = [], []
    blank = tuple(Cell(NONE) for _ in range(13))
    for one in kit.report.candidates:
        for press in one.presses:
            name = fit.press_name(kit, one, press)
            if press.utilisation is None:
                rows.append(Row(name, blank, place=one.place, note="not checked: no speeds"))
                continue
            keys.append(f"{press.key}.utilisation")
            rows.append(Row(name, fit.by_calendar_month(kit, keys[-1], press.utilisation), place=one.place))
    if not keys:
        return None
    note = (
        "Hours needed of the hours there, the fullest of all years for each month. Outlined: more than there is; what "
        "does not fit goes to the next press, then to overtime, then outside. A month can hide a fuller week."
    )
    heads, traced = fit.month_heads(kit), kit.traced(keys)
    return Table("t-hours", "How full each press is", heads, tuple(rows), "Press", note, traced, "heat")


def slide(kit: Kit) -> dict[str, object] | None:
    """What the slider shows: for some volumes of the grid a sentence and every candidate's price of a page."""
    report, numbers, volumes = kit.report, kit.numbers, kit.report.volumes
    if volumes is None or not volumes.best:
        return None
    every = max(1, len(volumes.volumes) // SLIDES)
    places = [i for i, volume in enumerate(volumes.volumes) if i % every == 0 and volume > 0]
    own = min(range(len(places)), key=lambda i: abs(volumes.volumes[places[i]] - report.facts.average_sides))
    told = []
    for i in places:
        volume = volumes.volumes[i]
        best = volumes.around(volume)
        prices = [volumes.per_side[one.id][i] for one in report.candidates]
        words = f"{numbers.whole(volume)} pages a month"
        words += f": {names_of(report, best)} costs least" if best else ""
        told.append({
            "said": words,
            "prices": [numbers.per_side(price) if math.isfinite(price) else NONE for price in prices],
        })  # fmt: skip
    return {"last": len(told) - 1, "own": own, "told": told, "candidates": report.candidates}


def build(kit: Kit) -> list[Page]:
    """The page."""
    report = kit.report
    known = report.volumes is not None and bool(report.volumes.best)
    data = {
        "ribbon": kit.draw(ribbon),
        "per_page": kit.draw(cost_per_page),
        "per_page_traced": kit.traced([one.key("cost_per_side") for one in report.candidates] + ["work.average_sides"]),
        "ribbon_traced": kit.traced([one.key("present_value") for one in report.candidates] + ["volume_scale"]),
        "slide": slide(kit),
        "ranges": ranges(kit) if known else None,
        "pairs": pairs(kit) if known else [],
        "hours": utilisation(kit),
        "week": fit.busiest_week(kit),
        "due": fit.due(kit),
        "scope": fit.scope(kit),
        "hours_words": sentences.capacity_words(kit),
        "unchecked": listed(
            [
                f"{kit.name(one.id)}"
                for one in report.candidates
                if any(press.utilisation is None for press in one.presses)
            ]
        ),
        "own": kit.numbers.about(report.facts.average_sides),
    }
    return [
        Page("volume.html", "What the volume decides", "volume.html.j2", data, "Volume", runs=data["slide"] is not None)
    ]

"""How sure the answer is: futures drawn from ranges, what moves the lead, and a fixed table of what-ifs."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from tco.analyses.risk import Risk
from tco.analyses.sensitivity import Cross, Swing, Switch
from tco.analyses.shapes import BEYOND, SHAPES
from tco.analyses.stress import Cell as Asked
from tco.publish.certainty import how_sure, regret_words
from tco.publish.drawings_map import two_ways
from tco.publish.drawings_risk import figure_name, moving, of_hundred, ranges, squares, tornado, value_told
from tco.publish.numbers import NONE, column_step, listed
from tco.publish.parts import Cell, Kit, Page, Row, Table, clipped

GROUPS = {
    "volume": "Volume",
    "increase": "Increase",
    "resale": "Resale",
    "worst month": "Worst month",
    "discount rate": "Discount rate",
    "wages": "Wages",
    "future": "Future",
    "press": "A press fails",
    "stop": "Early end",
}
STRONG, SOME = 0.5, 0.2
MOST_DRIVERS = 3


def chances(kit: Kit, risk: Risk) -> Table:
    """Each candidate over all futures: how often cheapest, its range, what choosing it could be regretted by."""
    numbers = kit.numbers
    step = column_step([value for one in risk.chances for value in one.cost])
    fine = column_step([value for one in risk.chances for value in (one.expected_regret, one.worst_regret)])
    rows = []
    for one in kit.report.candidates:
        chance = risk.chance(one.id)
        cells = [
            Cell(f"{of_hundred(chance)} of 100", css="strong"),
            *(Cell(numbers.whole(value, step)) for value in chance.cost),
            Cell(numbers.whole(chance.expected_regret, fine)),
            Cell(numbers.whole(chance.worst_regret, fine)),
        ]
        note = f"leaves work undone in {round(100 * chance.undone)} of 100" if chance.undone > 0 else ""
        best = "best" if one.id == kit.report.verdict.leader else ""
        rows.append(Row(kit.name(one.id), tuple(cells), kit.pages_of[one.id], one.place, css=best, note=note))
    money = numbers.currency
    columns = (
        ("Cheapest", ""), ("1 in 10 below", money), ("Middle", money), ("9 in 10 below", money),
        ("Sorry by, on average", money), ("Sorry by, at most", money),
    )  # fmt: skip
    note = (
        f"{numbers.whole(risk.draws)} futures, the same for all candidates, drawn from the ranges in the scenario; "
        f"seed {risk.seed}. {drawn_as(kit, risk)} “Sorry by”: how much more it turns out to cost than the cheapest "
        "that does all the work. "
        f"After a quarter of the futures, after half and at the end {kit.name(risk.leader)} is cheapest in "
        f"{_settling(kit, risk)} of them."
    )
    traced = kit.traced(driver.figure.key for driver in risk.drivers)
    return Table("t-chances", "The futures you described", columns, tuple(rows), "Candidate", note, traced)


ENDS = {True: "1 in 10 lies below low and 1 in 10 above high", False: "low and high are extremes"}


def drawn_as(kit: Kit, risk: Risk) -> str:
    """How figures spread over their ranges, and which move together, in sentences."""
    told = f"Figures spread in the shape called {risk.shape}: {ENDS[risk.shape in BEYOND]}"
    others = {shape: [key for key, one in risk.shapes.items() if one == shape] for shape in SHAPES}
    for shape, keys in others.items():
        if keys:
            told += f"; {_figures(kit, risk, keys)}: {shape}" + (f", {ENDS[True]}" if shape in BEYOND else "")
    for name, group in risk.together.items():
        told += f"; {clipped(name, 40)} move together: {_figures(kit, risk, group)}"
    return f"{told}."


def _figures(kit: Kit, risk: Risk, keys: Sequence[str]) -> str:
    known = {one.figure.key: one.figure for one in risk.drivers}
    return listed([figure_name(kit.report, known[key], 60) if key in known else key for key in keys])


def _settling(kit: Kit, risk: Risk) -> str:
    best = risk.chance(risk.leader)
    told = []
    for share in (best.at_quarter, best.at_half, best.probability):
        words = kit.numbers.percent(share, 1)
        told.append(f"nearly {words}" if share < 1 and words == kit.numbers.percent(1, 1) else words)
    return listed(told)


def swings(kit: Kit) -> Table | None:
    """Every figure that moves the lead: its range, the lead at both ends, where the cheapest changes."""
    report, numbers = kit.report, kit.numbers
    found = report.sensitivity
    moved = moving(report)
    if found is None or not moved:
        return None
    step = column_step([found.lead, *(value for one in moved for value in (one.lead_low, one.lead_high))])
    weight = {one.figure.key: one.correlation for one in report.risk.drivers} if isinstance(report.risk, Risk) else {}
    rows = []
    for one in moved:
        figure = one.figure
        span = f"{value_told(numbers, figure, figure.low)} to {value_told(numbers, figure, figure.high)}"
        cells = [
            Cell(value_told(numbers, figure, figure.value), kit.href(report.home[figure.key])),
            Cell(span),
            Cell(numbers.whole(one.lead_low, step)),
            Cell(numbers.whole(one.lead_high, step)),
            Cell(_switch_words(kit, one), css="words"),
        ]
        if weight:
            cells.append(Cell(_pull(weight.get(figure.key, 0.0)), css="words"))
        lost = min(one.lead_low, one.lead_high) < 0
        rows.append(Row(figure_name(report, figure, 90), tuple(cells), css="best" if lost else ""))
    money = numbers.currency
    columns = [("As written", ""), ("Range", ""), ("Lead at its low", money), ("Lead at its high", money),
               ("Another is cheapest", "")]  # fmt: skip
    if weight:
        columns.append(("Pull on the lead", "in the futures"))
    still = len(found.swings) - len(moved)
    note = f"The lead as written is {numbers.whole(found.lead, step)}. Each figure is moved alone, and followed beyond "
    note += "its range by as much again on either side."
    if still:
        note += f" {still} more figures have a range that does not move the lead."
    return Table("t-swings", "Figures that move the lead", tuple(columns), tuple(rows), "Figure", note)


def _switch_words(kit: Kit, one: Swing) -> str:
    told = [
        _one_switch(kit, one, switch, word)
        for switch, word in ((one.below, "below"), (one.above, "above"))
        if switch is not None
    ]
    return "; ".join(told) or "never"


def _one_switch(kit: Kit, one: Swing, switch: Switch, word: str) -> str:
    who = kit.name(switch.winner) if switch.winner else "nobody does all the work"
    where = "" if switch.inside else ", outside of its range"
    return f"{word} {value_told(kit.numbers, one.figure, switch.value)}{where}: {who}"


def _pull(correlation: float) -> str:
    size = abs(correlation)
    word = "strong" if size >= STRONG else "some" if size >= SOME else "little"
    return word if size < SOME else f"{word}, {'up' if correlation > 0 else 'down'}"


def cross(kit: Kit, one: Cross, place: int) -> Table:
    """Two figures at low, own value and high each: who costs least."""
    report, numbers = kit.report, kit.numbers
    columns = tuple(
        (f"{value_told(numbers, one.across, value)}", "")
        for value in (one.across.low, one.across.value, one.across.high)
    )
    step = column_step([value for row in one.leads for value in row])
    leader = report.sensitivity.leader if report.sensitivity is not None else None
    is_always = {name for row in one.winners for name in row} == {leader}
    rows = []
    for value, names, leads in zip((one.down.low, one.down.value, one.down.high), one.winners, one.leads, strict=True):
        cells = []
        for name, lead in zip(names, leads, strict=True):
            who = kit.name(name) if name else "nobody"
            if name != leader:
                cells.append(Cell(who, css="words lost"))
            else:
                by = numbers.whole(lead, step)
                cells.append(Cell(by) if is_always else Cell(f"{who}, by {by}", css="words"))
        rows.append(Row(value_told(numbers, one.down, value), tuple(cells)))
    down, across = (figure_name(report, figure, 70) for figure in (one.down, one.across))
    # Where the same candidate leads throughout, its lead says all.
    whose = f": lead of {kit.name(leader)}" if leader and is_always else ""
    return Table(
        f"t-cross-{place}",
        f"{down} and {across} together{whose}",
        columns,
        tuple(rows),
        f"{clipped(one.down.label, 40)} \\ {clipped(one.across.label, 40)}",
        traced=kit.traced([one.down.key, one.across.key]),
    )


def stress_table(kit: Kit) -> Table | None:
    """The fixed what-ifs, each with who costs least and by how much."""
    report = kit.report
    if report.stress is None:
        return None
    said = [cell for cell in report.stress.cells if cell.is_said]
    step = column_step([cell.lead for cell in (report.stress.as_written, *said) if cell.lead is not None])
    first = report.stress.as_written
    rows = [_asked(kit, first, first, "As written", step)]
    rows += [_asked(kit, cell, first, cell.label[:1].upper() + cell.label[1:], step) for cell in report.stress.cells]
    keys = dict.fromkeys(key for cell in said for key, _, _ in cell.changes)
    note = (
        "The same questions for every study; no range is needed for them. “By” is today’s money over the next one that "
        "does all the work; where everything stops early it is money as paid until then, with what is still bound, "
        "less what the presses would fetch. Rows in which another candidate costs least are tinted."
    )
    columns = (("Costs least", ""), ("By", kit.numbers.currency), ("Next", ""))
    return Table("t-stress", "What if", columns, tuple(rows), "What if", note, kit.traced(list(keys)[:12]))


def _asked(kit: Kit, cell: Asked, first: Asked, label: str, step: Decimal) -> Row:
    under = GROUPS.get(cell.group, "")
    if not cell.is_said:
        return Row(
            label, (Cell(f"not asked: {cell.reason}", css="words"), Cell(NONE), Cell(NONE, css="words")), note=under
        )
    out = [name for name in cell.barred if name not in first.barred]
    who = kit.name(cell.winner) if cell.winner else "nobody does all the work"
    by = NONE if cell.lead is None else kit.numbers.whole(cell.lead, step)
    undone = f"; work undone: {listed([kit.name(name) for name in out])}" if out else ""
    following = (kit.name(cell.second) if cell.second else NONE) + undone
    css = "best" if cell.winner != first.winner else ""
    return Row(label, (Cell(who, css="words"), Cell(by), Cell(following, css="words")), css=css, note=under)


def outages(kit: Kit) -> Table | None:
    """What a press that is down for two weeks in the busiest month does to each candidate; None where not looked at."""
    stress, numbers = kit.report.stress, kit.numbers
    if stress is None or not stress.outages:
        return None
    rows = []
    for one in stress.outages:
        figures = (one.lost, one.overtime, one.outside, one.undone, one.cost)
        cells = tuple(Cell(numbers.whole(value)) for value in figures)
        place = kit.report.candidate(one.candidate).place
        note = "" if one.press else "no press of its own is at work"
        rows.append(Row(kit.name(one.candidate), cells, place=place, css="barred" if one.undone > 0 else "", note=note))
    columns = (("Hours lost", ""), ("Overtime more", "hours"), ("Sent out more", "pages"), ("Left undone", "pages"),
               ("Costs more", numbers.currency))  # fmt: skip
    note = (
        "The press with the most hours of that month, one machine of it, is down for two weeks, once. Care and "
        "contracts go on, posts follow the hours, and pages that nobody prints are in no sum. In today’s money."
    )
    return Table("t-outage", "A press down in the busiest month", columns, tuple(rows), "Candidate", note)


def drivers(kit: Kit) -> str:
    """What decides the lead in the futures drawn, in one sentence."""
    risk = kit.report.risk
    if not isinstance(risk, Risk):
        return ""
    names = [
        figure_name(kit.report, one.figure, 70) for one in risk.drivers[:MOST_DRIVERS] if abs(one.correlation) >= SOME
    ]
    return f"What decides the lead most: {listed(names)}." if names else "No single figure decides the lead."


def _mapped(kit: Kit) -> list[str]:
    """The keys of the two figures of the map; none without one."""
    found = kit.report.sensitivity
    return [found.map.down.key, found.map.across.key] if found is not None and found.map is not None else []


def build(kit: Kit) -> list[Page]:
    """The page; none when nothing of the kind was computed."""
    report = kit.report
    if report.stress is None and report.risk is None and report.sensitivity is None:
        return []
    risk = report.risk if isinstance(report.risk, Risk) else None
    keys = [one.figure.key for one in moving(report)]
    data = {
        "sure": how_sure(kit),
        "regret": regret_words(kit),
        "drivers": drivers(kit),
        "squares": kit.draw(squares),
        "ranges": kit.draw(ranges),
        "chances": chances(kit, risk) if risk else None,
        "costs_traced": kit.traced(one.key("present_value") for one in report.candidates),
        "tornado": kit.draw(tornado),
        "tornado_traced": kit.traced(keys[:10]),
        "swings": swings(kit),
        "no_swings": report.sensitivity.reason if report.sensitivity else "",
        "crosses": [cross(kit, one, i) for i, one in enumerate(report.sensitivity.crosses, 1)]
        if report.sensitivity
        else [],
        "map": kit.draw(two_ways),
        "map_traced": kit.traced(_mapped(kit)),
        "stress": stress_table(kit),
        "outages": outages(kit),
    }
    return [Page("risk.html", "How sure the answer is", "risk.html.j2", data, "Risk")]

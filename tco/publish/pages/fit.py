"""Whether the work fits: the fullest months and weeks of each press, jobs that are due, who does what."""

from __future__ import annotations

from tco.publish.numbers import NONE
from tco.publish.parts import Cell, Kit, Row, Table, clipped
from tco.report import Candidate, Press
from tco.scenario.figure import MONTH_NAMES

SHADES = (0.2, 0.4, 0.6, 0.8)
# A share that is shown as nothing.
UNSEEN = 0.0005


def shade(value: float) -> str:
    """The class of a utilisation, by the figure that is shown; more hours than there are stand out."""
    return "full" if value > 1 + UNSEEN else f"h{sum(round(value, 2) >= limit for limit in SHADES)}"


def press_name(kit: Kit, one: Candidate, press: Press) -> str:
    """A press in a table over all candidates."""
    return kit.name(one.id) if len(one.presses) == 1 else clipped(f"{one.name}, {press.name}")


def by_calendar_month(kit: Kit, key: str, row: tuple[float, ...]) -> tuple[Cell, ...]:
    """The fullest of all years for each calendar month, shaded, and the peak."""
    report = kit.report
    by_month: dict[int, float] = {}
    for month, value in zip(report.calendar_months, row, strict=False):
        by_month[month - 1] = max(by_month.get(month - 1, 0.0), value)
    cells = []
    for place in range(12):
        value = by_month.get((report.facts.month - 1 + place) % 12, 0.0)
        cells.append(Cell(_used(kit, value), css=shade(value)))
    return (*cells, Cell(_used(kit, max(row)), kit.href(key), "strong"))


def _used(kit: Kit, value: float) -> str:
    """A share of hours; a little more than all of them does not look like all of them."""
    words = kit.numbers.percent(value)
    return f">{words}" if value > 1 + UNSEEN and words == kit.numbers.percent(1) else words


def month_heads(kit: Kit) -> tuple[tuple[str, str], ...]:
    """Calendar months from the first one of the study, and the peak."""
    return (*((MONTH_NAMES[(kit.report.facts.month - 1 + place) % 12], "") for place in range(12)), ("Peak", ""))


def busiest_week(kit: Kit) -> Table | None:
    """How full each press is in the busiest week of each month; None when nothing is known of weeks."""
    rows, keys = [], []
    for one in kit.report.candidates:
        known = [press for press in one.presses if kit.has(f"{press.key}.week_load")]
        for press in known:
            key = f"{press.key}.week_load"
            keys.append(key)
            cells = by_calendar_month(kit, key, kit.report.by_key[key].values[0])
            note = _too_many(kit, one) if press is known[-1] else ""
            rows.append(Row(press_name(kit, one, press), cells, place=one.place, note=note))
    if not rows:
        return None
    note = (
        "Hours needed of the hours of one week, regular hours only, the fullest of all years for each month. Outlined: "
        "more than there is; it goes to the next press, then to overtime, another week or outside."
    )
    traced = kit.traced([*keys, *(f"{one.id}.busiest_week.most" for one in kit.report.candidates)])
    return Table("t-week", "The busiest week", month_heads(kit), tuple(rows), "Press", note, traced, "heat")


def _too_many(kit: Kit, one: Candidate) -> str:
    most = kit.report.by_key[f"{one.id}.busiest_week.most"].values[0][0]
    return f"worst week: {kit.numbers.about(most)} pages too many" if most >= 1 else ""


def due(kit: Kit) -> Table | None:
    """The press hours of one job against its due time; None when no job is due."""
    rows, keys = [], []
    for one in kit.report.candidates:
        hours, within = f"{one.id}.due.hours", f"{one.id}.due.within"
        if not kit.has(hours):
            continue
        keys.append(hours)
        entry, limits = kit.report.by_key[hours], kit.report.by_key[within]
        for name, took, limit in zip(entry.axis_labels, entry.values, limits.values, strict=True):
            late = took[0] > limit[0]
            cells = (
                Cell(kit.numbers.fixed(took[0], 2), kit.href(hours)),
                Cell(kit.numbers.fixed(limit[0], 2), kit.href(within)),
                Cell("too slow" if late else "in time", css="words"),
            )
            rows.append(Row(kit.name(one.id), cells, place=one.place, note=clipped(name, 50)))
    if not rows:
        return None
    columns = (("One job takes", "hours"), ("Due within", "hours"), ("So", ""))
    note = "On the first press that takes it, from make-ready to the last sheet, as if nothing waited before it."
    return Table("t-due", "Jobs with a due time", columns, tuple(rows), "Candidate", note, kit.traced(keys))


def scope(kit: Kit) -> Table | None:
    """Who does which work; None where every candidate that has a press prints everything on it."""
    report = kit.report
    able = {one.id for one in report.candidates if one.presses}
    if all(one.in_house > 1 - UNSEEN or (one.candidate not in able and one.nobody < UNSEEN) for one in report.scope):
        return None
    shares = {(one.work, one.candidate): one for one in report.scope}
    rows = []
    for work in dict.fromkeys(one.work for one in report.scope):
        cells = []
        for candidate in report.candidates:
            told = shares.get((work, candidate.id))
            parts = [] if told is None else [
                f"{kit.numbers.percent(part)} {word}"
                for part, word in ((told.in_house, "in house"), (told.sent_out, "outside"), (told.nobody, "by nobody"))
                if part > UNSEEN
            ]  # fmt: skip
            cells.append(Cell(", ".join(parts) or NONE, css="words"))
        rows.append(Row(clipped(work, 50), tuple(cells)))
    columns = tuple((kit.name(one.id, 40), "") for one in report.candidates)
    keys = [f"{one.id}.placing.{line}" for line in ("outside", "unplaced") for one in report.candidates]
    note = "Shares of the pages asked for, over all months compared."
    return Table("t-scope", "Who does which work", columns, tuple(rows), "Kind of work", note, kit.traced(keys))

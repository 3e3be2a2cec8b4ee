"""Placed work: what each press has hours for, what overtime takes, what goes out and what nobody does.

What does not fit is passed on in the same proportion from every job class: regular hours of all presses in the order
written, then overtime in the same order, then the outside printer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import ClassOfWork, Placed, Placement, Window, Work
from tco.model.lines import Block
from tco.model.nodes import MONTHS_A_YEAR, Line, Node
from tco.model.vocabulary import across, excess, joined, share, smallest, stacked
from tco.reference_data.paper import SIZES, size
from tco.scenario.schema import Press, Scenario, Service


@dataclass(frozen=True)
class _Hours:
    """The hours of one press: needed by class in an average month, there for work, and possible overtime."""

    window: Window
    press: Press
    takes: tuple[bool, ...]
    eligible: Line
    needed: Line | None
    there: Line | None
    for_work: Line | None
    possible: Line | None
    care: Line | None


def capacity(
    desk: Desk,
    block: Block,
    scenario: Scenario,
    presses: Sequence[tuple[Press, Window]],
    pool: Service | None,
    work: Work,
) -> Placement:
    """Place the asked work of one candidate on its presses, then outside; `pool` is the plan of all presses."""
    machines = [_machine(desk, press, there, scenario, press.service or pool, work) for press, there in presses]
    left = work.index
    regular: list[tuple[Line, Line | None]] = []
    for machine in machines:
        done, hours = _take(machine.window.block, "regular", "regular hours", machine, machine.for_work, left)
        regular.append((done, hours))
        left = machine.window.block.line("left", "Work left", "1", left - done)
    placed = []
    for machine, (done, hours) in zip(machines, regular, strict=True):
        home, everything, extra = machine.window.block, done, None
        if machine.possible is not None:
            more, extra = _take(home, "overtime", "overtime", machine, machine.possible, left)
            left = home.line("left_after", "Work left after overtime", "1", left - more)
            everything = home.line("done", "Work done", "1", done + more)
        placed.append(_placed(machine, everything, hours, extra))
    return _beyond(desk, block, scenario, work, left, placed)


def _beyond(desk: Desk, block: Block, scenario: Scenario, work: Work, left: Line, placed: list[Placed]) -> Placement:
    """What the presses leave goes outside where that has a price, and is unplaced where it has not."""
    outside = scenario.outside
    priced = [float(outside is not None and getattr(outside, one.colour) is not None) for one in work.classes]
    possible = desk.fixed(block, "outside_possible", "An outside price is known", "1", work.axis, priced)
    out = block.line("outside", "Work sent outside", "1", left * possible)
    rest = block.line("unplaced", "Work that nobody does", "1", left - out)
    sides = block.flow("unplaced_sides", "Sides that nobody prints", "side/month", across(work.sides, rest))
    ones = desk.fixed(block, "each", "Classes counted", "1", work.axis, [1.0 for _ in work.classes])
    shares = [line for one in placed for line in (one.done,)]
    everywhere = joined([*shares, out, rest], "1", out.shape)
    gap = block.line("gap", "Work asked and not accounted for", "1", work.index - everywhere)
    block.check("accounted", "All asked work is placed, outside or unplaced", "1", across(gap, ones))
    return Placement(tuple(placed), out, rest, sides)


def _placed(machine: _Hours, done: Line, hours: Line | None, extra: Line | None) -> Placed:
    home = machine.window.block
    if hours is None or machine.there is None or machine.care is None:
        return Placed(machine.window, machine.press, machine.takes, done, machine.eligible)
    worked = home.flow("hours", "Hours worked", "hour/month", hours if extra is None else hours + extra)
    needed = machine.care + hours
    home.line("utilisation", "Hours needed of hours there", "1", share(needed, machine.there), percent=True)
    return Placed(
        machine.window, machine.press, machine.takes, done, machine.eligible, worked, extra, machine.needed,
        machine.care, machine.there,
    )  # fmt: skip


def _take(
    home: Block, key: str, words: str, machine: _Hours, hours: Line | None, left: Line
) -> tuple[Line, Line | None]:
    """Give a press as much of what is left as its hours allow, the same share of every class it can print."""
    if machine.needed is None or hours is None:
        return home.line(f"{key}_done", "Work done", "1", left * machine.eligible * machine.window.present), None
    want = home.flow(f"{key}_wanted", f"Hours wanted, {words}", "hour/month", across(machine.needed, left))
    given = home.flow(f"{key}_hours", f"Hours given, {words}", "hour/month", smallest(want, hours))
    part = home.line(f"{key}_share", f"Share taken, {words}", "1", share(given, want), percent=True)
    return home.line(f"{key}_done", f"Work done, {words}", "1", left * machine.eligible * part), given


def _machine(
    desk: Desk, press: Press, there: Window, scenario: Scenario, plan: Service | None, work: Work
) -> _Hours:
    home = there.block
    shop = scenario.shop
    takes = tuple(can_print(press, plan, one) for one in work.classes)
    fits = desk.fixed(home, "eligible", "Can print it", "1", work.axis, [float(one) for one in takes])
    if not press.sides_per_minute or shop.hours_per_week is None:
        return _Hours(there, press, takes, fits, None, None, None, None, None)
    weeks = desk.take(home, shop.weeks_per_year, "Weeks worked a year", "week/year")
    weekly = desk.take(home, shop.hours_per_week, "Shop hours a week", "hour/week")
    stops = desk.take(home, press.service_stop_hours, "Hours down for service", "hour/month")
    a_press = home.line("shop_hours", "Shop hours a month", "hour/month", weekly * weeks / MONTHS_A_YEAR)
    hours = home.flow("there", "Hours there", "hour/month", excess(a_press, stops) * there.count * there.present)
    warm = desk.take(home, press.warm_up_minutes, "Warm-up a day", "minute/day")
    clean = desk.take(home, press.cleaning_minutes, "Cleaning a day", "minute/day")
    minutes = desk.constant(home, "minutes_an_hour")
    days = home.line(
        "days", "Working days a month", "day/month", desk.constant(home, "working_days_a_week") * weeks / MONTHS_A_YEAR
    )
    care = home.flow("care", "Daily care", "hour/month", (warm + clean) / minutes * days * there.count * there.present)
    for_work = home.flow("for_work", "Hours for work", "hour/month", excess(hours, care))
    possible = None
    if not shop.overtime_hours_per_week.is_assumed:
        allowed = desk.take(home, shop.overtime_hours_per_week, "Overtime hours a week", "hour/week")
        possible = home.flow(
            "possible", "Overtime possible", "hour/month", allowed * weeks / MONTHS_A_YEAR * there.count * there.present
        )
    needed = _hours_by_class(desk, home, press, scenario, work, fits)
    return _Hours(there, press, takes, fits, needed, hours, for_work, possible, care)


def can_print(press: Press, plan: Service | None, one: ClassOfWork) -> bool:
    """Whether a press is meant for the class, prints its colour, under its plan too, and takes its sheets."""
    if press.takes is not None and one.id not in press.takes:
        return False
    if one.colour == "colour" and not press.colour:
        return False
    if plan is not None and not plan.covers(one.id, one.colour, one.coverage.number, one.sheets):
        return False
    if press.largest is None:
        return True
    wanted = one.large_size if one.needs_large and one.large_size is not None else one.size
    return size(wanted).fits(size(press.largest))


def _hours_by_class(desk: Desk, home: Block, press: Press, scenario: Scenario, work: Work, fits: Line) -> Line:
    """Make-ready, running, reload and unload stops of an average month."""
    minutes = desk.constant(home, "minutes_an_hour")
    allowance = desk.take(home, press.running_allowance, "Running allowance", "1", percent=True)
    running = home.line(
        "running",
        "Running hours",
        "hour/month",
        _minutes(desk, home, press, scenario, work) / minutes * (1 + allowance),
    )
    parts: list[Line] = [running]
    if work.jobs is not None and not press.make_ready_minutes.is_assumed:
        start = desk.take(home, press.make_ready_minutes, "Make-ready a job", "minute/job")
        parts.append(home.line("make_ready", "Make-ready hours", "hour/month", work.jobs * start / minutes))
    if press.trays and not press.reload_minutes.is_assumed:
        each = desk.take(home, press.reload_minutes, "Minutes a reload stop", "minute/load")
        loads = home.line("loads", "Loads", "load/month", work.run_sheets / _trays(desk, home, press, work))
        stops = loads + 0 if work.jobs is None else excess(loads, work.jobs * desk.constant(home, "loads_a_job"))
        parts.append(home.line("reloads", "Reload hours", "hour/month", stops * each / minutes))
    if press.output_sheets is not None and not press.unload_minutes.is_assumed:
        holds = desk.take(home, press.output_sheets, "Sheets the output holds", "sheet/load")
        each = desk.take(home, press.unload_minutes, "Minutes an unload stop", "minute/load")
        parts.append(home.line("unloads", "Unload hours", "hour/month", work.run_sheets / holds * each / minutes))
    return home.line(
        "needed", "Hours needed, average month", "hour/month", joined(parts, "hour/month", running.shape) * fits
    )


def _trays(desk: Desk, home: Block, press: Press, work: Work) -> Line:
    """Sheets of all trays that take the size of a class."""
    assert press.trays is not None
    sheets = [
        desk.take(home, tray.sheets, f"Tray {place} holds", "sheet/load") for place, tray in enumerate(press.trays, 1)
    ]
    cells: list[Node] = []
    for one in work.classes:
        takes = [line for line, tray in zip(sheets, press.trays, strict=True) if tray.takes(one.size)]
        cells.append(
            joined(takes, "sheet/load", work.average_sides.shape)
            if takes
            else desk.constant(home, "no_limit_sheets") + 0
        )
    return home.line("tray_sheets", "Sheets loaded at once", "sheet/load", stacked(work.axis, cells))


def _minutes(desk: Desk, home: Block, press: Press, scenario: Scenario, work: Work) -> Node:
    """Minutes of pure running by class, at the effective speed for size, stock and sides."""
    speeds = {name: _speed(desk, home, press, scenario, name) for name in _sizes(work)}
    both = desk.take(home, press.two_sided_factor, "Speed factor, two sides", "1")
    if work.two_sided_share is not None:
        one = work.classes[0]
        slow = home.line(
            "two_sided_speed", "Speed factor of the mix", "1", 1 - work.two_sided_share + work.two_sided_share * both
        )
        small = work.passes * (1 - work.large) / speeds[one.size]
        large = work.passes * work.large / speeds[one.large_size or one.size]
        return (small + large) / slow
    heavy = (
        desk.take(home, press.heavy_factor, "Speed factor, heavy stock", "1")
        if any(one.heavy for one in work.classes)
        else None
    )
    cells: list[Node] = []
    for one in work.classes:
        cell: Node = speeds[one.size] * both if one.two_sided else speeds[one.size] + 0
        cells.append(cell * heavy if one.heavy and heavy is not None else cell)
    speed = home.line("speed", "Effective speed", "side/minute", stacked(work.axis, cells))
    return work.passes / speed


def _sizes(work: Work) -> list[str]:
    names = [name for one in work.classes for name in (one.size, one.large_size) if name is not None]
    return list(dict.fromkeys(names))


def _speed(desk: Desk, home: Block, press: Press, scenario: Scenario, name: str) -> Line:
    """The speed written for a size; else that of the small size, slowed by the length of feed."""
    assert press.sides_per_minute is not None
    if name in press.sides_per_minute:
        return desk.take(home, press.sides_per_minute[name], f"Speed, {name}", "side/minute")
    small = scenario.small_size if scenario.small_size in press.sides_per_minute else next(iter(press.sides_per_minute))
    known = desk.take(home, press.sides_per_minute[small], f"Speed, {small}", "side/minute")
    feed = {one.name: one.long_edge_mm if one.is_large else one.short_edge_mm for one in SIZES}
    short, long = (
        home.given(f"feed_{one}", f"Feed length, {one}", "mm", feed[one], role="constant") for one in (small, name)
    )
    return home.line(f"speed_{name}", f"Speed, {name}", "side/minute", known * short / long)

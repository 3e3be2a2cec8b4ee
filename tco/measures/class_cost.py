"""What one finished set and one job cost, by job class: all cost spread, and only what one more job moves."""

from __future__ import annotations

from collections.abc import Sequence

from tco.costs.desk import Desk
from tco.costs.records import Clock, Moves, Placed, Placement, Work
from tco.measures.statement import Statement
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.model.vocabulary import across, booked, entry, equals, joined, share, stacked, this_month, total


def class_cost(
    desk: Desk, block: Block, sums: Statement, placement: Placement, moves: Moves, work: Work, clock: Clock
) -> None:
    """Describe the cost by job class. The full costs of all classes add up to the total cost."""
    if work.sets is None or work.jobs is None:
        return
    ones = desk.fixed(block, "each", "Classes counted", "1", work.axis, [1.0 for _ in work.classes])
    months = block.line("months", "Average months of work asked", "1", _count(block, "asked", "Work asked", work.index))
    sets = block.line("sets", "Sets asked", "set", _amount(work.sets, months))
    jobs = block.line("jobs", "Jobs asked", "job", _amount(work.jobs, months))

    direct = [*_materials(block, placement, moves, clock), *_clicks(block, sums, placement, moves, ones)]
    shape = work.sides.shape
    known = block.line("known", "Paper, outside work and service", "money", joined(direct, "money", shape))
    rest = block.line("rest", "All other cost", "money", sums.total - across(known, ones))
    part = _part(block, placement, work, months, ones)
    full = block.line("full", "Full cost", "money", known + rest * part)
    block.check("adds_up", "Cost by class adds up to the total", "money", across(full, ones) - sums.total)
    block.memo("set_full", "A set, all cost spread", "money/set", share(full, sets))
    block.memo("job_full", "A job, all cost spread", "money/job", share(full, jobs))
    outside = _sent_out(block, moves)
    more = _next(block, placement, moves, work, outside)
    block.memo("set_next", "A set more", "money/set", share(more, work.sets))
    block.memo("job_next", "A job more", "money/job", share(more, work.jobs))
    if outside is not None:
        block.memo("set_outside", "A set printed outside", "money/set", share(outside, work.sets))


def _count(block: Block, key: str, label: str, row: Line) -> Node:
    """Average months of work in a row by class and month."""
    a_month = block.line(f"{key}_events", f"{label}, counted", "1/month", booked(row))
    return total(a_month)


def _amount(a_month: Line, months: Line) -> Node:
    """A quantity of an average month over a number of average months."""
    return this_month(a_month) * months


def _materials(block: Block, placement: Placement, moves: Moves, clock: Clock) -> Sequence[Line]:
    """Paper and outside work of each class, at the prices of the months."""
    rows: list[Line] = []
    bought = [one.done for one, own in zip(placement.presses, moves.paper_bought, strict=False) if own]
    papered = joined(bought, "1", placement.outside.shape)
    for key, label, column, done in (
        ("paper", "Paper", moves.paper, papered),
        ("outside_paper", "Paper of outside work", moves.outside_paper, placement.outside + 0),
        ("outside", "Outside work", moves.outside, placement.outside + 0),
    ):
        if column is None:
            continue
        priced = block.line(f"{key}_priced", f"{label}: work at the month's prices", "1", done * clock.price_level)
        months = block.line(f"{key}_months", f"{label}: months at first prices", "1", _count(block, key, label, priced))
        rows.append(block.line(key, label, "money", _amount(column, months)))
    return rows


def _clicks(block: Block, sums: Statement, placement: Placement, moves: Moves, ones: Line) -> Sequence[Line]:
    """All service cost, by what the classes' clicks would cost at the first rates."""
    if "service" not in sums.by_kind or not moves.clicks:
        return []
    parts = []
    for place, (column, covered) in enumerate(moves.clicks, 1):
        done = joined([placement.presses[one].done for one in covered], "1", placement.outside.shape)
        row = block.line(f"plan_{place}_done", f"Work under plan {place}", "1", done)
        months = block.line(
            f"plan_{place}_months",
            f"Average months under plan {place}",
            "1",
            _count(block, f"plan_{place}", "Work done", row),
        )
        parts.append(
            block.line(f"plan_{place}", f"Clicks of plan {place} at first rates", "money", _amount(column, months))
        )
    weight = block.line("clicks", "Clicks at first rates", "money", joined(parts, "money", ones.shape))
    cost = block.line("service_total", "Service in all", "money", total(sums.by_kind["service"]))
    clicks = block.line("all_clicks", "Clicks at first rates, all classes", "money", across(weight, ones))
    part = block.line("click_part", "Share of clicks", "1", share(weight, clicks), percent=True)
    return [block.line("service", "Service", "money", cost * part)]


def _part(block: Block, placement: Placement, work: Work, months: Line, ones: Line) -> Line:
    """The share of a class in the other cost: by press hours where presses worked and have hours, else by sides."""
    sides = block.line("sides", "Sides asked", "side", _amount(work.sides, months))
    every = block.line("all_sides", "Sides asked, all classes", "side", across(sides, ones))
    by_side = block.line("side_part", "Share of sides", "1", share(sides, every), percent=True)
    timed = [one for one in placement.presses if one.needed is not None]
    if timed:
        hours = _press_hours(block, timed, work)
        worked = block.line("worked", "Press hours of all classes", "hour", across(hours, ones))
        by_hour = block.line("hour_part", "Share of press hours", "1", share(hours, worked), percent=True)
        either = by_hour + equals(worked, 0) * by_side
        return block.line("part", "Share of the other cost", "1", either, percent=True)
    return by_side


def _press_hours(block: Block, timed: Sequence[Placed], work: Work) -> Line:
    """Hours on presses by class."""
    parts = []
    for place, one in enumerate(timed, 1):
        assert one.needed is not None
        done = block.line(
            f"press_{place}_months",
            f"Average months on press {place}",
            "1",
            _count(block, f"press_{place}", "Work done", one.done),
        )
        parts.append(block.line(f"press_{place}_hours", f"Hours on press {place}", "hour", _amount(one.needed, done)))
    return block.line("weight", "Press hours", "hour", joined(parts, "hour", work.sides.shape))


def _sent_out(block: Block, moves: Moves) -> Line | None:
    """One more average month sent out, with the paper that the outside price leaves to the shop."""
    if moves.outside is None:
        return None
    parts = [moves.outside, *([moves.outside_paper] if moves.outside_paper is not None else [])]
    cost = joined(parts, "money/month", moves.outside.shape)
    return block.line("sent_out", "A month more, sent out", "money/month", cost)


def _next(block: Block, placement: Placement, moves: Moves, work: Work, outside: Line | None) -> Line:
    """One more average month on the first press that can print the class, else outside; nothing where neither can."""
    cells: list[Node] = []
    columns: dict[int, Line] = {}
    for place, _ in enumerate(placement.presses):
        parts = [column for column, covered in moves.clicks if place in covered]
        parts.extend(column for column, own in moves.supplies if own == place)
        parts.extend([moves.paper] if moves.paper is not None and moves.paper_bought[place] else [])
        label = f"A month more on press {place + 1}"
        columns[place] = block.line(
            f"more_{place + 1}", label, "money/month", joined(parts, "money/month", work.sides.shape)
        )
    for at, _ in enumerate(work.classes):
        first = next((place for place, one in enumerate(placement.presses) if one.takes[at]), None)
        column = columns.get(first) if first is not None else outside
        cells.append(0 * entry(work.sides, at) if column is None else entry(column, at))
    return block.line("next", "A month more of the class", "money/month", stacked(work.axis, cells))

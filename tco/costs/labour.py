"""People: hours by the press, at the finishing bench and ordering; paid by the hour, or as posts set year by year.

Both policies are always described: hours that are freed are really saved, or the same people are paid anyway.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Placed
from tco.model.lines import Block
from tco.model.nodes import MONTHS_A_YEAR, Line
from tco.model.vocabulary import at, before, gathered, joined, largest, this_month, up
from tco.scenario.figure import Figure
from tco.scenario.schema import Candidate, Labour, Scenario


@dataclass(frozen=True)
class People:
    """Cost of people: the policy that enters the total, and both for comparison."""

    charges: tuple[Charge, ...]
    saved: Line | None
    stay: Line | None


def labour(
    desk: Desk,
    block: Block,
    scenario: Scenario,
    candidate: Candidate,
    presses: Sequence[Placed],
    off_line: Line | None,
    ordering: Line | None,
    clock: Clock,
) -> People:
    """Describe what people cost."""
    terms = scenario.shop.labour
    if terms is None or scenario.shop.hours_per_week is None:
        return People((), None, None)
    attended, overtime = _hours(desk, block, presses, off_line, ordering)
    wage = desk.take(block, terms.wage, "Wage", "money/hour")
    on_cost = desk.take(block, terms.on_cost, "On-cost of wages", "1", percent=True)
    loaded = block.line("loaded", "Wage with on-cost", "money/hour", wage * (1 + on_cost))
    extra = None
    if overtime is not None:
        factor = desk.take(block, terms.overtime_factor, "Overtime factor", "1")
        paid = overtime * wage * factor * clock.price_level
        extra = block.flow("overtime_pay", "Overtime pay", "money/month", paid)
    if terms.posts is None:
        by_hour = block.flow("by_hour", "People by the hour", "money/month", attended * loaded * clock.price_level)
        saved = block.flow(
            "saved", "People, freed hours saved", "money/month", joined([by_hour, *_some(extra)], "money/month")
        )
        stay = saved
    else:
        saved, stay = _by_post(desk, block, scenario, candidate, terms, presses, attended, loaded, extra, clock)
    counted = saved if terms.freed_hours == "saved" else stay
    block.choice("policy", "Freed hours", terms.freed_hours)
    cost = block.cost("cost", "People", "people", counted + 0)
    return People((Charge(cost, "people"),), saved, stay)


def _some(line: Line | None) -> list[Line]:
    return [] if line is None else [line]


def _hours(
    desk: Desk, block: Block, presses: Sequence[Placed], off_line: Line | None, ordering: Line | None
) -> tuple[Line, Line | None]:
    """Hours of attendance within regular time, and overtime."""
    regular, extra = [], []
    for place, one in enumerate(presses, 1):
        if one.hours is None or one.care is None:
            continue
        beside = desk.take(one.window.block, one.press.attendance, "People beside a press", "1")
        if beside.block is not block and beside not in block.used:
            block.used.append(beside)
        within = one.hours + one.care if one.overtime is None else one.hours + one.care - one.overtime
        regular.append(block.flow(f"press_{place}", f"Hours beside press {place}", "hour/month", within * beside))
        if one.overtime is not None:
            extra.append(
                block.flow(f"overtime_{place}", f"Overtime beside press {place}", "hour/month", one.overtime * beside)
            )
    parts = [*regular, *_some(off_line), *_some(ordering)]
    attended = block.flow("attended", "Attended hours, regular time", "hour/month", joined(parts, "hour/month"))
    if not extra:
        return attended, None
    return attended, block.flow("overtime", "Overtime hours", "hour/month", joined(extra, "hour/month"))


def _by_post(
    desk: Desk,
    block: Block,
    scenario: Scenario,
    candidate: Candidate,
    terms: Labour,
    presses: Sequence[Placed],
    attended: Line,
    loaded: Line,
    extra: Line | None,
    clock: Clock,
) -> tuple[Line, Line]:
    """Posts are set for a year by its busiest month, in half posts."""
    shop = scenario.shop
    assert terms.posts is not None
    assert shop.hours_per_week is not None
    weekly = desk.take(block, shop.hours_per_week, "Shop hours a week", "hour/week")
    weeks = desk.take(block, shop.weeks_per_year, "Weeks worked a year", "week/year")
    one_post = desk.constant(block, "one_post")
    paid = block.line(
        "paid_hours", "Paid hours of a post", "hour/post/month", weekly * weeks / MONTHS_A_YEAR / one_post
    )
    today = desk.take(block, terms.posts, "Posts today", "post")
    # Without a press the hours are known too: those of ordering. Presses without speeds leave them unknown.
    has_hours = not presses or any(one.hours is not None for one in presses)
    written = scenario.today.posts if scenario.today is not None else None
    if candidate.posts is not None:
        needed = desk.take(block, candidate.posts, "Posts of this candidate", "post")
    elif has_hours:
        needed = _needed(desk, block, terms.productive, attended, paid, clock)
    elif written is not None:
        needed = desk.take(block, written, "Posts the present presses need", "post")
    else:
        needed = today
    saved_posts = block.line("posts_saved", "Posts paid, freed hours saved", "post", needed * clock.live)
    kept = largest(needed, today) * clock.live
    stay_posts = block.line("posts_stay", "Posts paid, same people", "post", kept)
    rows = []
    for key, label, posts in (
        ("saved", "People, freed hours saved", saved_posts),
        ("stay", "People, same people paid", stay_posts),
    ):
        wages = block.flow(f"{key}_wages", f"{label}: wages", "money/month", posts * paid * loaded * clock.price_level)
        rows.append(block.flow(key, label, "money/month", joined([wages, *_some(extra)], "money/month")))
    return rows[0], rows[1]


def _needed(desk: Desk, block: Block, share: Figure, attended: Line, paid: Line, clock: Clock) -> Line:
    """Posts needed, by month: those of the year's busiest month."""
    productive = desk.take(block, share, "Productive share of paid hours", "1", percent=True)
    busiest = block.declare("busiest", "Busiest month of the year so far", "hour/month")
    busiest.total = "none"
    busiest.becomes(largest(attended, before(busiest) * ~clock.opens_year))
    at_close = block.line("at_close", "Busiest month, at the year's close", "hour/month", busiest * clock.closes_year)
    by_year = block.line("peak", "Busiest month", "hour", gathered(clock.years, at_close, clock.year))
    half = desk.constant(block, "half_a_post")
    capacity = block.line("capacity", "Hours a post can give a month", "hour/post", this_month(paid) * productive)
    halves = by_year / capacity / half - desk.constant(block, "tolerance")
    posts = block.line("posts", "Posts needed", "post", up(halves) * half)
    return block.line("needed", "Posts needed in the year", "post", at(posts, clock.year))

"""The busiest week of each month, placed by itself: months hide the week in which the hours are not there."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Placed, Placement, Work
from tco.model.lines import Block
from tco.model.nodes import MONTHS_A_YEAR, Line
from tco.model.vocabulary import across, excess, highest, share, smallest
from tco.scenario.schema import Figure, Scenario


def busiest_week(desk: Desk, block: Block, scenario: Scenario, placement: Placement, work: Work) -> None:
    """Describe how full each press is in the busiest week of a month, and what no press has regular hours for.

    Work of a week is counted in average months, so its unit is months a week. Nothing here costs anything.
    """
    part = scenario.busiest_week
    if part is None or not placement.presses:
        return
    of_month = desk.take(block, part, "Share of its month", "month/week", percent=True)
    left = block.line("asked", "Work of the busiest week", "month/week", work.index * of_month)
    for one in placement.presses:
        left = _taken(desk, scenario, one, left)
    able = [float(any(one.takes[at] for one in placement.presses)) for at, _ in enumerate(work.classes)]
    possible = desk.fixed(block, "able", "Some press can take it", "1", work.axis, able)
    rest = block.memo("too_many", "Sides too many", "side/week", across(work.sides, possible, left))
    rest.total = "none"
    block.memo("most", "Sides too many, worst week", "side/week", highest(rest))


def _taken(desk: Desk, scenario: Scenario, one: Placed, left: Line) -> Line:
    """Give a press as much of the week's work as its regular hours allow; what is left goes on."""
    home, there = one.window.block, one.window
    if one.needed is None or scenario.shop.hours_per_week is None:
        done = home.line("week_done", "Work done in the week", "month/week", left * one.eligible * there.present)
        return home.line("week_left", "Work left in the week", "month/week", left - done)
    wanted = home.line("week_wanted", "Hours wanted in the week", "hour/week", across(one.needed, left))
    hours, care = _hours(desk, one, scenario.shop.hours_per_week, scenario.shop.weeks_per_year)
    for_work = home.line("week_for_work", "Hours for work in the week", "hour/week", excess(hours, care))
    given = home.line("week_given", "Hours given in the week", "hour/week", smallest(wanted, for_work))
    taken = home.line("week_share", "Share taken in the week", "1", share(given, wanted), percent=True)
    load = home.memo("week_load", "Load of the busiest week", "1", share(wanted + care, hours), percent=True)
    load.total = "none"
    home.memo("week_load_most", "Load of the worst week", "1", highest(load), percent=True)
    return home.line("week_left", "Work left in the week", "month/week", left - left * one.eligible * taken)


def _hours(desk: Desk, one: Placed, a_week: Figure, weeks_a_year: Figure) -> tuple[Line, Line]:
    """Hours in which the presses are there in a week, and those of daily care."""
    home, there, press = one.window.block, one.window, one.press
    weekly = desk.take(home, a_week, "Shop hours a week", "hour/week")
    weeks = desk.take(home, weeks_a_year, "Weeks worked a year", "week/year")
    stops = desk.take(home, press.service_stop_hours, "Hours down for service", "hour/month")
    a_press = home.line("week_open", "Hours of a press a week", "hour/week",
                        excess(weekly, stops * MONTHS_A_YEAR / weeks))  # fmt: skip
    hours = home.line("week_there", "Hours there in the week", "hour/week", a_press * there.count * there.present)
    warm = desk.take(home, press.warm_up_minutes, "Warm-up a day", "minute/day")
    clean = desk.take(home, press.cleaning_minutes, "Cleaning a day", "minute/day")
    days = desk.constant(home, "working_days_a_week") / desk.constant(home, "minutes_an_hour")
    a_day = home.line("week_care_each", "Weekly care of a press", "hour/week", (warm + clean) * days)
    care = home.line("week_care", "Daily care in the week", "hour/week", a_day * there.count * there.present)
    return hours, care

"""Electricity of a press, by hours running, ready and asleep, or by the energy label's weekly figure; floor space."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Placed
from tco.model.lines import Block
from tco.model.nodes import MONTHS_A_YEAR, Line, Node
from tco.model.vocabulary import excess, largest
from tco.scenario.schema import Power, Scenario


def electricity(desk: Desk, block: Block, scenario: Scenario, press: Placed) -> Line | None:
    """Describe what one press draws; None where neither power nor a week's use is known."""
    used = _used(desk, block, scenario, press)
    return None if used is None else block.flow("kwh", "Electricity", "kWh/month", used)


def energy(desk: Desk, block: Block, scenario: Scenario, kwh: Line, clock: Clock) -> list[Charge]:
    """Describe what the electricity of one press costs, cooling included."""
    price = scenario.shop.electricity
    if price is None:
        return []
    each = desk.take(block, price, "Price of electricity", "money/kWh")
    cooling = desk.take(block, scenario.shop.cooling, "Added for cooling", "1", percent=True)
    cost = block.cost("cost", "Energy", "space and energy", kwh * each * (1 + cooling) * clock.price_level)
    return [Charge(cost, "energy")]


def _used(desk: Desk, block: Block, scenario: Scenario, press: Placed) -> Node | None:
    there = press.window
    if press.press.kwh_per_week is not None:
        weekly = desk.take(block, press.press.kwh_per_week, "Electricity a week", "kWh/week")
        weeks = desk.constant(block, "weeks_a_year")
        return weekly * weeks / MONTHS_A_YEAR * there.count * there.present
    power = press.press.power
    if power is None or scenario.shop.hours_per_week is None:
        return None
    return _by_state(desk, block, scenario, press, power, press.hours)


def _by_state(
    desk: Desk, block: Block, scenario: Scenario, press: Placed, power: Power, running: Line | None
) -> Node:
    """Hours close to the calendar: running, ready for the rest of the shop's hours, then asleep.

    A press without speeds has no hours worked: it is ready whenever the shop is open.
    """
    assert scenario.shop.hours_per_week is not None
    there = press.window
    weekly = desk.take(block, scenario.shop.hours_per_week, "Shop hours a week", "hour/week")
    weeks = desk.take(block, scenario.shop.weeks_per_year, "Weeks worked a year", "week/year")
    a_month = weekly * weeks / MONTHS_A_YEAR
    shop = block.line("shop_open", "Hours the shop is open", "hour/month", a_month * there.count)
    year = desk.constant(block, "hours_a_year")
    ready = block.line("ready", "Hours ready", "hour/month", shop + 0 if running is None else excess(shop, running))
    awake = shop + 0 if running is None else largest(shop, running)
    asleep = block.line("asleep", "Hours asleep", "hour/month", year / MONTHS_A_YEAR * there.count - awake)
    waits = desk.take(block, power.ready, "Power ready", "kW")
    sleeps = desk.take(block, power.sleep, "Power asleep", "kW")
    warm = desk.take(block, power.warm_up, "Warm-up a day", "kWh/day")
    a_kw_hour = desk.constant(block, "kwh_a_kw_hour")
    days = desk.constant(block, "working_days_a_week") * weeks / MONTHS_A_YEAR
    still = waits * ready + sleeps * asleep
    if running is not None:
        still = desk.take(block, power.running, "Power running", "kW") * running + still
    drawn = block.line("drawn", "Drawn by state", "kWh/month", still * a_kw_hour)
    warmed = block.line("warmed", "Drawn by warming up", "kWh/month", warm * days * there.count)
    return (drawn + warmed) * there.present


def space(desk: Desk, block: Block, scenario: Scenario, press: Placed, clock: Clock) -> list[Charge]:
    """Describe what the floor under one press costs."""
    price, area = scenario.shop.space_per_m2, press.press.space_m2
    if price is None or area is None:
        return []
    each = desk.a_month(block, price, "Floor space a square metre", "money/m2")
    taken = desk.take(block, area, "Floor space of one press", "m2")
    there = press.window
    due = each * taken * there.count * there.present * clock.price_level
    return [Charge(block.cost("space", "Floor space", "space and energy", due), "space")]

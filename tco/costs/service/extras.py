"""What stands beside clicks and base: fees, rebates, financed clicks, credits for hours down."""

from __future__ import annotations

from collections.abc import Sequence

from tco.costs.desk import Desk
from tco.costs.records import Clock, Placed
from tco.costs.service.contract import Contract
from tco.model.lines import Block
from tco.model.nodes import MONTHS_A_YEAR, Line
from tco.model.vocabulary import before, booked, cumulative, excess, joined, share, since, smallest, this_month
from tco.scenario.schema import Scenario, Service


def fee(desk: Desk, block: Block, plan: Service, contract: Contract, clock: Clock) -> list[Line]:
    """Account, portal and invoice fees, in each contract month, without increase."""
    if plan.fee_per_month is None:
        return []
    each = desk.take(block, plan.fee_per_month, "Fee a month", "money/month")
    return [block.cost("fee", "Fees of the plan", "service", each * contract.active * clock.live)]


def all_clicks(block: Block, clicks: Sequence[Line]) -> Line:
    """Clicks of all meters of the plan."""
    known = block.builder.by_id.get(f"{block.id}.every_click")
    if known is not None:
        return known
    return block.flow("every_click", "Clicks of all meters", "click/month", joined(clicks, "click/month"))


def rebate(desk: Desk, block: Block, plan: Service, clicks: Sequence[Line], contract: Contract) -> list[Line]:
    """Money back on the clicks of a period above a volume."""
    if plan.rebate is None:
        return []
    limit = desk.a_month(block, plan.rebate.above, "Clicks without rebate", "click")
    rate = desk.take(block, plan.rebate.rate, "Rebate a click", "money/click")
    made = block.line(
        "rebate_made", "Clicks of all meters in the period", "click", since(all_clicks(block, clicks), contract.opens)
    )
    above = block.line(
        "rebate_above", "Clicks with rebate", "click", excess(made, this_month(limit) * contract.counted)
    )
    return [block.cost("rebate", "Rebate", "service", booked(-1 * above * rate * contract.closes))]


def financed(desk: Desk, block: Block, plan: Service, above: Sequence[Line], at_list: Line) -> Line:
    """Click charges without those of the first clicks above the included ones, which another payment has paid.

    `above` are the chargeable clicks of each meter; the plan is settled monthly, so they are those of the month.
    """
    if plan.financed_clicks is None:
        return at_list
    paid = desk.take(block, plan.financed_clicks, "Clicks another payment has paid", "click")
    once = joined(above, "click", above[0].shape)
    every = block.flow("chargeable", "Clicks above the included ones", "click/month", booked(once))
    so_far = block.line("chargeable_so_far", "Clicks above the included ones so far", "click", cumulative(every))
    used = block.line("financed_used", "Paid clicks used so far", "click", smallest(paid, so_far))
    now = block.flow("financed_now", "Paid clicks used this month", "click/month", booked(used - before(used)))
    part = block.line("charged_share", "Share of them charged", "1", 1 - share(now, every), percent=True)
    return block.flow("at_list_charged", "Clicks at list rates, charged ones", "money/month", at_list * part)


def uptime(
    desk: Desk,
    block: Block,
    scenario: Scenario,
    plan: Service,
    presses: Sequence[Placed],
    contract: Contract,
    clock: Clock,
) -> list[Line]:
    """A credit for hours down beyond those the promised share of the shop hours allows."""
    if plan.uptime is None or scenario.shop.hours_per_week is None:
        return []
    promised = desk.take(block, plan.uptime.share, "Share of hours promised up", "1", percent=True)
    each = desk.take(block, plan.uptime.credit_per_hour, "Credit an hour down", "money/hour")
    weeks = desk.take(block, scenario.shop.weeks_per_year, "Weeks worked a year", "week/year")
    weekly = desk.take(block, scenario.shop.hours_per_week, "Shop hours a week", "hour/week")
    shop = block.line("shop_hours", "Shop hours a month", "hour/month", weekly * weeks / MONTHS_A_YEAR)
    down, there = [], []
    for place, one in enumerate(presses, 1):
        stops = desk.take(block, one.press.service_stop_hours, f"Hours press {place} is down", "hour/month")
        standing = one.window.count * one.window.present
        down.append(block.flow(f"down_{place}", f"Hours down, press {place}", "hour/month", stops * standing))
        there.append(block.flow(f"shop_{place}", f"Shop hours, press {place}", "hour/month", shop * standing))
    lost = block.flow("down", "Hours down", "hour/month", joined(down, "hour/month"))
    allowed = block.flow(
        "down_allowed", "Hours down allowed", "hour/month", joined(there, "hour/month") * (1 - promised)
    )
    credit = excess(lost, allowed) * each
    if plan.uptime.at_most is not None:
        credit = smallest(credit, desk.take(block, plan.uptime.at_most, "Highest credit a month", "money/month"))
    return [block.cost("uptime_credit", "Credit for hours down", "service", -1 * credit * contract.active * clock.live)]

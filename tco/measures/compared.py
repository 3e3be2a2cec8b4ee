"""The figures that candidates are compared by, one candidate at a time and side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Clock, Deal, Placement, Work
from tco.measures.statement import Statement, slug, worth_of
from tco.model.kinds import Axis
from tco.model.lines import COMPARISON, Block
from tco.model.nodes import MONTHS_A_YEAR, TWELVE, Line
from tco.model.vocabulary import (
    before,
    booked,
    cumulative,
    equals,
    highest,
    internal_rate,
    joined,
    power,
    present,
    share,
    stacked,
    this_month,
    total,
)


@dataclass(frozen=True)
class Counted:
    """Everything known of one candidate once all rooms have spoken."""

    id: str
    name: str
    block: Block
    statement: Statement
    deals: tuple[Deal, ...]
    placement: Placement
    bound: tuple[Line, ...]
    beyond: tuple[Line, ...]
    people: tuple[Line, Line] | None
    people_relief: tuple[Line, Line] | None
    may_stop: bool
    plans_bound: tuple[Line, ...]
    fixed_service: tuple[Line, ...] = ()


def basics(desk: Desk, work: Work, clock: Clock) -> dict[str, Line]:
    """Shared divisors: what a level month and a level side are worth at the start."""
    block = desk.builder.block("divisors", "Divisors of unit costs")
    months = block.event("months", "A month compared", clock.live)
    return {
        "months": block.line("annuity", "Months, in today's money", "1", present(months, clock.close)),
        "sides": block.line("sides", "Sides asked, in today's money", "side", present(work.asked_sides, clock.close)),
        "asked": block.line("asked", "Sides asked over all months", "side", total(work.asked_sides)),
    }


def measures(desk: Desk, one: Counted, reference: Counted | None, base: dict[str, Line], clock: Clock) -> None:
    """Describe the figures of one candidate; the reference has no saving against itself."""
    block, sums = one.block, one.statement
    upfront = [charge.line for deal in one.deals for charge in deal.charges if charge.line.timing == "opening"]
    first = block.event("first", "First month", equals(clock.month, 1))
    paid_first = block.flow("paid_first", "Paid at the openings", "money/month", joined(upfront, "money/month"))
    signing = block.flow("at_signing", "Paid at signing", "money/month", paid_first * this_month(first))
    block.memo("cash_up_front", "Cash up front", "money", total(signing))
    a_month = block.memo("level_month", "A month all in", "money/month", booked(sums.present_value / base["months"]))
    block.memo("present_value", "Today's money", "money", sums.present_value + 0)
    block.memo(
        "cost_per_side",
        "Price per page that just covers everything",
        "money/side",
        share(sums.present_value, base["sides"]),
    )
    block.memo("bound", "Bound to pay if nothing is printed", "money", joined(one.bound, "money", clock.horizon.shape))
    if one.may_stop:
        _without_funds(one, clock)
    if reference is not None:
        _against(desk, one, reference, clock)
    block.memo("total", "Total cost, as paid", "money", sums.total + 0)
    block.memo("average_side", "Average cost per side, as paid", "money/side", share(sums.total, base["asked"]))
    block.memo("level_year", "A year all in", "money/year", a_month * MONTHS_A_YEAR)
    block.memo(
        "committed_beyond",
        "Committed beyond the months compared",
        "money",
        joined(one.beyond, "money", clock.horizon.shape),
    )
    for kind in sums.by_kind:
        line = block.builder.by_id[f"{sums.net.block.id}.pv_{slug(kind)}"]
        block.memo(f"pv_{slug(kind)}", f"{kind.capitalize()}, today's money", "money", line + 0)
    _financing(one, clock)
    _stopping(one)
    _uncovered(desk, one)
    _policies(one, clock)


def _against(desk: Desk, one: Counted, reference: Counted, clock: Clock) -> None:
    """Saving against the reference, when it has paid back, and at what rate of return."""
    block, mine, theirs = one.block, one.statement, reference.statement
    block.memo("saving", "Saves against the reference", "money", theirs.present_value - mine.present_value)
    saved = block.flow("saved", "Saved in the month", "money/month", theirs.net - mine.net)
    so_far = block.line("saved_so_far", "Saved so far", "money", cumulative(saved))
    cent = desk.constant(block, "cent")
    behind = block.event("behind", "Not yet paid back", so_far <= cent)
    last_behind = block.line("behind_month", "Months not yet paid back", "1", clock.month * this_month(behind))
    latest = block.line("latest_behind", "Last month not yet paid back", "1", highest(last_behind))
    # Relief of tax arrives after the months compared as well, so the last column decides.
    end = block.line("last_column", "Last month of any flow", "1", highest(clock.month))
    block.memo("payback_month", "Paid back for good from month (0: never)", "1", (latest + 1) * (latest < end))
    close_before = before(theirs.close) - before(mine.close)
    stream = block.flow("stream", "Saved, by instant", "money/month", theirs.opening - mine.opening + close_before)
    sign = block.line(
        "sign", "Sign of the instant", "1", (this_month(stream) > cent) - (this_month(stream) < -1 * cent)
    )
    clear = block.flow("clear", "Saved, by instant, what counts", "money/month", stream * (sign * sign))
    carried = block.declare("carried", "Latest sign", "1")
    carried.total = "none"
    carried.becomes(sign + equals(sign, 0) * before(carried))
    turns = block.event("turns", "Sign changes", equals(sign * before(carried), -1))
    changes = block.line("sign_changes", "Number of sign changes", "1", total(turns))
    block.memo(
        "irr_status", "Rates of return that exist (2: several)", "1", equals(changes, 1) + (changes > 1) + (changes > 1)
    )
    monthly = block.line(
        "irr_month",
        "Rate of return a month, if there is one",
        "1",
        internal_rate(clear) * equals(changes, 1),
        percent=True,
    )
    block.memo("irr", "Rate of return a year, effective", "1", power(1 + monthly, TWELVE) - 1, percent=True)


def _financing(one: Counted, clock: Clock) -> None:
    """Today's money split into the press at its cash price and the effect of how it is paid."""
    bought = [deal for deal in one.deals if deal.financing]
    if not bought or any(deal.at_cash is None for deal in bought):
        return
    block = one.block
    paid = [line for deal in bought for line in deal.financing]
    worth = worth_of(block, "paid_for", "Way of paying", paid, clock)
    prices = [deal.at_cash for deal in bought if deal.at_cash is not None]
    at_once = block.flow("at_once", "The same presses for cash", "money/month", joined(prices, "money/month"))
    cash = block.line("cash_worth", "Cash prices in today's money", "money", present(at_once, clock.opening))
    effect = block.memo("financing_effect", "Effect of how it is paid", "money", worth - cash)
    block.memo("at_cash_price", "Equipment and running at cash price", "money", one.statement.present_value - effect)


def _without_funds(one: Counted, clock: Clock) -> None:
    """What is bound when leases and service may end with the first fiscal year."""
    block, known = one.block, one.block.builder.by_id
    rows = [line for deal in one.deals for line in deal.stops]
    asked = block.flow("stops", "Rents by contract", "money/month", joined(rows, "money/month"))
    later = block.flow("stops_later", "Rents after the fiscal year", "money/month", asked * (clock.fiscal_year > 1))
    ends = block.line("stops_rents", "Rents that end without funds", "money", total(later))
    parts = [ends]
    for place, plan in enumerate(one.plans_bound, 1):
        active, length = known[f"{plan.block.id}.active"], known[f"{plan.block.id}.length"]
        month = block.event(f"funded_{place}", f"Contract month in the first fiscal year, plan {place}",
                            active & equals(clock.fiscal_year, 1))  # fmt: skip
        months = block.line(f"funded_months_{place}", f"Contract months there, plan {place}", "1", total(month))
        rest = plan * (1 - share(months, length))
        parts.append(block.line(f"stops_plan_{place}", f"Service that ends without funds, plan {place}", "money", rest))
    ended = block.line("stops_all", "Ends without funds", "money", joined(parts, "money", clock.horizon.shape))
    block.memo("bound_if_funds_stop", "Bound if no money is granted after the fiscal year", "money",
               known[f"{block.id}.bound"] - ended)  # fmt: skip


def _stopping(one: Counted) -> None:
    """What everything would have cost if it ended after a month, and what falls due by contract in any case."""
    block, deals = one.block, one.deals
    bound = [line for deal in deals for line in deal.still_bound]
    worth = [deal.worth for deal in deals if deal.worth is not None]
    owed = block.line("still_bound", "Equipment still bound after the month", "money", joined(bound, "money"))
    fetches = block.line("worth", "Presses would fetch, in a straight line", "money", joined(worth, "money"))
    so_far = block.builder.by_id[f"{one.statement.net.block.id}.cumulative"]
    after = block.memo("stop_after", "Cost if it stops after the month", "money", so_far + owed - fetches)
    after.total = "none"
    rows = [line for deal in deals for line in deal.contract]
    block.memo("contracted", "Equipment contracted on signing", "money/month", joined(rows, "money/month"))


def _uncovered(desk: Desk, one: Counted) -> None:
    block, rest = one.block, one.placement.unplaced_sides
    block.memo("unplaced_sides", "Sides that nobody prints, in all", "side", total(rest))
    open_months = block.event(
        "uncovered", "Month with work that nobody does", this_month(rest) > desk.constant(block, "side_tolerance")
    )
    block.memo("uncovered_months", "Months with work that nobody does", "1", total(open_months))


def _policies(one: Counted, clock: Clock) -> None:
    """The same candidate under both policies about freed hours; where nobody is counted they are alike."""
    block = one.block
    if one.people is None:
        return
    saved, stay = one.people
    counted = block.builder.by_id[f"{one.id}.people.cost"]
    words = (("saved", "freed hours really saved", saved), ("stay", "same people paid anyway", stay))
    for place, (key, label, row) in enumerate(words):
        changed = row - counted if one.people_relief is None else row - counted + one.people_relief[place]
        difference = block.flow(f"people_{key}", f"Difference if {label}", "money/month", changed)
        extra = block.line(
            f"people_{key}_worth", f"Worth of the difference if {label}", "money", present(difference, clock.close)
        )
        block.memo(f"pv_people_{key}", f"Today's money, {label}", "money", one.statement.present_value + extra)


def side_by_side(desk: Desk, everyone: Sequence[Counted]) -> None:
    """The measures of all candidates as columns of one small table, and the lowest cost."""
    block = desk.builder.block("comparison", "Comparison", COMPARISON)
    axis = Axis("candidate", tuple(one.name for one in everyone))
    for key, label, measure in (
        ("cash_up_front", "Cash up front", "money"),
        ("level_month", "A month all in", "money/month"),
        ("present_value", "Today's money", "money"),
        ("cost_per_side", "Price per page that just covers everything", "money/side"),
        ("bound", "Bound to pay if nothing is printed", "money"),
        ("unplaced_sides", "Sides that nobody prints", "side"),
    ):
        cells = [one.block.builder.by_id[f"{one.block.id}.{key}"] for one in everyone]
        block.line(key, label, measure, stacked(axis, cells))

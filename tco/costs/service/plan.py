"""The service plan: base, clicks, allowances, bands, minimums, settled by month, quarter or contract year.

A plan covers one press or a pool of them. Allowances and minimums are amounts a month; a period of the plan counts its
months in full, or as many as there were when the plan settles part periods pro rata. Each part of a plan has a file of
its own beside this one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Minimum, Placed, Work
from tco.costs.service.commitment import (
    base,
    early_end,
    exit_share,
    instalments,
    larger,
    left_early,
    true_up,
    under_use,
)
from tco.costs.service.contract import contract
from tco.costs.service.extras import fee, financed, rebate, uptime
from tco.costs.service.ladder import ladder
from tco.costs.service.meter import Metered, meter
from tco.costs.service.prices import price_factor
from tco.costs.service.routes import routes
from tco.costs.service.toner import toner_above_cap
from tco.model.lines import Block
from tco.model.nodes import Line
from tco.model.vocabulary import joined, this_month
from tco.scenario.schema import Scenario, Service


@dataclass(frozen=True)
class Plan:
    """What the rest of the model needs of a plan: costs, what is bound, clicks, what a month moves by class.

    `clicks` are rows by meter, `click_columns` the clicks of an average month by class, one column for each meter;
    `before_credit` are such columns before copies are credited.
    """

    charges: tuple[Charge, ...]
    bound: Line
    beyond: Line
    clicks: dict[str, Line]
    click_columns: tuple[Line, ...]
    before_credit: tuple[Line, ...]
    moves: Line
    minimum: Minimum | None = None


def service(
    desk: Desk, block: Block, scenario: Scenario, plan: Service, presses: Sequence[Placed], work: Work, clock: Clock
) -> Plan:
    """Describe what a service plan bills."""
    term = contract(desk, block, plan, presses, clock)
    factor = price_factor(desk, block, scenario, plan, term, clock)
    meters = [
        meter(desk, block, scenario, plan, presses, work, route, term, clock)
        for route in routes(desk, block, plan, work)
    ]
    clicks = [one.clicks.made for one in meters]
    fees = base(desk, block, scenario, plan, factor, term, clock, is_left=exit_share(presses) is not None)
    charges = [line for one in meters for line in one.charges]
    at_list = block.line("at_list", "Clicks at list rates", "money/month", joined(charges, "money/month"))
    at_list = financed(desk, block, plan, [one.settled.above for one in meters], at_list)
    due = at_list * factor if "rates" in plan.increase_on else at_list + 0
    if plan.instalments:
        charge = block.flow("click_charge", "Click charges, inside the instalments", "money/month", due)
    else:
        charge = block.cost("click_charge", "Click charges", "service", due)
    costs, minimum, for_press = [*fees.due, charge], None, None
    if plan.minimum_charge is not None:
        floor = desk.a_month(block, plan.minimum_charge, "Minimum charge", "money")
        for_press = Minimum(plan, floor, term.first, term.period) if plan.equipment_share is not None else None
        minimum = block.line(
            "minimum_bound", "Minimum charges over the contract", "money", this_month(floor) * term.length
        )
        if plan.instalments:
            costs = instalments(block, plan, floor, factor, costs, term, clock)
        else:
            costs.append(true_up(block, plan, floor, factor, costs, term))
    costs.extend(under_use(desk, block, plan, meters, factor, term))
    toner, toner_columns = toner_above_cap(desk, block, scenario, plan, presses, work, factor)
    costs.extend(toner)
    costs.extend(fee(desk, block, plan, term, clock))
    costs.extend(rebate(desk, block, plan, clicks, term))
    costs.extend(uptime(desk, block, scenario, plan, presses, term, clock))
    binds = larger(block, minimum, [one.committed for one in meters if one.committed is not None])
    once = clock.horizon.shape
    bound = block.line("bound", "Bound by the plan", "money", joined([*fees.bound, *binds], "money", once))
    moved = [_moved(block, one) for one in meters]
    ladder(desk, block, plan, meters, moved, presses, work)
    owed = early_end(desk, block, plan, presses, fees, binds, term)
    claimed = left_early(desk, block, presses, owed, clock)
    return Plan(
        (*(Charge(line, "service") for line in costs), *(Charge(line, "settlement") for line in claimed)),
        bound,
        block.line("beyond", "Base beyond the months compared", "money", joined(fees.beyond, "money", once)),
        {one.route.meter.id: one.clicks.made for one in meters},
        tuple(one.clicks.by_class for one in meters),
        tuple(one.clicks.before_credit for one in meters),
        _moves(block, [*moved, *toner_columns], work),
        for_press,
    )


def _moved(block: Block, one: Metered) -> Line:
    """What a month of work moves by class on one meter, at its first rates."""
    meter = one.route.meter
    return block.line(f"{meter.id}_moves", f"{meter.label} clicks, money a month", "money/month", one.moves)


def _moves(block: Block, parts: Sequence[Line], work: Work) -> Line:
    """What a month of work moves by class, at the first rates: what one more job costs in clicks."""
    both = joined(parts, "money/month", work.sides.shape)
    return block.line("moves", "Clicks by class, money a month", "money/month", both)

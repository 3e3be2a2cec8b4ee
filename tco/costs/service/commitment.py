"""What is due whatever is printed: base, minimum charge by true-up or instalments, credit for under-use, what binds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Clock, Placed
from tco.costs.service.contract import Contract
from tco.costs.service.meter import Metered
from tco.costs.service.prices import listed_base
from tco.model.lines import Block
from tco.model.nodes import Line
from tco.model.vocabulary import booked, cumulative, equals, excess, joined, largest, since, this_month, total
from tco.scenario.schema import Figure, Scenario, Service


@dataclass(frozen=True)
class Base:
    """The base fee as due each month, what it binds, what of it lies beyond the horizon; empty when there is none."""

    due: tuple[Line, ...] = ()
    listed: tuple[Line, ...] = ()
    bound: tuple[Line, ...] = ()
    beyond: tuple[Line, ...] = ()


def base(
    desk: Desk,
    block: Block,
    scenario: Scenario,
    plan: Service,
    factor: Line,
    contract: Contract,
    clock: Clock,
    *,
    is_left: bool,
) -> Base:
    """The fee that is due at the opening of each contract month; inside the instalments it is no cost of its own.

    `is_left` tells that the plan may be left early for a share of what it still binds.
    """
    if plan.base is None:
        return Base()
    fee = listed_base(desk, block, scenario, plan, plan.base, clock)
    due = fee * factor if "base" in plan.increase_on else fee + 0
    now = due * contract.active * clock.live
    if plan.instalments:
        paid = block.flow("base", "Base fee, inside the instalments", "money/month", now)
    else:
        paid = block.cost("base", "Base fee", "service", now, "opening")
    listed: tuple[Line, ...] = ()
    if fee.shape.months or is_left or plan.ends_with_service is not None:
        listed = (block.flow("base_listed", "Base of the contract, unescalated", "money/month", fee * contract.active),)
    whole = total(listed[0]) if fee.shape.months else this_month(fee) * contract.length
    bound = block.line("base_bound", "Base over the contract", "money", whole)
    late = block.flow("base_beyond", "Base beyond the horizon", "money/month", due * contract.active * ~clock.live)
    after = block.line("base_after", "Base beyond the horizon, in all", "money", total(late))
    return Base((paid,), listed, (bound,), (after,))


def true_up(
    block: Block, plan: Service, floor: Line, factor: Line, charges: Sequence[Line], contract: Contract
) -> Line:
    """What is missing to the minimum charge when a period closes."""
    charged = block.flow("charged", "Base and clicks", "money/month", joined(charges, "money/month"))
    to_date = block.line("charged_to_date", "Charged in the period to date", "money", since(charged, contract.opens))
    wanted = this_month(floor) * contract.counted
    least = block.line(
        "least", "Minimum of the period", "money", wanted * factor if "minimum_charge" in plan.increase_on else wanted
    )
    return block.cost("true_up", "True-up to the minimum", "service", booked(excess(least, to_date) * contract.closes))


def instalments(
    block: Block,
    plan: Service,
    floor: Line,
    factor: Line,
    charges: Sequence[Line],
    contract: Contract,
    clock: Clock,
) -> list[Line]:
    """The minimum paid month by month; when a period closes, what base and clicks exceed it by."""
    each = floor * factor if "minimum_charge" in plan.increase_on else floor + 0
    paid = block.cost("instalment", "Instalment of the minimum", "service", each * contract.active * clock.live)
    charged = block.flow("charged", "Base and clicks", "money/month", joined(charges, "money/month"))
    to_date = block.line("charged_to_date", "Charged in the period to date", "money", since(charged, contract.opens))
    so_far = block.line("instalments_to_date", "Instalments of the period", "money", since(paid, contract.opens))
    more = booked(excess(to_date, so_far) * contract.closes)
    return [paid, block.cost("settlement", "Base and clicks above the instalments", "service", more)]


def under_use(
    desk: Desk, block: Block, plan: Service, meters: Sequence[Metered], factor: Line, contract: Contract
) -> list[Line]:
    """Credits for clicks of a minimum that were not made, when a period closes."""
    made = []
    for one in meters:
        terms = one.route.meter
        if terms.own is None or terms.own.under_use_credit is None or one.settled.minimum is None:
            continue
        rate = desk.take(block, terms.own.under_use_credit, f"{terms.label}: credit a click not made", "money/click")
        missing = block.line(
            f"{terms.id}_not_made",
            f"{terms.label} clicks of the minimum not made",
            "click",
            excess(this_month(one.settled.minimum) * contract.counted, one.settled.made),
        )
        due = booked(missing * rate * contract.closes)
        credit = -1 * due * factor if "rates" in plan.increase_on else -1 * due
        made.append(block.cost(f"{terms.id}_under_use", f"{terms.label}: credit for under-use", "service", credit))
    return made


def larger(block: Block, minimum: Line | None, committed: Sequence[Line]) -> list[Line]:
    """Of a minimum in money and minimums in clicks the larger binds."""
    if not committed:
        return [] if minimum is None else [minimum]
    clicks = block.line(
        "clicks_bound", "Minimum clicks over the plan", "money", joined(committed, "money", committed[0].shape)
    )
    if minimum is None:
        return [clicks]
    return [block.line("minimum_binds", "Minimum that binds", "money", largest(minimum, clicks))]


def exit_share(presses: Sequence[Placed]) -> Figure | None:
    """Return the share claimed of a press's own plan when its lease is left early; a plan of several is not its own."""
    lease = presses[0].press.new_lease if len(presses) == 1 else None
    return lease.exit_service_share if lease is not None and lease.exit_month is not None else None


def early_end(
    desk: Desk,
    block: Block,
    plan: Service,
    presses: Sequence[Placed],
    fees: Base,
    binds: Sequence[Line],
    contract: Contract,
) -> Line | None:
    """Describe what base and minimum still bind after a month, and what is claimed of it then, which is in no sum."""
    if plan.ends_with_service is None and exit_share(presses) is None:
        return None
    parts = []
    for line in fees.listed:
        so_far = block.line("base_so_far", "Base of the months so far", "money", cumulative(line))
        whole = block.line("base_listed_whole", "Base of all months", "money", total(line))
        parts.append(block.line("base_left", "Base of the months left", "money", (whole - so_far) * contract.active))
    if binds:
        least = joined(binds, "money", binds[0].shape)
        left = (contract.length - contract.month) * contract.active
        parts.append(block.line("minimum_left", "Minimum of the months left", "money", least / contract.length * left))
    owed = block.line("service_left", "Base and minimum of the months left", "money", joined(parts, "money"))
    if plan.ends_with_service is not None:
        claimed = desk.take(block, plan.ends_with_service, "Share claimed at an early end", "1", percent=True)
        block.line("early_end", "Claimed if the plan ends after this month", "money", owed * claimed, role="memo")
    return owed


def left_early(
    desk: Desk, block: Block, presses: Sequence[Placed], owed: Line | None, clock: Clock
) -> list[Line]:
    """Describe what is paid of the plan when the lease of its press is left early."""
    share = exit_share(presses)
    lease = presses[0].press.new_lease
    if share is None or owed is None or lease is None or lease.exit_month is None:
        return []
    part = desk.take(block, share, "Share of the plan claimed at an early exit", "1", percent=True)
    after = desk.take(block, lease.exit_month, "Left after months (0: never)", "1")
    leaves = equals(clock.month - presses[0].window.first + 1, after) & (after > 0) & clock.live
    goes = block.event("exits", "Press left early", leaves)
    return [block.cost("exit_service", "Paid for leaving the plan", "service", owed * part * goes)]

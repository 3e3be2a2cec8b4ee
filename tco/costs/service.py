"""The service plan: base, clicks, allowances, bands, minimums, settled by month, quarter or contract year.

A plan covers one press or a pool of them. Allowances and minimums are amounts a month; a period of the plan counts its
months in full, or as many as there were when the plan settles part periods pro rata.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import BLACK, COLOUR, Charge, Clock, Placed, Work
from tco.model.kinds import Axis, Origin
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.model.vocabulary import (
    across,
    band,
    booked,
    down,
    entry,
    equals,
    excess,
    joined,
    largest,
    mod,
    power,
    since,
    smallest,
    stacked,
    this_month,
    total,
)
from tco.scenario.figure import Band, Figure, YearMonth
from tco.scenario.schema import Scenario, Service

PERIODS = {"monthly": 1, "quarterly": 3, "yearly": 12}


@dataclass(frozen=True)
class Plan:
    """What the rest of the model needs of a plan: costs, what is bound, clicks, what a month moves by class."""

    charges: tuple[Charge, ...]
    bound: Line
    beyond: Line
    clicks: dict[str, Line]
    moves: Line


@dataclass(frozen=True)
class _Meter:
    """One meter of a plan: its clicks, by month and by class, its charge, and what it commits to."""

    clicks: Line
    by_class: Line
    charge: Line
    first_rate: Line
    committed: Line | None


@dataclass(frozen=True)
class _Base:
    """The base fee, what it binds and what of it lies beyond the horizon; empty when there is none."""

    charges: tuple[Line, ...]
    bound: tuple[Line, ...]
    beyond: tuple[Line, ...]


@dataclass(frozen=True)
class _Contract:
    """Rows of a contract's own calendar."""

    month: Line
    active: Line
    length: Line
    opens: Line
    closes: Line
    counted: Line
    period: Line


def service(
    desk: Desk, block: Block, scenario: Scenario, plan: Service, presses: Sequence[Placed], work: Work, clock: Clock
) -> Plan:
    """Describe what a service plan bills."""
    contract = _contract(desk, block, plan, presses, clock)
    factor = _price_factor(desk, block, scenario, plan, contract)
    meters = {
        colour: _meter(desk, block, plan, colour, presses, work, contract)
        for colour in (COLOUR, BLACK)
        if getattr(plan, colour) is not None and any(work.marks(colour))
    }
    base = _base(desk, block, plan, factor, contract, clock)
    at_list = block.line(
        "at_list", "Clicks at list rates", "money/month", joined([one.charge for one in meters.values()], "money/month")
    )
    due = at_list * factor if "rates" in plan.increase_on else at_list + 0
    charges = [*base.charges, block.cost("click_charge", "Click charges", "service", due)]
    least = [one.committed for one in meters.values() if one.committed is not None]
    minimum: Line | None = None
    if plan.minimum_charge is not None:
        floor = desk.a_month(block, plan.minimum_charge, "Minimum charge", "money")
        whole = this_month(floor) * contract.length
        minimum = block.line("minimum_bound", "Minimum charges over the contract", "money", whole)
        charges.append(_true_up(block, plan, floor, factor, charges, contract))
    once = clock.horizon.shape
    bound = joined([*base.bound, *_larger(block, minimum, least)], "money", once)
    return Plan(
        tuple(Charge(line, "service") for line in charges),
        block.line("bound", "Bound by the plan", "money", bound),
        block.line("beyond", "Base beyond the months compared", "money", joined(base.beyond, "money", once)),
        {colour: one.clicks for colour, one in meters.items()},
        _moves(block, meters, work),
    )


def _moves(block: Block, meters: Mapping[str, _Meter], work: Work) -> Line:
    """What a month of work moves by class, at the first rates: what one more job costs in clicks."""
    parts = []
    for colour, one in meters.items():
        each = one.by_class * one.first_rate
        parts.append(block.line(f"{colour}_moves", f"{colour.capitalize()} clicks, money a month", "money/month", each))
    return block.line(
        "moves", "Clicks by class, money a month", "money/month", joined(parts, "money/month", work.sides.shape)
    )


def _base(desk: Desk, block: Block, plan: Service, factor: Line, contract: _Contract, clock: Clock) -> _Base:
    """The fee that is due whatever is printed, at the opening of each contract month."""
    if plan.base is None:
        return _Base((), (), ())
    fee = desk.a_month(block, plan.base, "Base", "money")
    due = fee * factor if "base" in plan.increase_on else fee + 0
    paid = block.cost("base", "Base fee", "service", due * contract.active * clock.live, "opening")
    bound = block.line("base_bound", "Base over the contract", "money", this_month(fee) * contract.length)
    late = block.flow("base_beyond", "Base beyond the horizon", "money/month", due * contract.active * ~clock.live)
    after = block.line("base_after", "Base beyond the horizon, in all", "money", total(late))
    return _Base((paid,), (bound,), (after,))


def _contract(desk: Desk, block: Block, plan: Service, presses: Sequence[Placed], clock: Clock) -> _Contract:
    first = block.line("first", "First contract month", "1", _extreme([one.window.first for one in presses], smallest))
    used = block.line(
        "used_until", "Last month a press is there", "1", _extreme([one.window.last for one in presses], largest)
    )
    use = block.line("use", "Months of use", "1", used - first + 1)
    if plan.months is None:
        length = block.line("length", "Months of the plan", "1", use + 0)
    else:
        stated = desk.take(block, plan.months, "Contract length", "1")
        length = block.line("length", "Months of the plan", "1", largest(stated, use))
    running = (clock.month >= first) & (clock.month <= first + length - 1)
    active = block.state("active", "In contract", running)
    month = block.line("month", "Contract month", "1", (clock.month - first + 1) * active)
    noted = Origin(source=f"settled {plan.settled}")
    period = block.given(
        "period", "Months in a settlement period", "1", PERIODS[plan.settled], role="constant", origin=noted
    )
    opens = block.state("opens", "Opens a settlement period", active & equals(mod(month - 1, period), 0))
    ends = block.state(
        "ends", "Last month of plan or comparison", equals(month, length) | equals(clock.month, clock.horizon)
    )
    closes = block.state(
        "closes", "Closes a settlement period", active & clock.live & (ends | equals(mod(month, period), 0))
    )
    if plan.stub == "full":
        counted = period
    else:
        a_month = block.event("counts", "Counts a month", active)
        counted = block.line("counted", "Months counted in the period", "1", since(a_month, opens))
    return _Contract(month, active, length, opens, closes, counted, period)


def _extreme(lines: Sequence[Line], pick: object) -> Node:
    if len(lines) == 1:
        return lines[0] + 0
    return pick(*lines)  # type: ignore[operator,no-any-return]


def _price_factor(desk: Desk, block: Block, scenario: Scenario, plan: Service, contract: _Contract) -> Line:
    asked = desk.take(block, plan.increase, "Increase", "1", percent=True)
    step = asked
    if plan.increase_cap is not None:
        cap = desk.take(block, plan.increase_cap, "Increase at most", "1", percent=True)
        step = block.line("step", "Increase allowed", "1", smallest(asked, cap), percent=True)
    every = desk.take(block, plan.increase_every, "Months between increases", "1")
    if isinstance(plan.increase_from, YearMonth):
        when = desk.date(block, "increase_month", "Month of the first increase", scenario, plan.increase_from)
        begin = block.line(
            "increase_from",
            "Contract month of the first increase",
            "1",
            when - block.builder.by_id[f"{block.id}.first"] + 1,
        )
    else:
        begin = desk.take(block, plan.increase_from, "Contract month of the first increase", "1")
    raised = block.line("raised", "Increases so far", "1", largest(0, down((contract.month - begin) / every) + 1))
    return block.line("factor", "Price factor", "1", power(1 + step, raised))


def _clicks(
    desk: Desk, block: Block, plan: Service, presses: Sequence[Placed], work: Work, colour: str
) -> tuple[Line, Line]:
    """Passes become clicks by the plan's rule: large sheets count more than once, blank backs perhaps not at all."""
    word = colour.capitalize()
    marks = desk.fixed(block, f"{colour}_classes", f"Printed in {colour}", "1", work.axis, work.marks(colour))
    times = desk.take(block, plan.oversize_counts, "Clicks a large side", "click/side")
    small = desk.constant(block, "click_a_side")
    passes = work.passes if plan.blank_backs == "count" or work.run_blanks is None else work.passes - work.run_blanks
    by_class = block.line(
        f"{colour}_by_class",
        f"{word} clicks, average month",
        "click/month",
        passes * (small + (times - small) * work.large) * marks,
    )
    parts, rows = [], []
    for place, one in enumerate(presses):
        share = f" of press {place + 1}" if len(presses) > 1 else ""
        row = block.flow(
            f"{colour}_clicks_{place + 1}", f"{word} clicks{share}", "click/month", across(by_class, one.done)
        )
        parts.append(row)
        rows.append(row)
    if len(parts) == 1:
        return parts[0], by_class
    pool = joined(parts, "click/month")
    return block.flow(f"{colour}_clicks", f"{word} clicks of the pool", "click/month", pool), by_class


def _meter(
    desk: Desk,
    block: Block,
    plan: Service,
    colour: str,
    presses: Sequence[Placed],
    work: Work,
    contract: _Contract,
) -> _Meter:
    """Describe the charge of one meter at list rates, the rate a first click costs, and the clicks it commits to."""
    rate: Figure | tuple[Band, ...] = getattr(plan, colour)
    clicks, by_class = _clicks(desk, block, plan, presses, work, colour)
    word = colour.capitalize()
    minimum = getattr(plan.minimum, colour) if plan.minimum is not None else None
    included = getattr(plan.included, colour) if plan.included is not None else None
    made = block.line(f"{colour}_made", f"{word} clicks of the period", "click", since(clicks, contract.opens))
    above, least = made, None
    if minimum is not None:
        least = desk.a_month(block, minimum, f"Minimum {colour} clicks", "click")
        above = block.line(
            f"{colour}_billed", f"{word} clicks billed", "click", largest(made, this_month(least) * contract.counted)
        )
    if included is not None:
        free = desk.a_month(block, included, f"Included {colour} clicks", "click")
        above = block.line(
            f"{colour}_above",
            f"{word} clicks above the allowance",
            "click",
            excess(above, this_month(free) * contract.counted),
        )
    if isinstance(rate, Figure):
        first = desk.take(block, rate, f"{word} rate", "money/click")
        price: Node = above * first
    else:
        price, first = _banded(desk, block, plan, colour, rate, above, contract)
    charge = block.flow(
        f"{colour}_charge", f"{word} clicks at list rates", "money/month", booked(price * contract.closes)
    )
    committed = None
    if least is not None:
        committed = block.line(
            f"{colour}_committed",
            f"Minimum {colour} clicks over the plan",
            "money",
            this_month(least) * contract.length * first,
        )
    return _Meter(clicks, by_class, charge, first, committed)


def _banded(
    desk: Desk, block: Block, plan: Service, colour: str, bands: tuple[Band, ...], above: Line, contract: _Contract
) -> tuple[Node, Line]:
    """Bands read one way or the other: every click at the rate reached, or each block of clicks at its own."""
    word = colour.capitalize()
    axis = Axis(f"band of {colour}", tuple(f"from {one.from_.number:,.0f}" for one in bands))
    starts = desk.column(block, f"{colour}_from", f"{word} band from", "click", axis, [one.from_ for one in bands])
    rates = desk.column(block, f"{colour}_rate", f"{word} band rate", "money/click", axis, [one.rate for one in bands])
    first = block.line(f"{colour}_first_rate", f"{word} rate of the first band", "money/click", entry(rates, 0))
    part = block.line(f"{colour}_part", "Share of a settlement period", "1", contract.counted / contract.period)
    if plan.bands == "all units":
        reached = block.line(
            f"{colour}_reached",
            f"{word} rate reached",
            "money/click",
            band(rates, starts, above / largest(part, desk.constant(block, "tolerance"))),
        )
        return above * reached, first
    ends = [entry(starts, place) for place in range(1, len(bands))] + [desk.constant(block, "no_limit") + 0]
    until = block.line(f"{colour}_until", f"{word} band to", "click", stacked(axis, ends))
    inside = block.line(
        f"{colour}_in_band", f"{word} clicks in band", "click", excess(smallest(above, until * part), starts * part)
    )
    return block.line(f"{colour}_banded", f"{word} clicks by band", "money", across(rates, inside)) + 0, first


def _true_up(
    block: Block, plan: Service, floor: Line, factor: Line, charges: Sequence[Line], contract: _Contract
) -> Line:
    """What is missing to the minimum charge when a period closes."""
    charged = block.flow("charged", "Base and clicks", "money/month", joined(charges, "money/month"))
    to_date = block.line("charged_to_date", "Charged in the period to date", "money", since(charged, contract.opens))
    wanted = this_month(floor) * contract.counted
    least = block.line(
        "least", "Minimum of the period", "money", wanted * factor if "minimum_charge" in plan.increase_on else wanted
    )
    return block.cost("true_up", "True-up to the minimum", "service", booked(excess(least, to_date) * contract.closes))


def _larger(block: Block, minimum: Line | None, committed: Sequence[Line]) -> list[Line]:
    """Of a minimum in money and minimums in clicks the larger binds."""
    if not committed:
        return [] if minimum is None else [minimum]
    clicks = block.line(
        "clicks_bound", "Minimum clicks over the plan", "money", joined(committed, "money", committed[0].shape)
    )
    if minimum is None:
        return [clicks]
    return [block.line("minimum_binds", "Minimum that binds", "money", largest(minimum, clicks))]

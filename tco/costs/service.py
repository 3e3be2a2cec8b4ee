"""The service plan: base, clicks, allowances, bands, minimums, settled by month, quarter or contract year.

A plan covers one press or a pool of them. Allowances and minimums are amounts a month; a period of the plan counts its
months in full, or as many as there were when the plan settles part periods pro rata.
"""

from __future__ import annotations

from collections.abc import Sequence
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
    """What the rest of the model needs of a plan: its costs, what is bound, its clicks by colour, its rates today."""

    charges: tuple[Charge, ...]
    bound: Line
    beyond: Line
    clicks: dict[str, Line]
    clicks_by_class: dict[str, list[Line]]
    first_rates: dict[str, Line]


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
    clicks, by_class = {}, {}
    billed, first_rates, least = [], {}, []
    for colour in (COLOUR, BLACK):
        rate = getattr(plan, colour)
        if rate is None or not any(work.marks(colour)):
            continue
        clicks[colour], by_class[colour] = _clicks(desk, block, plan, presses, work, colour)
        charge, first, committed = _meter(desk, block, plan, colour, rate, clicks[colour], contract)
        billed.append(charge)
        first_rates[colour] = first
        if committed is not None:
            least.append(committed)
    rise = factor if "rates" in plan.increase_on else None
    charges: list[Line] = []
    bound: list[Line] = []
    fixed = clock.live
    if plan.base is not None:
        base = desk.a_month(block, plan.base, "Base", "money")
        due = base * factor if "base" in plan.increase_on else base + 0
        charges.append(block.cost("base", "Base fee", "service", due * contract.active * clock.live, "opening"))
        bound.append(block.line("base_bound", "Base over the contract", "money", _times(base, contract.length)))
        fixed = block.flow("base_beyond", "Base beyond the horizon", "money/month", due * contract.active * ~clock.live)
    at_list = block.line("at_list", "Clicks at list rates", "money/month", joined(billed, "money/month"))
    charges.append(block.cost("click_charge", "Click charges", "service", at_list if rise is None else at_list * rise))
    minimum: Line | None = None
    if plan.minimum_charge is not None:
        floor = desk.a_month(block, plan.minimum_charge, "Minimum charge", "money")
        minimum = block.line(
            "minimum_bound", "Minimum charges over the contract", "money", _times(floor, contract.length)
        )
        charges.append(_true_up(block, plan, floor, factor, charges, contract))
    bound.extend(_larger(block, minimum, least))
    beyond = fixed if plan.base is not None else None
    return Plan(
        tuple(Charge(line, "service") for line in charges),
        block.line("bound", "Bound by the plan", "money", joined(bound, "money", clock.horizon.shape)),
        block.line(
            "beyond",
            "Base beyond the months compared",
            "money",
            joined([], "money", clock.horizon.shape) if beyond is None else total(beyond),
        ),
        clicks,
        by_class,
        first_rates,
    )


def _times(a_month: Line, months: Line) -> Node:
    """A flow over a number of months."""
    return this_month(a_month) * months


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
) -> tuple[Line, list[Line]]:
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
        return parts[0], [by_class]
    return block.flow(f"{colour}_clicks", f"{word} clicks of the pool", "click/month", joined(parts, "click/month")), [
        by_class
    ]


def _meter(
    desk: Desk,
    block: Block,
    plan: Service,
    colour: str,
    rate: Figure | tuple[Band, ...],
    clicks: Line,
    contract: _Contract,
) -> tuple[Line, Line, Line | None]:
    """Charge of one meter at list rates, the rate a first click costs, and the clicks it commits to in money."""
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
    return charge, first, committed


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

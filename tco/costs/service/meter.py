"""One meter: its clicks at list rates, what it commits to, what one more month of work moves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Clock, Placed, Work
from tco.costs.service.allowance import Charged, charged
from tco.costs.service.bands import banded
from tco.costs.service.clicks import Clicks, clicks, over_presses
from tco.costs.service.contract import Contract
from tco.costs.service.prices import Listed, listed_rate
from tco.costs.service.routes import Route
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.model.vocabulary import booked, excess, share, since, this_month
from tco.scenario.figure import Figure
from tco.scenario.schema import Scenario, Service


@dataclass(frozen=True)
class Metered:
    """One meter of a plan: its first rate, clicks by month and class, charges at list rates, what it commits to."""

    route: Route
    first: Line
    clicks: Clicks
    settled: Charged
    charges: tuple[Line, ...]
    moves: Node
    committed: Line | None


def meter(
    desk: Desk,
    block: Block,
    scenario: Scenario,
    plan: Service,
    presses: Sequence[Placed],
    work: Work,
    route: Route,
    contract: Contract,
    clock: Clock,
) -> Metered:
    """Describe the charge of one meter at list rates."""
    terms, own = route.meter, route.meter.own
    key, word = terms.id, terms.label
    counted = clicks(desk, block, plan, presses, work, route)
    settled = charged(desk, block, plan, terms, counted.made, contract)
    charges = []
    if isinstance(terms.rate, Figure):
        rate = listed_rate(desk, block, scenario, plan, key, terms.rate, f"{word} rate", clock)
        price: Node = settled.above * rate.now
        moves = counted.by_class * rate.first
        if own is not None and own.size_rate is not None:
            price, more = _by_size(desk, block, key, word, counted, settled, rate, own.size_rate, contract)
            moves = moves + more
        if own is not None and own.run_length is not None:
            each, line = _long_runs(desk, block, presses, work, route, counted, rate)
            moves = moves + each
            charges.append(line)
        first = rate.first
    else:
        price, first = banded(desk, block, terms, terms.rate, settled.above, contract)
        moves = counted.by_class * first
    charge = block.flow(f"{key}_charge", f"{word} clicks at list rates", "money/month", booked(price * contract.closes))
    committed = None
    if settled.minimum is not None:
        committed = block.line(
            f"{key}_committed",
            f"Minimum {key.replace('_', ' ')} clicks over the plan",
            "money",
            this_month(settled.minimum) * contract.length * first,
        )
    return Metered(route, first, counted, settled, (charge, *charges), moves, committed)


def _by_size(
    desk: Desk,
    block: Block,
    key: str,
    word: str,
    counted: Clicks,
    settled: Charged,
    rate: Listed,
    figure: Figure,
    contract: Contract,
) -> tuple[Node, Node]:
    """Large sides at a rate of their own: the price of a period, and what an average month adds by class."""
    assert counted.large_by_class is not None
    assert counted.large_made is not None
    own = desk.take(block, figure, f"{word} rate of a large side", "money/click")
    large = block.line(
        f"{key}_size_of_period",
        f"{word} large clicks of the period",
        "click",
        since(counted.large_made, contract.opens),
    )
    return (settled.above - large) * rate.now + large * own, counted.large_by_class * (own - rate.first)


def _long_runs(
    desk: Desk, block: Block, presses: Sequence[Placed], work: Work, route: Route, counted: Clicks, rate: Listed
) -> tuple[Node, Line]:
    """Copies of one job above a number at another rate: what an average month moves by class, and the difference."""
    key, word = route.meter.id, route.meter.label
    terms = route.meter.own.run_length if route.meter.own is not None else None
    assert terms is not None
    assert work.sets is not None
    assert work.jobs is not None
    limit = desk.take(block, terms.above, f"{word}: copies of a job at the first rate", "set/job")
    own = desk.take(block, terms.rate, f"{word} rate of further copies", "money/click")
    part = share(excess(work.sets, work.jobs * limit), work.sets)
    by_class = block.line(
        f"{key}_further_by_class",
        f"{word} clicks of further copies, average month",
        "click/month",
        counted.by_class * part,
    )
    made = over_presses(block, f"{key}_further", f"{word} clicks of further copies", by_class, presses)
    difference = block.flow(
        f"{key}_further_charge",
        f"{word} further copies, difference to the rate",
        "money/month",
        made * (own - rate.now),
    )
    return by_class * (own - rate.first), difference

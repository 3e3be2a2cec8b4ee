"""Clicks that are charged: at least the minimum, above what is included, after what was carried forward."""

from __future__ import annotations

from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.service.contract import Contract
from tco.model.lines import Block
from tco.model.nodes import Line
from tco.model.vocabulary import before, excess, largest, since, this_month
from tco.scenario.schema import MeterTerms, Service


@dataclass(frozen=True)
class Charged:
    """Clicks of a period as made and as charged; the minimum a month where there is one."""

    made: Line
    above: Line
    minimum: Line | None


def charged(desk: Desk, block: Block, plan: Service, meter: MeterTerms, clicks: Line, contract: Contract) -> Charged:
    """Describe the clicks of a settlement period that are charged."""
    key, word = meter.id, meter.label
    name = key.replace("_", " ")
    made = block.line(f"{key}_made", f"{word} clicks of the period", "click", since(clicks, contract.opens))
    above, least = made, None
    if meter.minimum is not None:
        least = desk.a_month(block, meter.minimum, f"Minimum {name} clicks", "click")
        above = block.line(
            f"{key}_billed", f"{word} clicks billed", "click", largest(made, this_month(least) * contract.counted)
        )
    if meter.included is not None:
        stated = desk.a_month(block, meter.included, f"Included {name} clicks", "click")
        free = this_month(stated) * contract.counted
        if plan.included_in == "large":
            free = (
                free
                * desk.take(block, plan.oversize_counts, "Clicks a large side", "click/side")
                / desk.constant(block, "click_a_side")
            )
        label = f"{word} clicks above the allowance"
        if meter.own is not None and meter.own.carry_forward_months is not None:
            allowance = block.line(f"{key}_allowance", f"{word} clicks included in the period", "click", free)
            months = int(meter.own.carry_forward_months.number)
            above = _carried(block, meter, made, allowance, months, contract)
        else:
            above = block.line(f"{key}_above", label, "click", excess(above, free))
    return Charged(made, above, least)


def _carried(block: Block, meter: MeterTerms, made: Line, allowance: Line, months: int, contract: Contract) -> Line:
    """Clicks above the month's own allowance and above what earlier months left, the oldest used first.

    `kept` of age a are the clicks carried at a month's close that a month at least a − 1 months back left unused.
    Use takes from the oldest, so of those of age a or more there remain as many as exceed the need. The highest age
    expires.
    """
    key, word = meter.id, meter.label
    block.choice(f"{key}_carry", f"{word} clicks stay usable", f"{months} further months")
    need = block.line(f"{key}_need", f"{word} clicks above the month's own", "click", excess(made, allowance))
    unused = block.line(f"{key}_unused", f"{word} clicks not used", "click", excess(allowance, made) * contract.active)
    ages = range(1, months + 1)
    kept = {age: block.declare(f"{key}_kept_{age}", _carried_label(word, age), "click") for age in ages}
    for age in ages[1:]:
        kept[age].becomes(excess(before(kept[age - 1]), need) - excess(before(kept[months]), need))
    kept[1].becomes(unused + kept[2] if months > 1 else unused + 0)
    return block.line(
        f"{key}_above", f"{word} clicks above own and carried ones", "click", excess(need, before(kept[1]))
    )


def _carried_label(word: str, age: int) -> str:
    past = "" if age == 1 else f", {age - 1} {'month' if age == 2 else 'months'} old or older"
    return f"{word} clicks carried forward{past}"

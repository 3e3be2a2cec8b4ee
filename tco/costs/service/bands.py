"""Bands read one way or the other: every click at the rate reached, or each block of clicks at its own."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.service.contract import Contract
from tco.model.kinds import Axis
from tco.model.lines import Block
from tco.model.nodes import Line, Node
from tco.model.vocabulary import across, band, entry, excess, largest, smallest, stacked
from tco.scenario.figure import Band
from tco.scenario.locales import spelled
from tco.scenario.schema import MeterTerms


def banded(
    desk: Desk, block: Block, meter: MeterTerms, bands: tuple[Band, ...], above: Line, contract: Contract
) -> tuple[Node, Line]:
    """Price of the clicks of a period, and the rate of the first band."""
    key, word = meter.id, meter.label
    axis = Axis(f"band of {key}", tuple(f"from {spelled(one.from_.number, desk.locale)}" for one in bands))
    starts = desk.column(block, f"{key}_from", f"{word} band from", "click", axis, [one.from_ for one in bands])
    rates = desk.column(block, f"{key}_rate", f"{word} band rate", "money/click", axis, [one.rate for one in bands])
    first = block.line(f"{key}_first_rate", f"{word} rate of the first band", "money/click", entry(rates, 0))
    part = block.line(f"{key}_part", "Share of a settlement period", "1", contract.counted / contract.period)
    if meter.bands_read == "all units":
        reached = block.line(
            f"{key}_reached",
            f"{word} rate reached",
            "money/click",
            band(rates, starts, above / largest(part, desk.constant(block, "tolerance"))),
        )
        return above * reached, first
    ends = [entry(starts, place) for place in range(1, len(bands))] + [desk.constant(block, "no_limit") + 0]
    until = block.line(f"{key}_until", f"{word} band to", "click", stacked(axis, ends))
    inside = block.line(
        f"{key}_in_band", f"{word} clicks in band", "click", excess(smallest(above, until * part), starts * part)
    )
    return block.line(f"{key}_banded", f"{word} clicks by band", "money", across(rates, inside)) + 0, first

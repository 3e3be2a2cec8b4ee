"""All costs of a candidate in one place: by kind, by timing, month by month, and what they are worth at the start."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import get_args

from tco.costs.records import Charge, Clock
from tco.model.kinds import Kind
from tco.model.lines import Block
from tco.model.nodes import Line
from tco.model.vocabulary import cumulative, joined, present, total


@dataclass(frozen=True)
class Statement:
    """Sums of a candidate's costs. `opening` and `close` are rows, the others single figures."""

    opening: Line
    close: Line
    net: Line
    total: Line
    present_value: Line
    by_kind: dict[str, Line]


def slug(kind: str) -> str:
    """The key of a cost kind."""
    return kind.replace(" ", "_")


def statement(block: Block, charges: Sequence[Charge], clock: Clock) -> Statement:
    """Describe the sums of a candidate's costs."""
    lines = [charge.line for charge in charges]
    opening = block.flow("opening", "Costs at the opening", "money/month", joined(_at(lines, "opening"), "money/month"))
    close = block.flow("close", "Costs at the close", "money/month", joined(_at(lines, "close"), "money/month"))
    net = block.flow("net", "All costs", "money/month", opening + close)
    block.line("cumulative", "Costs so far", "money", cumulative(net))
    by_kind: dict[str, Line] = {}
    rows: list[Line] = []
    for kind in (kind for kind in get_args(Kind) if kind):
        own = _of_kind(lines, kind)
        if own:
            by_kind[kind] = block.flow(slug(kind), kind.capitalize(), "money/month", joined(own, "money/month"))
            rows.append(by_kind[kind])
    difference = block.flow("difference", "Costs less costs by kind", "money/month", net - joined(rows, "money/month"))
    block.check("kinds_add_up", "Costs by kind add up to all costs", "money", total(difference))
    worth = worth_of(block, "present_value", "Cost in today's money", lines, clock)
    parts = [
        worth_of(block, f"pv_{slug(kind)}", f"{kind.capitalize()} in today's money", _of_kind(lines, kind), clock)
        for kind in by_kind
    ]
    block.check("worths_add_up", "Today's money by kind adds up", "money", worth - joined(parts, "money", worth.shape))
    all_of_it = block.line("total", "Total cost", "money", total(net))
    return Statement(opening, close, net, all_of_it, worth, by_kind)


def worth_of(block: Block, key: str, label: str, lines: Sequence[Line], clock: Clock) -> Line:
    """Describe what cost rows are worth at the start, each discounted from its own instant of the month."""
    parts = []
    for timing, factor in (("opening", clock.opening), ("close", clock.close)):
        rows = _at(lines, timing)
        if rows:
            row = block.flow(f"{key}_{timing}", f"{label}: {timing}", "money/month", joined(rows, "money/month"))
            parts.append(
                block.line(f"{key}_{timing}_worth", f"{label}: worth, {timing}", "money", present(row, factor))
            )
    return block.line(key, label, "money", joined(parts, "money", clock.horizon.shape))


def _at(lines: Sequence[Line], timing: str) -> list[Line]:
    return [line for line in lines if line.timing == timing]


def _of_kind(lines: Sequence[Line], kind: str) -> list[Line]:
    return [line for line in lines if line.kind == kind]

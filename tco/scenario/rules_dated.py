"""Rules for what changes on a date: increases by month, and list prices from a month on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from pydantic import ValidationInfo

from tco.scenario.context import Context
from tco.scenario.figure import DatedFigure, DatedPrices, Figure, FlowFigure, YearMonth
from tco.scenario.numbers import refuse
from tco.scenario.rules import KIND, FigureRule, FlowRule, Json, Rule, context_of
from tco.scenario.rules_many import MonthRule, year_month
from tco.scenario.tree import Leaf, Node, Tree

BASE = "base"
PERCENT = FigureRule(least=-0.5, most=1.0, share=True)


def _by_month(raw: Tree, example: str) -> list[tuple[YearMonth, Tree]]:
    """Return the entries of a mapping by calendar month, in order of time."""
    if not isinstance(raw, Node) or not raw:
        refuse(raw, "must be a mapping by month", "", f"Write {example}")
    found = [(year_month(Leaf(key, key, raw.child_path(key), child.line)), child) for key, child in raw.items()]
    return sorted(found, key=lambda pair: pair[0].index)


@dataclass(frozen=True, slots=True)
class PercentByDateRule(Rule):
    """A share for each of several months."""

    each: FigureRule = PERCENT

    def parse(self, raw: Tree, info: ValidationInfo) -> tuple[DatedFigure, ...]:
        """Return the value of `raw`."""
        ctx = context_of(info)
        return tuple(DatedFigure(when, self.each.figure(child, ctx)) for when, child in _by_month(raw, "{2029-03: 4%}"))

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        return {"type": "object", "minProperties": 1, "propertyNames": MonthRule().json(),
                "additionalProperties": {KIND: "figure"}}


@dataclass(frozen=True, slots=True)
class PricesByDateRule(Rule):
    """For each of several months the list prices that change: the base, an amount in time, and rates by meter."""

    def parse(self, raw: Tree, info: ValidationInfo) -> tuple[DatedPrices, ...]:
        """Return the value of `raw`."""
        ctx = context_of(info)
        return tuple(self._prices(when, child, ctx) for when, child in _by_month(raw, "{2028-07: {colour: 0.045}}"))

    @staticmethod
    def _prices(when: YearMonth, raw: Tree, ctx: Context) -> DatedPrices:
        if not isinstance(raw, Node) or not raw:
            refuse(raw, "names no price", "", "Write for instance {base: 380, colour: 0.045}")
        base: FlowFigure | None = FlowRule().flow(raw[BASE], ctx) if BASE in raw else None
        rates: dict[str, Figure] = {key: FigureRule().figure(child, ctx) for key, child in raw.items() if key != BASE}
        return DatedPrices(when, base, rates)

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        prices = {"type": "object", "minProperties": 1, "properties": {BASE: {KIND: "amount_in_time"}},
                  "additionalProperties": {KIND: "figure"}}
        return cast("Json", {"type": "object", "minProperties": 1, "propertyNames": MonthRule().json(),
                             "additionalProperties": prices})

"""Rules for figures of leases: rents by month since signing, the two ends of a window of days, shares by year."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pydantic import ValidationInfo

from tco.scenario.figure import Figure
from tco.scenario.numbers import number, refuse
from tco.scenario.rules import KIND, FigureRule, Json, Rule, context_of
from tco.scenario.tree import Items, Node, Tree

LAST_STEP = 240


@dataclass(frozen=True, slots=True)
class StepsRule(Rule):
    """Rents by the month since signing from which they hold, rising; the first month has the rent itself."""

    def parse(self, raw: Tree, info: ValidationInfo) -> dict[int, Figure]:
        """Return the rents by month, in order of months."""
        if not isinstance(raw, Node) or not raw:
            refuse(raw, "must be rents by month", "", "Write {13: 1340, 25: 1440}, the month counted from signing")
        steps: dict[int, Figure] = {}
        for key, child in raw.items():
            if not re.fullmatch(r"[1-9]\d{0,2}", key) or not 1 < int(key) <= LAST_STEP:
                refuse(raw, f"`{key}` is no month in which a rent can change",
                       "Months count from signing; the first one has the rent itself",
                       f"Write a whole number from 2 to {LAST_STEP}", key)
            if steps and int(key) <= max(steps):
                refuse(raw, f"{key} stands after {max(steps)}", "Steps follow each other in time",
                       "Write them in rising order", key)
            steps[int(key)] = FigureRule(unknown="refuse").figure(child, context_of(info))
        return steps

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        return {"type": "object", "minProperties": 1, "propertyNames": {"pattern": r"^[1-9][0-9]{0,2}$"},
                "additionalProperties": {KIND: "figure"}}


@dataclass(frozen=True, slots=True)
class DaysRule(Rule):
    """A window of days before an end: the first day is further from it than the last."""

    def parse(self, raw: Tree, info: ValidationInfo) -> tuple[int, int]:  # noqa: ARG002  every rule has the same shape
        """Return both ends, days before the end."""
        if not isinstance(raw, Items) or len(raw) != len(("opens", "closes")):
            refuse(raw, "must be two numbers of days", "A window opens and closes so many days before the end",
                   "Write [180, 90]")
        found: list[int] = []
        for entry in raw:
            days = number(entry)
            if days is None:
                refuse(entry, "cannot be unknown", "The dates follow from it", "Write the days of the contract")
            FigureRule(whole=True).check(entry, days)
            found.append(int(days))
        if found[0] <= found[1]:
            refuse(raw, f"{found[0]} days before the end is not earlier than {found[1]}",
                   "The window must open before it closes", f"Write [{max(found)}, {min(found)}]")
        return found[0], found[1]

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        return {"type": "array", "minItems": 2, "maxItems": 2, "items": {"type": "integer", "minimum": 0}}


@dataclass(frozen=True, slots=True)
class SharesRule(Rule):
    """A list of shares, one for each year."""

    def parse(self, raw: Tree, info: ValidationInfo) -> tuple[Figure, ...]:
        """Return the shares in order."""
        if not isinstance(raw, Items) or not raw:
            refuse(raw, "must be a share for each year", "", "Write [85%, 70%, 55%]")
        rule = FigureRule(most=1.0, share=True, unknown="refuse")
        return tuple(rule.figure(entry, context_of(info)) for entry in raw)

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        return {"type": "array", "minItems": 1, "items": {KIND: "figure"}}

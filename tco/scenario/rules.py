"""Rules for one figure: each reads a piece of the tree, knows its limits and describes itself as JSON Schema."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal, cast

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, core_schema

from tco.scenario.context import Context, Unknown
from tco.scenario.figure import Figure, FlowFigure, Per
from tco.scenario.numbers import Written, refuse, written
from tco.scenario.tree import Tree, public_path

Json = dict[str, Any]
# Stands for a reference to one of the definitions in json_schema.py until that file puts it in.
KIND = "x-kind"
OnUnknown = Literal["allow", "refuse"]
# A share of 2 or more was surely meant as percent.
SURELY_PERCENT = 2


def context_of(info: ValidationInfo) -> Context:
    """Return the context of this parsing."""
    return cast(Context, info.context)


@dataclass(frozen=True, slots=True)
class Rule:
    """Base of the rules: a function from tree to value, and its JSON Schema."""

    def parse(self, raw: Tree, info: ValidationInfo) -> object:
        """Return the value; raises through `refuse`."""
        raise NotImplementedError

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        raise NotImplementedError

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(self.parse)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> Json:
        return self.json()


@dataclass(frozen=True, slots=True)
class FigureRule(Rule):
    """One figure between `least` and `most`, whole if asked."""

    least: float | None = 0.0
    most: float | None = None
    above: float | None = None
    whole: bool = False
    share: bool = False
    unknown: OnUnknown = "allow"

    def parse(self, raw: Tree, info: ValidationInfo) -> Figure:
        """Return the value of `raw`."""
        return self.figure(raw, context_of(info))

    def figure(self, raw: Tree, ctx: Context) -> Figure:
        """Return the checked figure of `raw`."""
        typed = written(raw, flow=False)
        for value in (typed.value, typed.low, typed.high):
            self.check(raw, value)
        return known(raw, typed, ctx, self.unknown, self)

    def check(self, raw: Tree, value: float | None) -> None:
        """Refuse a value outside the limits."""
        if value is None:
            return
        if self.whole and value != int(value):
            refuse(raw, f"{value:g} is not a whole number", "", f"Write {value:.0f}")
        if self.least is not None and value < self.least:
            if self.least == 0:
                refuse(raw, f"{value:g} is negative", "Costs and receipts are both written as positive sums",
                       f"Write {-value:g}")
            refuse(raw, f"{value:g} is below {self.least:g}", "", f"Write {self.least:g} or more")
        if self.above is not None and value <= self.above:
            refuse(raw, f"{value:g} is not above {self.above:g}", "", f"Write a number above {self.above:g}")
        if self.most is not None and value > self.most:
            if self.share:
                hint = f"Write {value:g}%" if value >= SURELY_PERCENT else f"Write at most {self.most:.0%}"
                refuse(raw, f"{value:g} is more than {self.most:.0%}", f"{value:g} means {value:,.0%}", hint)
            refuse(raw, f"{value:g} is above {self.most:g}", "", f"Write {self.most:g} or less")

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        return {KIND: "figure"}


def known(raw: Tree, typed: Written, ctx: Context, on_unknown: OnUnknown, rule: FigureRule) -> Figure:
    """Return the figure; for `unknown` the allowance, else the dearer end of the range, else 0, and remember it."""
    figure = _as_figure(typed, ctx)
    if typed.value is not None or typed.path.startswith("allowances."):
        if typed.value is None:
            refuse(raw, "an allowance cannot be unknown", "It stands for prices nobody stated", "Write a number")
        return figure
    key = typed.path.rsplit(".", 1)[-1]
    if on_unknown == "refuse":
        refuse(raw, "cannot be unknown", "Nothing can be computed without it", "Write your best estimate, with "
                                                                               "low and high")
    stands, how = _stand_in(figure, key, ctx, rule)
    ctx.unknowns.setdefault(typed.path, Unknown(typed.path, typed.line, stands, how))
    return stands


def _stand_in(figure: Figure, key: str, ctx: Context, rule: FigureRule) -> tuple[Figure, str]:
    allowance = ctx.allowance(key)
    if allowance is not None:
        typed = written(allowance, flow=False)
        if typed.value is not None:
            rule.check(allowance, typed.value)
            return _as_figure(typed, ctx), "allowance"
    dear = figure.low if key == "sells_for" else figure.high
    value = 0.05 if key == "increase" and dear is None else dear
    how = "range" if dear is not None else "practice" if key == "increase" else "nothing"
    source = {"range": "dearer end of the range", "practice": "common practice", "nothing": figure.source}[how]
    status: Literal["assumed", "unknown"] = "unknown" if how == "nothing" else "assumed"
    return Figure(value=value or 0.0, low=figure.low, high=figure.high, source=source, status=status, date=figure.date,
                  note=figure.note, path=figure.path, line=figure.line), how


def _as_figure(typed: Written, ctx: Context) -> Figure:
    if typed.filled:
        if typed.value is not None:
            ctx.filled[typed.path] = f"{typed.value:g}"
        return Figure(value=typed.value, path=public_path(typed.path), source=typed.filled, status="assumed")
    source, status = ctx.origin(typed.path)
    chosen = typed.status or (status if not typed.source or status == "assumed" else "estimated")
    return Figure(value=typed.value, low=typed.low, high=typed.high, source=typed.source or source,
                  status="unknown" if typed.value is None else chosen, date=typed.date, note=typed.note,
                  path=public_path(typed.path), line=typed.line)


@dataclass(frozen=True, slots=True)
class FlowRule(Rule):
    """An amount in time; a bare number belongs to one `per`."""

    per: Per = "month"

    def parse(self, raw: Tree, info: ValidationInfo) -> FlowFigure:
        """Return the value of `raw`."""
        return self.flow(raw, context_of(info))

    def flow(self, raw: Tree, ctx: Context) -> FlowFigure:
        """Return the checked amount in time of `raw`."""
        limits = FigureRule()
        typed = written(raw, flow=True)
        for value in (typed.value, typed.low, typed.high):
            limits.check(raw, value)
        figure = known(raw, typed, ctx, "allow", limits)
        return FlowFigure(value=figure.value, low=figure.low, high=figure.high, source=figure.source,
                          status=figure.status, date=figure.date, note=figure.note, path=figure.path, line=figure.line,
                          per=typed.per or self.per)

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        return {KIND: "amount_in_time"}

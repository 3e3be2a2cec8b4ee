"""The kinds of value a key may hold, as annotations: each reads a piece of the tree and knows its limits."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any, Literal, cast

from pydantic import (
    BeforeValidator,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    ValidationError,
    ValidationInfo,
    WithJsonSchema,
    WrapValidator,
)
from pydantic_core import CoreSchema, core_schema

from tco.scenario.context import Context, Unknown
from tco.scenario.figure import MONTH_NAMES, Band, Figure, FlowFigure, Per, Readings, Twelve, Volume, YearMonth
from tco.scenario.numbers import FIGURE_KEYS, PER_KEYS, Written, number, refuse, text_of, written
from tco.scenario.tree import Items, Leaf, Node, Tree, public_path
from tco.scenario.words import LARGE_SIZES, SIZES, nearest

Json = dict[str, Any]
OnUnknown = Literal["allow", "refuse"]


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
                hint = f"Write {value:g}%" if value > 1.5 else f"Write at most {self.most:.0%}"
                refuse(raw, f"{value:g} is more than {self.most:.0%}", f"{value:g} means {value:,.0%}", hint)
            refuse(raw, f"{value:g} is above {self.most:g}", "", f"Write {self.most:g} or less")

    def json(self) -> Json:
        return {"$ref": "#/$defs/figure"}


def known(raw: Tree, typed: Written, ctx: Context, on_unknown: OnUnknown, rule: FigureRule) -> Figure:
    """Return the figure; for `unknown` the allowance, else the dearer end of the range, else 0, and remember it."""
    figure = _as_figure(typed, ctx)
    if typed.value is not None or typed.path.startswith("allowances."):
        if typed.value is None:
            refuse(raw, "an allowance cannot be unknown", "It stands for prices nobody stated", "Write a number")
        return figure
    key = typed.path.rsplit(".", 1)[-1]
    if on_unknown == "refuse":
        refuse(raw, "cannot be unknown", "Nothing can be computed without it", "Write your best estimate, with low and high")
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
        return {"$ref": "#/$defs/amount_in_time"}


@dataclass(frozen=True, slots=True)
class TwelveRule(Rule):
    """Twelve numbers from the month of `start`, or a mapping by month name."""

    def parse(self, raw: Tree, info: ValidationInfo) -> Twelve:
        return self.twelve(raw, context_of(info))

    def twelve(self, raw: Tree, ctx: Context) -> Twelve:
        """Return the twelve numbers of `raw`, none negative, not all zero."""
        if isinstance(raw, Node):
            entries = self._by_name(raw, ctx)
        elif isinstance(raw, Items):
            entries = list(raw)
        else:
            refuse(raw, "must be twelve numbers", "", "Write a list of twelve, or {Jan: 0.8, Feb: 1.1, …}")
        if len(entries) != 12:
            refuse(raw, f"has {len(entries)} figures instead of twelve", "A list is the twelve months of a year",
                   "Write all twelve, from the month of `start`")
        values: list[float] = []
        for entry in entries:
            value = number(entry)
            if value is None:
                refuse(entry, "cannot be unknown in a list of twelve", "", "Write an estimate")
            FigureRule().check(entry, value)
            values.append(value)
        if sum(values) == 0:
            refuse(raw, "are twelve zeros", "No season can be taken from them", "Remove the line")
        source, status = ctx.origin(raw.path)
        return Twelve(values=tuple(values), path=public_path(raw.path), source=source, status=status, line=raw.line)

    def _by_name(self, raw: Node, ctx: Context) -> list[Tree]:
        for key in raw:
            if key not in MONTH_NAMES:
                close = nearest(key, MONTH_NAMES) or (key[:3].capitalize() if key[:3].capitalize() in MONTH_NAMES else "")
                refuse(raw, f"`{key}` is no month", "", f"Did you mean `{close}`?" if close else "Write Jan … Dec", key)
        missing = [name for name in MONTH_NAMES if name not in raw]
        if missing:
            refuse(raw, f"lacks {', '.join(missing)}", "All twelve months are needed", "Write 0 for a month without work")
        order = [(ctx.start_month - 1 + place) % 12 for place in range(12)]
        return [raw[MONTH_NAMES[place]] for place in order]

    def json(self) -> Json:
        return {"$ref": "#/$defs/twelve"}


@dataclass(frozen=True, slots=True)
class VolumeRule(Rule):
    """A volume: an amount in time, twelve months, or two meter readings by date."""

    def parse(self, raw: Tree, info: ValidationInfo) -> Volume:
        ctx = context_of(info)
        if isinstance(raw, Items):
            return TwelveRule().twelve(raw, ctx)
        if isinstance(raw, Node) and "readings" in raw:
            return self._readings(raw, ctx)
        return FlowRule().flow(raw, ctx)

    def _readings(self, raw: Node, ctx: Context) -> Readings:
        inner = raw["readings"]
        if len(raw) != 1 or not isinstance(inner, Node) or len(inner) != 2:
            refuse(raw, "needs exactly two meter readings", "Their difference is the volume",
                   "Write {readings: {2026-03-01: 1204311, 2027-03-01: 1708400}}")
        pairs: list[tuple[datetime.date, Figure]] = []
        for key, child in inner.items():
            try:
                when = datetime.date.fromisoformat(key)
            except ValueError:
                refuse(inner, f"`{key}` is no date", "", "Write a date as 2027-03-01", key)
            pairs.append((when, FigureRule(unknown="refuse").figure(child, ctx)))
        (first_date, first), (last_date, last) = sorted(pairs, key=lambda pair: pair[0])
        if last.number < first.number:
            refuse(inner, "the later reading is below the earlier one", "A meter counts only upwards",
                   "Check the two figures, or write the volume itself")
        return Readings(first=first, last=last, first_date=first_date, last_date=last_date,
                        path=public_path(raw.path), line=raw.line)

    def json(self) -> Json:
        return {"$ref": "#/$defs/volume"}


@dataclass(frozen=True, slots=True)
class RatesRule(Rule):
    """A rate a click, or bands of rates."""

    def parse(self, raw: Tree, info: ValidationInfo) -> Figure | tuple[Band, ...]:
        ctx = context_of(info)
        if not isinstance(raw, Items):
            return FigureRule().figure(raw, ctx)
        bands: list[Band] = []
        for entry in raw:
            if not isinstance(entry, Node) or set(entry) != {"from", "rate"}:
                refuse(entry, "is no band", "", "Write {from: 0, rate: 0.05}")
            starts = FigureRule(unknown="refuse").figure(entry["from"], ctx)
            last = bands[-1].from_.number if bands else -1.0
            if (not bands and starts.number != 0) or starts.number <= last:
                refuse(entry, "bands must start at 0 and rise", "Every click must fall into one band",
                       "Write the first band from 0 and the others in rising order")
            bands.append(Band(starts, FigureRule().figure(entry["rate"], ctx)))
        if not bands:
            refuse(raw, "has no band", "", "Write {from: 0, rate: 0.05}")
        return tuple(bands)

    def json(self) -> Json:
        return {"$ref": "#/$defs/rates"}


@dataclass(frozen=True, slots=True)
class SizesRule(Rule):
    """A figure for the small size, or one figure for each of several sizes."""

    rule: FigureRule = FigureRule(least=None, above=0.0, unknown="refuse")

    def parse(self, raw: Tree, info: ValidationInfo) -> dict[str, Figure]:
        ctx = context_of(info)
        if isinstance(raw, Leaf) or (isinstance(raw, Node) and "value" in raw):
            return {ctx.small_size: self.rule.figure(raw, ctx)}
        if not isinstance(raw, Node) or not raw:
            refuse(raw, "must be a number or a number for each size", "", "Write {letter: 105, ledger: 52}")
        for key in raw:
            if key not in SIZES:
                close = nearest(key, SIZES)
                refuse(raw, f"`{key}` is no known size", "", f"Did you mean `{close}`?" if close else
                       f"Write one of {', '.join(SIZES)}", key)
        if all(key in LARGE_SIZES for key in raw):
            refuse(raw, "gives no speed for a small size", "Other sizes are derived from it", "Add letter or a4")
        return {key: self.rule.figure(child, ctx) for key, child in raw.items()}

    def json(self) -> Json:
        return {"anyOf": [{"$ref": "#/$defs/figure"},
                          {"type": "object", "propertyNames": {"enum": list(SIZES)},
                           "additionalProperties": {"$ref": "#/$defs/figure"}}]}


@dataclass(frozen=True, slots=True)
class MonthRule(Rule):
    """A calendar month, YYYY-MM."""

    def parse(self, raw: Tree, info: ValidationInfo) -> YearMonth:
        return year_month(raw)

    def json(self) -> Json:
        return {"type": "string", "pattern": r"^[0-9]{4}-(0[1-9]|1[0-2])$"}


@dataclass(frozen=True, slots=True)
class MonthOrFigureRule(Rule):
    """A calendar month, or a contract month counted from 1."""

    def parse(self, raw: Tree, info: ValidationInfo) -> YearMonth | Figure:
        if isinstance(raw, Leaf) and re.fullmatch(r"\d{4}-\d{2}", raw.text):
            return year_month(raw)
        return FigureRule(least=1, most=480, whole=True, unknown="refuse").figure(raw, context_of(info))

    def json(self) -> Json:
        return {"anyOf": [{"$ref": "#/$defs/figure"}, MonthRule().json()]}


def year_month(raw: Tree) -> YearMonth:
    """Return the calendar month of a scalar YYYY-MM."""
    match = re.fullmatch(r"(\d{4})-(\d{2})", raw.text) if isinstance(raw, Leaf) else None
    if match is None or not 1 <= int(match[2]) <= 12 or not 1950 <= int(match[1]) <= 2150:
        said = f"`{raw.text}`" if isinstance(raw, Leaf) else "this"
        refuse(raw, f"{said} is no calendar month", "", "Write year and month as 2027-03")
    return YearMonth(int(match[1]), int(match[2]), public_path(raw.path), raw.line)


def _yes_no(raw: object) -> bool:
    leaf = cast(Tree, raw)
    word = leaf.text.strip().lower() if isinstance(leaf, Leaf) else ""
    if word in ("yes", "true"):
        return True
    if word in ("no", "false"):
        return False
    refuse(leaf, f"must be yes or no, not `{word}`" if word else "must be yes or no", "", "Write yes or no")


def _word(raw: object, handler: Callable[[object], object], info: ValidationInfo) -> object:
    leaf = cast(Tree, raw)
    text = text_of(leaf)
    if isinstance(leaf, Leaf) and leaf.filled:
        context_of(info).filled[leaf.path] = text
    try:
        return handler(text)
    except ValidationError as error:
        expected = str(error.errors()[0].get("ctx", {}).get("expected", ""))
        choices = re.findall(r"'([^']*)'", expected)
        close = nearest(text, choices) or nearest(text.replace("-", " "), choices)
        refuse(leaf, f"`{text[:40]}` is not one of {', '.join(choices)}", "",
               f"Did you mean `{close}`?" if close else f"Write {choices[0]}")


def _texts(raw: object) -> object:
    if isinstance(raw, Items):
        return tuple(text_of(entry) for entry in raw)
    return (text_of(cast(Tree, raw)),)


def _words(raw: object, handler: Callable[[object], object]) -> object:
    tree = cast(Tree, raw)
    entries: list[Tree] = list(tree) if isinstance(tree, Items) else [tree]
    out: list[object] = []
    for entry in entries:
        text = text_of(entry)
        try:
            out.extend(cast(tuple[object, ...], handler((text,))))
        except ValidationError as error:
            choices = re.findall(r"'([^']*)'", str(error.errors()[0].get("ctx", {}).get("expected", "")))
            close = nearest(text, choices)
            refuse(entry, f"`{text[:40]}` is not one of {', '.join(choices)}", "",
                   f"Did you mean `{close}`?" if close else f"Write {choices[0]}")
    return tuple(dict.fromkeys(out))


IS_WORD = WrapValidator(_word)
ARE_WORDS = WrapValidator(_words)

Amount = Annotated[Figure, FigureRule()]
Whole = Annotated[Figure, FigureRule(least=1, whole=True, unknown="refuse")]
Months = Annotated[Figure, FigureRule(least=1, most=240, whole=True, unknown="refuse")]
Month = Annotated[Figure, FigureRule(least=1, most=240, whole=True, unknown="refuse")]
Count0 = Annotated[Figure, FigureRule(whole=True, unknown="refuse")]
Quantity = Annotated[Figure, FigureRule(unknown="refuse")]
Positive = Annotated[Figure, FigureRule(least=None, above=0.0, unknown="refuse")]
Share = Annotated[Figure, FigureRule(most=1.0, share=True, unknown="refuse")]
YearlyRate = Annotated[Figure, FigureRule(least=-0.5, most=1.0, share=True)]
KnownRate = Annotated[Figure, FigureRule(least=-0.5, most=1.0, share=True, unknown="refuse")]
Flow = Annotated[FlowFigure, FlowRule()]
FlowYear = Annotated[FlowFigure, FlowRule(per="year")]
Season = Annotated[Twelve, TwelveRule()]
AnyVolume = Annotated[FlowFigure | Twelve | Readings, VolumeRule()]
Rates = Annotated[Figure | tuple[Band, ...], RatesRule()]
BySize = Annotated[dict[str, Figure], SizesRule()]
CalendarMonth = Annotated[YearMonth, MonthRule()]
MonthOrFigure = Annotated[YearMonth | Figure, MonthOrFigureRule()]
YesNo = Annotated[bool, BeforeValidator(_yes_no), WithJsonSchema({"enum": ["yes", "no", True, False]})]
Text = Annotated[str, BeforeValidator(text_of), WithJsonSchema({"type": ["string", "number"]})]
LongText = Annotated[str, BeforeValidator(lambda raw: text_of(raw, 20_000)), WithJsonSchema({"type": "string"})]
Texts = Annotated[tuple[str, ...], BeforeValidator(_texts),
                  WithJsonSchema({"type": ["array", "string"], "items": {"type": "string"}})]

__all__ = [
    "ARE_WORDS", "FIGURE_KEYS", "IS_WORD", "PER_KEYS", "Amount", "AnyVolume", "BySize", "CalendarMonth", "Count0", "Flow",
    "FlowYear", "KnownRate", "LongText", "Month", "MonthOrFigure", "Months", "Positive", "Quantity", "Rates", "Rule",
    "Season", "Share", "Text", "Texts", "Whole", "YearlyRate", "YesNo", "context_of",
]

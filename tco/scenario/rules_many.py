"""Rules for several figures under one key: twelve months, readings, bands, speeds by size; and for months."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from pydantic import ValidationInfo

from tco.scenario.context import Context
from tco.scenario.figure import MONTH_NAMES, Band, Figure, Readings, Twelve, Volume, YearMonth
from tco.scenario.numbers import number, refuse
from tco.scenario.rules import KIND, FigureRule, FlowRule, Json, Rule, context_of
from tco.scenario.tree import Items, Leaf, Node, Tree, public_path
from tco.scenario.words import SIZES, nearest

TWELVE = 12
SPEED = FigureRule(least=None, above=0.0, unknown="refuse")
YEARS = range(1950, 2151)


@dataclass(frozen=True, slots=True)
class TwelveRule(Rule):
    """Twelve numbers from the month of `start`, or a mapping by month name."""

    def parse(self, raw: Tree, info: ValidationInfo) -> Twelve:
        """Return the value of `raw`."""
        return self.twelve(raw, context_of(info))

    def twelve(self, raw: Tree, ctx: Context) -> Twelve:
        """Return the twelve numbers of `raw`, none negative, not all zero."""
        if isinstance(raw, Node):
            entries = self._by_name(raw, ctx)
        elif isinstance(raw, Items):
            entries = list(raw)
        else:
            refuse(raw, "must be twelve numbers", "", "Write a list of twelve, or {Jan: 0.8, Feb: 1.1, …}")
        if len(entries) != TWELVE:
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
                short = key[:3].capitalize()
                close = short if short in MONTH_NAMES else None
                refuse(raw, f"`{key}` is no month", "", f"Did you mean `{close}`?" if close else "Write Jan … Dec", key)
        missing = [name for name in MONTH_NAMES if name not in raw]
        if missing:
            refuse(raw, f"lacks {', '.join(missing)}", "All twelve months are needed", "Write 0 for a month "
                                                                                       "without work")
        order = [(ctx.start_month - 1 + place) % 12 for place in range(TWELVE)]
        return [raw[MONTH_NAMES[place]] for place in order]

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        return {KIND: "twelve"}


@dataclass(frozen=True, slots=True)
class VolumeRule(Rule):
    """A volume: an amount in time, twelve months, or two meter readings by date."""

    def parse(self, raw: Tree, info: ValidationInfo) -> Volume:
        """Return the value of `raw`."""
        ctx = context_of(info)
        if isinstance(raw, Items):
            return TwelveRule().twelve(raw, ctx)
        if isinstance(raw, Node) and "readings" in raw:
            return self._readings(raw, ctx)
        return FlowRule().flow(raw, ctx)

    def _readings(self, raw: Node, ctx: Context) -> Readings:
        inner = raw["readings"]
        if len(raw) != 1 or not isinstance(inner, Node) or len(inner) != len(("first", "last")):
            refuse(raw, "needs exactly two meter readings", "Their difference is the volume",
                   "Write {readings: {2026-03-01: 1204311, 2027-03-01: 1708400}}")
        pairs: list[tuple[dt.date, Figure]] = []
        for key, child in inner.items():
            try:
                when = dt.date.fromisoformat(key)
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
        """Return the JSON Schema of what may be written."""
        return {KIND: "volume"}


@dataclass(frozen=True, slots=True)
class RatesRule(Rule):
    """A rate a click, or bands of rates."""

    def parse(self, raw: Tree, info: ValidationInfo) -> Figure | tuple[Band, ...]:
        """Return the value of `raw`."""
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
        """Return the JSON Schema of what may be written."""
        return {KIND: "rates"}


@dataclass(frozen=True, slots=True)
class BandsRule(Rule):
    """Bands of rates, and no single rate."""

    def parse(self, raw: Tree, info: ValidationInfo) -> tuple[Band, ...]:
        """Return the value of `raw`."""
        read = RatesRule().parse(raw, info) if isinstance(raw, Items) else None
        if not isinstance(read, tuple):
            refuse(raw, "must be a list of bands", "A single rate is written at `rate`",
                   "Write [{from: 0, rate: 0.05}, {from: 20000, rate: 0.04}]")
        return read

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        return {KIND: "bands"}


@dataclass(frozen=True, slots=True)
class SizesRule(Rule):
    """A figure for the small size, or one figure for each of several sizes."""

    def parse(self, raw: Tree, info: ValidationInfo) -> dict[str, Figure]:
        """Return the value of `raw`."""
        ctx = context_of(info)
        if isinstance(raw, Leaf) or (isinstance(raw, Node) and "value" in raw):
            return {ctx.small_size: SPEED.figure(raw, ctx)}
        if not isinstance(raw, Node) or not raw:
            refuse(raw, "must be a number or a number for each size", "", "Write {letter: 105, ledger: 52}")
        for key in raw:
            if key not in SIZES:
                close = nearest(key, SIZES)
                refuse(raw, f"`{key}` is no known size", "", f"Did you mean `{close}`?" if close else
                       f"Write one of {', '.join(SIZES)}", key)
        return {key: SPEED.figure(child, ctx) for key, child in raw.items()}

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        return {"anyOf": [{KIND: "figure"},
                          {"type": "object", "propertyNames": {"enum": list(SIZES)},
                           "additionalProperties": {KIND: "figure"}}]}


@dataclass(frozen=True, slots=True)
class MonthRule(Rule):
    """A calendar month, YYYY-MM."""

    def parse(self, raw: Tree, info: ValidationInfo) -> YearMonth:  # noqa: ARG002  every rule has the same shape
        """Return the month."""
        return year_month(raw)

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        return {"type": "string", "pattern": r"^[0-9]{4}-(0[1-9]|1[0-2])$"}


@dataclass(frozen=True, slots=True)
class MonthOrFigureRule(Rule):
    """A calendar month, or a contract month counted from 1."""

    def parse(self, raw: Tree, info: ValidationInfo) -> YearMonth | Figure:
        """Return the value of `raw`."""
        if isinstance(raw, Leaf) and re.fullmatch(r"\d{4}-\d{2}", raw.text):
            return year_month(raw)
        return FigureRule(least=1, most=480, whole=True, unknown="refuse").figure(raw, context_of(info))

    def json(self) -> Json:
        """Return the JSON Schema of what may be written."""
        return {"anyOf": [{KIND: "figure"}, MonthRule().json()]}


def year_month(raw: Tree) -> YearMonth:
    """Return the calendar month of a scalar YYYY-MM."""
    match = re.fullmatch(r"(\d{4})-(\d{2})", raw.text) if isinstance(raw, Leaf) else None
    if match is None or not 1 <= int(match[2]) <= TWELVE or int(match[1]) not in YEARS:
        said = f"`{raw.text}`" if isinstance(raw, Leaf) else "this"
        refuse(raw, f"{said} is no calendar month", "", "Write year and month as 2027-03")
    return YearMonth(int(match[1]), int(match[2]), public_path(raw.path), raw.line)

"""A service plan in parts: meters, what they count, prices by date, commitment, settlement, extras."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from tco.scenario.figure import Band, Figure, FlowFigure
from tco.scenario.kinds import (
    ARE_WORDS,
    IS_WORD,
    Amount,
    Bands,
    Carried,
    Flow,
    MonthOrFigure,
    Months,
    PercentByDate,
    Positive,
    PositiveShare,
    PricesByDate,
    Quantity,
    Rates,
    Share,
    Texts,
    Whole,
    YearlyRate,
    YesNo,
)
from tco.scenario.part import Part, WhenAbsent
from tco.scenario.schema_finance import unknown_at
from tco.scenario.schema_names import ById
from tco.scenario.tree import Node, Tree

IncreaseOn = Literal["base", "rates", "minimum_charge"]
Reading = Literal["graduated", "all units"]
COLOURS: tuple[Literal["colour", "black"], ...] = ("colour", "black")


class ByColour(Part):
    """Clicks in time, by meter."""

    colour: Flow | None = Field(default=None, description="Colour clicks, in time. Clicks.", examples=[12000])
    black: Flow | None = Field(default=None, description="Black clicks, in time. Clicks.", examples=[60000])


class RunLength(Part):
    """Another rate for the later copies of one job."""

    above: Positive = Field(description="Copies of one job after which the rate holds. Sets a job.", examples=[50])
    rate: Amount = Field(description="Rate of the copies above. Money a click.", examples=[0.006])


class Meter(Part):
    """What a plan counts apart; a class of work goes to the first meter that counts it."""

    colour: Annotated[Literal["any", "colour", "black"], IS_WORD, WhenAbsent("any")] = Field(
        description="Colour of the work it counts. Word.", examples=["colour"])
    size: Annotated[Literal["any", "small", "large"], IS_WORD, WhenAbsent("any")] = Field(
        description="Size of the sheets it counts. Word.", examples=["large"])
    classes: Texts | None = Field(
        default=None, description="Job classes it counts, by id. Words; default all.", examples=[["one"]])
    coverage_from: Share | None = Field(
        default=None, description="It counts work with more coverage than this. Share.", examples=["5%"])
    coverage_to: Share | None = Field(
        default=None, description="It counts work with at most this coverage. Share.", examples=["15%"])
    rate: Amount | None = Field(
        default=None, description="Rate, unless `bands` are written. Money a click.", examples=[0.045])
    bands: Bands | None = Field(default=None, description="Bands [{from, rate}, …] instead of a rate, from in clicks "
                                "of the settlement period. Money a click.",
                                examples=["[{from: 0, rate: 0.05}, {from: 20000, rate: 0.04}]"])
    bands_read: Annotated[Reading, IS_WORD, WhenAbsent("graduated")] = Field(
        description="Whether a band's rate holds for the clicks in the band or for all clicks. Word; silent: "
        "graduated, a gap.", examples=["all units"])
    included: Flow | None = Field(default=None, description="Clicks included, in time. Clicks.", examples=[12000])
    minimum: Flow | None = Field(default=None, description="Clicks billed at least, in time. Clicks.", examples=[10000])
    separations: Annotated[Positive, WhenAbsent(1)] = Field(
        description="Clicks one pass counts, where each colour is counted. Clicks.", examples=[4])
    size_rate: Amount | None = Field(
        default=None, description="Own rate of a large side, which is then one click. Money a large side.",
        examples=[0.075])
    run_length: RunLength | None = Field(
        default=None, description="Another rate for the copies of one job above a number. Section.",
        examples=["{above: 50, rate: 0.006}"])
    carry_forward_months: Carried | None = Field(
        default=None, description="Further months in which included clicks not used stay usable. Months, 1 to 12.",
        examples=[3])
    under_use_credit: Amount | None = Field(
        default=None, description="Credit for each click of the minimum that is not made. Money a click.",
        examples=[0.004])


class CoverageCap(Part):
    """Toner is inside the click up to a coverage; more is charged."""

    cap: PositiveShare = Field(description="Coverage up to which toner is inside the click. Share.", examples=["5%"])
    price: Amount = Field(description="Price of the toner of one small side at the cap. Money.", examples=[0.006])
    per: Annotated[Literal["letter", "sheet"], IS_WORD] = Field(
        description="Whether the cap is measured on a small side (a large one then exceeds it sooner) or on the side "
        "printed. Word.", examples=["letter"])


class Rebate(Part):
    """Money back on clicks above a volume."""

    above: Flow = Field(description="Clicks of all meters from which it is paid, in time. Clicks.", examples=[100000])
    rate: Amount = Field(description="Rebate on each click above. Money a click.", examples=[0.002])


class Uptime(Part):
    """What the dealer promises the presses are up, and credits when they are not."""

    share: Share = Field(description="Share of the shop hours in which a press is up. Share.", examples=["95%"])
    credit_per_hour: Amount = Field(description="Credit for each hour more down. Money an hour.", examples=[50])
    at_most: Amount | None = Field(
        default=None, description="Highest credit a month. Money a month; absent: no limit.", examples=[420])


@dataclass(frozen=True, slots=True)
class MeterTerms:
    """One meter as the room reads it: written under `meters`, or the everyday `colour` and `black` of a plan."""

    id: str
    colour: str
    size: str
    rate: Figure | tuple[Band, ...]
    bands_read: str
    included: FlowFigure | None
    minimum: FlowFigure | None
    own: Meter | None = None

    @property
    def label(self) -> str:
        """Its name in labels."""
        return self.id.replace("_", " ").capitalize()

    @property
    def has_range(self) -> bool:
        """True when it counts a range of coverage only."""
        return self.own is not None and (self.own.coverage_from is not None or self.own.coverage_to is not None)

    @property
    def needs_size_rule(self) -> bool:
        """True when a large side counts by the plan's rule, not at a rate of its own."""
        return self.own is None or self.own.size_rate is None

    def fits(self, colour: str, *, is_large: bool, work: str = "") -> bool:
        """Tell whether colour, size and class of work (any when empty) are its own."""
        classes = self.own.classes if self.own is not None else None
        named = classes is None or not work or work in classes
        return named and self.colour in ("any", colour) and self.size in ("any", "large" if is_large else "small")

    def counts(self, work: str, colour: str, coverage: float, *, is_large: bool) -> bool:
        """Tell whether it counts a side of a class, coverage included."""
        low = self.own.coverage_from if self.own is not None else None
        high = self.own.coverage_to if self.own is not None else None
        above = low is None or coverage > low.number
        below = high is None or coverage <= high.number
        return above and below and self.fits(colour, is_large=is_large, work=work)


class Service(Part):
    """A service plan: of one press, or on a candidate with `presses` of all of them together."""

    base: Flow | None = Field(default=None, description="Base charge, in time. Money.", examples=[420])
    colour: Rates | None = Field(default=None, description="Colour rate, or bands [{from, rate}, …]. Money a click.",
                                 examples=[0.049])
    black: Rates | None = Field(default=None, description="Black rate, or bands [{from, rate}, …]. Money a click.",
                                examples=[0.009])
    bands: Annotated[Reading, IS_WORD, WhenAbsent("graduated")] = Field(
        description="Whether a band's rate holds for the clicks in the band or for all clicks. Word.",
        examples=["graduated"])
    included: ByColour | None = Field(default=None, description="Clicks included in the base, in time. Section.",
                                      examples=["{colour: 12000}"])
    minimum: ByColour | None = Field(default=None, description="Clicks billed at least, in time. Section.",
                                     examples=["{colour: 10000}"])
    meters: ById[Meter] | None = Field(
        default=None, description="Meters by id, before `colour` and `black`; work that no meter counts cannot be "
        "printed under the plan. Section.", examples=["{large: {size: large, rate: 0.08}, any: {rate: 0.045}}"])
    minimum_charge: Flow | None = Field(default=None, description="Least total charge, in time. Money.", examples=[600])
    equipment_share: Share | None = Field(
        default=None, description="Part of the minimum charge that pays for the press, for lease accounting. Share; "
        "default none.", examples=["40%"])
    instalments: Annotated[YesNo, WhenAbsent("no")] = Field(
        description="Whether the minimum charge is paid month by month and only what base and clicks exceed it by at "
        "the settlement. Yes or no.", examples=["yes"])
    settled: Annotated[Literal["monthly", "quarterly", "yearly"], IS_WORD, WhenAbsent("monthly")] = Field(
        description="Period over which minimums, included clicks and bands are settled. Word; silent: monthly, a gap.",
        examples=["quarterly"])
    stub: Annotated[Literal["full", "pro rata"], IS_WORD, WhenAbsent("full")] = Field(
        description="How a period that contract or study cuts short is settled. Word.", examples=["full"])
    oversize_counts: Annotated[Quantity, WhenAbsent(2)] = Field(
        description="Clicks of one side on a large sheet. Factor; silent: 2, a gap.", examples=[2])
    included_in: Annotated[Literal["small", "large"], IS_WORD, WhenAbsent("small")] = Field(
        description="Size of the sides in which included clicks are stated; large ones are worth oversize_counts "
        "each. Word.", examples=["large"])
    blank_backs: Annotated[Literal["count", "free"], IS_WORD, WhenAbsent("count")] = Field(
        description="Whether the blank back of a two-sided sheet is a click. Word; silent: count.", examples=["free"])
    copy_credit: Share | None = Field(
        default=None, description="Share of the clicks that is credited: spoiled and service copies. Share.",
        examples=["1%"])
    coverage_cap: CoverageCap | None = Field(
        default=None, description="Toner above a coverage is charged. Section.",
        examples=["{cap: 5%, price: 0.006, per: letter}"])
    rates_from: PricesByDate | None = Field(
        default=None, description="List prices from a month on: base and single rates by meter, before increases. "
        "Money, as the price it replaces.", examples=["{2028-07: {base: 380, colour: 0.045}}"])
    increase: YearlyRate = Field(
        description="Increase each time. Share; silent: allowances.increase, else 5% (a gap).", examples=["3%"])
    increase_from: Annotated[MonthOrFigure, WhenAbsent(13)] = Field(
        description="First month with increased prices: YYYY-MM, or contract month. Month; default 13.",
        examples=["2028-07"])
    increase_every: Annotated[Whole, WhenAbsent(12)] = Field(
        description="Months from one increase to the next. Months.", examples=[12])
    increase_cap: YearlyRate | None = Field(default=None,
        description="Highest increase each time. Share; absent: no limit.", examples=["4%"])
    increase_on: Annotated[tuple[IncreaseOn, ...], ARE_WORDS, WhenAbsent(("base", "rates"))] = Field(
        description="Prices that rise. Words.", examples=[["base", "rates"]])
    increases: PercentByDate | None = Field(
        default=None, description="Increases by month, instead of `increase`. Share each.",
        examples=["{2029-03: 6%, 2030-03: 3%}"])
    months: Months | None = Field(default=None,
        description="Length of the contract. Months; default as long as its presses are in service.", examples=[60])
    fee_per_month: Amount | None = Field(
        default=None, description="Account, portal, meter or paper-invoice fee, without increase. Money a month.",
        examples=[18])
    rebate: Rebate | None = Field(default=None, description="Money back on clicks above a volume. Section.",
                                  examples=["{above: 100000, rate: 0.002}"])
    financed_clicks: Quantity | None = Field(
        default=None, description="First clicks of the contract that another payment, such as the rent, has paid. "
        "Clicks.", examples=[1500000])
    paper_included: Annotated[YesNo, WhenAbsent("no")] = Field(
        description="Whether the click pays the paper too. Yes or no.", examples=["yes"])
    uptime: Uptime | None = Field(
        default=None, description="Credit for hours down, from service_stop_hours of the presses. Section.",
        examples=["{share: 95%, credit_per_hour: 50, at_most: 420}"])
    ends_with_service: Share | None = Field(
        default=None, description="Share of the remaining base and minimum that is claimed when the plan ends early; "
        "shown month by month, in no sum. Share.", examples=["40%"])

    @classmethod
    def fill(cls, node: Node) -> dict[str, Tree]:
        """Fill what depends on other keys."""
        if "increases" in node:
            return {"increase": WhenAbsent(0).tree(node.child_path("increase"))}
        return {"increase": unknown_at(node, "increase")}

    @property
    def meters_in_order(self) -> tuple[MeterTerms, ...]:
        """All meters, in the order in which they are asked: those under `meters`, then `colour`, `black`."""
        return (*self._written(), *self._everyday())

    def _written(self) -> Iterator[MeterTerms]:
        for key, one in (self.meters or {}).items():
            rate = one.bands if one.bands is not None else one.rate
            assert rate is not None
            yield MeterTerms(key, one.colour, one.size, rate, one.bands_read, one.included, one.minimum, one)

    def _everyday(self) -> Iterator[MeterTerms]:
        for colour in COLOURS:
            rate: Figure | tuple[Band, ...] | None = getattr(self, colour)
            if rate is not None:
                free = getattr(self.included, colour) if self.included is not None else None
                least = getattr(self.minimum, colour) if self.minimum is not None else None
                yield MeterTerms(colour, colour, "any", rate, self.bands, free, least)

    def covers(self, work: str, colour: str, coverage: float, sizes: Iterable[bool]) -> bool:
        """Tell whether a class of work may be printed, on all its sizes (True: large); without a rate all may."""
        meters = self.meters_in_order
        if not meters:
            return True
        return all(any(one.counts(work, colour, coverage, is_large=large) for one in meters) for large in sizes)

"""One press: what it can do, what it uses, how it is paid and served."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag, WithJsonSchema

from tco.scenario.kinds import (
    IS_WORD,
    Amount,
    BySize,
    Month,
    Positive,
    PositiveShare,
    Quantity,
    Text,
    Texts,
    Whole,
    YesNo,
)
from tco.scenario.numbers import refuse, text_of
from tco.scenario.part import Part, WhenAbsent
from tco.scenario.schema_finance import Cash, Lease, Loan, Owned, Rental, TodayLease, lease_kind
from tco.scenario.schema_names import Named
from tco.scenario.schema_service import Service
from tco.scenario.tree import Items, Tree
from tco.scenario.words import SIZES, Size, nearest

ACQUISITIONS = ("cash", "loan", "lease", "rental", "owned")


class Supply(Part):
    """One thing the press uses up and the service plan does not cover."""

    price: Amount = Field(description="Price of one unit, of a litre with per: m2. Money.", examples=[160])
    yields: Positive | None = Field(
        default=None, description="How many of `per` one unit lasts. Number; must be written unless per is m2.",
        examples=[25000])
    per: Annotated[Literal["side", "colour side", "sheet", "set", "job", "click", "m2"], IS_WORD,
                   WhenAbsent("side")] = Field(
        description="What the yield counts; with m2 the area printed, at ml_per_m2. Word.", examples=["side"])
    ml_per_m2: Positive | None = Field(
        default=None, description="Ink on a square metre of printed sides. Millilitres a square metre; must be written "
        "with per: m2.", examples=[6.5])
    at_coverage: PositiveShare | None = Field(
        default=None, description="Coverage at which the yield was measured. Share; absent: coverage does not matter.",
        examples=["5%"])


def _sizes(raw: Any) -> tuple[str, ...]:
    entries: list[Tree] = list(raw) if isinstance(raw, Items) else [raw]
    words = tuple(text_of(entry) for entry in entries)
    for entry, word in zip(entries, words, strict=True):
        if word not in SIZES and words != ("any",):
            close = nearest(word, SIZES)
            refuse(entry, f"`{word}` is no known size", "",
                   f"Did you mean `{close}`?" if close else f"Write any, or some of {', '.join(SIZES)}")
    return words


class Tray(Part):
    """One paper tray."""

    sheets: Positive = Field(description="Sheets it holds. Sheets.", examples=[2500])
    sizes: Annotated[tuple[str, ...], BeforeValidator(_sizes), WithJsonSchema({"anyOf": [
        {"const": "any"}, {"type": "array", "items": {"enum": list(SIZES)}}]}), WhenAbsent("any")] = Field(
        description="Sizes it takes, or any. Words.", examples=[["letter", "ledger"]])

    def takes(self, size: str) -> bool:
        """Tell whether sheets of this size fit."""
        return "any" in self.sizes or size in self.sizes


class Power(Part):
    """Electric power of one press."""

    running: Quantity = Field(description="While printing. kW.", examples=[3.2])
    ready: Annotated[Quantity, WhenAbsent(0)] = Field(description="While waiting. kW.", examples=[0.9])
    sleep: Annotated[Quantity, WhenAbsent(0)] = Field(description="When nobody is there. kW.", examples=[0.05])
    warm_up: Annotated[Quantity, WhenAbsent(0)] = Field(description="To warm up. kWh a working day.", examples=[0.8])


class FrontEnd(Part):
    """The front end: the computer that drives the press."""

    price: Annotated[Amount, WhenAbsent(0)] = Field(description="Price of one front end. Money.", examples=[9000])
    support_per_year: Annotated[Amount, WhenAbsent(0)] = Field(
        description="Support of one front end. Money a year.", examples=[1200])


def _trays(raw: Any) -> list[Tree]:
    return list(raw) if isinstance(raw, Items) else [raw]


class Press(Part):
    """One press, or `count` equal ones."""

    same_as: Text | None = Field(default=None,
        description="`today`, or `today.<press>`: the present press is kept; its keys "
                                 "hold unless written here. Word.", examples=["today"])
    name: Text | None = Field(default=None, description="Name in tables. Text; default the id.", examples=["The Birch"])
    count: Annotated[Whole, WhenAbsent(1)] = Field(description="Equal presses. Number.", examples=[2])
    from_month: Annotated[Month, WhenAbsent(1)] = Field(
        description="First operating month in service. Month from 1.", examples=[1])
    until_month: Month | None = Field(default=None,
        description="Last operating month in service. Month; default the end of its lease if returned, else of the "
        "study.", examples=[36])
    replaced: Annotated[YesNo, WhenAbsent("no")] = Field(
        description="Whether an equal press on the same terms, at the prices of its own first month, follows whenever "
        "this one leaves before the end of the study. Yes or no.", examples=["yes"])
    colour: Annotated[YesNo, WhenAbsent("yes")] = Field(
        description="Whether it can print colour. Yes or no.", examples=["no"])
    largest: Annotated[Size, IS_WORD] | None = Field(
        default=None, description="Largest size it takes. Word; default any.", examples=["ledger"])
    takes: Texts | None = Field(
        default=None, description="Job classes it is used for, or colour and black of `work`. Words; default all that "
        "it can print.", examples=[["classwork", "forms"]])
    sides_per_minute: BySize | None = Field(
        default=None, description="Speed for the small size, or for each size. Sides a minute; absent: capacity is "
        "not checked.", examples=["{letter: 105, ledger: 52}"])
    two_sided_factor: Annotated[Positive, WhenAbsent(1)] = Field(
        description="Speed in two-sided work as a multiple. Factor; silent: 1.", examples=[0.9])
    heavy_factor: Annotated[Positive, WhenAbsent(0.5)] = Field(
        description="Speed on heavy stock as a multiple. Factor; silent: 0.5, a gap.", examples=[0.6])
    running_allowance: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Time added to running for stops. Share.", examples=["10%"])
    make_ready_minutes: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Preparation, first load included. Minutes a job.", examples=[3])
    trays: Annotated[tuple[Tray, ...], BeforeValidator(_trays)] | None = Field(
        default=None, description="Paper trays [{sheets, sizes}, …]. List.",
        examples=["[{sheets: 2500, sizes: any}]"])
    reload_minutes: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Time to refill the trays. Minutes each time.", examples=[2])
    output_sheets: Positive | None = Field(default=None,
        description="Sheets after which the output is emptied. Sheets.",
                                           examples=[3000])
    unload_minutes: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Time to empty the output. Minutes each time.", examples=[2])
    warm_up_minutes: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Warm-up of each press. Minutes a working day.", examples=[8])
    cleaning_minutes: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Daily care of each press. Minutes a working day.", examples=[10])
    service_stop_hours: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Hours each press is down for service. Hours a month.", examples=[6])
    in_line: Texts | None = Field(default=None, description="Finishes made in line. Words.",
                                  examples=[["staple", "booklet"]])
    attendance: Annotated[Quantity, WhenAbsent(1)] = Field(
        description="People beside one running press. People.", examples=[0.5])
    power: Power | None = Field(default=None, description="Electric power, unless kwh_per_week is written. Section.",
                                examples=["{running: 3.2, ready: 0.9, sleep: 0.05}"])
    kwh_per_week: Quantity | None = Field(default=None, description="Typical energy use of each press. kWh a week.",
                                          examples=[28])
    space_m2: Quantity | None = Field(default=None, description="Floor space of each press with access. Square metres.",
                                      examples=[18])
    recommended_volume: Positive | None = Field(default=None,
        description="Recommended most of each press. Sides a month.",
                                                examples=[150000])
    delivery_and_installation: Amount | None = Field(
        default=None, description="Delivery and installation of one press, in its first month. Money.", examples=[1850])
    training: Amount | None = Field(default=None,
        description="Training for one press, in its first month. Money.", examples=[900])
    site_works: Amount | None = Field(default=None, description="Circuit, floor, air for one press. Money.",
                                      examples=[2500])
    front_end: FrontEnd | None = Field(default=None, description="Front end of one press. Section.",
                                       examples=["{price: 9000, support_per_year: 1200}"])
    removal: Amount | None = Field(default=None,
        description="Taking one press away when it leaves. Money.", examples=[600])
    sells_for: Amount | None = Field(default=None,
        description="What one present press would fetch now, under `today` only. Money; default 0.", examples=[4000])
    cash: Cash | None = Field(default=None, description="Bought outright. Section.",
                              examples=["{price: 58500, sells_for: 6000}"])
    loan: Loan | None = Field(default=None, description="Bought on credit. Section.",
                              examples=["{price: 58500, rate: 6.9%, months: 60}"])
    lease: Annotated[Annotated[Lease, Tag("new")] | Annotated[TodayLease, Tag("today")],
                     Discriminator(lease_kind)] | None = Field(
        default=None, description="Leased; under `today` the running lease. Section.",
        examples=["{rent: 1240, months: 60, return_freight: 1400}"])
    rental: Rental | None = Field(default=None, description="Rented month by month. Section.",
                                  examples=["{rent: 2950, notice_months: 3, increase: 4%}"])
    owned: Owned | None = Field(default=None, description="Owned already. Section.", examples=["{sells_for: 1500}"])
    service: Service | None = Field(default=None, description="Service plan. Section.",
                                    examples=["{base: 420, colour: 0.049, increase: 3%}"])
    supplies: Named[Supply] | None = Field(default=None, description="What the plan does not cover, by name. Section.",
                                           examples=["{staples: {price: 160, yields: 25000, per: set}}"])

    @property
    def new_lease(self) -> Lease | None:
        """The lease when it is a new one."""
        return self.lease if isinstance(self.lease, Lease) else None

    @property
    def present_lease_terms(self) -> TodayLease | None:
        """The lease when it is the running lease of a present press."""
        return self.lease if isinstance(self.lease, TodayLease) else None

    @property
    def is_kept(self) -> bool:
        """True for a present press that a candidate keeps."""
        return self.same_as is not None

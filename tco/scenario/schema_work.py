"""Work: job classes with run lengths, or plain volumes."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from tco.scenario.kinds import (
    IS_WORD,
    AnyVolume,
    FlowYear,
    KnownRate,
    Positive,
    Quantity,
    Season,
    Share,
    Text,
    Texts,
    Whole,
    YesNo,
)
from tco.scenario.part import Part, WhenAbsent
from tco.scenario.words import LARGE_SIZES, Size

Colour = Literal["colour", "black"]


class JobClass(Part):
    """One kind of work."""

    name: Text = Field(description="Name in tables. Text; default the id.", examples=["Classwork"])
    size: Annotated[Size, IS_WORD] = Field(
        description="Sheet size. Word; default letter or a4.", examples=["letter"])
    colour: Annotated[Colour, IS_WORD] = Field(
        description="What the class prints: colour or black. Word.", examples=["black"])
    sides_per_set: Whole = Field(description="Printed sides of one finished set. Sides.", examples=[12])
    two_sided: Annotated[YesNo, WhenAbsent("no")] = Field(
        description="Whether sheets are printed on both sides. Yes or no.", examples=["yes"])
    sets_per_job: Positive = Field(description="Finished sets of one order: the run length. Sets.", examples=[30])
    jobs: FlowYear = Field(description="Orders, a bare number being those of a year. Jobs.", examples=[5200])
    finish: Text | None = Field(default=None, description="Finish of every set, a name under shop.finishing or "
                                "outside.finishing. Word.", examples=["staple"])
    paper: Text | None = Field(default=None, description="Stock, a name under shop.paper. Word; default the size.",
                               examples=["card"])
    heavy: Annotated[YesNo, WhenAbsent("no")] = Field(
        description="Whether the stock runs at the heavy speed. Yes or no.", examples=["no"])
    coverage: Share = Field(description="Toner or ink coverage of a side. Share; default `coverage`.", examples=["8%"])
    season: Season | None = Field(default=None, description="Twelve months of this class. Any scale; default `season`.",
                                  examples=[[1, 1, 1, 1, 1, 1, 0.2, 0.2, 1.5, 1, 1, 1]])
    change_per_year: KnownRate = Field(
        description="Change of the number of jobs. A year; default `change_per_year`.", examples=["-3%"])
    waste: Quantity = Field(description="Sheets added per good sheet. Share; default `waste`.", examples=["3%"])
    make_ready_sheets: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Sheets spoilt before the first good one. Sheets a job.", examples=[5])
    due_hours: Positive | None = Field(
        default=None, description="Press hours within which one job must be printed. Hours a job.", examples=[8])
    charge_per_set: Quantity | None = Field(
        default=None, description="What the customer or department pays for one set; shown apart, never in the total. "
        "Money a set.", examples=[0.85])

    @property
    def is_large(self) -> bool:
        """True when the longer edge of the sheet is over 364 mm."""
        return self.size in LARGE_SIZES


class NewWork(JobClass):
    """Work that only some candidates would win: a job class of its own, which nobody else is asked for."""

    charge_per_set: Quantity = Field(description="Selling price of one set. Money a set.", examples=[0.85])
    only_with: Texts = Field(description="Ids of the candidates that would win it. Words.", examples=[["birch"]])


class OversizeShare(Part):
    """Share of the sides that is on large sheets, by colour."""

    colour: Annotated[Share, WhenAbsent(0)] = Field(description="Share of colour sides. Share.", examples=["35%"])
    black: Annotated[Share, WhenAbsent(0)] = Field(description="Share of black sides. Share.", examples=["5%"])


class ChargePerSide(Part):
    """What customers or departments pay for a printed side, shown apart, never in the total."""

    colour: Quantity | None = Field(default=None, description="For a colour side. Money a side.", examples=[0.12])
    black: Quantity | None = Field(default=None, description="For a black side. Money a side.", examples=[0.03])


class PlainWork(Part):
    """Volumes without run lengths; the classes are `colour` and `black`."""

    colour: AnyVolume | None = Field(default=None, description="Printed colour sides: an amount in time, twelve "
                                                               "figures or "
                                     "two readings. Sides.", examples=[24000])
    black: AnyVolume | None = Field(default=None, description="Printed black sides, like colour. Sides.",
                                    examples=["{per_year: 504000}"])
    oversize_share: OversizeShare | None = Field(
        default=None, description="Share of the sides on large sheets, by colour. Section; absent: none is large.",
        examples=["{colour: 35%, black: 5%}"])
    charge_per_side: ChargePerSide | None = Field(
        default=None, description="Charge-back or selling price of a printed side, by colour. Section.",
        examples=["{colour: 0.12, black: 0.03}"])
    two_sided_share: Annotated[Share, WhenAbsent(0)] = Field(
        description="Share of the sides that is printed two-sided. Share.", examples=["60%"])
    change_per_year: KnownRate = Field(
        description="Change of volume. A year; default the top-level `change_per_year`.", examples=["-3%"])
    size: Annotated[Size, IS_WORD] = Field(
        description="Size of small sheets. Word; default letter or a4.", examples=["letter"])
    large_size: Annotated[Size, IS_WORD] = Field(
        description="Size of large sheets. Word; default ledger or a3.", examples=["ledger"])

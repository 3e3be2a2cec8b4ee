"""The shop and the outside printer: hours, people, paper, finishing, energy, space."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from tco.scenario.kinds import IS_WORD, Amount, Flow, Positive, PositiveShare, Quantity, Text
from tco.scenario.part import Part, WhenAbsent
from tco.scenario.schema_names import Named


class Labour(Part):
    """People at the presses."""

    wage: Amount = Field(description="Wage of one person. Money an hour.", examples=[23.4])
    on_cost: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Employer's cost on top of the wage. Share of the wage.", examples=["42%"])
    posts: Quantity | None = Field(default=None, description="Posts paid today. Posts; absent: hired by the hour.",
                                   examples=[2])
    productive: Annotated[PositiveShare, WhenAbsent(0.8)] = Field(
        description="Productive share of paid hours (leave, sickness, breaks off). Share.", examples=["80%"])
    overtime_factor: Annotated[Quantity, WhenAbsent(1.5)] = Field(
        description="Overtime pay as a multiple of the wage. Factor.", examples=[1.5])
    freed_hours: Annotated[Literal["saved", "stay paid"], IS_WORD, WhenAbsent("stay paid")] = Field(
        description="Whether hours no longer needed save wages. Word.", examples=["stay paid"])


class Finishing(Part):
    """One finish."""

    material: Annotated[Amount, WhenAbsent(0)] = Field(
        description="Staples, glue, combs. Money a set.", examples=[0.02])
    sets_per_hour: Positive | None = Field(default=None, description="Sets finished off line in an hour. Sets an hour.",
                                           examples=[180])
    bought_in: Amount | None = Field(default=None, description="Price when somebody else finishes. Money a set.",
                                     examples=[0.6])


class Emissions(Part):
    """What the use of electricity and paper gives off, by published factors; no cost."""

    electricity: Quantity | None = Field(
        default=None, description="Given off by a kilowatt-hour, in carbon dioxide equivalents. kg a kWh.",
        examples=[0.35])
    paper: Quantity | None = Field(
        default=None, description="Given off by a kilogram of paper, in carbon dioxide equivalents. kg a kg.",
        examples=[1.1])
    year: Text = Field(description="Year the factors are for. Text.", examples=[2023])
    scope: Text = Field(description="What the factors count. Text.", examples=["generation, without the grid's losses"])


class Shop(Part):
    """Hours, people and prices of the shop, the same for every candidate."""

    hours_per_week: Positive | None = Field(default=None, description="Hours a week somebody is there to run presses. "
                                            "Hours; needed as soon as speeds are given.", examples=[40])
    weeks_per_year: Annotated[Positive, WhenAbsent(52)] = Field(
        description="Weeks a year the shop works. Weeks.", examples=[52])
    overtime_hours_per_week: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Overtime hours possible in a week. Hours.", examples=[8])
    labour: Labour | None = Field(default=None, description="People at the presses. Section.",
                                  examples=["{wage: 23.4, on_cost: 42%, posts: 2}"])
    paper: Named[Amount] | None = Field(default=None, description="Price of paper by size or stock name. Money a "
                                                                  "sheet.",
                                        examples=["{letter: 0.0078, ledger: 0.021}"])
    finishing: Named[Finishing] | None = Field(default=None, description="Finishes by name. Section.",
                                                  examples=["{staple: {material: 0.02, sets_per_hour: 180}}"])
    electricity: Amount | None = Field(default=None, description="Price of electricity. Money a kWh.", examples=[0.14])
    cooling: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Electricity for cooling, added to that of the presses. Share.", examples=["30%"])
    emissions: Emissions | None = Field(
        default=None, description="Emissions of electricity and paper, shown beside the cost. Section.",
        examples=["{electricity: 0.35, paper: 1.1, year: 2023, scope: generation}"])
    paper_weight: Named[Positive] | None = Field(
        default=None, description="Weight of paper by size or stock name, as in `paper`. Grams a square metre.",
        examples=["{letter: 75, card: 250}"])
    space_per_m2: Flow | None = Field(default=None, description="Cost of floor space. Money a square metre, in time.",
                                      examples=["{per_year: 140}"])


class Outside(Part):
    """The outside printer."""

    quote: Text | None = Field(default=None, description="Document the outside prices come from. Text.",
                               examples=["Tender T-19"])
    black: Amount | None = Field(default=None, description="Price of a black printed side. Money.", examples=[0.034])
    colour: Amount | None = Field(default=None, description="Price of a colour printed side. Money.", examples=[0.145])
    oversize_counts: Annotated[Quantity, WhenAbsent(2)] = Field(
        description="Small sides that one side on a large sheet is charged as. Factor.", examples=[2])
    finishing: Named[Amount] | None = Field(default=None, description="Price of each finish. Money a set.",
                                            examples=["{booklet: 0.18}"])
    paper: Annotated[Literal["included", "not included"], IS_WORD, WhenAbsent("not included")] = Field(
        description="Whether paper is in the outside prices. Word.", examples=["included"])
    order_minutes: Annotated[Quantity, WhenAbsent(0)] = Field(
        description="Own time to order, check and receive a job. Minutes a job.", examples=[10])
    delivery_per_job: Annotated[Amount, WhenAbsent(0)] = Field(
        description="Delivery of a job from outside. Money a job.", examples=[6])


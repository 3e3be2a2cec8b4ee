"""Money and tax."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from tco.scenario.kinds import ARE_WORDS, IS_WORD, Count0, KnownRate, Positive, Share, Text
from tco.scenario.part import Part, WhenAbsent

MonthName = Literal["January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
                    "November", "December"]
TaxHeading = Literal["equipment", "rent", "service", "supplies", "paper", "energy", "outside"]
Depreciation = Literal["straight line", "macrs 3-year", "macrs 5-year", "macrs 7-year"]
HEADINGS: tuple[TaxHeading, ...] = ("equipment", "rent", "service", "supplies", "paper", "energy", "outside")


class IncomeTax(Part):
    """Income tax on the result of the shop; leave it out for bodies that pay none."""

    rate: Share = Field(description="Tax rate on income. Share (0.25 or 25%).", examples=["25%"])
    relief_after_months: Annotated[Count0, WhenAbsent(0)] = Field(
        description="Months after the end of a fiscal year at which its relief is received. Months.", examples=[4])
    depreciation: Annotated[Depreciation, IS_WORD, WhenAbsent("straight line")] = Field(
        description="How bought presses are written off for tax. Word.", examples=["straight line"])
    years: Positive | None = Field(default=None,
        description="Years of straight-line depreciation. Years.", examples=[5])
    disposal_share: Annotated[Share, WhenAbsent(0.5)] = Field(
        description="Share of a table year's depreciation allowed in the fiscal year of disposal. Share.",
        examples=["50%"])


class SalesTax(Part):
    """Sales tax or value-added tax on what is paid."""

    rate: Share = Field(description="Tax rate on the net price. Share.", examples=["7%"])
    recoverable: Annotated[Share, WhenAbsent(0)] = Field(
        description="Share of the tax that comes back as input tax. Share.", examples=["100%"])
    on: Annotated[tuple[TaxHeading, ...], ARE_WORDS, WhenAbsent(HEADINGS)] = Field(
        description="Headings that are taxed. Words.", examples=[["equipment", "rent"]])


class Money(Part):
    """Currency, discount rate, inflation and tax."""

    currency: Annotated[Text, WhenAbsent("USD")] = Field(
        description="Currency of every sum in the file, three letters. Text.", examples=["USD"])
    discount_rate: KnownRate = Field(
        description="What money costs the shop: the rate at which it could borrow. A year, nominal money.",
        examples=["7.5%"])
    discount_basis: Annotated[Literal["effective", "nominal"], IS_WORD, WhenAbsent("effective")] = Field(
        description="Whether the discount rate is effective a year or nominal with monthly compounding. Word.",
        examples=["effective"])
    inflation: Annotated[KnownRate, WhenAbsent(0)] = Field(
        description="Yearly rise of wages, paper, energy and all prices no contract fixes. A year.", examples=["2.5%"])
    fiscal_year_starts: Annotated[MonthName, IS_WORD, WhenAbsent("January")] = Field(
        description="First month of the fiscal year. Month name.", examples=["July"])
    paper_sizes: Annotated[Literal["inch", "metric"], IS_WORD] = Field(
        description="Whether small work is letter and large ledger (inch), or A4 and A3 (metric). Word; default "
                    "inch for "
                    "USD, CAD and MXN, else metric.", examples=["inch"])
    income_tax: IncomeTax | None = Field(default=None,
        description="Income tax; `none` or absent: not computed. Section.")
    sales_tax: SalesTax | None = Field(default=None, description="Sales tax or VAT; `exempt` or absent: none. Section.")

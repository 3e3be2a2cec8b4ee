"""Money and tax."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from tco.scenario.kinds import (
    ARE_WORDS,
    IS_WORD,
    Count0,
    KnownRate,
    LocaleName,
    Positive,
    PositiveShare,
    Share,
    ShareByDate,
    Text,
    YesNo,
)
from tco.scenario.part import Part, WhenAbsent
from tco.scenario.schema_books import Books, LeaseAccounting

MonthName = Literal["January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
                    "November", "December"]
TaxHeading = Literal["equipment", "rent", "service", "supplies", "paper", "energy", "outside"]
Depreciation = Literal[
    "straight line", "declining balance", "macrs 3-year", "macrs 5-year", "macrs 7-year",
    "macrs 3-year mid-quarter 1", "macrs 3-year mid-quarter 2", "macrs 3-year mid-quarter 3",
    "macrs 3-year mid-quarter 4", "macrs 5-year mid-quarter 1", "macrs 5-year mid-quarter 2",
    "macrs 5-year mid-quarter 3", "macrs 5-year mid-quarter 4", "macrs 7-year mid-quarter 1",
    "macrs 7-year mid-quarter 2", "macrs 7-year mid-quarter 3", "macrs 7-year mid-quarter 4",
]
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
    depreciation_rate: PositiveShare | None = Field(default=None,
        description="Part of the balance written off at each fiscal close, with declining balance. Share.",
        examples=["18%"])
    first_year_share: Share | None = Field(default=None,
        description="Part of the whole sum written off at the first fiscal close, the rest by the method. Share; "
        "default none.", examples=["40%"])
    first_year_shares: ShareByDate | None = Field(default=None,
        description="The same by month of purchase, for an allowance that changes: each holds for presses in use from "
        "that month on, before the first first_year_share holds. Shares.", examples=["{2027-01: 40%, 2028-01: 20%}"])


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
    locale: Annotated[LocaleName, WhenAbsent("en_US")] = Field(
        description="How numbers, money and dates are written: language and country. Text.", examples=["de_DE"])
    discount_rate: KnownRate = Field(
        description="What money costs the shop: the rate at which it could borrow. A year, nominal money.",
        examples=["7.5%"])
    discount_basis: Annotated[Literal["effective", "nominal"], IS_WORD, WhenAbsent("effective")] = Field(
        description="Whether the discount rate is effective a year or nominal with monthly compounding. Word.",
        examples=["effective"])
    inflation: Annotated[KnownRate, WhenAbsent(0)] = Field(
        description="Yearly rise of wages, paper, energy and all prices no contract fixes. A year.", examples=["2.5%"])
    charges_rise: Annotated[YesNo, WhenAbsent("yes")] = Field(
        description="Whether `charge_per_set` and `charge_per_side` rise with inflation. Yes or no.", examples=["no"])
    fiscal_year_starts: Annotated[MonthName, IS_WORD, WhenAbsent("January")] = Field(
        description="First month of the fiscal year. Month name.", examples=["July"])
    paper_sizes: Annotated[Literal["inch", "metric"], IS_WORD] = Field(
        description="Whether small work is letter and large ledger (inch), or A4 and A3 (metric). Word; default "
                    "inch for "
                    "USD, CAD and MXN, else metric.", examples=["inch"])
    income_tax: IncomeTax | None = Field(default=None,
        description="Income tax on the result. Section; `none` or absent: not computed.",
        examples=["{rate: 25%, years: 5}"])
    sales_tax: SalesTax | None = Field(
        default=None, description="Sales tax or VAT. Section; `none`, `exempt` or absent: none.",
        examples=["{rate: 7%}"])
    books: Books | None = Field(default=None,
        description="Depreciation in the shop's books, for the bridge from cash to expense. Section.",
        examples=["{years: 5}"])
    lease_accounting: LeaseAccounting | None = Field(default=None,
        description="Lease accounting, an illustration beside the comparison. Section.",
        examples=["{framework: IFRS 16, rate: 5.5%, life: 7}"])

"""Sections inside a lease: rent before the term, tax on property, renewal by itself, a subsidy."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from tco.scenario.figure import Figure
from tco.scenario.kinds import Amount, CalendarMonth, Months, Quantity, Share, YesNo
from tco.scenario.part import Part, WhenAbsent
from tco.scenario.rules_lease import DaysRule, SharesRule, StepsRule

Steps = Annotated[dict[int, Figure], StepsRule()]
Days = Annotated[tuple[int, int], DaysRule()]
Shares = Annotated[tuple[Figure, ...], SharesRule()]
ShortMonth = Literal["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


class InterimRent(Part):
    """Rent for the days between delivery and the first day of the term."""

    days: Quantity = Field(description="Days before the term begins; a month has 30. Days.", examples=[12])


class PropertyTax(Part):
    """Tax on property that the lessor passes on, once a year."""

    rate: Share = Field(description="Tax rate on the assessed value. Share a year.", examples=["1.8%"])
    assessed: Shares = Field(
        description="Assessed value by year since signing, as shares of cash_price; none after the last. Shares.",
        examples=[["85%", "70%", "55%"]])


class Renewal(Part):
    """A lease that goes on by itself unless notice is given within a window."""

    months: Months = Field(description="Length of the renewal. Months.", examples=[12])
    notice_days: Days = Field(
        description="Days before the last day of the term on which the window for notice opens and closes. Days.",
        examples=[[180, 90]])
    noticed: Annotated[YesNo, WhenAbsent("yes")] = Field(
        description="Whether notice is given in time; `no` computes the renewal at the rent. Yes or no.",
        examples=["no"])


class Subsidy(Part):
    """What somebody else pays towards the lease, while it lasts."""

    per_month: Amount = Field(description="Received at the close of each month in service. Money a month.",
                              examples=[200])
    until: CalendarMonth = Field(description="Last month in which it is promised. YYYY-MM.", examples=["2029-06"])

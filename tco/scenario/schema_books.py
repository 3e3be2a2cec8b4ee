"""Sections for the accountant: depreciation in the shop's books, and lease accounting."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from tco.scenario.kinds import IS_WORD, KnownRate, Positive, Share
from tco.scenario.part import Part, WhenAbsent

# Of these only ASC 842 has a class of lease with an even expense; the others know one class.
Framework = Literal["IFRS 16", "ASC 842", "GASB 87"]


class Books(Part):
    """Depreciation of bought presses in the shop's own books, which are not those for tax."""

    years: Positive = Field(description="Years over which a bought press is written off evenly. Years.", examples=[5])
    residual_share: Annotated[Share, WhenAbsent(0)] = Field(
        description="Part of the sum that is not written off. Share; default 0.", examples=["10%"])


class LeaseAccounting(Part):
    """How a new lease would stand in the balance sheet: shown beside the comparison, in no sum of it."""

    framework: Annotated[Framework, IS_WORD] = Field(
        description="The accounting standard; GASB 87 is that of public bodies in the United States. Word.",
        examples=["IFRS 16"])
    rate: KnownRate = Field(
        description="Rate at which the shop could borrow for the press, nominal, a twelfth each month. A year.",
        examples=["5.5%"])
    life: Positive | None = Field(default=None,
        description="Years a press can be used. Years; default books.years.", examples=[7])

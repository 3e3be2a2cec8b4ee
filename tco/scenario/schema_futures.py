"""How the ranges that were written spread over the futures that are drawn, and which figures move together."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from tco.scenario.kinds import IS_WORD, Texts
from tco.scenario.part import Part, WhenAbsent
from tco.scenario.schema_names import Named


class Shapes(Part):
    """Figures that spread otherwise than the rest, by the name of the shape."""

    triangular: Texts | None = Field(
        default=None, description="Figures that peak at their value and never leave low and high. List of keys.",
        examples=[["change_per_year"]])
    pert: Texts | None = Field(
        default=None, description="The same with thinner ends: a smooth curve around the value. List of keys.",
        examples=[["birch.cash.sells_for"]])
    uniform: Texts | None = Field(
        default=None, description="Figures of which anything between low and high is as likely. List of keys.",
        examples=[["money.discount_rate"]])
    normal: Texts | None = Field(
        default=None, description="Figures that may lie beyond their range: 1 in 10 below low, 1 in 10 above high, "
        "the same to both sides; `value` plays no part. List of keys.", examples=[["work.colour"]])
    lognormal: Texts | None = Field(
        default=None, description="The same for figures that multiply: their logarithm is normal. Low is above 0. "
        "List of keys.", examples=[["work.black"]])


class Futures(Part):
    """How the futures are drawn that say how sure the answer is."""

    shape: Annotated[Literal["triangular", "pert", "uniform", "normal"], IS_WORD, WhenAbsent("triangular")] = Field(
        description="How every figure spreads over its range. With triangular, pert and uniform low and high are "
        "extremes; with normal 1 in 10 lies beyond each. Word.", examples=["pert"])
    shapes: Shapes | None = Field(
        default=None, description="Figures that spread otherwise, by shape. Section.",
        examples=["{lognormal: [work.black]}"])
    together: Named[Texts] | None = Field(
        default=None, description="Figures that rise and fall together, by a name of your own: each takes the same "
        "place in its range. List of keys.", examples=["{paper: [shop.paper.letter, shop.paper.ledger]}"])

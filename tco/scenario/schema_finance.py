"""How a press is paid for: cash, loan, lease, rental, owned, and the lease of a present press."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from tco.scenario.figure import Figure
from tco.scenario.kinds import (
    ARE_WORDS,
    IS_WORD,
    Amount,
    CalendarMonth,
    Count0,
    KnownRate,
    Months,
    Positive,
    Share,
    Whole,
    YearlyRate,
)
from tco.scenario.part import Part, WhenAbsent
from tco.scenario.schema_lease import InterimRent, PropertyTax, Renewal, Shares, ShortMonth, Steps, Subsidy
from tco.scenario.tree import Leaf, Node, Tree, text_at

SELLS_FOR = "What the press sells for when it leaves or the study ends, net of selling. Money of that month; default 0."


def unknown_at(node: Node, key: str) -> Leaf:
    """Return the word `unknown`, filled in where a price should stand."""
    return Leaf("unknown", "unknown", node.child_path(key), node.line)


class Cash(Part):
    """Bought outright; sums for one press."""

    price: Amount = Field(description="Price of one press. Money.", examples=[58500])
    sells_for: Annotated[Amount, WhenAbsent(0)] = Field(description=SELLS_FOR, examples=[6000])


class Loan(Part):
    """Bought on credit; sums for one press."""

    price: Amount = Field(description="Price of one press. Money.", examples=[58500])
    down_payment: Annotated[Amount, WhenAbsent(0)] = Field(description="Paid at signing. Money.", examples=[5000])
    rate: KnownRate = Field(description="Loan rate, nominal a year, a twelfth each month. A year.", examples=["6.9%"])
    months: Months = Field(description="Number of monthly instalments. Months.", examples=[60])
    fee: Annotated[Amount, WhenAbsent(0)] = Field(description="Fee at signing. Money.", examples=[350])
    sells_for: Annotated[Amount, WhenAbsent(0)] = Field(description=SELLS_FOR, examples=[6000])


class Lease(Part):
    """Leased; sums for one press."""

    rent: Amount | None = Field(
        default=None, description="One rent, unless `factor` or `quoted_rate` is written. Money.", examples=[1240])
    factor: Positive | None = Field(
        default=None, description="Rent factor: a rent is factor times cash_price and rolled_in. Factor.",
        examples=[0.0205])
    quoted_rate: KnownRate | None = Field(
        default=None, description="Rate quoted, nominal a year: the level rents that repay cash_price and rolled_in "
        "down to buy_price. A year.", examples=["8.9%"])
    months: Months = Field(description="Length of the term. Months.", examples=[60])
    paid: Annotated[Literal["in advance", "in arrears"], IS_WORD, WhenAbsent("in advance")] = Field(
        description="Whether a rent is due before or after its period. Word; silent: in advance, a gap.",
        examples=["in advance"])
    advance_rents: Count0 = Field(
        description="Rents due at signing. Rents; default 1 when paid in advance, else 0.", examples=[1])
    every_months: Annotated[Whole, WhenAbsent(1)] = Field(
        description="Months from one rent to the next. Months.", examples=[3])
    cash_price: Amount | None = Field(
        default=None, description="Price for cash, to separate the press from how it is paid. Money.", examples=[61000])
    at_end: Annotated[Literal["return", "buy", "renew"], IS_WORD, WhenAbsent("return")] = Field(
        description="What happens after the term. Word.", examples=["return"])
    buy_price: Amount | None = Field(
        default=None, description="Price at the end of the term, with at_end: buy. Money; silent: unknown, a gap.",
        examples=[1])
    return_freight: Amount | None = Field(
        default=None, description="Cost of giving the press back, unless it is bought. Money; silent: unknown, a gap.",
        examples=[1400])
    renewal_rent: Amount | None = Field(
        default=None, description="Rent during renewal. Money a month; default the rent.", examples=[600])
    renewal_months: Months | None = Field(
        default=None, description="Length of renewal. Months; default to the end of the study.", examples=[12])
    document_fee: Annotated[Amount, WhenAbsent(0)] = Field(description="Fee at signing. Money.", examples=[250])
    sells_for: Annotated[Amount, WhenAbsent(0)] = Field(description="With at_end: buy. " + SELLS_FOR, examples=[6000])
    steps: Steps | None = Field(
        default=None, description="Other rents from a month since signing on, {month: rent}; `rent` holds before. "
        "Money.", examples=["{13: 1340, 25: 1440}"])
    skip_months: Annotated[tuple[ShortMonth, ...], ARE_WORDS] | None = Field(
        default=None, description="Calendar months whose rents are skipped. Month names.", examples=[["Jul", "Aug"]])
    skip_rent: Amount | None = Field(
        default=None, description="What is paid instead of a skipped rent. Money; default 0.", examples=[50])
    deferred_months: Count0 | None = Field(
        default=None, description="Months since signing whose rents are not paid at all. Months.", examples=[3])
    interim_rent: InterimRent | None = Field(default=None, description="Rent before the term begins. Section.",
                                             examples=["{days: 12}"])
    insurance_per_month: Amount | None = Field(
        default=None, description="Insurance charged by the lessor while in service. Money a month.", examples=[35])
    property_tax: PropertyTax | None = Field(default=None, description="Property tax passed on. Section.",
                                             examples=["{rate: 1.8%, assessed: [85%, 70%, 55%]}"])
    admin_fee: Amount | None = Field(
        default=None, description="Fee charged together with the property tax. Money a year.", examples=[40])
    sales_tax: Annotated[Literal["on rents", "up front"], IS_WORD] | None = Field(
        default=None, description="Whether sales tax is due on each rent, or at signing on cash_price instead. Word; "
        "default on rents.", examples=["up front"])
    rolled_in: Amount | None = Field(
        default=None, description="Old debt inside the sum that the rents repay, beside cash_price. Money.",
        examples=[26100])
    late_return_months: Count0 | None = Field(
        default=None, description="Months of rent after the term until the lessor has the press back. Months.",
        examples=[1])
    renews_unless_noticed: Renewal | None = Field(
        default=None, description="The lease goes on by itself unless notice is given. Section.",
        examples=["{months: 12, notice_days: [180, 90], noticed: no}"])
    exit_month: Count0 | None = Field(
        default=None, description="Months since signing after which the press is given back early; 0 is never. "
        "Months.", examples=[36])
    exit_discount: Share | None = Field(
        default=None, description="Discount on the rents still owed at an early end. Share; default none.",
        examples=["10%"])
    exit_at_most: Shares | None = Field(
        default=None, description="Most that an early end may cost, instead of exit_discount: shares of the rents "
        "still owed, by year of the lease in which it ends; the last one holds on. Shares; default none.",
        examples=[["60%", "45%", "30%"]])
    exit_service_share: Share | None = Field(
        default=None, description="Share of what the press's service plan still binds that is paid when it is given "
        "back early. Share; default none.", examples=["40%"])
    subsidy: Subsidy | None = Field(default=None, description="What somebody else pays towards it. Section.",
                                    examples=["{per_month: 200, until: 2029-06}"])
    tax_as: Annotated[Literal["rent", "purchase"], IS_WORD] | None = Field(
        default=None, description="Whether income tax sees rents, or a purchase on credit at cash_price. Word; default "
        "rent.", examples=["purchase"])
    service_share: Share | None = Field(
        default=None, description="Part of each rent that pays for service, for lease accounting. Share; default "
        "none.", examples=["12%"])

    @property
    def is_renewed(self) -> bool:
        """True when rents go on after the term: agreed, or because nobody gave notice."""
        missed = self.renews_unless_noticed is not None and not self.renews_unless_noticed.noticed
        return self.at_end == "renew" or missed

    @property
    def renewal_length(self) -> Figure | None:
        """Months of the renewal where the contract states them."""
        if self.at_end != "renew" and self.renews_unless_noticed is not None:
            return self.renews_unless_noticed.months
        return self.renewal_months

    @classmethod
    def fill(cls, node: Node) -> dict[str, Tree]:
        """Fill what depends on other keys."""
        arrears = text_at(node, "paid") == "in arrears"
        out: dict[str, Tree] = {"advance_rents": WhenAbsent(0 if arrears else 1).tree(node.child_path("advance_rents"))}
        missing = "buy_price" if text_at(node, "at_end") == "buy" else "return_freight"
        out[missing] = unknown_at(node, missing)
        return out


class TodayLease(Part):
    """The running lease of a present press; sums for one press."""

    rent: Amount = Field(description="Rent of one press, paid in advance. Money a month.", examples=[2160])
    ends: CalendarMonth = Field(description="Last month of the term. YYYY-MM.", examples=["2028-06"])
    then: Annotated[Literal["return", "month to month"], IS_WORD, WhenAbsent("month to month")] = Field(
        description="What follows when the press is kept. Word; silent: month to month.", examples=["month to month"])
    return_freight: Amount = Field(
        description="Cost of giving the press back. Money; silent: unknown, a gap.", examples=[1400])
    buy_out: Amount | None = Field(default=None, description="Sum that ends the lease now. Money.", examples=[21000])

    @classmethod
    def fill(cls, node: Node) -> dict[str, Tree]:
        """Fill what depends on other keys."""
        return {"return_freight": unknown_at(node, "return_freight")}


class Rental(Part):
    """Rented month by month; sums for one press."""

    rent: Amount = Field(description="Rent, paid in advance. Money a month.", examples=[2950])
    notice_months: Annotated[Count0, WhenAbsent(0)] = Field(
        description="Months still paid after notice. Months.", examples=[3])
    increase: YearlyRate = Field(
        description="Increase each time. Share; silent: allowances.increase, else 5% (a gap).", examples=["4%"])
    increase_every: Annotated[Whole, WhenAbsent(12)] = Field(
        description="Months from one increase to the next. Months.", examples=[12])

    @classmethod
    def fill(cls, node: Node) -> dict[str, Tree]:
        """Fill what depends on other keys."""
        return {"increase": unknown_at(node, "increase")}


class Owned(Part):
    """Owned already; for one press."""

    sells_for: Annotated[Amount, WhenAbsent(0)] = Field(description=SELLS_FOR, examples=[1500])


def lease_kind(raw: Any) -> str:
    """Return which of the two lease classes a section is: only a running lease has `ends`."""
    return "today" if isinstance(raw, TodayLease) or (isinstance(raw, Node) and "ends" in raw) else "new"

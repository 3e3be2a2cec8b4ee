"""The oracle's book of flows: heading, month, timing, amount."""

from __future__ import annotations

from tests.oracle.work import Clock

Flow = dict[tuple[int, str], float]

# What the statement holds. "people" is the policy named in the scenario.
HEADINGS = (
    "purchase", "down_payment", "loan_fee", "loan_interest", "loan_principal", "loan_balance",
    "delivery_and_installation", "training", "site_works", "front_end", "support",
    "lease_rents", "renewal_rents", "document_fee", "buy_price", "lease_settlement", "rental_rents",
    "return_freight", "removal", "sale",
    "present_sale", "present_removal", "present_rents", "present_freight", "present_buy_out",
    "interim_rent", "late_rents", "exit_settlement", "lease_insurance", "property_tax", "property_fee", "subsidy",
    "service_base", "service_clicks", "service_true_up", "service_instalments", "service_fee", "service_toner",
    "service_rebate", "service_credit", "service_uptime", "exit_service",
    "paper", "supplies", "finishing", "bought_in", "outside", "people", "energy", "space", "sales_tax", "income_tax",
)  # fmt: skip
EQUIPMENT = HEADINGS[:10] + HEADINGS[11:32]  # section 5 of the definitions but for monthly support
FINANCING = (
    "down_payment", "loan_fee", "loan_interest", "loan_principal", "loan_balance",
    "lease_rents", "renewal_rents", "document_fee", "buy_price", "lease_settlement", "return_freight",
    "interim_rent", "late_rents", "exit_settlement",
)  # fmt: skip


class Book:
    """Flows of one candidate. What falls after the horizon is kept apart, except income tax."""

    def __init__(self, clock: Clock) -> None:
        self.clock = clock
        self.flows: dict[str, Flow] = {heading: {} for heading in HEADINGS}
        self.beyond: dict[str, float] = {}

    def add(self, heading: str, month: int, timing: str, amount: float) -> None:
        """Enter an amount."""
        if month > self.clock.months and heading != "income_tax":
            self.beyond[heading] = self.beyond.get(heading, 0.0) + amount
            return
        flow = self.flows[heading]
        flow[month, timing] = flow.get((month, timing), 0.0) + amount

    def total(self, *headings: str) -> float:
        """Add up headings (all of them when none is named)."""
        return sum(sum(self.flows[h].values()) for h in headings or HEADINGS)

    def present_value(self, *headings: str) -> float:
        """Discount headings (all of them when none is named) to the start."""
        return sum(
            amount * self.clock.factor(*when) for h in headings or HEADINGS for when, amount in self.flows[h].items()
        )

    def statement(self) -> Flow:
        """Add all headings up by month and timing."""
        out: Flow = {}
        for heading in HEADINGS:
            for when, amount in self.flows[heading].items():
                out[when] = out.get(when, 0.0) + amount
        return out

    def at(self, heading: str, timing: str | None = None) -> list[float]:
        """Give months 1 ... H of a heading at position 0 ..., of one timing or of all."""
        out = [0.0] * self.clock.months
        for (month, when), amount in self.flows[heading].items():
            if month <= self.clock.months and timing in (None, when):
                out[month - 1] += amount
        return out

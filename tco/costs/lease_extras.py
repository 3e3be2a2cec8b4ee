"""What comes beside the rents of a lease: insurance, property tax, fees, and what somebody else contributes."""

from __future__ import annotations

from collections.abc import Iterator

from tco.costs.desk import Desk
from tco.costs.lease_rents import lease_month
from tco.costs.records import Charge, Clock, Window
from tco.model.kinds import Axis, Origin
from tco.model.nodes import TWELVE
from tco.model.vocabulary import by_key, down, equals
from tco.scenario.schema import Lease, Scenario


def extras(desk: Desk, scenario: Scenario, terms: Lease, there: Window, clock: Clock) -> Iterator[Charge]:
    """Yield what is paid beside the rents while the press is in service."""
    if terms.insurance_per_month is not None:
        a_month = desk.take(there.block, terms.insurance_per_month, "Insurance a month", "money/month")
        due = a_month * there.count * there.present
        yield Charge(there.block.cost("insurance", "Insurance by the lessor", "equipment", due), "insurance")
    if terms.property_tax is not None:
        yield from _property_tax(desk, terms, there, clock)
    if terms.subsidy is not None:
        yield _subsidy(desk, scenario, terms, there, clock)


def _property_tax(desk: Desk, terms: Lease, there: Window, clock: Clock) -> Iterator[Charge]:
    """Tax on the assessed value, at the close of every twelfth month of the lease, and the fee for passing it on."""
    block, tax = there.block, terms.property_tax
    assert tax is not None
    assert terms.cash_price is not None
    axis = Axis("year of the lease", tuple(f"Year {year}" for year in range(1, len(tax.assessed) + 1)))
    shares = desk.column(block, "assessed", "Assessed share of the price", "1", axis, tax.assessed, percent=True)
    years = desk.fixed(block, "assessed_year", "Year of the lease", "1", axis, [float(n + 1) for n in range(len(axis))])
    year = block.line("assessed_in", "Year of the lease that closes", "1", lease_month(there, clock) / TWELVE)
    assessed = block.line("assessed_now", "Assessed share in the month", "1", by_key(shares, years, year), percent=True)
    rate = desk.take(block, tax.rate, "Property tax rate", "1", percent=True)
    price = desk.take(block, terms.cash_price, "Cash price", "money")
    noted = Origin(source="follows from the scenario's words")
    taxed = block.given("years_taxed", "Years with an assessed value", "1", len(axis), role="constant", origin=noted)
    closes = block.event(
        "assessed_when", "Property tax is due", there.present & equals(down(year), year) & (year <= taxed)
    )
    due = price * there.count * assessed * rate * closes
    yield Charge(block.cost("property_tax", "Property tax", "tax", due), "property tax")
    if terms.admin_fee is not None:
        fee = desk.take(block, terms.admin_fee, "Fee with the property tax", "money")
        yield Charge(block.cost("admin_fee", "Administration fee", "equipment", fee * there.count * closes), "fee")


def _subsidy(desk: Desk, scenario: Scenario, terms: Lease, there: Window, clock: Clock) -> Charge:
    """What somebody else pays towards the rents, as long as it is promised."""
    block, promised = there.block, terms.subsidy
    assert promised is not None
    a_month = desk.take(block, promised.per_month, "Contribution a month", "money")
    until = desk.date(block, "subsidy_until", "Last month of the contribution", scenario, promised.until)
    goes = block.event("subsidised", "Contribution received", there.present & (clock.month <= until))
    received = block.cost("subsidy", "Contribution to the rents", "equipment", -1 * a_month * there.count * goes)
    return Charge(received, "receipt")

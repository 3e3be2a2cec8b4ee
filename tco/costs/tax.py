"""Sales tax on named headings, and relief of income tax on what is deducted and written off.

Rates, classes and timing are inputs. What is shown is arithmetic on them, to be discussed with a tax adviser.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Deal, Window
from tco.model.kinds import Axis, Origin, Timing
from tco.model.lines import Block
from tco.model.nodes import MONTHS_A_YEAR, TWELVE, Line, Node, lift
from tco.model.vocabulary import (
    band,
    before,
    booked,
    by_key,
    cumulative,
    delayed,
    down,
    equals,
    joined,
    since,
    stacked,
    this_month,
)
from tco.reference_data.depreciation import DATE, Convention, recovery_table
from tco.scenario.schema import IncomeTax, SalesTax, Scenario


@dataclass(frozen=True)
class _AtOnce:
    """The share written off at once: one line, or a column and the months of purchase from which its entries hold."""

    share: Line
    begins: Line | None


def sales_tax(
    desk: Desk,
    block: Block,
    terms: SalesTax,
    charges: Sequence[Charge],
    invoiced: Sequence[Line],
    up_front: Sequence[Line],
) -> list[Charge]:
    """Describe the tax on what is bought, less what comes back; receipts and settlements carry none.

    `invoiced` are prices taxed in full at the opening although they are paid by instalments, `up_front` prices taxed
    at signing in place of rents.
    """
    rate = desk.take(block, terms.rate, "Sales tax rate", "1", percent=True)
    back = desk.take(block, terms.recoverable, "Share that comes back", "1", percent=True)
    net = block.line("net_rate", "Sales tax that stays", "1", rate * (1 - back), percent=True)
    made = []
    timings: tuple[Timing, ...] = ("opening", "close")
    for timing in timings:
        taxed = [charge.line for charge in charges if charge.heading in terms.on and charge.line.timing == timing]
        if timing == "opening" and "equipment" in terms.on:
            taxed.extend(invoiced)
        if timing == "opening" and "rent" in terms.on:
            taxed.extend(up_front)
        if not taxed:
            continue
        base = block.flow(f"taxed_{timing}", f"Taxed at the {timing}", "money/month", joined(taxed, "money/month"))
        due = block.cost(f"sales_{timing}", f"Sales tax, {timing}", "tax", base * net, timing)
        made.append(Charge(due, "tax"))
    return made


def income_tax(
    desk: Desk,
    block: Block,
    scenario: Scenario,
    terms: IncomeTax,
    charges: Sequence[Charge],
    by_press: Sequence[tuple[Window, Sequence[Deal]]],
    clock: Clock,
) -> list[Charge]:
    """Describe the relief: deductions of a fiscal year, at the rate, months after it closes, beyond the horizon too."""
    rate = desk.take(block, terms.rate, "Income tax rate", "1", percent=True)
    lag = desk.take(block, terms.relief_after_months, "Months from year end to relief", "1")
    paid = [charge.line for charge in charges if charge.deducted]
    paid.extend(deal.interest for _, deals in by_press for deal in deals if deal.interest is not None)
    at_once = _shares_at_once(desk, block, scenario, terms)
    running = block.flow("deducted", "Costs deducted as paid", "money/month", joined(paid, "money/month"))
    parts = [running]
    for place, (there, deals) in enumerate(by_press, 1):
        sums = [line for deal in deals for line in deal.depreciable]
        sales = [deal.sale for deal in deals if deal.sale is not None]
        if sums:
            parts.extend(_written_off(desk, block, terms, at_once, there, sums, sales, place, clock))
    all_of_it = block.flow("deductions", "Deductions", "money/month", joined(parts, "money/month"))
    to_date = block.line("to_date", "Deductions of the fiscal year", "money", since(all_of_it, clock.opens_fiscal))
    earned = block.flow("earned", "Relief earned", "money/month", booked(rate * to_date * clock.closes_fiscal))
    relief = block.cost("relief", "Income tax relief", "tax", -1 * delayed(earned, lag, clock.month))
    return [Charge(relief, "tax", deducted=False, budget="tax relief")]


def relief_of_people(
    desk: Desk, block: Block, terms: IncomeTax, people: tuple[Line, Line], counted: Line, clock: Clock
) -> tuple[Line, Line]:
    """Describe what the relief changes by when people cost what another policy about freed hours says."""
    rate = desk.take(block, terms.rate, "Income tax rate", "1", percent=True)
    lag = desk.take(block, terms.relief_after_months, "Months from year end to relief", "1")
    rows = []
    for key, words, row in zip(("saved", "stay"), ("freed hours saved", "same people paid"), people, strict=True):
        more = block.flow(f"{key}_more", f"Deducted more if {words}", "money/month", row - counted)
        to_date = block.line(f"{key}_to_date", f"More in the fiscal year if {words}", "money",
                             since(more, clock.opens_fiscal))  # fmt: skip
        earned = block.flow(f"{key}_earned", f"More relief earned if {words}", "money/month",
                            booked(rate * to_date * clock.closes_fiscal))  # fmt: skip
        rows.append(block.flow(f"{key}_relief", f"Relief changes if {words}", "money/month",
                               -1 * delayed(earned, lag, clock.month)))  # fmt: skip
    return rows[0], rows[1]


def _written_off(
    desk: Desk,
    block: Block,
    terms: IncomeTax,
    shares: _AtOnce | None,
    there: Window,
    sums: list[Line],
    sales: list[Line],
    place: int,
    clock: Clock,
) -> list[Line]:
    """Depreciation of one purchase, and the loss (or, negative, the gain) when it leaves."""
    scalar = clock.horizon.shape
    basis = block.line(f"basis_{place}", f"Sum written off, press {place}", "money", joined(sums, "money", scalar))
    at_once, regular = _first_year(block, shares, there, basis, place, clock)
    if terms.depreciation == "straight line":
        amount = regular * _straight(desk, block, terms, there, place, clock)
    elif terms.depreciation == "declining balance":
        amount = _declining(desk, block, terms, there, regular, place, clock) + 0
    else:
        amount = regular * _by_table(desk, block, terms, there, place, clock)
    whole = amount if at_once is None else amount + at_once
    written = block.flow(f"written_{place}", f"Depreciation, press {place}", "money/month", whole)
    so_far = block.line(f"so_far_{place}", f"Written off so far, press {place}", "money", cumulative(written))
    book = block.line(f"book_{place}", f"Book value, press {place}", "money", basis - so_far)
    left = book * there.leaves + joined(sales, "money/month")
    return [written, block.flow(f"loss_{place}", f"Loss on leaving, press {place}", "money/month", left)]


def _shares_at_once(desk: Desk, block: Block, scenario: Scenario, terms: IncomeTax) -> _AtOnce | None:
    """The share of the first year, or a column of it by month of purchase; None when nothing is written off at once."""
    label = "Share written off at once"
    single = terms.first_year_share
    usual = None if single is None else desk.take(block, single, label, "1", percent=True)
    dated = terms.first_year_shares or ()
    if not dated:
        return None if usual is None else _AtOnce(usual, None)
    axis = Axis("month of purchase", ("before", *(f"from {one.when}" for one in dated)))
    months = [float(scenario.operating_month(one.when)) for one in dated]
    begins = block.given("at_once_begins", "Month of purchase from which it holds", "1",
                         [min(0.0, months[0] - 1), *months], axis=axis, role="constant")  # fmt: skip
    later = [desk.take(block, one.figure, f"{label}, from {one.when}", "1", percent=True) for one in dated]
    column = stacked(axis, [lift(0) if usual is None else usual, *later])
    return _AtOnce(block.line("at_once_shares", f"{label} by month of purchase", "1", column, percent=True), begins)


def _first_year(
    block: Block, shares: _AtOnce | None, there: Window, basis: Line, place: int, clock: Clock
) -> tuple[Line | None, Line]:
    """What is written off at the first fiscal close, unless the press leaves before; and what is left to the method."""
    if shares is None:
        return None, basis
    share = shares.share
    if shares.begins is not None:
        share = block.line(f"at_once_share_{place}", f"Share written off at once, press {place}", "1",
                           band(share, shares.begins, there.first), percent=True)  # fmt: skip
    starts, leaves = _starts(block, there, place, clock), _leaves(block, there, place, clock)
    first = clock.closes_fiscal & equals(clock.fiscal_year, starts) & (starts < leaves)
    closes = block.event(f"first_close_{place}", f"First fiscal close, press {place}", first)
    at_once = block.flow(
        f"at_once_{place}", f"Written off at once, press {place}", "money/month", basis * share * closes
    )
    return at_once, block.line(f"regular_{place}", f"Left to the method, press {place}", "money", basis * (1 - share))


def _straight(desk: Desk, block: Block, terms: IncomeTax, there: Window, place: int, clock: Clock) -> Node:
    assert terms.years is not None
    years = desk.take(block, terms.years, "Years of depreciation", "year")
    months = block.line(f"months_{place}", f"Months of depreciation, press {place}", "month", years * MONTHS_A_YEAR)
    runs = there.present & (clock.month <= there.first + months / desk.constant(block, "one_month") - 1)
    writes = block.state(f"writes_{place}", f"Writes off, press {place}", runs)
    return writes / months


def _declining(
    desk: Desk, block: Block, terms: IncomeTax, there: Window, regular: Line, place: int, clock: Clock
) -> Line:
    """A share of the balance at each fiscal close before the fiscal year of leaving."""
    assert terms.depreciation_rate is not None
    rate = desk.take(block, terms.depreciation_rate, "Share of the balance a year", "1", percent=True)
    pool = block.declare(f"pool_{place}", f"Balance written down, press {place}", "money")
    opening = block.line(
        f"pool_before_{place}", f"Balance before the close, press {place}", "money",
        before(pool) + this_month(regular * there.starts),
    )  # fmt: skip
    books = _books(block, there, place, clock)
    taken = block.flow(f"taken_{place}", f"Taken off the balance, press {place}", "money/month", opening * rate * books)
    pool.becomes(opening - this_month(taken))
    return taken


def _by_table(desk: Desk, block: Block, terms: IncomeTax, there: Window, place: int, clock: Clock) -> Node:
    """The published percentages, booked at each fiscal close; in the year of leaving a share of them."""
    years_of, _, convention = terms.depreciation.removeprefix("macrs ").partition("-year")
    table = recovery_table(int(years_of), cast("Convention", convention.strip() or "half-year"))
    axis = Axis("recovery year", tuple(f"Year {year}" for year in range(1, len(table.shares) + 1)))
    noted = Origin(source=table.source, date=DATE)
    known = block.builder.by_id.get(f"{block.id}.table_years")
    if known is None:
        years = [float(year) for year in range(1, len(table.shares) + 1)]
        known = block.given("table_years", "Recovery year", "1", years, axis=axis, role="constant", origin=noted)
    shares = block.builder.by_id.get(f"{block.id}.table")
    if shares is None:
        shares = block.given(
            "table", "Share written off", "1", table.shares, axis=axis, role="constant", origin=noted, percent=True
        )
    kept = desk.take(block, terms.disposal_share, "Share allowed in the year of leaving", "1", percent=True)
    starts = _starts(block, there, place, clock)
    whole = _books(block, there, place, clock)
    year = block.line(f"recovery_{place}", f"Recovery year, press {place}", "1", clock.fiscal_year - starts + 1)
    return by_key(shares, known, year) * (whole + kept * there.leaves)


def _books(block: Block, there: Window, place: int, clock: Clock) -> Line:
    """The fiscal closes before the fiscal year in which the press leaves."""
    before_leaving = clock.closes_fiscal * (clock.fiscal_year < _leaves(block, there, place, clock))
    return block.event(f"books_{place}", f"Books a full year, press {place}", before_leaving)


def _starts(block: Block, there: Window, place: int, clock: Clock) -> Line:
    return _fiscal_at(block, f"starts_{place}", f"Fiscal year of start, press {place}", there.first, clock)


def _leaves(block: Block, there: Window, place: int, clock: Clock) -> Line:
    return _fiscal_at(block, f"leaves_{place}", f"Fiscal year of leaving, press {place}", there.last, clock)


def _fiscal_at(block: Block, key: str, label: str, month: Line, clock: Clock) -> Line:
    known = block.builder.by_id.get(f"{block.id}.{key}")
    if known is not None:
        return known
    return block.line(key, label, "1", down((month - 1 + clock.fiscal_shift) / TWELVE) + 1)

"""The shop's own books: bought presses written off evenly, and the way from what is paid to what is expensed.

Nothing here enters the statement: it is the same money in other years.
"""

from __future__ import annotations

from collections.abc import Sequence

from tco.costs.desk import Desk
from tco.costs.records import Clock, Deal, Window
from tco.model.lines import Block
from tco.model.nodes import MONTHS_A_YEAR, Line
from tco.model.vocabulary import cumulative, gathered, joined, total
from tco.scenario.schema import Books


def books(
    desk: Desk,
    block: Block,
    terms: Books,
    bought: Sequence[tuple[Window, Sequence[Deal]]],
    paid: Line,
    clock: Clock,
) -> None:
    """Describe the bridge from cash to expense.

    `bought` are the presses paid at once or by a loan, `paid` is all that the candidate pays, by month.
    """
    written, lost = [], []
    for place, (there, deals) in enumerate(bought, 1):
        depreciation, loss = _press(desk, block, terms, there, deals, place, clock)
        written.append(depreciation)
        lost.append(loss)
    charges = [charge for _, deals in bought for deal in deals for charge in deal.charges]
    aside = [charge.line for charge in charges if not charge.deducted]
    capital = block.flow("capital", "Capital and principal paid", "money/month", joined(aside, "money/month"))
    depreciation = block.flow("depreciation", "Depreciation", "money/month", joined(written, "money/month"))
    loss = block.flow("loss", "Loss on presses that leave", "money/month", joined(lost, "money/month"))
    expense = block.flow("expense", "Expense", "money/month", paid - capital + depreciation + loss)
    for row in (capital, depreciation, loss, expense):
        key = row.id.rpartition(".")[2]
        block.memo(f"{key}_by_year", f"{row.label}: fiscal years", "money",
                   gathered(clock.fiscal_years, row, clock.fiscal_year))  # fmt: skip
    block.check("expense_is_cash", "Expense is cash in the end", "money", total(expense) - total(paid))


def _press(
    desk: Desk, block: Block, terms: Books, there: Window, deals: Sequence[Deal], place: int, clock: Clock
) -> tuple[Line, Line]:
    """Depreciation of one purchase, and the loss (or, negative, the gain) in the month in which it leaves."""
    sums = [line for deal in deals for line in deal.depreciable]
    sales = [deal.sale for deal in deals if deal.sale is not None]
    years = desk.take(block, terms.years, "Years in the books", "year")
    residual = desk.take(block, terms.residual_share, "Share that is not written off", "1", percent=True)
    basis = block.line(f"basis_{place}", f"Sum in the books, press {place}", "money",
                       joined(sums, "money", clock.horizon.shape))  # fmt: skip
    months = block.line(f"months_{place}", f"Months in the books, press {place}", "month", years * MONTHS_A_YEAR)
    last = block.line(f"last_write_{place}", f"Last month written off, press {place}", "1",
                      there.first + months / desk.constant(block, "one_month") - 1)  # fmt: skip
    writes = block.state(f"writes_{place}", f"Writes off, press {place}", there.present & (clock.month <= last))
    each = block.line(f"each_{place}", f"Written off a month, press {place}", "money/month",
                      basis * (1 - residual) / months)  # fmt: skip
    written = block.flow(f"written_{place}", f"Depreciation, press {place}", "money/month", each * writes)
    so_far = block.line(f"so_far_{place}", f"Written off so far, press {place}", "money", cumulative(written))
    book = block.line(f"book_{place}", f"Book value, press {place}", "money", basis - so_far)
    gone = book * there.leaves + joined(sales, "money/month")
    return written, block.flow(f"loss_{place}", f"Loss on leaving, press {place}", "money/month", gone)

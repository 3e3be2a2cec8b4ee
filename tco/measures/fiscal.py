"""Costs by fiscal year in the parts of a budget: capital, loan payments, operating, relief of income tax."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from tco.costs.records import Budget, Charge, Clock
from tco.measures.statement import Statement
from tco.model.lines import Block
from tco.model.nodes import Line
from tco.model.vocabulary import gathered, joined, total

PARTS: Final[tuple[tuple[Budget, str, str], ...]] = (
    ("capital", "capital", "Capital"),
    ("loan payments", "loan", "Loan payments"),
    ("operating", "operating", "Operating"),
    ("tax relief", "relief", "Tax relief"),
)


def fiscal(block: Block, charges: Sequence[Charge], sums: Statement, clock: Clock) -> None:
    """Describe a candidate's costs by fiscal year.

    Columns along the fiscal years, in money: the four parts, all costs as paid, and what they are worth at the start.
    They run to the last month of the model, so they hold relief that arrives after the months compared.
    """
    columns = []
    for budget, key, label in PARTS:
        own = [charge.line for charge in charges if charge.budget == budget]
        row = block.flow(key, label, "money/month", joined(own, "money/month"))
        columns.append(_by_year(block, f"{key}_by_year", f"{label}: fiscal years", row, clock))
    paid = _by_year(block, "paid_by_year", "All costs: fiscal years", sums.net, clock)
    capital, loan, operating, relief = columns
    block.check("parts_add_up", "Parts of the budget add up", "money", paid - capital - loan - operating - relief)
    worth = block.flow(
        "worth", "Worth at the start", "money/month", sums.opening * clock.opening + sums.close * clock.close
    )
    _by_year(block, "worth_by_year", "Worth at the start: fiscal years", worth, clock)
    block.check("worth_adds_up", "Worth of the years adds up", "money", total(worth) - sums.present_value)


def _by_year(block: Block, key: str, label: str, row: Line, clock: Clock) -> Line:
    return block.memo(key, label, "money", gathered(clock.fiscal_years, row, clock.fiscal_year))

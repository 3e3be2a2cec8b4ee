"""Cash and tax by fiscal year: for each candidate what leaves the account, by kind, summing to its statement."""

from __future__ import annotations

from tco.publish.drawings import by_fiscal_year
from tco.publish.numbers import month_name
from tco.publish.pages.costs import cash, kind_key
from tco.publish.parts import Cell, Kit, Page, Row, Table
from tco.report import Candidate


def year_end(kit: Kit, year: int) -> str:
    """When a fiscal year of the study ends: ``June 2028``."""
    facts = kit.report.facts
    first = facts.year + (1 if facts.month >= facts.fiscal_month and facts.fiscal_month > 1 else 0)
    month = (facts.fiscal_month - 2) % 12 + 1
    return month_name(first + year - 1, month)


def statement(kit: Kit, one: Candidate, years: list[int]) -> Table:
    """One candidate: kinds down, fiscal years across, every row and column summed."""
    report, numbers = kit.report, kit.numbers
    of = report.fiscal_years
    lines = [(kind.capitalize(), row, f"{one.id}.statement.{kind_key(kind)}") for kind, row in one.statement.items()]
    rows = []
    for label, row, key in [*lines, ("Paid in the year", one.net, f"{one.id}.statement.net")]:
        cells = [Cell(numbers.whole(sum(v for v, y in zip(row, of, strict=True) if y == year))) for year in years]
        whole = Cell(numbers.whole(sum(row)), kit.href(key), "strong")
        rows.append(Row(label, (*cells, whole), css="total" if key.endswith(".net") else ""))
    columns = (*((f"To {year_end(kit, year)}", numbers.currency) for year in years), ("In all", numbers.currency))
    keys = [key for _, _, key in lines] + [f"{one.id}.statement.net"]
    return Table(f"t-fiscal-{one.place}", kit.name(one.id), columns, tuple(rows), "Kind of cost", "", kit.traced(keys))


def build(kit: Kit) -> list[Page]:
    """The page."""
    report = kit.report
    years = sorted(set(report.fiscal_years))
    names = {year: f"To {year_end(kit, year)}" for year in years}
    data = {
        "figure": kit.draw(by_fiscal_year),
        "figure_traced": kit.traced(f"{one.id}.statement.net" for one in report.candidates),
        "table": cash(kit, report.fiscal_years, "t-cash", "Cash by fiscal year", "Fiscal year", names),
        "statements": [statement(kit, one, years) for one in report.candidates],
        "tax": report.facts.income_tax,
        "sales_tax": report.facts.sales_tax,
    }
    return [Page("cash.html", "Cash and tax by fiscal year", "cash.html.j2", data, "Cash")]

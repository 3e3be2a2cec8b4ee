"""Cash and tax by fiscal year: what leaves the account by kind, the budget, the books, leases as accounted for."""

from __future__ import annotations

from tco.analyses.not_to_exceed import nothing_ranged
from tco.publish.drawings import by_fiscal_year
from tco.publish.numbers import NO_BREAK, listed
from tco.publish.pages.accounts import bridge, budget, framework, lease_accounting
from tco.publish.pages.costs import cash, statement
from tco.publish.parts import Kit, Page
from tco.scenario.figure import MONTH_NAMES


def year_end(kit: Kit, year: int) -> str:
    """When a fiscal year of the study ends: ``to Jun 2028``, in two lines at most."""
    facts = kit.report.facts
    first = facts.year + (1 if facts.month >= facts.fiscal_month and facts.fiscal_month > 1 else 0)
    month = (facts.fiscal_month - 2) % 12 + 1
    return f"to {MONTH_NAMES[month - 1]}{NO_BREAK}{first + year - 1}"


def build(kit: Kit) -> list[Page]:
    """The page."""
    report = kit.report
    years = sorted(set(report.fiscal_years))
    most = max((len(entry.axis_labels) for entry in report.entries if entry.axis == "fiscal year"), default=0)
    every = {year: year_end(kit, year) for year in range(1, max(most, *years) + 1)}
    names = {year: every[year] for year in years}
    data = {
        "figure": kit.draw(by_fiscal_year),
        "figure_traced": kit.traced(f"{one.id}.statement.net" for one in report.candidates),
        "table": cash(kit, report.fiscal_years, "t-cash", "Cash by fiscal year", names),
        "statements": [
            statement(
                kit, one, report.fiscal_years, f"t-fiscal-{one.place}", f"{kit.name(one.id)}: by kind of cost", names
            )
            for one in report.candidates
        ],
        "budgets": [table for one in report.candidates if (table := budget(kit, one, names)) is not None],
        "is_open": bool(report.ceilings) and nothing_ranged(report.ceilings),
        "books": bool(report.candidates) and kit.has(f"{report.candidates[0].id}.books.expense_by_year"),
        "unbought": listed([kit.name(one.id) for one in report.candidates if bridge(kit, one, names) is None]),
        "bridges": [table for one in report.candidates if (table := bridge(kit, one, names)) is not None],
        "leases": [found for one in report.candidates if (found := lease_accounting(kit, one, every)) is not None],
        "framework": framework(kit),
        "tax": report.facts.income_tax,
        "sales_tax": report.facts.sales_tax,
    }
    return [Page("cash.html", "Cash and tax by fiscal year", "cash.html.j2", data, "Cash")]

"""Where the money goes: paid so far, by kind, by year."""

from __future__ import annotations

from collections.abc import Mapping

from tco.publish.drawings import by_year, cumulative, make_up
from tco.publish.drawings_more import class_cost, stop_after
from tco.publish.numbers import NONE
from tco.publish.parts import Cell, Kit, Page, Row, Table, clipped
from tco.report import Candidate, Report, yearly_sums


def kind_key(kind: str) -> str:
    """A kind of cost as it stands in keys."""
    return kind.replace(" ", "_")


def by_kind(kit: Kit) -> Table:
    """Today's money of every candidate by kind."""
    report, numbers = kit.report, kit.numbers
    rows = []
    for one in report.candidates:
        cells = []
        for kind in report.kinds:
            value = one.kinds.get(kind)
            key = one.key(f"pv_{kind_key(kind)}")
            cells.append(Cell(NONE) if value is None else Cell(numbers.whole(value), kit.href(key)))
        whole = Cell(numbers.whole(one.measures["present_value"]), kit.href(one.key("present_value")), "strong")
        rows.append(Row(clipped(one.name, 45), (*cells, whole), place=one.place))
    heads = [kind.capitalize() for kind in report.kinds]
    columns = tuple((head, numbers.currency) for head in [*heads, "In today’s money"])
    note = "A receipt is negative. Each figure is rounded for itself, so a row may miss its total by a unit."
    return Table("t-kinds", "Today’s money by kind of cost", columns, tuple(rows), "Candidate", note, css="many")


def years_of(report: Report) -> dict[int, str]:
    """The years of operation with their names."""
    return {year: f"Year {year}" for year in sorted(set(report.years))}


def cash(kit: Kit, of: tuple[int, ...], name: str, title: str, years: Mapping[int, str]) -> Table:
    """Cash of every candidate by year: plain sums of the statement.

    Parameters
    ----------
    of : the year of every month
    years : all years and their names
    """
    report, numbers = kit.report, kit.numbers
    rows = []
    for one in report.candidates:
        sums = yearly_sums(one.net, of)
        cells = [Cell(numbers.whole(sums[year])) for year in years]
        whole = Cell(numbers.whole(one.measures["total"]), kit.href(one.key("total")), "strong")
        rows.append(Row(clipped(one.name, 45), (*cells, whole), place=one.place))
    columns = tuple((words, numbers.currency) for words in [*years.values(), "In all"])
    note = "Nothing discounted; receipts deducted in the year they come in."
    traced = kit.traced(f"{one.id}.statement.net" for one in report.candidates)
    return Table(name, title, columns, tuple(rows), "Candidate", note, traced, "many")


def statement(
    kit: Kit, one: Candidate, of: tuple[int, ...], name: str, title: str, years: Mapping[int, str], note: str = ""
) -> Table:
    """One candidate: kinds down, years across as in `cash`, every row and column summed."""
    numbers = kit.numbers
    lines = [(kind.capitalize(), row, f"{one.id}.statement.{kind_key(kind)}") for kind, row in one.statement.items()]
    lines.append(("Paid in the year", one.net, f"{one.id}.statement.net"))
    rows = []
    for label, row, key in lines:
        sums = yearly_sums(row, of)
        cells = [Cell(numbers.whole(sums[year])) for year in years]
        whole = Cell(numbers.whole(sum(row)), kit.href(key), "strong")
        rows.append(Row(label, (*cells, whole), css="total" if key.endswith(".net") else ""))
    columns = tuple((words, numbers.currency) for words in [*years.values(), "In all"])
    traced = kit.traced(key for _, _, key in lines)
    return Table(name, title, columns, tuple(rows), "Kind of cost", note, traced)


def lives(kit: Kit) -> Table | None:
    """A level month and a month of use, for candidates that serve for different times; None where nobody tells."""
    rows = []
    for one in kit.report.candidates:
        keys = [one.key(name) for name in ("level_month", "month_of_use", "level_month_start")]
        if not kit.has(keys[-1]):
            return None
        sums = [one.measures.get(name) for name in ("level_month", "month_of_use", "level_month_start")]
        cells = [
            Cell(NONE) if told is None else Cell(kit.numbers.whole(told), kit.href(key))
            for told, key in zip(sums, keys, strict=True)
        ]
        rows.append(Row(kit.name(one.id), tuple(cells), place=one.place))
    money = kit.numbers.currency
    columns = (("A month, all in", money), ("A month of use", money), ("A month, first prices", money))
    note = (
        "A month of use spreads the cost over the months in which a press stands there; in first prices the sum would "
        "rise with inflation. Both are for candidates of unequal lives; the ranking is by today’s money."
    )
    return Table("t-lives", "A month, three ways", columns, tuple(rows), "Candidate", note)


def build(kit: Kit) -> list[Page]:
    """The page."""
    report = kit.report
    tables = [cash(kit, report.years, "t-years", "Cash by year of operation", years_of(report))]
    data = {
        "cumulative": kit.draw(cumulative),
        "cumulative_traced": kit.traced(f"{one.id}.statement.cumulative" for one in report.candidates),
        "make_up": kit.draw(make_up),
        "kinds": by_kind(kit),
        "by_year": kit.draw(by_year),
        "by_year_traced": kit.traced(f"{one.id}.statement.net" for one in report.candidates),
        "years": tables,
        "lives": lives(kit),
        "stop": kit.draw(stop_after),
        "stop_traced": kit.traced(f"{one.id}.measures.stop_after" for one in report.candidates),
        "classes": kit.draw(class_cost),
        "classes_traced": kit.traced(f"{one.id}.class_cost.set_full" for one in report.candidates),
    }
    return [Page("costs.html", "Where the money goes", "costs.html.j2", data, "Costs")]

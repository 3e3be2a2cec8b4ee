"""What an hour and a set must bring: hourly rate of the machines, charges against cost, work that would be won."""

from __future__ import annotations

from tco.publish.parts import Cell, Kit, Row, Table, clipped
from tco.report import Candidate


def hourly(kit: Kit, one: Candidate) -> Table | None:
    """The rate of an hour of all presses together; None where their hours are not known."""
    key = f"{one.id}.hourly_rate.rate"
    if not kit.has(key):
        return None
    numbers, entry = kit.numbers, kit.report.by_key[key]
    fixed, hours = (f"{one.id}.hourly_rate.{name}" for name in ("fixed_year", "there_year"))
    a_year, there = (kit.report.by_key[name].values[0][0] for name in (fixed, hours))
    cells = tuple(Cell(numbers.fixed(row[0], 2), kit.href(key)) for row in entry.values)
    columns = tuple((f"{label} of the hours sold", f"{numbers.currency} an hour") for label in entry.axis_labels)
    note = (
        f"Equipment, people, floor, energy, base fees and front-end support, {numbers.money(a_year)} a year, over the "
        f"{numbers.whole(there)} hours a year in which the presses are there. Clicks, supplies and paper come on top."
    )
    rows = (Row("An hour must bring", cells),)
    traced = kit.traced([key, fixed, hours])
    return Table("t-hourly", "Hourly rate of the machines", columns, rows, "Rate", note, traced)


def charges(kit: Kit, one: Candidate) -> Table | None:
    """What is charged for each kind of work, against the cost of all; None where nothing is charged."""
    worth = f"{one.id}.recovery.worth"
    if not kit.has(worth):
        return None
    numbers, entry = kit.numbers, kit.report.by_key[worth]
    rows = [
        Row(clipped(name, 50), (Cell(numbers.whole(row[0]), kit.href(worth)),))
        for name, row in zip(entry.axis_labels, entry.values, strict=True)
        if row[0]
    ]
    for head, measure in (("All charges", "pv_recovered"), ("Cost", "present_value")):
        key = one.key(measure)
        value = kit.report.by_key[key].values[0][0]
        rows.append(Row(head, (Cell(numbers.whole(value), kit.href(key)),), css="total" if head == "Cost" else ""))
    factor = kit.report.by_key[one.key("charges_factor")].values[0][0]
    note = "Charges are for work that is done or sent out; they enter no cost on these pages."
    if factor > 0:
        note += f" Charges {numbers.fixed(factor, 2)} times as high would just cover the cost."
    columns = (("Today’s money", numbers.currency),)
    traced = kit.traced([worth, one.key("charges_factor"), one.key("surplus")])
    return Table("t-charges", "Charges against cost", columns, tuple(rows), "Kind of work", note, traced)


def contributions(kit: Kit, one: Candidate) -> Table | None:
    """What work that only some candidates would win leaves this one; None where it would win nothing."""
    numbers = kit.numbers
    rows = [
        Row(clipped(won.name, 50), tuple(Cell(numbers.whole(told)) for told in (won.charged, won.cost, won.leaves)))
        for won in kit.report.new_work
        if won.candidate == one.id
    ]
    if not rows:
        return None
    columns = tuple((head, numbers.currency) for head in ("Charged", "Costs more", "Leaves"))
    note = "In today’s money, each by itself: the study with the work less that without. In no ranking and no total."
    traced = kit.traced([one.key("present_value")])
    return Table("t-won", "Work that would be won", columns, tuple(rows), "Work", note, traced)

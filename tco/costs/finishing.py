"""Finishing: in line on the press, off line by hand and machine, or bought in; and what is paid for it outside."""

from __future__ import annotations

from dataclasses import dataclass

from tco.costs.desk import Desk
from tco.costs.records import Charge, Clock, Placement, Work
from tco.model.lines import Block
from tco.model.nodes import Line, Node, Term
from tco.model.vocabulary import across, joined, stacked
from tco.scenario.schema import Press, Scenario


@dataclass(frozen=True)
class Finished:
    """Cost of finishing and the hours it takes off line."""

    charges: tuple[Charge, ...]
    hours: Line | None
    columns: tuple[tuple[Line, int], ...]


def finishing(desk: Desk, block: Block, scenario: Scenario, placement: Placement, work: Work, clock: Clock) -> Finished:
    """Describe finishing of the work done on presses, sets by class."""
    methods = scenario.shop.finishing or {}
    if work.sets is None or not any(one.finish in methods for one in work.classes):
        return Finished((), None, ())
    stuff: list[Line] = []
    bought: list[Line] = []
    hours: list[Line] = []
    spent: list[tuple[Line, int]] = []
    for place, one in enumerate(placement.presses, 1):
        columns = _columns(desk, block, scenario, one.press, work, place)
        for column, rows, word in zip(columns, (stuff, bought, hours), ("material", "bought_in", "hours"), strict=True):
            if column is None:
                continue
            if word != "hours":
                spent.append((column, place - 1))
            label = {"material": "Finishing material", "bought_in": "Finishing bought in", "hours": "Off-line hours"}[
                word
            ]
            measure = "hour/month" if word == "hours" else "money/month"
            rows.append(block.flow(f"{word}_{place}", f"{label}, press {place}", measure, across(column, one.done)))
    charges = []
    if stuff:
        cost = block.cost(
            "material", "Finishing material", "supplies", joined(stuff, "money/month") * clock.price_level
        )
        charges.append(Charge(cost, "supplies"))
    if bought:
        cost = block.cost(
            "bought_in", "Finishing bought in", "outside", joined(bought, "money/month") * clock.price_level
        )
        charges.append(Charge(cost, "outside"))
    off_line = (
        block.flow("hours", "Off-line finishing hours", "hour/month", joined(hours, "hour/month")) if hours else None
    )
    return Finished(tuple(charges), off_line, tuple(spent))


def _columns(
    desk: Desk, block: Block, scenario: Scenario, press: Press, work: Work, place: int
) -> tuple[Line | None, Line | None, Line | None]:
    """Material, price and hours of an average month by class, as far as this press leaves them to do."""
    methods = scenario.shop.finishing or {}
    sets = work.sets
    assert sets is not None
    material: list[Term] = []
    price: list[Term] = []
    hours: list[Term] = []
    for one in work.classes:
        method = methods.get(one.finish or "")
        in_line = one.finish in (press.in_line or ())
        off_line = method is not None and not in_line and method.sets_per_hour is not None
        buys = method is not None and not in_line and not off_line and method.bought_in is not None
        name = (one.finish or "").replace("_", " ")
        stuff = method.material if method is not None and not buys else None
        material.append(0 if stuff is None else desk.take(block, stuff, f"Material a set, {name}", "money/set"))
        bought = method.bought_in if method is not None and buys else None
        price.append(0 if bought is None else desk.take(block, bought, f"Price a set, {name}", "money/set"))
        pace = method.sets_per_hour if method is not None and off_line else None
        hours.append(0 if pace is None else 1 / desk.take(block, pace, f"Sets an hour, {name}", "set/hour"))

    def column(key: str, label: str, measure: str, cells: list[Term]) -> Line | None:
        if all(isinstance(cell, int) for cell in cells):
            return None
        each: Node = stacked(work.axis, cells)
        return block.line(f"{key}_{place}_column", f"{label}, average month, press {place}", measure, each * sets)

    return (
        column("material", "Material", "money/month", material),
        column("bought_in", "Bought in", "money/month", price),
        column("hours", "Off-line hours", "hour/month", hours),
    )

"""Every figure of the engine beside the oracle's: what differs, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from typing import Any

from tco.model.kinds import Array
from tco.model.model import Model
from tests.oracle.class_cost import class_cost
from tests.oracle.flows import HEADINGS
from tests.oracle.oracle import Candidate, Result

RELATIVE, FLOOR = 1e-9, 1e-6
RATE_OF_RETURN = 1e-6  # a root found twice by halving is as good as the slope there allows

# Last word of a cost line's key in the block of a press, and the heading it is compared under.
PRESS_LINES = {
    "purchase": "purchase", "signing": "down_payment", "interest": "loan_interest", "principal": "loan_principal",
    "delivery": "delivery_and_installation", "training": "training", "works": "site_works", "front_end": "front_end",
    "support": "support", "removal": "removal", "rent": "rents", "renewal": "renewal_rents", "bought": "buy_price",
    "sale": "sale", "sold": "sale", "fee": "fees", "settled": "settlements", "return": "freight",
}  # fmt: skip
PRESENT_LINES = {"sale": "present_sale", "removal": "present_removal", "rent": "rents", "return": "freight",
                 "buy_out": "present_buy_out"}  # fmt: skip
PLAN_LINES = {"base": "service_base", "click_charge": "service_clicks", "true_up": "service_true_up"}
TAX_LINES = {"sales_opening": "sales_tax", "sales_close": "sales_tax", "relief": "income_tax"}
# Headings of the oracle that stand under one word in the engine.
TOGETHER = {
    "lease_rents": "rents", "rental_rents": "rents", "present_rents": "rents", "return_freight": "freight",
    "present_freight": "freight", "loan_fee": "fees", "document_fee": "fees", "loan_balance": "settlements",
    "lease_settlement": "settlements",
}  # fmt: skip
MEASURES = {
    "present_value": "present_value", "total": "total", "cash_up_front": "cash_up_front", "bound": "bound",
    "cost_per_side": "levelised", "average_side": "average", "level_month": "level_month",
    "committed_beyond": "committed", "uncovered_months": "unplaced_months",
}  # fmt: skip


def far(ours: float, theirs: float, relative: float = RELATIVE) -> bool:
    """Say whether two figures differ by more than rounding."""
    return not abs(ours - theirs) <= max(FLOOR, relative * max(abs(ours), abs(theirs)))


def heading_of(key: str, candidate: str) -> str:
    """Give the heading of a cost line by its key; KeyError when it belongs to none."""
    words = key.removeprefix(f"{candidate}.").split(".")
    if words[0] == "tax":
        return TAX_LINES[words[-1]]
    if words[0] == "present":
        return PRESENT_LINES[words[-1]]
    if "plan" in words:
        return PLAN_LINES[words[-1]]
    if words[-2:] == ["finishing", "bought_in"]:
        return "bought_in"
    for room in ("paper", "finishing", "outside", "people", "supplies", "energy", "space"):
        if words[-2] == room:
            return room
    return PRESS_LINES[words[-1]]


class Compared:
    """One model with its values (one draw of them) beside one result of the oracle."""

    def __init__(self, data: dict[str, Any], model: Model, values: Mapping[str, Array], oracle: Result, draw: int = 0):
        self.data, self.model, self.values, self.oracle, self.draw = data, model, values, oracle, draw

    def row(self, key: str, entry: int = 0) -> list[float]:
        """Give the months of one line, entry and draw."""
        value = self.values[key]
        return [float(x) for x in value[min(self.draw, len(value) - 1), min(entry, value.shape[1] - 1)]]

    def figure(self, key: str) -> float:
        """Give one figure of this draw."""
        return self.row(key)[0]

    def differences(self) -> Iterator[str]:
        """Tell everything that differs."""
        for key, candidate in self.oracle.candidates.items():
            parts = (self.costs, self.measures, self.against, self.places, self.plans, self.people, self.energy)
            parts += (self.depreciation, self.loans, self.classes)
            for part in parts:
                for told in part(key, candidate):
                    yield f"{key}: {told}"

    def rows(self, name: str, ours: list[float], theirs: list[float]) -> Iterator[str]:
        """Tell the first month in which two rows differ; ours may be longer, with nothing in it."""
        for month in range(1, max(len(ours), len(theirs)) + 1):
            a = ours[month - 1] if month <= len(ours) else 0.0
            b = theirs[month - 1] if month <= len(theirs) else 0.0
            if far(a, b):
                yield f"{name} in month {month}: engine {a}, oracle {b}"
                return

    def costs(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Costs by heading, month and timing."""
        ours: dict[tuple[str, str], list[float]] = {}
        for line in self.model.lines:
            if line.role == "cost" and line.block.scope == key:
                total = ours.setdefault((heading_of(line.id, key), line.timing), [0.0] * self.model.columns)
                for place, amount in enumerate(self.row(line.id)):
                    total[place] += amount
        theirs: dict[tuple[str, str], list[float]] = {}
        for heading in HEADINGS:
            for (month, timing), amount in candidate.flows[heading].items():
                total = theirs.setdefault((TOGETHER.get(heading, heading), timing), [0.0] * self.model.columns)
                total.extend([0.0] * (month - len(total)))
                total[month - 1] += amount
        for name in sorted({*ours, *theirs}):
            yield from self.rows(" at ".join(name), ours.get(name, []), theirs.get(name, []))

    def measures(self, key: str, candidate: Candidate) -> Iterator[str]:
        """What needs no reference."""
        for name, attribute in MEASURES.items():
            ours, theirs = self.figure(f"{key}.measures.{name}"), float(getattr(candidate, attribute))
            if far(ours, theirs):
                yield f"{name}: engine {ours}, oracle {theirs}"
        unplaced = self.figure(f"{key}.measures.unplaced_sides")
        if far(unplaced, sum(candidate.unplaced_sides)):
            yield f"unplaced sides: engine {unplaced}, oracle {sum(candidate.unplaced_sides)}"
        separable = f"{key}.measures.financing_effect" in self.model
        if separable and (candidate.inseparable or far(self.figure(f"{key}.measures.financing_effect"),
                                                       candidate.financing_effect)):  # fmt: skip
            ours = self.figure(f"{key}.measures.financing_effect")
            yield f"effect of paying: engine {ours}, oracle {candidate.financing_effect} {candidate.inseparable}"
        if separable:
            ours = self.figure(f"{key}.measures.at_cash_price")
            if far(ours, candidate.present_value - candidate.financing_effect):
                yield f"at cash price: engine {ours}"
        for policy, word in (("saved", "saved"), ("stay paid", "stay")):
            if f"{key}.measures.pv_people_{word}" in self.model:
                ours = self.figure(f"{key}.measures.pv_people_{word}")
                if far(ours, candidate.present_value_by_policy[policy]):
                    yield f"worth if {policy}: engine {ours}, oracle {candidate.present_value_by_policy[policy]}"

    def against(self, key: str, candidate: Candidate) -> Iterator[str]:
        """What is counted against today."""
        if key == "today" or "today" not in self.oracle.candidates:
            return
        assert candidate.saving is not None
        for name, theirs in (("saving", candidate.saving), ("payback_month", float(candidate.payback_month))):
            ours = self.figure(f"{key}.measures.{name}")
            if far(ours, theirs):
                yield f"{name}: engine {ours}, oracle {theirs}"
        status = self.figure(f"{key}.measures.irr_status")
        if {"none": 0.0, "one": 1.0, "several": 2.0}[candidate.irr_status] != status:
            yield f"number of rates of return: engine {status}, oracle {candidate.irr_status}"
        elif candidate.irr is not None and far(self.figure(f"{key}.measures.irr"), candidate.irr, RATE_OF_RETURN):
            yield f"rate of return: engine {self.figure(f'{key}.measures.irr')}, oracle {candidate.irr}"

    def places(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Where the work goes, and the hours it takes."""
        placed = candidate.placed
        for entry, work in enumerate(self.oracle.classes):
            for where, lists in (("outside", placed.outside), ("unplaced", placed.unplaced)):
                yield from self.rows(f"{where} {work.key}", self.row(f"{key}.placing.{where}", entry), lists[work.key])
            for press, of in placed.done:
                if of == work.key:
                    block = f"{key}.{press or 'press'}"
                    name = f"{block}.done" if f"{block}.done" in self.model else f"{block}.regular_done"
                    yield from self.rows(f"{work.key} on {press}", self.row(name, entry), placed.done[press, of])
        for press, regular in placed.regular_hours.items():
            block = f"{key}.{press or 'press'}"
            if f"{block}.hours" in self.model:
                worked = [a + b for a, b in zip(regular, placed.overtime_hours[press], strict=True)]
                yield from self.rows(f"hours of {press}", self.row(f"{block}.hours"), worked)
                yield from self.rows(f"hours there of {press}", self.row(f"{block}.there"), placed.hours_there[press])
                used = self.row(f"{block}.utilisation")
                yield from self.rows(f"utilisation of {press}", used, placed.utilisation[press])

    def plan_blocks(self, key: str) -> list[str]:
        """Give the blocks of a candidate's plans in the order of the oracle: single presses, then the pool."""
        raw = self.data["today"] if key == "today" else self.data["candidates"][key]
        presses = raw.get("presses")
        if not presses:
            return [f"{key}.plan"]
        single = [f"{key}.{name}.plan" for name in presses]
        found = [name for name in single if f"{name}.active" in self.model]
        return [*found, f"{key}.plan"]

    def plans(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Clicks by plan and meter; a meter without a rate costs nothing and has no row in the engine."""
        blocks = self.plan_blocks(key)
        for (number, meter), clicks in candidate.clicks.items():
            rows = [self.row(line.id) for line in self.model.lines
                    if line.id.startswith(f"{blocks[number]}.{meter}_clicks_")]  # fmt: skip
            if rows:
                ours = [sum(column) for column in zip(*rows, strict=True)]
                yield from self.rows(f"{meter} clicks of plan {number}", ours, clicks)

    def people(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Hours attended and posts paid."""
        people = candidate.people
        if f"{key}.people.attended" in self.model:
            regular = [a - b for a, b in zip(people.attended, people.overtime, strict=True)]
            yield from self.rows("hours attended", self.row(f"{key}.people.attended"), regular)
        if f"{key}.people.overtime" in self.model:
            yield from self.rows("overtime attended", self.row(f"{key}.people.overtime"), people.overtime)
        if f"{key}.people.posts_saved" in self.model:
            yield from self.rows("posts if saved", self.row(f"{key}.people.posts_saved"), people.posts["saved"])
            yield from self.rows("posts if paid", self.row(f"{key}.people.posts_stay"), people.posts["stay paid"])

    def energy(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Electricity drawn."""
        rows = [self.row(line.id) for line in self.model.lines
                if line.block.scope == key and line.id.endswith(".energy.kwh")]  # fmt: skip
        if rows:
            yield from self.rows("kWh", [sum(column) for column in zip(*rows, strict=True)], candidate.kwh)

    def depreciation(self, key: str, candidate: Candidate) -> Iterator[str]:
        """What is written off each month."""
        rows = [self.row(line.id) for line in self.model.lines if line.id.startswith(f"{key}.tax.written_")]
        if rows:
            ours = [sum(column) for column in zip(*rows, strict=True)]
            yield from self.rows("depreciation", ours, candidate.depreciation)

    def classes(self, key: str, candidate: Candidate) -> Iterator[str]:
        """What a set and a job of each class of jobs cost."""
        if not self.data.get("jobs"):
            return
        for entry, (name, cost) in enumerate(class_cost(candidate, self.oracle.clock).items()):
            for figure, theirs in asdict(cost).items():
                ours = self.row(f"{key}.class_cost.{figure}", entry)[0]
                if far(ours, theirs):
                    yield f"{figure} of {name}: engine {ours}, oracle {theirs}"

    def loans(self, key: str, _candidate: Candidate) -> Iterator[str]:
        """Nothing is owed on a loan in the end."""
        for line in self.model.lines:
            if line.block.scope == key and line.id.endswith(".owed") and f"{line.block.id}.level" in self.model:
                left = self.row(line.id)[-1]
                if far(left, 0.0):
                    yield f"{line.id}: {left} is left"


class Statement(Compared):
    """The same comparison with all cost lines of a candidate added up by month and timing."""

    def costs(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Everything paid and received at one instant."""
        ours: dict[str, list[float]] = {}
        theirs: dict[str, list[float]] = {}
        for line in self.model.lines:
            if line.role == "cost" and line.block.scope == key:
                total = ours.setdefault(line.timing, [0.0] * self.model.columns)
                for place, amount in enumerate(self.row(line.id)):
                    total[place] += amount
        for (month, timing), amount in candidate.statement.items():
            total = theirs.setdefault(timing, [0.0] * self.model.columns)
            total.extend([0.0] * (month - len(total)))
            total[month - 1] += amount
        for timing in sorted({*ours, *theirs}):
            yield from self.rows(f"all at {timing}", ours.get(timing, []), theirs.get(timing, []))

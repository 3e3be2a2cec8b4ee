"""The oracle: a scenario evaluated by plain loops over months, classes and presses.

`evaluate(data, changes)` takes the parsed YAML (plain dicts, lists, strings, numbers) and gives a `Result`.

Changes: dotted paths to new numbers. The first word is a candidate's id, `today`, or a top-level key. A list takes its
index from 0 (`birch.service.colour.1.rate`). A figure written with `value` or `per_month, per_quarter, per_year` keeps
that wrapping. A press of several is reached by `birch.<press>.…` or `birch.presses.<press>.…`.

Flows: a heading's dict `{(month, "opening" | "close"): amount}`; headings are those of `flows.HEADINGS`. Costs are
positive, receipts negative. The heading `people` is the policy named in `freed_hours`; `Candidate.people.cost` has
both. All lists by month hold months 1 … H at position 0 …. A press written on the candidate itself has the
key "".
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tests.oracle import equipment, measures, placing, running, service, tax
from tests.oracle import reading as r
from tests.oracle import work as w
from tests.oracle.flows import EQUIPMENT, Book, Flow

POLICIES = ("saved", "stay paid")


@dataclass
class Candidate:
    """What is known of one candidate. Money in the scenario's currency, rates a year."""

    key: str
    flows: dict[str, Flow]
    statement: Flow
    total: float
    present_value: float
    totals: dict[str, float]  # by heading
    present_values: dict[str, float]  # by heading
    present_value_by_policy: dict[str, float]
    people: running.People
    placed: placing.Placed
    placed_sides: dict[tuple[str, str], list[float]]  # (class, press key, "outside" or "unplaced")
    unplaced_sides: list[float]
    unplaced_months: int
    clicks: dict[tuple[int, str], list[float]]  # (number of the plan, meter)
    kwh: list[float]
    off_line_hours: list[float]
    deductions: list[float]
    depreciation: list[float]
    levelised: float
    average: float
    level_month: float
    cash_up_front: float
    bound: float
    bound_parts: dict[str, float]  # equipment, one_offs, present_rents, service
    committed: float  # contract rents and base fees after the horizon
    beyond: dict[str, float]  # everything contractual after the horizon, by heading; return freight among it
    financing_effect: float
    inseparable: list[str]  # presses on loan, lease or rental without a cash price
    plans: list[service.Plan]
    money: equipment.Money
    shift: running.Shift
    saving: float | None = None  # present value of today less this one's
    payback_month: int = 0
    payback_status: str = "no reference"
    irr: float | None = None
    irr_status: str = "no reference"


@dataclass
class Result:
    """The whole comparison."""

    clock: w.Clock
    classes: list[w.Work]
    asked_sides: dict[str, list[float]]  # by class
    asked_total: float
    candidates: dict[str, Candidate]  # `today` among them when there is one


def evaluate(data: dict[str, Any], changes: dict[str, float] | None = None) -> Result:
    """Compute every figure of a scenario.

    Parameters
    ----------
    data
        the parsed scenario; it is not altered
    changes
        dotted paths to new numbers
    """
    tree = r.prepare(data, changes)
    clock = w.clock_of(tree)
    classes = w.classes_of(tree, clock)
    asked = {k.key: [k.sides * x for x in k.index] for k in classes}
    result = Result(clock, classes, asked, sum(sum(line) for line in asked.values()), {})
    written = {"today": tree["today"]} if tree.get("today") else {}
    written |= tree["candidates"]
    for key, raw in written.items():
        result.candidates[key] = evaluate_candidate(tree, result, key, raw or {})
    if "today" in result.candidates:
        reference = result.candidates["today"]
        for candidate in result.candidates.values():
            compare(reference, candidate)
    return result


def compare(reference: Candidate, candidate: Candidate) -> None:
    """Fill in what a candidate saves against today."""
    candidate.saving = reference.present_value - candidate.present_value
    stream = measures.difference(reference.statement, candidate.statement)
    candidate.payback_month, candidate.payback_status = measures.payback(stream)
    candidate.irr, candidate.irr_status = measures.irr(stream)


def evaluate_candidate(tree: r.Tree, result: Result, key: str, raw: r.Tree) -> Candidate:
    """Compute one candidate."""
    clock, classes = result.clock, result.classes
    allowances = tree.get("allowances") or {}
    is_today = key == "today"
    presses = placing.presses_of(raw, clock, is_today)
    plans = service.plans_of(raw, presses)
    covering: dict[str, r.Tree | None] = {p.key: plan.raw for plan in plans for p in plan.presses}
    small = w.small_size(tree)
    placed = placing.place(presses, covering, classes, tree, clock, small)

    book, money = Book(clock), equipment.Money(unsaid_increase=r.number(allowances.get("increase"), 0.05))
    for press in presses:
        equipment.acquire(book, money, press)
    today = tree.get("today") or {}
    if today and not is_today:
        present = placing.presses_of(today, clock, is_today=True)
        choice = str(raw.get("present_lease", "finish"))
        equipment.give_up_present(book, money, today, present, presses, choice, clock)
    front = sum(book.flows[h].get((1, "opening"), 0.0) for h in EQUIPMENT)

    clicks: dict[tuple[int, str], list[float]] = {}
    for i, plan in enumerate(plans):
        made = service.clicks_of(plan, placed, classes, clock.months, small)
        both = {m.key: zip(made.small[m.key], made.large[m.key], strict=True) for m in made.meters}
        clicks |= {(i, meter): [a + b for a, b in lines] for meter, lines in both.items()}
        service.serve(book, plan, made, allowances)
        service.uptime(book, plan, tree.get("shop") or {}, allowances)
        service.exit_share(book, plan, allowances)
        if not all(press.follows for press in plan.presses):
            money.bind("service", service.bound(plan, clock, allowances))

    on_paper = frozenset(p.key for plan in plans if r.yes(plan.raw.get("paper_included")) for p in plan.presses)
    shift = running.Shift(tree, raw, presses, classes, placed, small, on_paper, covering)
    memo = running.run(book, shift)
    people = running.people(book, shift, today, memo["off_line_hours"])
    terms = tree.get("money") or {}
    tax.sales_tax(book, money, terms.get("sales_tax"))
    by_policy = {}
    for policy in (*[p for p in POLICIES if p != people.named], people.named):
        book.flows["people"], book.flows["income_tax"] = {}, {}
        for m, amount in enumerate(people.cost[policy], start=1):
            book.add("people", m, "close", amount)
        taxed = tax.income_tax(book, money, terms.get("income_tax"))
        by_policy[policy] = book.present_value()
    fields = summary(result, key, book, money, placed, people) | memo | taxed
    fields |= {"plans": plans, "money": money, "shift": shift}
    return Candidate(present_value_by_policy=by_policy, clicks=clicks, cash_up_front=front, **fields)


def summary(
    result: Result, key: str, book: Book, money: equipment.Money, placed: placing.Placed, people: running.People
) -> dict[str, Any]:
    """Work out the measures that need no reference."""
    clock = result.clock
    closes = [clock.factor(m, "close") for m in range(1, clock.months + 1)]
    value, total = book.present_value(), book.total()
    asked = [sum(line[i] for line in result.asked_sides.values()) for i in range(clock.months)]
    worth_of_sides = sum(a * f for a, f in zip(asked, closes, strict=True))
    sides = {}
    for k in result.classes:
        for (press, of), line in placed.done.items():
            if of == k.key:
                sides[k.key, press] = [k.sides * x for x in line]
        sides[k.key, "outside"] = [k.sides * x for x in placed.outside[k.key]]
        sides[k.key, "unplaced"] = [k.sides * x for x in placed.unplaced[k.key]]
    unplaced = [sum(sides[k.key, "unplaced"][i] for k in result.classes) for i in range(clock.months)]
    rents = ("lease_rents", "renewal_rents", "present_rents", "return_freight", "present_freight", "service_base",
             "late_rents", "exit_settlement")  # fmt: skip
    return {
        "key": key,
        "flows": book.flows,
        "statement": book.statement(),
        "total": total,
        "present_value": value,
        "totals": {h: book.total(h) for h in book.flows},
        "present_values": {h: book.present_value(h) for h in book.flows},
        "people": people,
        "placed": placed,
        "placed_sides": sides,
        "unplaced_sides": unplaced,
        "unplaced_months": sum(1 for x in unplaced if x > 1e-6),
        "levelised": value / worth_of_sides if worth_of_sides else 0.0,
        "average": total / result.asked_total if result.asked_total else 0.0,
        "level_month": value / sum(closes),
        "bound": sum(money.bound.values()),
        "bound_parts": dict(money.bound),
        "committed": sum(book.beyond.get(h, 0.0) for h in rents),
        "beyond": dict(book.beyond),
        "financing_effect": money.financing_effect,
        "inseparable": money.inseparable,
    }

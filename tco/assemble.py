"""The only place that knows all rooms: from a scenario to the model of everything it means."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from tco.costs.books import books
from tco.costs.busiest_week import busiest_week
from tco.costs.capacity import capacity
from tco.costs.desk import Desk
from tco.costs.due import due
from tco.costs.emissions import emissions
from tco.costs.energy import electricity, energy, space
from tco.costs.finishing import Finished, finishing
from tco.costs.labour import People, labour
from tco.costs.lease import lease
from tco.costs.lease_accounting import lease_accounting
from tco.costs.outside import outside
from tco.costs.paper import Papered, paper
from tco.costs.present import inherited
from tco.costs.purchase import cash, loan
from tco.costs.records import Charge, Clock, Deal, Moves, Placement, Window, Work
from tco.costs.recovery import price_list, recovered
from tco.costs.rental import rental
from tco.costs.running_lease import running_lease
from tco.costs.service.plan import Plan, service
from tco.costs.signing import leaves_early, signing
from tco.costs.supplies import supplies
from tco.costs.tax import income_tax, relief_of_people, sales_tax
from tco.costs.terms import sold
from tco.costs.timeline import timeline
from tco.costs.volume import volume
from tco.costs.window import at_its_prices, window
from tco.measures.class_cost import class_cost
from tco.measures.compared import Counted, basics, measures, side_by_side
from tco.measures.fiscal import fiscal
from tco.measures.hourly_rate import hourly_rate
from tco.measures.last_year import last_year
from tco.measures.recovery import recovery
from tco.measures.statement import Statement, statement
from tco.measures.unequal_lives import real_months, unequal_lives
from tco.model.lines import Block, Builder
from tco.model.model import Model, finish
from tco.model.nodes import Line
from tco.model.vocabulary import total
from tco.scenario.followers import Turn
from tco.scenario.schema import Candidate, Lease, LeftOut, Press, Scenario, Service, Today, TodayLease


def build(scenario: Scenario) -> Model:
    """Describe everything a scenario means as one model.

    Scopes are "shared", every candidate (the present position first) and "comparison".
    """
    ids = tuple(key for key, _ in scenario.candidates_all)
    desk = Desk(Builder(last_month(scenario)), ids, scenario.money.locale)
    clock = timeline(desk, scenario)
    work = volume(desk, scenario, clock)
    everyone = [_candidate(desk, scenario, key, candidate, work, clock) for key, candidate in scenario.candidates_all]
    base, real = basics(desk, work, clock), real_months(desk.builder, scenario, clock)
    charged = price_list(desk, scenario, work)
    for one in everyone:
        measures(desk, one, None if one is everyone[0] else everyone[0], base, clock)
        given_off = desk.builder.by_id.get(f"{one.id}.emissions.kg")
        if given_off is not None:
            one.block.memo("emissions", "Emissions of electricity and paper", "kg", total(given_off))
        unequal_lives(one, real)
        hourly_rate(desk, one, clock)
        if charged is not None:
            block = desk.builder.block(f"{one.id}.recovery", "Charges", one.id)
            brought = recovered(desk, block, scenario, charged, one.placement, work, clock)
            recovery(one, brought, clock.close)
    side_by_side(desk, everyone)
    return finish(desk.builder)


def last_month(scenario: Scenario) -> int:
    """The last column: the month after everything contractual has happened, so that closes fall inside as instants."""
    lasts = [scenario.horizon]
    for _, candidate in scenario.candidates_all:
        plans = [candidate.service] if candidate.service else []
        for turn in candidate.fleet(scenario.horizon):
            press, first = turn.press, turn.first
            plans.extend([press.service] if press.service else [])
            if isinstance(press.lease, Lease):
                terms = press.lease
                further = [one.number for one in (terms.renewal_length, terms.late_return_months) if one is not None]
                lasts.append(ceil(first + terms.months.number - 1 + sum(further)))
            if isinstance(press.lease, TodayLease):
                lasts.append(scenario.operating_month(press.lease.ends))
            lasts.extend(ceil(first + plan.months.number - 1) for plan in plans if plan.months)
    if scenario.money.income_tax is not None:
        lasts.append(scenario.horizon + ceil(scenario.money.income_tax.relief_after_months.number))
    return max(lasts) + 1


def _candidate(desk: Desk, scenario: Scenario, key: str, candidate: Candidate, work: Work, clock: Clock) -> Counted:
    """All rooms of one candidate, in the order a reader follows them."""
    presses: list[tuple[str, Press, Window]] = []
    fleet = candidate.fleet(scenario.horizon)
    for turn in fleet:
        name = _press_name(scenario, candidate, turn)
        block = desk.builder.block(f"{key}.{turn.id}", f"Press: {name}", key)
        before = presses[-1][2] if turn.follows else None
        presses.append((turn.id, turn.press, window(desk, block, scenario, turn.press, name, clock, before)))
    placing = desk.builder.block(f"{key}.placing", "Where the work goes", key)
    pool = candidate.service if candidate.presses is not None else None
    placement = capacity(desk, placing, scenario, [(press, there) for _, press, there in presses], pool, work)
    busiest_week(desk, desk.builder.block(f"{key}.busiest_week", "Busiest week", key), scenario, placement, work)
    due(desk, desk.builder.block(f"{key}.due", "Jobs with a due time", key), placement, work)

    by_press = [
        (there, _equipment(desk, scenario, turn, there, clock))
        for turn, (_, _, there) in zip(fleet, presses, strict=True)
    ]
    deals = [deal for _, own in by_press for deal in own]
    if key != "today":
        kept = {press.same_as for _, press, _ in presses}
        for suffix, press in _present(scenario):
            if f"today{suffix}" not in kept:
                label = _of_press("What is left of today", (press.name or suffix[1:]) if suffix else "")
                block = desk.builder.block(f"{key}.present{suffix}", label, key)
                deals.append(inherited(desk, block, scenario, press, candidate.present_lease, clock))
    plans = _plans(desk, scenario, key, candidate, placement, work, clock)
    charges = [charge for deal in deals for charge in deal.charges]
    charges.extend(charge for plan, _ in plans for charge in plan.charges)
    running = _running(desk, scenario, key, candidate, placement, plans, work, clock)
    charges.extend(running.charges)
    charges.extend(_taxes(desk, scenario, key, charges, by_press, clock))

    summary = desk.builder.block(f"{key}.statement", "Statement", key)
    sums = statement(summary, charges, clock)
    fiscal(desk.builder.block(f"{key}.fiscal", "Fiscal years", key), charges, sums, clock)
    bought = [own for own, (_, press, _) in zip(by_press, presses, strict=True) if press.cash or press.loan]
    _for_the_accountant(desk, scenario, key, bought, deals, [plan for plan, _ in plans], sums, clock)
    moves = Moves(
        running.paper.run,
        running.paper.bought,
        running.paper.outside,
        running.outside,
        tuple((plan.moves, places) for plan, places in plans),
        running.supplies,
    )
    by_class = desk.builder.block(f"{key}.class_cost", "Cost by job class", key)
    class_cost(desk, by_class, sums, placement, moves, work, clock)
    if isinstance(candidate, Today) and candidate.last_year is not None:
        proof = desk.builder.block(f"{key}.last_year", "Last year", key)
        last_year(desk, proof, candidate.last_year, sums, clock)
    signed = [plan.bound for plan, places in plans if not all(fleet[place].follows for place in places)]
    return Counted(
        key,
        candidate.title,
        desk.builder.block(f"{key}.measures", "Measures", key),
        sums,
        tuple(deals),
        placement,
        (*(line for deal in deals for line in deal.bound), *signed),
        (*(line for deal in deals for line in deal.beyond), *(plan.beyond for plan, _ in plans)),
        running.people,
        _relief_of_people(desk, scenario, key, running.people, clock),
        candidate.may_stop_without_funds,
        tuple(signed),
        _fixed_service(deals, [plan for plan, _ in plans]),
    )


def _fixed_service(deals: list[Deal], plans: list[Plan]) -> tuple[Line, ...]:
    """What service costs whatever is printed: front-end support, and base fees that are paid by themselves."""
    support = [charge.line for deal in deals for charge in deal.charges if charge.heading == "service"]
    paid = [charge.line for plan in plans for charge in plan.charges]
    return (*support, *(line for line in paid if line.id.rpartition(".")[2] == "base"))


def _press_name(scenario: Scenario, candidate: Candidate, turn: Turn) -> str:
    """What a press is called: by its own name, by that of the present press it is, or by its key among several."""
    press = turn.press
    name = candidate.press_title(turn.of, press)
    if not press.name and candidate.presses is not None:
        present = {f"today{suffix}": one.name for suffix, one in _present(scenario)}
        name = present.get(press.same_as or "") or name
    return f"{name}, no. {turn.number}" if turn.follows else name


def _of_press(subject: str, name: str) -> str:
    """The label of a block that a candidate has once for every press."""
    return f"{subject}: {name}" if name else subject


def _present(scenario: Scenario) -> list[tuple[str, Press]]:
    """The present presses, each with what its name adds to `today`."""
    today = scenario.today
    if today is None:
        return []
    several = today.presses is not None
    return [(f".{press_id}" if several else "", press) for press_id, press, _ in today.press_items()]


def _equipment(desk: Desk, scenario: Scenario, turn: Turn, there: Window, clock: Clock) -> list[Deal]:
    """How one press is come by, and what comes with it; nobody has signed yet for a press that follows."""
    if not turn.follows:
        return _paid_for(desk, scenario, turn.press, there, clock)
    deals = _paid_for(desk, scenario, turn.press, at_its_prices(scenario, there), clock)
    return [replace(deal, bound=(), contract=(), stops=()) for deal in deals]


def _paid_for(desk: Desk, scenario: Scenario, press: Press, there: Window, clock: Clock) -> list[Deal]:
    deals = [signing(desk, press, there, clock, is_bought=press.cash is not None or press.loan is not None)]
    if press.is_kept:
        deals.append(leaves_early(desk, press, there, clock))
    if press.cash is not None:
        deals.append(cash(desk, press.cash, there, clock))
    elif press.loan is not None:
        deals.append(loan(desk, press.loan, there, clock))
    elif isinstance(press.lease, TodayLease):
        deals.append(running_lease(desk, scenario, press.lease, there, clock))
    elif isinstance(press.lease, Lease):
        deals.append(lease(desk, scenario, press.lease, there, clock))
    elif press.rental is not None:
        deals.append(rental(desk, press.rental, there, clock))
    elif press.owned is not None and press.owned.sells_for.number:
        sale = sold(desk, press.owned.sells_for, there)
        deals.append(Deal((Charge(sale, "receipt", deducted=False, budget="capital"),), sale=sale))
    return deals


def _plans(
    desk: Desk, scenario: Scenario, key: str, candidate: Candidate, placement: Placement, work: Work, clock: Clock
) -> list[tuple[Plan, tuple[int, ...]]]:
    """Service plans, each with the places of its presses: of single presses, or one over the pool."""
    wanted: list[tuple[str, Service, list[int]]] = []
    fleet = candidate.fleet(scenario.horizon)
    if candidate.presses is not None and candidate.service is not None:
        without = [place for place, one in enumerate(placement.presses) if one.press.service is None]
        wanted.append((f"{key}.plan", candidate.service, without))
    for place, one in enumerate(placement.presses):
        if one.press.service is not None:
            single = candidate.presses is None and not fleet[place].follows
            wanted.append((f"{key}.plan" if single else f"{key}.{fleet[place].id}.plan", one.press.service, [place]))
    plans = []
    for name, plan, places in wanted:
        if places:
            covered = [placement.presses[place] for place in places]
            alone = name != f"{key}.plan"
            label = _of_press("Service plan", covered[0].window.name if alone else "")
            block = desk.builder.block(name, label, key)
            plans.append((service(desk, block, scenario, plan, covered, work, clock), tuple(places)))
    return plans


@dataclass(frozen=True)
class _Running:
    """Running costs of a candidate, and their columns by class for the cost of one more job."""

    charges: tuple[Charge, ...]
    people: tuple[Line, Line] | None
    paper: Papered
    outside: Line | None
    supplies: tuple[tuple[Line, int], ...]


def _running(
    desk: Desk,
    scenario: Scenario,
    key: str,
    candidate: Candidate,
    placement: Placement,
    plans: list[tuple[Plan, tuple[int, ...]]],
    work: Work,
    clock: Clock,
) -> _Running:
    """Paper, supplies, finishing, outside work, energy, space and people; what is left out has no room."""

    def block(subject: str, label: str) -> Block:
        return desk.builder.block(f"{key}.{subject}", label, key)

    def counted(subject: LeftOut) -> bool:
        return not scenario.is_left_out(subject)

    bought, finished, people = Papered((), None, (), None), Finished((), None, ()), People((), None, None)
    if counted("paper"):
        bought = paper(desk, block("paper", "Paper"), scenario, placement, candidate.service, work, clock)
    if counted("finishing"):
        finished = finishing(desk, block("finishing", "Finishing"), scenario, placement, work, clock)
    sent = outside(desk, block("outside", "Outside printing"), scenario, placement, work, clock)
    charges = [*bought.charges, *finished.charges, *sent.charges]
    columns = list(finished.columns)
    drawn: list[Line] = []
    for place, turn in enumerate(candidate.fleet(scenario.horizon)):
        one, press_id = placement.presses[place], turn.id
        name = one.window.name if candidate.presses is not None or turn.follows else ""
        if counted("supplies"):
            home = block(f"{press_id}.supplies", _of_press("Supplies", name))
            meters = [column for plan, places in plans if place in places for column in plan.before_credit]
            used, each = supplies(desk, home, scenario, one, work, clock, meters)
            charges.extend(used)
            columns.extend((column, place) for column in each)
        if counted("energy") or scenario.shop.emissions is not None:
            home = block(f"{press_id}.energy", _of_press("Energy", name))
            kwh = electricity(desk, home, scenario, one)
            drawn.extend([] if kwh is None else [kwh])
            charges.extend(energy(desk, home, scenario, kwh, clock) if kwh is not None and counted("energy") else [])
        if counted("space"):
            charges.extend(space(desk, block(f"{press_id}.space", _of_press("Space", name)), scenario, one, clock))
    emissions(desk, block("emissions", "Emissions"), scenario, placement, drawn, work)
    if counted("labour"):
        home = block("people", "People")
        people = labour(desk, home, scenario, candidate, placement.presses, finished.hours, sent.hours, clock)
        charges.extend(people.charges)
    both = (people.saved, people.stay) if people.saved is not None and people.stay is not None else None
    return _Running(tuple(charges), both, bought, sent.by_class, tuple(columns))


def _relief_of_people(
    desk: Desk, scenario: Scenario, key: str, people: tuple[Line, Line] | None, clock: Clock
) -> tuple[Line, Line] | None:
    """What either policy about freed hours changes in the relief of income tax."""
    if people is None or scenario.money.income_tax is None:
        return None
    block = desk.builder.block(f"{key}.people_tax", "Relief under either policy", key)
    counted = desk.builder.by_id[f"{key}.people.cost"]
    return relief_of_people(desk, block, scenario.money.income_tax, people, counted, clock)


def _for_the_accountant(
    desk: Desk,
    scenario: Scenario,
    key: str,
    bought: list[tuple[Window, list[Deal]]],
    deals: list[Deal],
    plans: list[Plan],
    sums: Statement,
    clock: Clock,
) -> None:
    """The same money as the books and the balance sheet would have it: in no sum of the comparison."""
    money = scenario.money
    if money.books is not None:
        books(desk, desk.builder.block(f"{key}.books", "Books", key), money.books, bought, sums.net, clock)
    terms = money.lease_accounting
    if terms is None:
        return
    leases = []
    for one in [deal.leased for deal in deals if deal.leased is not None]:
        label = _of_press("Lease accounting", one.there.name)
        leases.append((desk.builder.block(f"{one.there.block.id}.lease_accounting", label, key), one))
    minimums = [plan.minimum for plan in plans if plan.minimum is not None]
    life = terms.life or (money.books.years if money.books else None)
    block = desk.builder.block(f"{key}.lease_accounting", "Lease accounting", key)
    lease_accounting(desk, block, terms, life, leases, minimums, clock)


def _taxes(
    desk: Desk,
    scenario: Scenario,
    key: str,
    charges: list[Charge],
    by_press: list[tuple[Window, list[Deal]]],
    clock: Clock,
) -> list[Charge]:
    """Tax on what is paid, and relief on it."""
    made: list[Charge] = []
    money = scenario.money
    if money.sales_tax is None and money.income_tax is None:
        return made
    block = desk.builder.block(f"{key}.tax", "Tax", key)
    if money.sales_tax is not None:
        invoiced = [deal.invoiced for _, own in by_press for deal in own if deal.invoiced is not None]
        ahead = [deal.taxed_up_front for _, own in by_press for deal in own if deal.taxed_up_front is not None]
        made.extend(sales_tax(desk, block, money.sales_tax, charges, invoiced, ahead))
    if money.income_tax is not None:
        made.extend(income_tax(desk, block, scenario, money.income_tax, [*charges, *made], by_press, clock))
    return made

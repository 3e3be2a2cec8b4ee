"""What a candidate still owes when it stops, for the oracle: the last parts of section 10."""

from __future__ import annotations

from tests.oracle import equipment, leasing, placing, service
from tests.oracle import reading as r
from tests.oracle.leasing import Rents
from tests.oracle.oracle import Candidate
from tests.oracle.placing import Press
from tests.oracle.work import Clock

NO_RENTS = Rents(0.0, 1, advance=True, dates=())


def signed(tree: r.Tree, key: str, clock: Clock) -> list[tuple[Press, Rents]]:
    """List the presses of a candidate with the rents of those on new leases; `tree` is prepared."""
    presses = placing.presses_of(tree["today"] if key == "today" else tree["candidates"][key], clock, key == "today")
    rents = [leasing.rents_of(p, clock.calendar(1)) if p.form == "lease" else NO_RENTS for p in presses]
    return [pair for pair in zip(presses, rents, strict=True) if pair[0].first <= clock.months]


def stop_after(tree: r.Tree, candidate: Candidate, clock: Clock) -> list[float]:
    """Give costs so far, what is still bound and the worth of what is owned, after months 1 ... H."""
    out, unsaid = [], unsaid_increase(tree)
    for m in range(1, clock.months + 1):
        total = sum(amount for (month, _), amount in candidate.statement.items() if month <= m)
        for press, rents in signed(tree, candidate.key, clock):
            total += press.sums * (still_bound(press, rents, m, clock, unsaid) - worth(press, m))
        for press in left(tree, candidate.key, clock, "finish"):
            total += press.count * running(press, m, clock)
        out.append(total)
    return out


def left(tree: r.Tree, key: str, clock: Clock, choice: str) -> list[Press]:
    """List the present presses on a lease that a candidate gives up, if it does so by this choice."""
    if key == "today" or not tree.get("today") or tree["candidates"][key].get("present_lease", "finish") != choice:
        return []
    kept = {press.kept for press in placing.presses_of(tree["candidates"][key], clock)}
    present = placing.presses_of(tree["today"], clock, is_today=True)
    return [press for press in present if press.key not in kept and press.form == "present"]


def running(press: Press, month: int, clock: Clock) -> float:
    """Give the rents of one present press from the month after this one to the end of its lease."""
    ends = clock.operating_month(press.terms["ends"])
    return r.number(press.terms.get("rent")) * max(0, ends - month)


def still_bound(press: Press, rents: Rents, month: int, clock: Clock, unsaid: float) -> float:
    """Give what the contract of one press still takes after a month; nothing before it is signed."""
    terms = press.terms
    if press.form == "present":
        return running(press, month, clock)
    if press.form == "rental":
        return notice(press, month, unsaid) if press.first <= month < press.last else 0.0
    if press.form == "loan":
        return owed_on_loan(press, month)
    if press.form != "lease":
        return 0.0
    bought = str(terms.get("at_end", "return")) == "buy"
    leaves = round(r.number(terms.get("exit_month")))
    if month < press.first or (bought and month >= press.last) or (leaves and month >= press.first + leaves - 1):
        return 0.0
    due = sum(amount for time, amount in rents.dates if press.first + rents.month_of_lease(time) - 1 <= month)
    ends = press.first + round(r.number(terms["months"])) - 1
    price = r.number(terms.get("buy_price")) if bought and month < ends else 0.0
    return (rents.all - due) * leasing.exit_part(terms, month - press.first + 1) + price


def unsaid_increase(tree: r.Tree) -> float:
    """Give the increase of a rental that does not say."""
    return r.number((tree.get("allowances") or {}).get("increase"), 0.05)


def notice(press: Press, month: int, unsaid: float) -> float:
    """Give the rents of the months of notice at the rent of a month."""
    terms, every = press.terms, r.number(press.terms.get("increase_every"), 12.0)
    rise = r.number(terms.get("increase"), unsaid)
    rent = r.number(terms["rent"]) * (1 + rise) ** ((month - press.first) // every)
    return rent * r.number(terms.get("notice_months"))


def owed_on_loan(press: Press, month: int) -> float:
    """Give the balance of a loan after a month in which the press is in service and does not leave."""
    terms, months = press.terms, round(r.number(press.terms["months"]))
    if not press.first <= month < press.last or month >= press.first + months - 1:
        return 0.0
    balance, rate = r.number(terms["price"]) - r.number(terms.get("down_payment")), r.number(terms["rate"]) / 12
    payment = equipment.level_payment(balance, rate, months)
    for _ in range(press.first, month + 1):
        balance += balance * rate - payment
    return balance


def worth(press: Press, month: int) -> float:
    """Give the worth of one press that is or will be owned, in a straight line from its price to its sale."""
    terms = press.terms
    price = terms.get("price" if press.form in ("cash", "loan") else "cash_price")
    owned = press.form in ("cash", "loan") or str(terms.get("at_end")) == "buy"
    if not owned or price is None or not press.first <= month < press.last:
        return 0.0
    price, sale = r.number(price), r.number(terms.get("sells_for"))
    return price - (price - sale) * (month - press.first + 1) / (press.last - press.first + 1)


def contracted(tree: r.Tree, candidate: Candidate, clock: Clock, months: int) -> list[float]:
    """Give what is contracted for equipment on signing, by the month in which it falls due."""
    out = [0.0] * months
    for press, rents in signed(tree, candidate.key, clock):
        if press.follows:
            continue
        terms, n = press.terms, press.count
        interim = r.number((terms.get("interim_rent") or {}).get("days")) / 30 * rents.level / rents.every
        dues = [(press.first, interim + r.number(terms.get("document_fee")))]
        dues += [(press.first + rents.month_of_lease(time) - 1, amount) for time, amount in rents.dates]
        if press.form in ("cash", "loan"):
            dues = bought(press)
        elif press.form == "rental":
            dues = [(press.first, notice(press, press.first, 0.0))]
        elif press.form == "present":
            dues = to_the_end(press, clock)
        elif str(terms.get("at_end")) == "buy":
            dues.append((press.first + round(r.number(terms["months"])) - 1, r.number(terms.get("buy_price"))))
        enter(out, dues, n)
    for press in left(tree, candidate.key, clock, "finish"):
        enter(out, to_the_end(press, clock), press.count)
    for press in left(tree, candidate.key, clock, "buy out"):
        enter(out, [(1, r.number(press.terms.get("buy_out")))], press.count)
    return out


def enter(out: list[float], dues: list[tuple[int, float]], number: float) -> None:
    """Add what falls due to a row of months, which grows as it must."""
    for month, amount in dues:
        out.extend([0.0] * (month - len(out)))
        out[month - 1] += number * amount


def to_the_end(press: Press, clock: Clock) -> list[tuple[int, float]]:
    """Give the rents of one present press to the end of its lease."""
    ends = clock.operating_month(press.terms["ends"])
    return [(month, r.number(press.terms.get("rent"))) for month in range(1, ends + 1)]


def bought(press: Press) -> list[tuple[int, float]]:
    """Give what a cash price or a loan takes, by the month in which it falls due."""
    terms = press.terms
    if press.form == "cash":
        return [(press.first, r.number(terms["price"]))]
    down, months = r.number(terms.get("down_payment")), round(r.number(terms["months"]))
    payment = equipment.level_payment(r.number(terms["price"]) - down, r.number(terms["rate"]) / 12, months)
    at_signing = [(press.first, down + r.number(terms.get("fee")))]
    return at_signing + [(press.first + j, payment) for j in range(months)]


def bound_if_funds_stop(tree: r.Tree, candidate: Candidate, clock: Clock) -> float:
    """Give what is bound when no money is granted after the first fiscal year."""
    last = max(m for m in range(1, 13) if clock.fiscal_year(m) == 1)
    out = candidate.bound
    for press, rents in signed(tree, candidate.key, clock):
        terms = press.terms
        later = [amount for time, amount in rents.dates if press.first + rents.month_of_lease(time) - 1 > last]
        if str(terms.get("at_end")) == "buy" and press.first + round(r.number(terms["months"])) - 1 > last:
            later.append(r.number(terms.get("buy_price")))
        out -= 0.0 if press.follows else press.count * sum(later)
    raw = tree["candidates"][candidate.key]
    allowances = tree.get("allowances") or {}
    for plan in service.plans_of(raw, placing.presses_of(raw, clock)):
        if all(press.follows for press in plan.presses):
            continue
        terms_of_plan = service.Terms(plan, clock, allowances)
        within = max(0, min(last, terms_of_plan.last) - terms_of_plan.first + 1)
        out -= service.bound(plan, clock, allowances) * (1 - within / terms_of_plan.length)
    return out

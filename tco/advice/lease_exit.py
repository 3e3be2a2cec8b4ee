"""Warnings about how contracts end: renewal, notice, giving back, leaving early, terms that do not fit each other."""

from __future__ import annotations

from collections.abc import Iterator

from tco.advice.record import QuoteWarning
from tco.advice.study import Changes, PressAt, Study
from tco.scenario.figure import MONTH_NAMES
from tco.scenario.schema import Lease

# A year is the usual length of a renewal nobody asked for; 90 days is an early notice. Common practice.
USUAL_RENEWAL = 12
EARLY_NOTICE, EARLY_NOTICE_DAYS = 3, 90


def last_month(one: PressAt, lease: Lease) -> int:
    """Return the last operating month of a lease's term."""
    return int(one.press.from_month.number + lease.months.number - 1)


def renewal_unstated(study: Study) -> Iterator[QuoteWarning]:
    """A lease that renews itself unless somebody writes in time."""
    for one in study.presses():
        lease = one.lease
        if lease is None or lease.at_end == "buy" or study.written(f"{one.path}.lease.renews_unless_noticed"):
            continue
        end = study.scenario.label(last_month(one, lease))
        path = f"{one.path}.lease.at_end"
        both: dict[str, Changes] = {
            "ends": {path: "return"},
            f"{USUAL_RENEWAL} further months": {path: "renew", f"{one.path}.lease.renewal_months": USUAL_RENEWAL},
        }
        inside = last_month(one, lease) < study.scenario.horizon
        rents = float(study.values[f"{one.block}.all_rents"][0, 0, 0])
        more = rents / lease.months.number * USUAL_RENEWAL
        yield study.warning(
            "renewal-unstated", one.candidate, "warn", path,
            f"{one.name}: nothing says whether the lease renews itself after {end}; {USUAL_RENEWAL} months more would "
            "be "
            f"{study.told(more)}",
            "Does the lease renew itself? For how many months, when does the window for notice open and close, in "
            "which "
            "form and to whom must notice be given?",
            f"Notice is given in time and the lease ends in {end}",
            study.readings(one.candidate, both) if lease.at_end == "return" and inside else (),
        )  # fmt: skip


def notice_early(study: Study) -> Iterator[QuoteWarning]:
    """Notice that has to be given long before."""
    for one in study.presses():
        rental = one.press.rental
        if rental is not None and rental.notice_months.number >= EARLY_NOTICE:
            path = f"{one.path}.rental.notice_months"
            months = rental.notice_months.number
            yield study.warning(
                "notice-early", one.candidate, "inform", path,
                f"{one.name}: notice binds for {months:.0f} months, {study.told(months * rental.rent.number)} of rent",
                "In which form and to which address must notice be given, and from which day does it count?",
                "Notice is given so that the rental ends with its use; enter it in a calendar",
            )  # fmt: skip
        own = one.lease.renews_unless_noticed if one.lease is not None else None
        if own is not None and own.notice_days[1] >= EARLY_NOTICE_DAYS:
            yield study.warning(
                "notice-early", one.candidate, "inform", f"{one.path}.lease.renews_unless_noticed.notice_days",
                f"{one.name}: notice must arrive {own.notice_days[1]} days before the end, or the lease goes on for "
                f"{own.months.number:.0f} months",
                "In which form and to which address must notice be given, and when does it count as received?",
                "Notice is given in time; enter both days of the window in a calendar" if own.noticed else
                "Notice is missed",
            )  # fmt: skip


def return_terms(study: Study) -> Iterator[QuoteWarning]:
    """What giving the press back costs, where to, in which state."""
    for one in study.presses():
        lease = one.lease
        freight = lease.return_freight if lease is not None and lease.at_end != "buy" else None
        if freight is not None and freight.status == "unknown":
            yield _return(study, one.candidate, one.name, freight.path)
    today = study.scenario.today
    if today is None:
        return
    for press_id, press, _ in today.press_items():
        terms = press.present_lease_terms
        if terms is not None and terms.return_freight.status == "unknown":
            yield _return(study, "today", today.press_title(press_id, press), terms.return_freight.path)


def _return(study: Study, candidate: str, name: str, path: str) -> QuoteWarning:
    return study.warning(
        "return-terms", candidate, "warn", path,
        f"{name}: nobody has said what giving the press back costs",
        "Who pays for packing, freight and insurance when the press goes back, to which place, what is the highest "
        "this "
        "can cost, and in which state must the press be?",
        "Nothing is paid; the switch value says from which sum another candidate is cheaper",
        switch=study.switch_value(path),
    )  # fmt: skip


def early_exit(study: Study) -> Iterator[QuoteWarning]:
    """What ending a lease before its term costs."""
    for one in study.presses():
        said = any(study.written(f"{one.path}.lease.{key}") for key in ("exit_discount", "exit_at_most"))
        if one.lease is None or said:
            continue
        rents = float(study.values[f"{one.block}.all_rents"][0, 0, 0])
        yield study.warning(
            "early-exit", one.candidate, "warn", f"{one.path}.lease",
            f"{one.name}: no formula for ending the lease early; at worst all {study.told(rents)} of "
            "rents and the service are owed",
            "What do we owe if we end the lease and the service after 24 or 36 months: to give the press back, and to "
            "keep it?",
            "The lease runs its full term",
        )  # fmt: skip


def funding_clause(study: Study) -> Iterator[QuoteWarning]:
    """A body that pays no sales tax may have to be able to stop when it is granted no money."""
    exempt = study.written("money.sales_tax") and study.scenario.money.sales_tax is None
    for one in study.presses():
        binds = one.lease is not None or one.press.loan is not None
        if exempt and binds and not study.written(f"{one.candidate}.may_stop_without_funds"):
            bound = study.measure(one.candidate, "bound")
            yield study.warning(
                "funding-clause", one.candidate, "warn", one.path,
                f"{one.name}: binds {study.told(bound)} beyond the year, and nothing says that it ends when no "
                "money is granted",
                "Does the contract end without charge at the end of a fiscal year for which no money is granted? Which "
                "notice is needed, and may we then have the work done elsewhere?",
                "The full term is paid; public rules on competition, approval and borrowing are not looked at",
            )  # fmt: skip


def term_fiscal(study: Study) -> Iterator[QuoteWarning]:
    """A term that ends in the middle of the fiscal year the writer has named."""
    if not study.written("money.fiscal_year_starts"):
        return
    first = MONTH_NAMES.index(study.scenario.money.fiscal_year_starts[:3]) + 1
    for one in study.presses():
        if one.lease is None:
            continue
        after = study.scenario.calendar(last_month(one, one.lease) + 1)
        if after.month != first:
            yield study.warning(
                "term-fiscal", one.candidate, "inform", f"{one.path}.lease.months",
                f"{one.name}: the term ends before {after}, not with a fiscal year",
                "Can the term be shortened or lengthened so that it ends with our fiscal year, and at which rent?",
                "The term as quoted",
            )  # fmt: skip


def terms_differ(study: Study) -> Iterator[QuoteWarning]:
    """Contracts of different length, or another length than the months compared; one that is followed fills them."""
    terms: dict[str, set[int]] = {}
    for one in study.presses():
        contract = one.lease or one.press.loan
        if contract is not None and not one.press.replaced:
            terms.setdefault(one.candidate, set()).add(int(contract.months.number))
    months = set().union(*terms.values()) if terms else set()
    if len(months | {study.scenario.horizon}) > 1:
        told = "; ".join(f"{study.name(key)}: {', '.join(map(str, sorted(own)))}" for key, own in terms.items())
        yield study.warning(
            "terms-differ", "", "inform", "months",
            f"Terms differ ({told} months), {study.scenario.horizon} are compared",
            "Can the offers be made for one and the same term?",
            "Use contracts count the months inside, ownership contracts and loans are settled at the end; totals over "
            "different terms must not be set side by side",
        )  # fmt: skip


def service_length(study: Study) -> Iterator[QuoteWarning]:
    """Service that ends before or after the lease, or has no end."""
    for one in study.presses():
        own = [each for each in study.plans() if each.candidate == one.candidate and one.press in each.presses]
        plan = own[0] if own else None
        if plan is None:
            continue
        stated = plan.plan.months
        if stated is None:
            if one.lease is not None:
                yield study.warning(
                    "service-length", one.candidate, "warn", f"{plan.path}.months",
                    f"{one.name}: the lease has a term of {one.lease.months.number:.0f} months, the service plan none",
                    "For how many months is the service promised at these prices, and does it end together with the "
                    "lease?",
                    "The plan holds as long as the press is used",
                )  # fmt: skip
            continue
        used = int((study.row(f"{one.block}.present") > 0).sum())
        open_months = used - int(stated.number)
        later = one.lease is not None and one.lease.at_end == "return" and stated.number > one.lease.months.number
        if open_months > 0 or later:
            base = plan.plan.base.number / plan.plan.base.months if plan.plan.base else 0.0
            rest = f"{open_months} months without service" if open_months > 0 else (
                f"the service is paid for {stated.number - (one.lease.months.number if one.lease else 0):.0f} months "
                f"after the press has gone, {study.told(base)} a month"
            )  # fmt: skip
            yield study.warning(
                "service-length", one.candidate, "error", f"{plan.path}.months",
                f"{one.name}: service and use do not end together: {rest}",
                "Can service and lease end together? At which prices does the service go on, and for how long is it "
                "promised?",
                "The plan goes on unchanged as long as the press is used",
            )  # fmt: skip



"""Dates that contracts bring, as a table and as a calendar file."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final

from tco.advice.evidence import study_date
from tco.advice.study import PlanAt, PressAt, Study
from tco.scenario.figure import MONTH_NAMES, YearMonth
from tco.scenario.followers import Turn, turns
from tco.scenario.schema import Scenario

NOTICE: Final = (
    "Calculated from the dates in the scenario: check against the signed schedule and the required form and address"
)
UNSIGNED: Final = "Nobody has signed this contract yet: the date holds if an equal press follows on the same terms"
PRICES: Final = "Check the invoice after this date against the contract"
BUDGET: Final = "What is due after this date belongs to another budget"
# Windows for notice are known to open half a year before the end. Common practice.
MONTHS_BEFORE: Final = 6


@dataclass(frozen=True, order=True)
class Due:
    """One date: for which candidate and press or plan (both empty: all), what happens, and the caution it needs."""

    date: dt.date
    candidate: str
    name: str
    event: str
    caution: str

    @property
    def what(self) -> str:
        """What happens, in words that stand alone."""
        return f"{self.name}: {self.event}" if self.name else self.event


def first_day(when: YearMonth) -> dt.date:
    """Return the first day of a calendar month."""
    return dt.date(when.year, when.month, 1)


def last_day(when: YearMonth) -> dt.date:
    """Return the last day of a calendar month."""
    return first_day(when.plus(1)) - dt.timedelta(days=1)


def dates(study: Study) -> tuple[Due, ...]:
    """Return all dates in order: ends of leases and of service, increases, notice, ends of fiscal years."""
    found = [*_leases(study), *_present(study), *_rentals(study), *_service(study), *_fiscal(study)]
    return tuple(sorted(set(found)))


def _turns(study: Study) -> Iterator[tuple[PressAt, Turn]]:
    """Every press that somebody offers, in each of its turns; one that follows has lines and a name of its own."""
    for one in study.presses():
        for turn in turns(one.block.rpartition(".")[2], one.press, study.scenario.horizon):
            yield replace(one, block=f"{one.candidate}.{turn.id}", name=one.owner.turn_title(turn)), turn


def _kept(study: Study) -> Iterator[PressAt]:
    """The present presses, under today and under every candidate that keeps them."""
    for key, owner in study.scenario.candidates_all:
        for press_id, press, prefix in owner.press_items():
            if key == "today" or press.is_kept:
                name = owner.press_title(press_id, press)
                yield PressAt(key, owner, prefix, press, f"{key}.{press_id}", name)


def _end(one: PressAt, what: str, month: YearMonth, caution: str) -> Iterator[Due]:
    yield Due(last_day(month), one.candidate, one.name, f"{what} ends", caution)
    look = f"find the window for notice of the {what}, and write in time"
    yield Due(first_day(month.plus(1 - MONTHS_BEFORE)), one.candidate, one.name, look, caution)


def _leases(study: Study) -> Iterator[Due]:
    for one, turn in _turns(study):
        lease, caution = one.lease, UNSIGNED if turn.follows else NOTICE
        if lease is None:
            continue
        end = study.scenario.calendar(int(turn.first + lease.months.number - 1))
        if lease.renews_unless_noticed is None:
            yield from _end(one, "lease", end, caution)
        else:
            yield from _window(one, end, lease.renews_unless_noticed.notice_days, caution)
        if lease.is_renewed and lease.renewal_length is not None:
            yield from _end(one, "renewal", end.plus(int(lease.renewal_length.number)), caution)
        if lease.exit_month is not None and lease.exit_month.number:
            left = study.scenario.calendar(int(turn.first + lease.exit_month.number - 1))
            yield Due(last_day(left), one.candidate, one.name, "lease left early", caution)
        if lease.subsidy is not None and _receives(study.scenario, one, lease.subsidy.until, turn):
            until = last_day(lease.subsidy.until)
            yield Due(until, one.candidate, one.name, "the contribution to the rents ends", PRICES)


def _receives(scenario: Scenario, one: PressAt, until: YearMonth, turn: Turn) -> bool:
    """Tell whether it is in this turn that a contribution ends: it has one date, whichever press is there by then."""
    begun = [other for other in turns(turn.of, one.press, scenario.horizon)
             if scenario.calendar(other.first).index <= until.index]  # fmt: skip
    return bool(begun) and begun[-1].number == turn.number


def _window(one: PressAt, end: YearMonth, days: tuple[int, int], caution: str) -> Iterator[Due]:
    """The end of a lease that goes on by itself, and the days between which notice must arrive."""
    last = last_day(end)
    opens, closes = (last - dt.timedelta(days=before) for before in days)
    yield Due(last, one.candidate, one.name, "lease ends if notice was given in time", caution)
    yield Due(opens, one.candidate, one.name, "window for notice of the lease opens", caution)
    yield Due(closes, one.candidate, one.name, "last day of notice for the lease, or it goes on", caution)


def _present(study: Study) -> Iterator[Due]:
    for one in _kept(study):
        terms = one.press.present_lease_terms
        if terms is not None:
            yield from _end(one, "present lease", terms.ends, NOTICE)


def _rentals(study: Study) -> Iterator[Due]:
    for one, turn in _turns(study):
        yield from _rented(study, one, UNSIGNED if turn.follows else NOTICE)
    for one in _kept(study):
        yield from _rented(study, one, NOTICE)


def _rented(study: Study, one: PressAt, caution: str) -> Iterator[Due]:
    """Notice and increases of one press in its own months, if it is rented."""
    rental = one.press.rental
    span = _span(study, f"{one.block}.present")
    if rental is None or span is None:
        return
    first, last = span
    by = study.scenario.calendar(last - int(rental.notice_months.number))
    yield Due(last_day(by), one.candidate, one.name, "last day of notice for the rental", caution)
    step = int(rental.increase_every.number)
    for month in range(first + step, last + 1, step) if rental.increase.number else ():
        yield Due(first_day(study.scenario.calendar(month)), one.candidate, one.name, "the rent may rise", PRICES)


def _plans(study: Study) -> Iterator[tuple[PlanAt, str]]:
    """Every service plan and the caution of its end: those of presses that follow are signed later.

    A plan over all presses of a candidate is one contract, which goes on while they follow each other.
    """
    offered = list(study.plans())
    yield from ((plan, NOTICE) for plan in offered)
    for one in _kept(study):
        # A plan taken over with its press is no offer, yet its prices rise all the same.
        block = f"{one.block}.plan" if one.owner.presses else f"{one.candidate}.plan"
        if one.press.service is not None and block not in {plan.block for plan in offered}:
            path = f"{one.path}.service"
            yield PlanAt(one.candidate, path, one.press.service, (one.press,), block, one.name), NOTICE
    for one, turn in _turns(study):
        if turn.follows and one.press.service is not None:
            path, block = f"{one.path}.service", f"{one.block}.plan"
            yield PlanAt(one.candidate, path, one.press.service, (one.press,), block, one.name), UNSIGNED


def _service(study: Study) -> Iterator[Due]:
    for plan, caution in _plans(study):
        span = _span(study, f"{plan.block}.active")
        if span is None:
            continue
        first, last = span
        if plan.plan.months is not None:
            end = study.scenario.calendar(first + int(plan.plan.months.number) - 1)
            yield Due(last_day(end), plan.candidate, plan.name, "service plan ends", caution)
        for month in _rises(study.scenario, plan, first, last):
            when = first_day(study.scenario.calendar(month))
            yield Due(when, plan.candidate, plan.name, "service prices may rise", PRICES)
        for dated in plan.plan.rates_from or ():
            if first <= study.scenario.operating_month(dated.when) <= last:
                when = first_day(dated.when)
                yield Due(when, plan.candidate, plan.name, "other list prices of service begin", PRICES)


def _rises(scenario: Scenario, plan: PlanAt, first: int, last: int) -> list[int]:
    """The operating months, of those from first to last, in which the prices of a plan may rise."""
    terms = plan.plan
    months: Iterable[int] = ()
    if terms.increases is not None:
        months = [scenario.operating_month(one.when) for one in terms.increases if one.figure.number]
    elif terms.increase.number:
        begin, every = terms.increase_from, int(terms.increase_every.number)
        start = scenario.operating_month(begin) if isinstance(begin, YearMonth) else first + int(begin.number) - 1
        months = range(start, last + 1, every)
    return [month for month in months if first <= month <= last]


def _span(study: Study, key: str) -> tuple[int, int] | None:
    """First and last operating month within the study in which a press is there or a plan runs."""
    months = study.row(key).nonzero()[0]
    return (int(months[0]) + 1, int(months[-1]) + 1) if len(months) else None


def _fiscal(study: Study) -> Iterator[Due]:
    before = (MONTH_NAMES.index(study.scenario.money.fiscal_year_starts[:3]) - 1) % 12 + 1
    for month in range(1, study.scenario.horizon + 1):
        when = study.scenario.calendar(month)
        if when.month == before:
            yield Due(last_day(when), "", "", "Fiscal year ends", BUDGET)


def calendar_file(study: Study, candidate: str) -> bytes:
    """Return the dates of one candidate, and those of all, as an iCalendar file (RFC 5545).

    The same scenario gives the same bytes: identifiers come from what an entry says, its stamp from the study's date.
    """
    from icalendar import Calendar, Event

    stamp = dt.datetime.combine(study_date(study), dt.time(), tzinfo=dt.UTC)
    calendar = Calendar()
    calendar.add("prodid", "-//tco//contract dates//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", f"{study.name(candidate)}: {study.scenario.title}")
    for due in dates(study):
        if due.candidate not in (candidate, ""):
            continue
        event = Event()
        said = f"{study.scenario.title}|{candidate}|{due.date.isoformat()}|{due.what}"
        event.add("uid", f"{hashlib.sha256(said.encode()).hexdigest()[:32]}@tco.invalid")
        event.add("dtstamp", stamp)
        event.add("dtstart", due.date)
        event.add("dtend", due.date + dt.timedelta(days=1))
        event.add("summary", due.what)
        event.add("description", due.caution)
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())

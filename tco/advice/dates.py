"""Dates that contracts bring, as a table and as a calendar file."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from tco.advice.evidence import study_date
from tco.advice.lease_exit import last_month
from tco.advice.study import PlanAt, Study
from tco.scenario.figure import MONTH_NAMES, YearMonth

NOTICE: Final = (
    "Calculated from the dates in the scenario: check against the signed schedule and the required form and address"
)
PRICES: Final = "Check the invoice after this date against the contract"
BUDGET: Final = "What is due after this date belongs to another budget"
# Windows for notice are known to open half a year before the end. Common practice.
MONTHS_BEFORE: Final = 6


@dataclass(frozen=True, order=True)
class Due:
    """One date: for which candidate (empty: all), what happens, and the caution that belongs to it."""

    date: dt.date
    candidate: str
    what: str
    caution: str


def first_day(when: YearMonth) -> dt.date:
    """Return the first day of a calendar month."""
    return dt.date(when.year, when.month, 1)


def last_day(when: YearMonth) -> dt.date:
    """Return the last day of a calendar month."""
    return first_day(when.plus(1)) - dt.timedelta(days=1)


def dates(study: Study) -> tuple[Due, ...]:
    """Return all dates in order: ends of leases and of service, increases, notice, ends of fiscal years."""
    found = [*_leases(study), *_today(study), *_rentals(study), *_service(study), *_fiscal(study)]
    return tuple(sorted(set(found)))


def _end(candidate: str, name: str, what: str, month: YearMonth) -> Iterator[Due]:
    yield Due(last_day(month), candidate, f"{name}: {what} ends", NOTICE)
    look = f"{name}: find the window for notice of the {what}, and write in time"
    yield Due(first_day(month.plus(1 - MONTHS_BEFORE)), candidate, look, NOTICE)


def _leases(study: Study) -> Iterator[Due]:
    for one in study.presses():
        if one.lease is not None:
            end = study.scenario.calendar(last_month(one, one.lease))
            if one.lease.renews_unless_noticed is None:
                yield from _end(one.candidate, one.name, "lease", end)
            else:
                yield from _window(one.candidate, one.name, end, one.lease.renews_unless_noticed.notice_days)
            if one.lease.is_renewed and one.lease.renewal_length is not None:
                more = end.plus(int(one.lease.renewal_length.number))
                yield from _end(one.candidate, one.name, "renewal", more)
            if one.lease.exit_month is not None and one.lease.exit_month.number:
                left = study.scenario.calendar(int(one.press.from_month.number + one.lease.exit_month.number - 1))
                yield Due(last_day(left), one.candidate, f"{one.name}: lease left early", NOTICE)
            if one.lease.subsidy is not None:
                until = last_day(one.lease.subsidy.until)
                yield Due(until, one.candidate, f"{one.name}: the contribution to the rents ends", PRICES)


def _window(candidate: str, name: str, end: YearMonth, days: tuple[int, int]) -> Iterator[Due]:
    """The end of a lease that goes on by itself, and the days between which notice must arrive."""
    last = last_day(end)
    opens, closes = (last - dt.timedelta(days=before) for before in days)
    yield Due(last, candidate, f"{name}: lease ends if notice was given in time", NOTICE)
    yield Due(opens, candidate, f"{name}: window for notice of the lease opens", NOTICE)
    yield Due(closes, candidate, f"{name}: last day of notice for the lease, or it goes on", NOTICE)


def _today(study: Study) -> Iterator[Due]:
    today = study.scenario.today
    for press_id, press, _ in today.press_items() if today is not None else ():
        terms = press.present_lease_terms
        if terms is not None:
            name = press.name or (press_id.capitalize() if today and today.presses else today.title if today else "")
            yield from _end("today", name, "present lease", terms.ends)


def _rentals(study: Study) -> Iterator[Due]:
    for one in study.presses():
        rental = one.press.rental
        if rental is None:
            continue
        last = int(study.row(f"{one.block}.present").nonzero()[0][-1]) + 1
        by = study.scenario.calendar(last - int(rental.notice_months.number))
        yield Due(last_day(by), one.candidate, f"{one.name}: last day of notice for the rental", NOTICE)
        step, first = int(rental.increase_every.number), int(one.press.from_month.number)
        for month in range(first + step, last + 1, step) if rental.increase.number else ():
            when = first_day(study.scenario.calendar(month))
            yield Due(when, one.candidate, f"{one.name}: the rent may rise", PRICES)


def _service(study: Study) -> Iterator[Due]:
    for plan in study.plans():
        start = _start(study, plan)
        if start is None:
            continue
        first, last = start
        if plan.plan.months is not None:
            end = study.scenario.calendar(first + int(plan.plan.months.number) - 1)
            yield Due(last_day(end), plan.candidate, f"{plan.name}: service plan ends", NOTICE)
        if plan.plan.increase.number == 0:
            continue
        begin, every = plan.plan.increase_from, int(plan.plan.increase_every.number)
        month = study.scenario.operating_month(begin) if isinstance(begin, YearMonth) else first + int(begin.number) - 1
        while month <= last:
            if month >= first:
                when = first_day(study.scenario.calendar(month))
                yield Due(when, plan.candidate, f"{plan.name}: service prices may rise", PRICES)
            month += every


def _start(study: Study, plan: PlanAt) -> tuple[int, int] | None:
    """First and last operating month of a plan within the months compared."""
    months = study.row(f"{plan.block}.active").nonzero()[0]
    return (int(months[0]) + 1, int(months[-1]) + 1) if len(months) else None


def _fiscal(study: Study) -> Iterator[Due]:
    before = (MONTH_NAMES.index(study.scenario.money.fiscal_year_starts[:3]) - 1) % 12 + 1
    for month in range(1, study.scenario.horizon + 1):
        when = study.scenario.calendar(month)
        if when.month == before:
            yield Due(last_day(when), "", "Fiscal year ends", BUDGET)


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

# ruff: noqa: E501  one scenario piece is one line of YAML
"""Dates of contracts, and the calendar file read back by a library that reads what others write."""

import datetime as dt

import pytest
from icalendar import Calendar

from tco.advice.dates import calendar_file, dates
from tests.advice.quotes import BIRCH_LEASE, TODAY_LEASE, study, swap


def told(here, candidate):
    return [(due.date.isoformat(), due.what) for due in dates(here) if due.candidate == candidate]


def test_a_lease_and_its_plan_end_on_the_last_day_and_prices_rise_each_year():
    found = told(study(), "birch")
    assert ("2032-02-29", "Birch: lease ends") in found
    assert ("2032-02-29", "Birch: service plan ends") in found
    assert ("2031-09-01", "Birch: find the window for notice of the lease, and write in time") in found
    rises = [day for day, what in found if what == "Birch: service prices may rise"]
    assert rises == ["2028-03-01", "2029-03-01", "2030-03-01", "2031-03-01"]


def test_increases_follow_their_own_month_and_step():
    found = told(study(*swap("increase_cap: 3%", "increase_cap: 3%, increase_from: 2028-07, increase_every: 18")), "birch")
    assert [day for day, what in found if "prices may rise" in what] == ["2028-07-01", "2030-01-01", "2031-07-01"]
    assert [what for _, what in told(study(*swap("increase: 3%, increase_cap: 3%", "increase: 0%")), "birch")
            if "prices may rise" in what] == []  # fmt: skip


def test_fiscal_years_end_in_the_month_before_they_start():
    assert [day for day, _ in told(study(), "")] == [f"{year}-02-{29 if year % 4 == 0 else 28}" for year in range(2028, 2033)]
    later = told(study(*swap("fiscal_year_starts: March", "fiscal_year_starts: July")), "")
    assert later[0] == ("2027-06-30", "Fiscal year ends")


def test_the_present_lease_and_a_rental_with_notice():
    here = study(*TODAY_LEASE, *swap(BIRCH_LEASE, "    until_month: 24\n    rental: {rent: 1300, notice_months: 3, increase: 4%}"))
    assert ("2028-06-30", "Today: present lease ends") in told(here, "today")
    found = told(here, "birch")
    assert ("2028-11-30", "Birch: last day of notice for the rental") in found
    assert [day for day, what in found if what == "Birch: the rent may rise"] == ["2028-03-01"]


def test_every_date_has_its_caution_and_the_table_is_in_order():
    here = study()
    found = dates(here)
    assert [due.date for due in found] == sorted(due.date for due in found)
    assert all(due.caution for due in found)
    assert any("signed schedule" in due.caution for due in found)


def test_the_calendar_file_parses_back_to_the_table():
    here = study()
    calendar = Calendar.from_ical(calendar_file(here, "birch"))
    events = list(calendar.walk("VEVENT"))
    assert [(event.decoded("dtstart").isoformat(), str(event["summary"])) for event in events] == [
        (due.date.isoformat(), due.what) for due in dates(here) if due.candidate in ("birch", "")
    ]
    assert all(event.decoded("dtend") - event.decoded("dtstart") == dt.timedelta(days=1) for event in events)
    assert {event.decoded("dtstamp") for event in events} == {dt.datetime(2027, 2, 1, tzinfo=dt.UTC)}
    assert len({str(event["uid"]) for event in events}) == len(events)
    assert str(calendar["version"]) == "2.0"
    assert calendar["prodid"]


def test_the_calendar_file_is_the_same_each_time_and_keeps_its_identifiers():
    one = calendar_file(study(), "birch")
    assert one == calendar_file(study(), "birch")
    other = calendar_file(study(*swap("rent: 1240", "rent: 1300")), "birch")
    assert one == other, "a rent is no date"
    assert calendar_file(study(), "cedar") != one


def test_lines_are_folded_and_text_is_escaped():
    name = "A; press, of some very long name that goes on and on, \\\\ and on, past what a line of a calendar may hold"
    data = calendar_file(study(*swap("  birch:\n", f'  birch:\n    name: "{name}"\n')), "birch")
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    (first, *_) = [event for event in Calendar.from_ical(data).walk("VEVENT") if "lease ends" in event["summary"]]
    assert str(first["summary"]).startswith("A; press, of some")


@pytest.mark.parametrize("candidate", ["today", "birch", "cedar"])
def test_every_candidate_has_a_file(candidate):
    assert Calendar.from_ical(calendar_file(study(), candidate)).walk("VEVENT")

"""Dates of presses that follow, of plans over several presses and of rented presses that are kept, worked by hand."""

from dataclasses import replace

import pytest
from icalendar import Calendar

from tco.advice.dates import NOTICE, PRICES, UNSIGNED, calendar_file, dates
from tco.advice.study import Study
from tco.publish.numbers import Numbers
from tco.publish.pages.dates import build
from tco.publish.parts import Kit
from tco.publish.recording import make_report
from tco.scenario.load import load_text

# Sixty months from March 2027 to February 2032. What stays for 24 months leaves in February of 2029, 2031 and 2033.
TEXT = """\
title: Presses that follow
start: 2027-03
months: 60
money: {discount_rate: 5%}
work: {colour: 9000, black: 9000}
today:
  name: The old one
  rental: {rent: 400, notice_months: 6, increase: 4%, increase_every: 24}
  service: {black: 0.01, colour: 0.06, increase: 3%, increase_every: 24}
candidates:
  birch:
    name: Birch
    replaced: yes
    lease: {rent: 100, months: 24, at_end: return, return_freight: 50}
    service: {base: 30, black: 0.01, colour: 0.05, months: 24, increase: 3%}
  pair:
    name: Pair
    service: {black: 0.01, colour: 0.05, months: 60, increases: {2029-01: 6%, 2030-01: 0%, 2031-07: 3%},
      rates_from: {2030-06: {black: 0.02}}}
    presses:
      rented:
        name: Pairing
        replaced: yes
        until_month: 24
        rental: {rent: 100, notice_months: 3, increase: 4%}
      helped:
        replaced: yes
        lease: {rent: 100, months: 24, at_end: return, return_freight: 50, subsidy: {per_month: 20, until: 2030-02},
          renews_unless_noticed: {months: 12, notice_days: [180, 90], noticed: no}}
  kept: {same_as: today, name: Keep it}
"""


@pytest.fixture(scope="module")
def study():
    return Study.of(load_text(TEXT))


def told(study, candidate, name):
    return [(due.date.isoformat(), due.event) for due in dates(study) if (due.candidate, due.name) == (candidate, name)]


def test_each_lease_that_follows_ends_after_a_term_of_its_own(study):
    """By hand: terms end 24, 48 and 72 months on, the window is looked for half a year before; the year after the
    first month of the third plan lies beyond the months compared."""
    look = "find the window for notice of the lease, and write in time"
    ends = ["lease ends", "service plan ends"]
    for name, rise, window, end in (
        ("Birch", "2028-03-01", "2028-09-01", "2029-02-28"),
        ("Birch, no. 2", "2030-03-01", "2030-09-01", "2031-02-28"),
        ("Birch, no. 3", "", "2032-09-01", "2033-02-28"),
    ):
        rises = [(rise, "service prices may rise")] if rise else []
        assert told(study, "birch", name) == [*rises, (window, look), *((end, what) for what in ends)]
    assert told(study, "birch", "Birch, no. 4") == []


def test_who_signs_later_is_told_so_and_an_invoice_is_checked_all_the_same(study):
    found = {(due.name, due.event): due.caution for due in dates(study) if due.candidate == "birch"}
    for event in ("lease ends", "service plan ends"):
        assert [found["Birch", event], found["Birch, no. 2", event]] == [NOTICE, UNSIGNED]
    assert found["Birch, no. 2", "service prices may rise"] == PRICES


def test_a_rental_that_follows_has_its_own_notice_and_increases(study):
    """By hand: in use in months 1 to 24, 25 to 48 and 49 to 60; notice three months before each end."""
    notice, rise = "last day of notice for the rental", "the rent may rise"
    assert told(study, "pair", "Pairing") == [("2028-03-01", rise), ("2028-11-30", notice)]
    assert told(study, "pair", "Pairing, no. 2") == [("2030-03-01", rise), ("2030-11-30", notice)]
    assert told(study, "pair", "Pairing, no. 3") == [("2031-11-30", notice)]


def test_a_lease_that_goes_on_is_followed_after_its_renewal(study):
    """By hand: 24 months and 12 more, so the next one comes in March 2030. 180 and 90 days before 29 February 2032 are
    2 September and 1 December 2031; the contribution ends in the last month of the first press, and only once."""
    first, second = told(study, "pair", "Helped"), told(study, "pair", "Helped, no. 2")
    assert ("2030-02-28", "renewal ends") in first
    assert ("2030-02-28", "the contribution to the rents ends") in first
    assert second == [
        ("2031-09-02", "window for notice of the lease opens"),
        ("2031-12-01", "last day of notice for the lease, or it goes on"),
        ("2032-02-29", "lease ends if notice was given in time"),
        ("2032-09-01", "find the window for notice of the renewal, and write in time"),
        ("2033-02-28", "renewal ends"),
    ]


def test_a_contribution_ends_with_whichever_press_is_there_and_each_lease_is_left_early():
    """By hand: given back after 24 of 36 months, so the second one comes in March 2029, and its term ends three years
    on."""
    early = TEXT.replace("until: 2030-02", "until: 2030-03").replace(
        "months: 24, at", "months: 36, exit_month: 24, at", 1
    )
    later = Study.of(load_text(early))
    found = [due for due in dates(later) if "contribution" in due.event]
    assert [(due.date.isoformat(), due.name) for due in found] == [("2030-03-31", "Helped, no. 2")]
    second = told(later, "birch", "Birch, no. 2")
    assert ("2031-02-28", "lease left early") in second
    assert ("2032-02-29", "lease ends") in second


def test_one_plan_over_all_presses_goes_on_while_they_follow_each_other(study):
    """Increases and list prices by month are told on the dates written; an increase of nothing is none."""
    rise = "service prices may rise"
    assert told(study, "pair", "Pair") == [
        ("2029-01-01", rise),
        ("2030-06-01", "other list prices of service begin"),
        ("2031-07-01", rise),
        ("2032-02-29", "service plan ends"),
    ]


def test_what_is_paid_for_the_present_press_is_told_wherever_it_is_kept(study):
    """By hand: rents rise after 24 and 48 months, service in months 13 and 37; six months before the end of the study
    is the end of August 2031."""
    wanted = [
        ("2028-03-01", "service prices may rise"),
        ("2029-03-01", "the rent may rise"),
        ("2030-03-01", "service prices may rise"),
        ("2031-03-01", "the rent may rise"),
        ("2031-08-31", "last day of notice for the rental"),
    ]
    assert told(study, "today", "The old one") == wanted
    assert told(study, "kept", "Keep it") == wanted


def test_an_entry_of_a_calendar_stands_alone_and_a_row_stands_under_its_heading(study):
    events = Calendar.from_ical(calendar_file(study, "birch")).walk("VEVENT")
    assert "Birch, no. 2: lease ends" in [str(event["summary"]) for event in events]
    report = make_report(study.scenario, study.model, study.values, None)
    report = replace(report, dates=dates(study), calendars={"birch": calendar_file(study, "birch")})
    (page,) = build(Kit(report, Numbers("en_US", "USD")))
    tables = {table.title: table for table in page.data["tables"]}
    said = [row.cells[0].text for row in tables["Birch"].rows]
    assert {"Lease ends", "No. 2: lease ends", "Service prices may rise"} <= set(said)
    assert {"Service plan ends", "Pairing: the rent may rise"} <= {row.cells[0].text for row in tables["Pair"].rows}
    assert "Fiscal year ends" in {row.cells[0].text for row in tables["For every candidate"].rows}
    notes = [row.note for row in tables["Birch"].rows if row.note]
    assert notes == [f"{PRICES}.", f"{NOTICE}.", f"{UNSIGNED}."], "once each, with the first of its kind"
    assert tables["Birch"].rows[0].note == f"{PRICES}."
    assert said[0] == "Service prices may rise"

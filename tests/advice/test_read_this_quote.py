# ruff: noqa: E501  one scenario piece is one line of YAML
"""A quote in four lines, as dealers write them: what must be asked, and what must never be taken silently.

A composite of what buyers report: common practice, no source. Of the two dozen things to ask about it, one cannot be
seen by a scenario: that it gives a maximum volume (only that none is recommended).
"""

import pytest

from tco.advice.coverage import COVERAGE
from tco.advice.questions import MOST_ASKED, questions
from tco.advice.study import Study
from tco.advice.warnings import find_warnings, not_comparable
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.scenario.load import load_text

QUOTE = """\
title: Read this quote
start: 2027-07
months: 60
money: {discount_rate: 4%, fiscal_year_starts: July, sales_tax: exempt}
jobs:
  programmes: {colour: colour, size: ledger, sides_per_set: 11, two_sided: yes, sets_per_job: 100, jobs: 204, coverage: 30%,
    finish: booklet}
  sheets: {colour: colour, sides_per_set: 2, two_sided: yes, sets_per_job: 200, jobs: 460, coverage: 30%, heavy: yes}
  forms: {colour: black, sides_per_set: 1, sets_per_job: 500, jobs: 300}
season: {Jul: 0.5, Aug: 1.8, Sep: 1.6, Oct: 1, Nov: 1, Dec: 0.7, Jan: 1, Feb: 0.9, Mar: 0.9, Apr: 0.9, May: 1, Jun: 0.5}
waste: 3%
shop: {hours_per_week: 40, finishing: {booklet: {material: 0.02, sets_per_hour: 120}}}
today: {service: {colour: 0.06, black: 0.01, oversize_counts: 2, blank_backs: count, increase: 3%}}
candidates:
  offered:
    quote: One sheet of paper
    covered: [delivery, training, all inclusive service]
    lease: {rent: 2980, months: 60}
    service: {colour: 0.039, black: 0.006, included: {colour: 20000}}
    sides_per_minute: 100
    in_line: [booklet]
"""
# What must be raised. 'funding-clause' only warns: a file cannot say more of a public body than that it pays no tax.
RAISED = {
    "click-basis", "oversize-rule", "colour-class", "settlement", "minimum-high", "overage-rate", "increase-unstated",
    "coverage-cap", "sundries", "lease-end", "rent-timing", "cash-price", "extras-unsaid", "renewal-unstated",
    "return-terms", "service-length", "early-exit", "funding-clause", "recommended-volume", "rated-speed",
    "service-hours", "front-end", "site-unknown",
}  # fmt: skip


@pytest.fixture(scope="module")
def here():
    return Study.of(load_text(QUOTE))


@pytest.fixture(scope="module")
def ours(here):
    return [one for one in find_warnings(here) if one.candidate == "offered"]


def value(*pairs):
    text = QUOTE
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    key = "offered.measures.present_value"
    return float(evaluate(build(load_text(text)), keep=[key])[key][0, 0, 0])


PLAN = "included: {colour: 20000}"


def test_all_that_can_be_seen_is_asked(ours):
    codes = {one.code for one in ours}
    assert codes >= RAISED
    # The size in which the 20,000 are counted is asked as well, and so is what happens to unused ones.
    assert {"included-size", "blank-backs"} <= codes
    assert "start-up" not in codes, "training is in the quote"
    assert all(one.question and one.assumed for one in ours)


def test_what_it_is_compared_by_is_the_dearer_reading(ours):
    assert {one.code for one in not_comparable(tuple(ours))["offered"]} >= {"click-basis", "oversize-rule", "settlement",
                                                                          "lease-end"}  # fmt: skip
    money = {one.code: one.money for one in ours}
    base = value()
    for code in ("oversize-rule", "rent-timing", "settlement", "click-basis"):
        assert money[code][1] == pytest.approx(base, rel=1e-12)
        assert money[code][0] < base


def test_an_unstated_increase_is_not_zero(ours):
    (one,) = [one for one in ours if one.code == "increase-unstated"]
    never, ten = (value((PLAN, f"{PLAN}, increase: {rate}")) for rate in ("0%", "10%"))
    assert one.money == pytest.approx((never, ten), rel=1e-10)
    assert value() > never


def test_a_large_side_is_not_one_click_silently():
    once, twice = (value((PLAN, f"{PLAN}, oversize_counts: {times}")) for times in (1, 2))
    assert value() == pytest.approx(twice, rel=1e-12)
    assert twice > once


def test_included_clicks_are_not_called_free(ours):
    (one,) = [one for one in ours if one.code == "overage-rate"]
    assert "not nothing" in one.assumed
    (prepaid,) = [one for one in ours if one.code == "minimum-high"]
    assert "20,000 colour clicks a month are prepaid" in prepaid.title


def test_the_price_of_the_return_is_no_invented_figure(ours):
    (one,) = [one for one in ours if one.code == "return-terms"]
    assert one.readings == ()


def test_five_are_asked_and_nothing_is_lost(here, ours):
    (asked,) = [one for one in questions(here, ours) if one.candidate == "offered"]
    assert len(asked.asked) == MOST_ASKED
    assert len(asked.asked) + len(asked.folded) == len({one.question for one in ours})


def test_what_cannot_be_seen_is_said_in_the_table():
    (row,) = [row for row in COVERAGE if row.codes == ("funding-clause",)]
    assert "does not bar" in row.cannot

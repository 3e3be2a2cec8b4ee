"""What people type becomes figures that know their range, source, status and place."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tco.problem import ScenarioError
from tco.scenario.figure import Figure, FlowFigure, Readings, Twelve, YearMonth
from tco.scenario.load import load_text
from tests.scenario.samples import changed_text, small


def test_percent_is_a_hundredth_exactly():
    assert small(("7.5%", "7.1%")).money.discount_rate.number == 0.071
    assert small(("7.5%", "0.071")).money.discount_rate.number == 0.071
    assert small(("7.5%", "7.1 %")).money.discount_rate.number == 0.071


@given(st.integers(1, 99_999))
def test_percent_of_any_figure_is_the_nearest_number(thousandths):
    text = f"{thousandths / 1000:.3f}"
    assert small(("7.5%", f"{text}%")).money.discount_rate.number == float(f"{float(text) / 100:.15g}")


def test_values_keep_fifteen_significant_digits():
    assert small(("rent: 1240", "rent: 1240.123456789012345")).candidates["birch"].lease.rent.number == 1240.12345678901


def test_a_mapping_carries_range_source_status_date_and_note():
    written = ("{value: 1240, low: 1200, high: 1300, source: letter, status: contracted, date: 2027-01-14, "
               "note: by telephone}")
    rent = small(("rent: 1240", f"rent: {written}")).candidates["birch"].lease.rent
    assert rent == Figure(value=1240.0, low=1200.0, high=1300.0, source="letter", status="contracted",
                          date="2027-01-14", note="by telephone", path="birch.lease.rent", line=10)
    assert rent.has_range


def test_the_quote_is_source_and_status_of_figures_without_their_own():
    scenario = small(("rent: 1240", "rent: {value: 1240, source: invoice, status: invoiced}"))
    lease = scenario.candidates["birch"].lease
    assert (lease.return_freight.source, lease.return_freight.status) == ("Tarnwick, offer 1187", "quoted")
    assert (lease.rent.source, lease.rent.status) == ("invoice", "invoiced")
    base = scenario.today.service.base
    assert (base.source, base.status) == ("", "estimated")


def test_a_figure_with_another_source_is_not_called_quoted():
    rent = small(("rent: 1240", "rent: {value: 1240, source: hearsay}")).candidates["birch"].lease.rent
    assert (rent.source, rent.status) == ("hearsay", "estimated")


@pytest.mark.parametrize(("text", "value", "per", "months"), [
    ("420", 420, "month", 1), ("{per_month: 420}", 420, "month", 1), ("{per_quarter: 1260}", 1260, "quarter", 3),
    ("{per_year: 5040}", 5040, "year", 12), ("{per_year: {value: 5040, high: 6000}}", 5040, "year", 12),
])
def test_an_amount_in_time_keeps_what_was_written(text, value, per, months):
    base = small(("base: 420", f"base: {text}")).candidates["birch"].service.base
    assert isinstance(base, FlowFigure)
    assert (base.value, base.per, base.months, base.path) == (value, per, months, "birch.service.base")


def test_jobs_without_a_period_are_jobs_a_year():
    books = "books: {colour: black, sides_per_set: 12, sets_per_job: 30, jobs: 5200}"
    scenario = small(("work: {colour: 24000, black: 42000}", f"jobs:\n  {books}"))
    assert scenario.jobs["books"].jobs.per == "year"


def test_an_amount_in_time_needs_one_period():
    with pytest.raises(ScenarioError, match="exactly one of value, per_month, per_quarter, per_year"):
        small(("base: 420", "base: {per_month: 420, per_year: 5040}"))


def test_a_list_of_twelve_starts_with_the_month_of_start():
    colour = small(("colour: 24000", "colour: [3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 1, 2]")).work.colour
    assert isinstance(colour, Twelve)
    assert colour.values == (3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 1, 2)


def test_months_by_name_are_put_in_order_from_start():
    names = "Jan: 1, Feb: 2, Mar: 3, Apr: 4, May: 5, Jun: 6, Jul: 7, Aug: 8, Sep: 9, Oct: 10, Nov: 11, Dec: 12"
    season = small(("work:", f"season: {{{names}}}\nwork:")).season
    assert season.values == (3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 1, 2)
    assert season.path == "season"


def test_two_meter_readings_are_a_volume():
    colour = small(("colour: 24000", "colour: {readings: {2027-03-01: 1708400, 2026-03-01: 1204311}}")).work.colour
    assert isinstance(colour, Readings)
    assert (colour.first.number, colour.last.number, colour.days) == (1204311, 1708400, 365)
    assert colour.first_date == dt.date(2026, 3, 1)


def test_words_of_yaml_one_point_two_stay_words():
    scenario = small(("title: Two quotes", "title: no"), ("quote: Tarnwick, offer 1187", "quote: 1:30"))
    assert scenario.title == "no"
    assert scenario.candidates["birch"].quote == "1:30"
    assert scenario.start == YearMonth(2027, 3, "start", 2)


def test_yes_and_no_are_words_only_where_they_are_expected():
    scenario = small(("    quote:", "    colour: no\n    quote:"), ("service: {base: 420, colour: 0.049, ",
                                                                    "service: {base: 420, "))
    assert scenario.candidates["birch"].colour is False
    with pytest.raises(ScenarioError, match="must be a number, not `no`"):
        small(("rent: 1240", "rent: no"))


def test_bands_keep_their_places():
    colour = small(("colour: 0.049", "colour: [{from: 0, rate: 0.049}, {from: 10000, rate: 0.04}]")
                   ).candidates["birch"].service.colour
    assert [(band.from_.number, band.rate.number) for band in colour] == [(0, 0.049), (10000, 0.04)]
    assert colour[1].rate.path == "birch.service.colour.2.rate"


def test_every_figure_knows_the_line_of_its_key():
    plan = "service:\n      base:\n        420\n      colour: 0.049\n      black: 0.009\n      increase: 3%"
    scenario = small(("service: {base: 420, colour: 0.049, black: 0.009, increase: 3%}", plan))
    service = scenario.candidates["birch"].service
    assert (service.base.line, service.colour.line, service.increase.line) == (12, 14, 16)
    assert scenario.document.lines["candidates.birch.service.colour"] == 14


def test_all_mistakes_are_told_at_once():
    text = changed_text(("rent: 1240", "rnt: 1240"), ("months: 60\n", "months: 600\n"), ("7.5%", "seven"),
                        ("0.012", "-0.012"))
    with pytest.raises(ScenarioError) as caught:
        load_text(text, "mine.yaml")
    lines = [(problem.line, problem.path) for problem in caught.value.problems]
    assert lines == [(3, "months"), (4, "money.discount_rate"), (6, "today.service.black"),
                     (10, "candidates.birch.lease"), (10, "candidates.birch.lease.rnt")]
    assert str(caught.value).startswith("mine.yaml:3: months: 600 is above 240")
    assert caught.value.problems[0].as_dict()["line"] == 3

"""Tables of what stands beside the comparison: weeks, due times, who does which work, charges, hourly rates, lives."""

from dataclasses import replace

import pytest

from tco.analyses.new_work import new_work
from tco.publish.numbers import Numbers
from tco.publish.pages import costs, fit, sold
from tco.publish.parts import Kit
from tco.publish.recording import make_report
from tco.publish.results_shown import shown, won
from tests.costs.say import say
from tests.costs.test_fleets import WEEK

CHARGED = WEEK.replace("jobs: 120,", "jobs: 120, charge_per_set: 0.5,").replace("cards,", "[cards, leaflets],") + """\
new_work:
  leaflets: {colour: colour, sides_per_set: 1, sets_per_job: 600, jobs: 12, charge_per_set: 0.2, only_with: [two]}
"""


@pytest.fixture(scope="module")
def it():
    return say(CHARGED)


@pytest.fixture(scope="module")
def kit(it):
    report = make_report(it.scenario, it.model, it.values)
    return Kit(replace(report, new_work=new_work(it.scenario, it.values)), Numbers("en_US", "USD"))


def rows(table):
    return {(row.head, row.note): [cell.text for cell in row.cells] for row in table.rows}


def test_the_busiest_week_by_calendar_month(kit):
    table = fit.busiest_week(kit)
    assert [head for head, _ in table.columns][:4] == ["Jan", "Feb", "Mar", "Apr"]
    told = rows(table)["Two, Timed", "worst week: 5,000 pages too many"]
    assert told == ["133%"] * 4 + ["0%"] * 8 + ["133%"]
    assert table.rows[0].cells[0].css == "full"
    assert len(table.rows) == 1, "the other press has no speeds"


def test_a_job_against_its_due_time(kit):
    assert rows(fit.due(kit)) == {("Two", "Notes"): ["0.30", "0.25", "too slow"]}


def test_who_does_which_work(kit):
    """Cards go out until their press comes in month 3 of 4."""
    table = fit.scope(kit)
    assert [name for name, _ in table.columns] == ["Two", "Away"]
    assert rows(table)["Notes", ""] == ["100% in house", "100% outside"]
    assert rows(table)["Cards", ""] == ["50% in house, 50% outside", "100% outside"]


def test_charges_against_cost_and_work_that_would_be_won(kit):
    """1,200 sets a month at 0.50 for four months; cards cost 6,000 x 0.1 outside in two of them.

    Leaflets: 600 a month x 0.20 x 4 = 480, and 600 x 0.1 outside in the first two months.
    """
    two = kit.report.candidate("two")
    told = rows(sold.charges(kit, two))
    assert told == {("Notes", ""): ["2,400"], ("All charges", ""): ["2,400"], ("Cost", ""): ["1,200"]}
    assert "0.50 times" in sold.charges(kit, two).note
    assert rows(sold.contributions(kit, two)) == {("Leaflets", ""): ["480", "120", "360"]}
    assert sold.contributions(kit, kit.report.candidate("away")) is None
    assert sold.hourly(kit, two) is None


def test_a_month_three_ways(kit):
    assert rows(costs.lives(kit)) == {("Two", ""): ["300", "300", "300"], ("Away", ""): ["960", "—", "960"]}


def test_the_same_figures_for_programs(it, kit):
    told = shown(it.model, it.values, kit.report.scope, "two")
    assert told["busiest_week"] == {"sides_too_many": pytest.approx(5000), "load": {"timed": pytest.approx(4 / 3)}}
    assert told["due"] == [{"work": "Notes", "hours": pytest.approx(0.3), "due_within": 0.25}]
    assert told["hourly_rate"] == []
    assert told["work"][1] == {"work": "Cards", "in_house": 0.5, "sent_out": 0.5, "nobody": 0.0}
    (leaflets,) = won(kit.report.new_work)
    assert (leaflets["work"], leaflets["contribution"]) == ("leaflets", pytest.approx(360))

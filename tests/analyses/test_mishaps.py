"""A press down, the old press gone, everything stopped early: against arithmetic by hand or a scenario built anew."""

import pytest

from tco.analyses.mishaps import press_dies, press_down, stops
from tco.analyses.stopping import stopping
from tco.analyses.stress import stress
from tco.model.evaluate import evaluate
from tco.model.kinds import ModelError
from tests.analyses.studies import PLANS, cost, study

# 40 hours a week are 173 1/3 a month; at 3,600 sides an hour the busy month takes 166 2/3 of them.
BUSY = """\
title: A busy month
start: 2027-01
months: 14
money: {discount_rate: 0%}
work: {black: [300000, 300000, 300000, 300000, 600000, 300000, 300000, 300000, 300000, 300000, 300000, 300000]}
shop: {hours_per_week: 40}
outside: {black: 0.03, paper: included}
left_out: [paper, labour, energy, space]
today: {sides_per_minute: 60, sells_for: 900, service: {black: 0.02, increase: 0%}}
candidates:
  alder: {cash: {price: 6000, sells_for: 600}, sides_per_minute: 60, service: {black: 0.01, increase: 0%}}
  birch: {cash: {price: 9000}, count: 2, sides_per_minute: 60, service: {black: 0.012, increase: 0%}}
  away: {outside_only: yes}
"""
EVERYONE = ("today", "alder", "birch", "away")
DONE = (520 / 3 - 80) * 3600  # what one machine prints in the busy month when 80 hours are gone
OUT = 600_000 - DONE


@pytest.fixture(scope="module")
def busy():
    return study(BUSY)


def test_two_weeks_of_the_busiest_month_go_outside_at_the_price_there(busy):
    scenario, model = busy
    down = press_down(model, scenario, EVERYONE)
    assert down.month == 4
    by_name = {one.candidate: one for one in down.outages}
    for name, rate in (("today", 0.02), ("alder", 0.01)):
        assert by_name[name].lost == pytest.approx(80)
        assert by_name[name].outside == pytest.approx(OUT)
        assert by_name[name].cost == pytest.approx(OUT * (0.03 - rate))
    assert (by_name["birch"].lost, by_name["birch"].outside) == (80.0, pytest.approx(0.0))  # the other machine does it
    assert (by_name["away"].press, by_name["away"].cost) == ("", 0.0)
    worth = dict(zip(EVERYONE, down.costs.worth[0], strict=True))
    assert worth["alder"] == pytest.approx(cost(model, "alder") + OUT * 0.02)


def test_a_press_that_follows_is_down_like_any_other():
    followed = BUSY.replace("alder: {", "alder: {replaced: yes, until_month: 3, ").split("  birch")[0]
    scenario, model = study(followed)
    (_, found) = press_down(model, scenario, EVERYONE[:2]).outages
    assert (found.press, found.outside) == ("alder.press_2", pytest.approx(OUT))


def test_overtime_takes_what_it_can_and_the_rest_is_left_undone():
    hours = BUSY.replace("{hours_per_week: 40}", "{hours_per_week: 40, overtime_hours_per_week: 6}")
    scenario, model = study(hours.replace("outside: {black: 0.03, paper: included}\n", "").split("  away")[0])
    found = {one.candidate: one for one in press_down(model, scenario, EVERYONE[:3]).outages}
    # Six hours in 52/12 weeks, less the share of the month in which the machine is down.
    overtime = 26 * (1 - 80 / (520 / 3))
    assert found["alder"].overtime == pytest.approx(overtime)
    assert found["alder"].undone == pytest.approx(OUT - 3600 * overtime)
    (cell,) = [one for one in stress(model, scenario).cells if "is down" in one.label]
    assert set(cell.barred) == {"today", "alder"}
    assert cell.winner == "birch"
    assert "2027-05" in cell.label


def test_the_old_press_that_dies_is_one_that_leaves_and_fetches_nothing(busy):
    scenario, model = busy
    name, typed = press_dies(model, scenario, EVERYONE)
    assert name == "the present press"
    (cell,) = [one for one in stress(model, scenario).cells if "dies" in one.label]
    assert set(typed) == {"today.press.last"}
    _, gone = study(BUSY.replace("sells_for: 900", "sells_for: 900, until_month: 12"))
    assert cell.costs[0] == pytest.approx(cost(gone, "today"))
    # Month 13 and 14 outside; every other candidate sells it at the start as before.
    assert cell.costs[0] == pytest.approx(cost(model, "today") + 2 * 300_000 * 0.01)
    assert cell.costs[1:] == pytest.approx([cost(model, one) for one in EVERYONE[1:]])


def test_whoever_keeps_the_old_press_for_a_while_loses_its_price_too():
    keeps = "  wait: {presses: {old: {same_as: today, until_month: 13, sells_for: 900}}}\n"
    scenario, model = study(BUSY + keeps)
    _, typed = press_dies(model, scenario, (*EVERYONE, "wait"))
    assert set(typed) == {"today.press.last", "wait.old.last", "wait.old.sale"}
    cell = next(one for one in stress(model, scenario).cells if "dies" in one.label)
    assert cell.costs[-1] == pytest.approx(cost(model, "wait") + 900 + 300_000 * 0.01)


def test_everything_stops_as_the_stop_after_line_says():
    scenario, model = study(PLANS)
    table = stress(model, scenario)
    curves = stopping(model, table.candidates).after
    cells = table.group("stop")
    assert [cell.is_said for cell in cells] == [True, True, True]
    for cell, month in zip(cells, (24, 36, 48), strict=True):
        costs = [float(curves[one][month - 1]) for one in table.candidates]
        assert cell.costs == pytest.approx(costs)
        ranked = sorted(zip(costs, table.candidates, strict=True))
        assert (cell.winner, cell.second) == (ranked[0][1], ranked[1][1])
        assert cell.lead == pytest.approx(ranked[1][0] - ranked[0][0])
        assert cell.as_paid


def test_what_cannot_be_said_has_a_reason(busy):
    scenario, model = study(BUSY.replace("alder: {cash: {price: 6000, sells_for: 600}, sides_per_minute: 60, ",
                                         "alder: {cash: {price: 6000, sells_for: 600}, "))  # fmt: skip
    assert press_down(model, scenario, EVERYONE) == "capacity is not checked for every press"
    short, brief = study(BUSY.replace("months: 14", "months: 12"))
    assert press_dies(brief, short, EVERYONE) == "the months compared end before month 13"
    assert stops(brief, EVERYONE, stress(brief, short).as_written.barred != ()) == {}
    _, model = busy
    with pytest.raises(ModelError, match="no line of this model"):
        evaluate(model, overtype={"alder.press.nothing": 1.0})
    with pytest.raises(ModelError, match="is a figure"):
        evaluate(model, overtype={"alder.cash.price": 1.0})
    with pytest.raises(ModelError, match="from its own past"):
        evaluate(model, overtype={"time.month": 1.0})


def test_a_line_typed_over_is_taken_by_all_that_reads_it(busy):
    _, model = busy
    base = evaluate(model)
    after = evaluate(model, overtype={"alder.press.last": 3.0})
    assert after["alder.press.present"][0, 0].sum() == 3
    assert base["alder.press.present"][0, 0].sum() == 14
    assert after["birch.measures.present_value"] == base["birch.measures.present_value"]

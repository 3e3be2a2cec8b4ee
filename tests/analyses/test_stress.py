"""Every cell of the stress table against a scenario that is built anew with the same change."""

import numpy as np
import pytest

from tco.analyses.draws import comparison
from tco.analyses.season import busiest_month, first_year, quietest_months
from tco.analyses.stress import stress
from tco.assemble import build
from tco.model.evaluate import evaluate
from tests.advice.quotes import AS_IN_ENGLISH
from tests.analyses.studies import JOBS, PLANS, study

SEASON = "season: [0.4, 1.9, 1.6, 1.0, 0.9, 0.7, 1.5, 1.0, 0.9, 1.0, 0.8, 0.3]"


def anew(scenario, changes):
    """The scenario with a cell's changes; changes of a season's months put together to twelve figures."""
    paths, seasons = {}, {}
    for key, place, value in changes:
        if place is None:
            paths[key] = value
        else:
            seasons.setdefault(key, {})[place] = value
    for key, months in seasons.items():
        owner = scenario if key == "season" else scenario.jobs[key.split(".")[1]]
        paths[key] = [months.get(place, value) for place, value in enumerate(owner.season.values)]
    return scenario.with_changes(paths)


def asked(scenario):
    return evaluate(build(scenario), {}, {"work.asked_sides"})["work.asked_sides"][0, 0]


@pytest.mark.parametrize("text", [PLANS, JOBS])
def test_every_cell_is_a_scenario_built_anew(text):
    scenario, model = study(text)
    table = stress(model, scenario)
    cells = [cell for cell in table.cells if cell.group not in ("press", "stop")]  # no figures: see test_mishaps.py
    said = [cell for cell in (table.as_written, *cells) if cell.is_said]
    assert len(said) > 8
    for cell in said:
        costs = comparison(build(anew(scenario, cell.changes))).costs()
        assert cell.costs == pytest.approx(costs.worth[0].tolist(), abs=1e-6), cell.label
        assert cell.winner == costs.name(int(costs.winner[0]))
        assert cell.second == costs.name(costs.second())
        ranked = sorted(value for value, out in zip(costs.worth[0], costs.barred[0], strict=True) if not out)
        assert cell.lead == pytest.approx(ranked[1] - ranked[0], abs=1e-6)
        assert set(cell.barred) == {one for one, out in zip(costs.candidates, costs.barred[0], strict=True) if out}


def test_the_table_asks_what_it_should():
    scenario, model = study(PLANS)
    table = stress(model, scenario)
    names = ("volume", "increase", "resale", "worst month", "discount rate", "wages", "future", "press", "stop")
    assert [len(table.group(name)) for name in names] == [3, 4, 1, 1, 2, 1, 5, 2, 3]
    by_label = {cell.label: {key: value for key, place, value in cell.changes if place is None} for cell in table.cells}
    assert by_label["30% less work"] == {"volume_scale": 0.7}
    assert by_label["15% more work"] == {"volume_scale": 1.15}
    assert by_label["every plan rises by 10% a year, caps as written"] == {
        "today.service.increase": 0.1, "birch.service.increase": 0.1, "cedar.service.increase": 0.1,
    }  # fmt: skip
    assert by_label["every plan rises by 10% a year and no cap holds"]["cedar.service.increase_cap"] == 1.0
    assert by_label["discount rate 2 points lower"] == {"money.discount_rate": pytest.approx(0.04)}
    assert by_label["wages 10% higher"] == {"shop.labour.wage": pytest.approx(23.1)}
    assert set(by_label["no press sells for anything"].values()) == {0.0}
    assert by_label["work falls by 15% a year"] == {"change_per_year": -0.15}


def test_percentages_are_written_as_the_place_does():
    scenario, model = study(PLANS.replace("money: {", "money: {locale: de_DE, "))
    told = "; ".join(cell.label for cell in stress(model, scenario).cells)
    for some in ("30_% less work", "rises by 3_% a year, caps", "wages 10_% higher", "rises by 10_% a year and no cap"):
        assert some.replace("_", "\u00a0") in told
    assert AS_IN_ENGLISH.findall(told) == []


@pytest.mark.parametrize("text", [PLANS, JOBS])
def test_the_busiest_month_doubles_and_no_other_month_changes(text):
    scenario, model = study(text)
    (cell,) = stress(model, scenario).group("worst month")
    before, after = asked(scenario), asked(anew(scenario, cell.changes))
    worst = int(before[:12].argmax())
    assert busiest_month(model) == worst
    same = np.arange(len(before)) % 12 != worst
    assert after[same] == pytest.approx(before[same])
    assert after[~same] == pytest.approx(2 * before[~same])
    assert after[worst] > before[worst] > 0


@pytest.mark.parametrize("text", [PLANS, JOBS])
def test_four_quiet_months_are_emptied_and_no_other_changes(text):
    scenario, model = study(text)
    cell = stress(model, scenario).group("future")[-1]
    before, after = asked(scenario), asked(anew(scenario, cell.changes))
    months = quietest_months(model, 4)
    sums = [sum(before[(start + step) % 12] for step in range(4)) for start in range(12)]
    assert sum(before[list(months)]) == pytest.approx(min(sums))
    empty = np.isin(np.arange(len(before)) % 12, months)
    assert after[empty] == pytest.approx(np.zeros(empty.sum()))
    assert after[~empty] == pytest.approx(before[~empty])


def test_work_that_falls_falls_for_every_class():
    scenario, model = study(JOBS)
    cell = stress(model, scenario).group("future")[1]
    sides = asked(anew(scenario, cell.changes))
    assert sides[12:24] == pytest.approx(0.9 * sides[:12])


def test_what_the_scenario_has_no_figure_for_cannot_be_said():
    scenario, model = study(JOBS)
    table = stress(model, scenario)
    reasons = {cell.label: cell.reason for cell in table.cells if not cell.is_said}
    assert reasons == {
        "discount rate 2 points lower": "the discount rate would be below nothing",
        "wages 10% higher": "no wages are counted",
        "the press is down for two weeks in the busiest month": "capacity is not checked for every press",
        "everything stops after month 36, money as paid": "fewer than 36 months are compared",
        "everything stops after month 48, money as paid": "fewer than 48 months are compared",
    }
    alike = study(PLANS.replace(SEASON, ""))
    assert first_year(alike[1]) is None
    unsaid = [cell for cell in stress(alike[1], alike[0]).cells if not cell.is_said]
    assert [cell.reason for cell in unsaid] == ["every month is alike: no season is written"] * 2
    assert all(not cell.winner and cell.lead is None and not cell.costs for cell in unsaid)


def test_twelve_figures_carry_their_own_season():
    months = [9000, 8000, 7000, 6000, 5000, 4000, 5000, 6000, 7000, 8000, 9000, 12000]
    text = PLANS.replace("{value: 22000, low: 15000, high: 27000}", str(months)).replace("black: 40000", "black: 0")
    scenario, model = study(text.replace(SEASON, f"season: {[1] * 12}"))
    (cell,) = stress(model, scenario).group("worst month")
    assert ("work.colour", 11, 24000.0) in cell.changes
    given = {(key, place) if place is not None else key: value for key, place, value in cell.changes}
    after = evaluate(model, given, {"work.asked_sides"})["work.asked_sides"][0, 0]
    assert after[:12] == pytest.approx([*months[:11], 24000])


def test_readings_of_a_meter_are_stretched():
    readings = "{readings: {2026-03-01: 1000000, 2027-03-01: 1300000}}"
    scenario, model = study(PLANS.replace("{value: 22000, low: 15000, high: 27000}", readings))
    (cell,) = stress(model, scenario).group("worst month")
    given = {(key, place) if place is not None else key: value for key, place, value in cell.changes}
    before = evaluate(model, {}, {"work.asked_sides"})["work.asked_sides"][0, 0]
    after = evaluate(model, given, {"work.asked_sides"})["work.asked_sides"][0, 0]
    assert after[:12] == pytest.approx([before[m] * (2 if m == before[:12].argmax() else 1) for m in range(12)])

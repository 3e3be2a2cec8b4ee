"""Each swing and each switch against scenarios that are built anew."""

import numpy as np
import pytest

from tco.analyses.narrow import cross, narrow
from tco.analyses.ranged import Limits, figure, figures, ranged
from tco.analyses.sensitivity import sensitivity
from tco.assemble import build
from tco.model.kinds import ModelError
from tests.analyses.studies import JOBS, PLANS, cost, first_day, gap, study

NAMES = ("today", "birch", "cedar")


def costs_at(scenario, changes):
    model = build(scenario.with_changes(changes))
    return {one: cost(model, one) for one in NAMES}


def lead_at(scenario, changes, leader):
    found = costs_at(scenario, changes)
    return min(value for one, value in found.items() if one != leader) - found[leader]


def test_both_ends_of_every_figure_are_those_of_a_scenario_built_anew():
    scenario, model = study(PLANS)
    told = sensitivity(model)
    assert {one.figure.key for one in told.swings} == {one.key for one in ranged(model)}
    assert told.lead == pytest.approx(lead_at(scenario, {}, told.leader), abs=1e-6)
    for one in told.swings:
        for value, lead, winner in (
            (one.figure.low, one.lead_low, one.winner_low),
            (one.figure.high, one.lead_high, one.winner_high),
        ):
            found = costs_at(scenario, {one.figure.key: value})
            assert winner == min(found, key=found.get)
            assert lead == pytest.approx(lead_at(scenario, {one.figure.key: value}, told.leader), abs=1e-6)
        assert one.swing == max(one.lead_low, told.lead, one.lead_high) - min(one.lead_low, told.lead, one.lead_high)
    assert [one.swing for one in told.swings] == sorted((one.swing for one in told.swings), reverse=True)


def test_a_switch_put_back_is_a_tie_and_beyond_it_another_wins():
    scenario, model = study(PLANS)
    told = sensitivity(model)
    switches = [(one, switch) for one in told.swings for switch in (one.below, one.above) if switch is not None]
    assert any(switch.inside for _, switch in switches)
    for one, switch in switches:
        assert switch.kind == "tie"
        assert abs(gap(scenario, {one.figure.key: switch.value}, told.leader, switch.winner)) < 0.005
        way = 1e-4 * (1 if switch.value > one.figure.value else -1)
        beyond = costs_at(scenario, {one.figure.key: switch.value + way * abs(one.figure.value)})
        before = costs_at(scenario, {one.figure.key: switch.value - way * abs(one.figure.value)})
        assert min(beyond, key=beyond.get) == switch.winner
        assert min(before, key=before.get) == told.leader
        assert switch.inside == (one.figure.low <= switch.value <= one.figure.high)


def test_never_means_never_within_what_was_searched():
    scenario, model = study(PLANS)
    told = sensitivity(model)
    never = [one for one in told.swings if one.below is None and one.above is None]
    assert never
    for one in never[:2]:
        for part in range(11):
            value = one.searched[0] + (one.searched[1] - one.searched[0]) * part / 10
            found = costs_at(scenario, {one.figure.key: value})
            assert min(found, key=found.get) == told.leader


def test_pairs_of_the_three_largest_are_crossed():
    scenario, model = study(PLANS)
    told = sensitivity(model)
    first, second, third = (one.figure.key for one in told.swings[:3])
    assert [(one.down.key, one.across.key) for one in told.crosses] == [
        (first, second), (first, third), (second, third),
    ]  # fmt: skip
    table = told.crosses[0]
    for row, down in enumerate((table.down.low, table.down.value, table.down.high)):
        for column, across in enumerate((table.across.low, table.across.value, table.across.high)):
            changes = {first: down, second: across}
            found = costs_at(scenario, changes)
            assert table.winners[row][column] == min(found, key=found.get)
            assert table.leads[row][column] == pytest.approx(lead_at(scenario, changes, told.leader), abs=1e-6)


def test_a_press_that_no_longer_fits_loses_by_a_jump():
    text = PLANS
    for old, new in (
        ("high: 27000", "high: 90000"), ("price: 32000", "price: 200000"), ("colour: 0.098", "colour: 0.3"),
        ("sides_per_minute: 70", "sides_per_minute: 15"),
    ):  # fmt: skip
        text = text.replace(old, new)
    _, model = study(text)
    told = sensitivity(model)
    volume = next(one for one in told.swings if one.figure.key == "work.colour")
    assert told.leader == "birch"
    assert (volume.above.kind, volume.above.inside) == ("jump", True)
    assert volume.above.winner == "cedar"
    # It costs far less even where work is left undone; it is barred, not beaten.
    assert volume.lead_high > 10_000


def test_without_ranges_or_rivals_the_reason_is_told():
    _, model = study(JOBS)
    assert sensitivity(model).reason == "no figure has a range"
    assert sensitivity(model).leader == "alder"
    assert sensitivity(model, ["alder"]).reason == "fewer than two candidates do all the work"


def test_figures_keep_their_natural_bounds():
    _, model = first_day(ash="{value: 100, low: 0, high: 300}", elm=250)
    told = sensitivity(model)
    price = next(one for one in told.swings if one.figure.key == "ash.cash.price")
    assert price.searched == (0.0, 600.0)
    assert price.above.value == pytest.approx(250, abs=0.005)
    assert price.below is None
    _, plans = study(PLANS)
    assert figure(plans, "work.two_sided_share").limits == Limits(0.0, 1.0, False)
    assert figure(plans, "birch.service.increase").limits == Limits(-0.5, 1.0, False)
    assert figure(plans, "birch.lease.months").limits == Limits(1.0, None, True)
    assert figure(plans, "waste").limits == Limits(0.0, None, False)


def test_figures_know_whose_they_are():
    _, model = study(PLANS)
    assert all(one.key.startswith("birch.") and one.candidate == "birch" for one in figures(model, "birch"))
    assert figure(model, "birch.service.colour").source == "Tarnwick, offer 1187"
    assert figure(model, "money.discount_rate").candidate == ""
    _, jobs = study(JOBS)
    assert figure(jobs, "jobs.tests.sets_per_job").value == 30
    with pytest.raises(ModelError, match="no single figure"):
        figure(model, "season")
    with pytest.raises(ModelError, match="no single figure"):
        figure(model, "work.index")


def test_narrowing_finds_the_last_value_before_a_change():
    edges = np.array([0.3, 7.0, -2.5])
    low, high = narrow(lambda which, x: x >= edges[which], np.array([0.0, 5.0, -3.0]), np.array([1.0, 9.0, 4.0]))
    assert (low < edges).all()
    assert (high >= edges).all()
    assert np.allclose(low, high, rtol=1e-15, atol=0)
    low, high = narrow(lambda which, x: x <= edges[which], np.array([1.0, 9.0, 4.0]), np.array([0.0, 5.0, -3.0]))
    assert (high <= edges).all()
    assert (low > edges).all()


@pytest.mark.parametrize("power", [1, 3, 9])
def test_crossing_finds_where_the_sign_changes(power):
    roots = np.array([0.25, 3.0, 1e-7])
    low, high = cross(lambda which, x: (x - roots[which]) ** power, np.zeros(3), np.array([1.0, 1e6, 1.0]))
    assert np.allclose(low, roots, rtol=1e-13, atol=0)
    assert np.allclose(high, roots, rtol=1e-13, atol=0)
    low, high = cross(lambda _, x: np.where(x < 0.7, -1.0, 50.0), np.zeros(1), np.ones(1))
    assert low[0] < 0.7 <= high[0] <= 0.7 + 1e-15


def test_every_cell_of_the_map_is_a_scenario_of_its_own():
    scenario, model = study(PLANS)
    told = sensitivity(model)
    down, across = (one.figure for one in told.swings[:2])
    assert (told.map.down.key, told.map.across.key) == (down.key, across.key)
    assert (told.map.down_values[0], told.map.down_values[-1]) == (down.low, down.high)
    for row, column in ((0, 0), (0, 8), (8, 0), (8, 8), (4, 3)):
        changes = {down.key: told.map.down_values[row], across.key: told.map.across_values[column]}
        costs = sorted((gap(scenario, changes, one, "today"), one) for one in ("today", "birch", "cedar"))
        assert told.map.winners[row][column] == costs[0][1]
        assert told.map.leads[row][column] == pytest.approx(costs[1][0] - costs[0][0], abs=1e-6)

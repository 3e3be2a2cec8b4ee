"""The same scenario with other values, and the fingerprint that tells whether inputs differ."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tco.problem import ScenarioError
from tco.scenario.load import load_text
from tco.scenario.tree import plain
from tests.scenario.samples import SMALL, changed_text, small


def test_a_figure_is_changed_by_its_own_path():
    scenario = small()
    changed = scenario.with_changes({"birch.lease.rent": 1300, "work.black": 50000, "months": 48})
    assert changed.candidates["birch"].lease.rent.number == 1300
    assert (changed.work.black.number, changed.horizon) == (50000, 48)
    assert scenario.candidates["birch"].lease.rent.number == 1240, "the first scenario stays as it was"


def test_the_path_of_the_file_serves_as_well():
    changed = small().with_changes({"candidates.birch.lease.rent": 1300})
    assert changed.candidates["birch"].lease.rent.number == 1300


def test_a_choice_is_changed_and_completed_anew():
    changed = small().with_changes({"birch.lease.paid": "in arrears"})
    assert changed.candidates["birch"].lease.advance_rents.number == 0


def test_a_bare_number_keeps_period_and_source_and_drops_a_range_that_no_longer_holds():
    scenario = small(("base: 420", "base: {per_year: 5040, low: 5000, high: 5100, source: letter}"))
    base = scenario.with_changes({"birch.service.base": 6000}).candidates["birch"].service.base
    assert (base.number, base.per, base.low, base.high, base.source) == (6000, "year", 5000, None, "letter")


def test_a_band_is_changed_by_its_number():
    scenario = small(("colour: 0.049", "colour: [{from: 0, rate: 0.049}, {from: 10000, rate: 0.04}]"))
    bands = scenario.with_changes({"birch.service.colour.2.rate": 0.03}).candidates["birch"].service.colour
    assert [band.rate.number for band in bands] == [0.049, 0.03]


def test_a_key_is_removed_by_none():
    changed = small().with_changes({"birch.quote": None})
    assert changed.candidates["birch"].lease.rent.status == "estimated"


def test_a_change_is_checked_like_the_file():
    with pytest.raises(ScenarioError, match="negative"):
        small().with_changes({"birch.lease.rent": -1})
    with pytest.raises(ScenarioError, match="single value"):
        small().with_changes({"birch.lease.rent.value.more": 1})


def test_every_figure_of_a_scenario_can_be_changed_by_the_path_it_tells():
    scenario = small(("increase: 3%", "increase: unknown"), ("candidates:", "allowances: {increase: 4%}\ncandidates:"))
    path = scenario.candidates["birch"].service.increase.path
    assert scenario.with_changes({path: 0.02}).candidates["birch"].service.increase.number == 0.02


def test_the_fingerprint_is_that_of_the_inputs_alone():
    one = small().fingerprint
    respelled = "# a remark\n" + SMALL.replace("7.5%", "0.075").replace("1240", "1240.0")
    assert one == load_text(respelled, "other.yaml").fingerprint
    assert one == small(("{colour: 24000, black: 42000}", "{black: 42000, colour: 24000}")).fingerprint
    assert one != small(("1240", "1241")).fingerprint
    assert small().with_changes({"birch.lease.rent": 1241}).fingerprint == small(("1240", "1241")).fingerprint
    assert len(one) == 64


@settings(max_examples=30)
@given(st.floats(0, 1e6), st.integers(1, 240), st.sampled_from(["in advance", "in arrears"]))
def test_a_changed_scenario_read_again_from_its_data_is_the_same(rent, months, paid):
    changed = small().with_changes({"birch.lease.rent": rent, "birch.lease.months": months, "birch.lease.paid": paid})
    again = load_text(json.dumps(plain(changed.document.data)))  # JSON is YAML 1.2 as well
    assert without_lines(again.model_dump()) == without_lines(changed.model_dump())
    assert again.fingerprint == changed.fingerprint


def without_lines(value):
    if isinstance(value, dict):
        return {key: without_lines(child) for key, child in value.items() if key != "line"}
    return [without_lines(child) for child in value] if isinstance(value, list | tuple) else value


def test_loading_the_same_text_twice_gives_equal_scenarios():
    assert small().model_dump() == load_text(changed_text()).model_dump()

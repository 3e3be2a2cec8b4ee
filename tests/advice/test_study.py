# ruff: noqa: E501  one scenario piece is one line of YAML
"""What-if by figure and by choice gives what a scenario written that way gives."""

import pytest

from tco.problem import ScenarioError
from tests.advice.quotes import BIRCH_PLAN, cost, study, swap


def test_a_figure_is_replaced_and_others_stay():
    here = study()
    found = here.present_values({"birch.lease.rent": 1500})
    assert found["birch"] == pytest.approx(cost("birch", *swap("rent: 1240", "rent: 1500")), rel=1e-12)
    assert {key: found[key] for key in ("today", "cedar")} == {key: here.base[key] for key in ("today", "cedar")}


def test_a_choice_is_built_anew_for_its_candidate_alone():
    here = study()
    found = here.present_values({"birch.lease.paid": "in arrears"})
    assert found["birch"] == pytest.approx(cost("birch", *swap("in advance", "in arrears")), rel=1e-12)
    assert found["cedar"] == here.base["cedar"]


def test_figure_and_choice_together():
    found = study().present_values({"birch.lease.paid": "in arrears", "birch.lease.rent": 1500})
    wanted = cost("birch", *swap("rent: 1240", "rent: 1500"), *swap("in advance", "in arrears"))
    assert found["birch"] == pytest.approx(wanted, rel=1e-12)


def test_a_change_of_all_reaches_all():
    found = study().present_values({"money.discount_basis": "nominal"})
    for key in ("today", "birch", "cedar"):
        assert found[key] == pytest.approx(cost(key, *swap("7.5%", "7.5%, discount_basis: nominal")), rel=1e-12)


def test_answers_are_remembered(monkeypatch):
    here = study()
    first = here.present_values({"birch.lease.rent": 1500})
    monkeypatch.setattr("tco.advice.study.evaluate", None)
    assert here.present_values({"birch.lease.rent": 1500}) is first


def test_a_reading_that_is_no_scenario_has_no_money():
    here = study()
    with pytest.raises(ScenarioError):
        here.present_values({"birch.lease.at_end": "give away"})
    assert here.readings("birch", {"as it is": {}, "odd": {"birch.lease.at_end": "give away"}}) == ()


def test_terms_of_every_quote_are_read_for_one_candidate():
    shared = (*swap("candidates:\n", "every_quote: {oversize_counts: 2}\ncandidates:\n"), *swap("oversize_counts: 2, increase: 3%", "increase: 3%"))
    here = study(*shared)
    plan = here.scenario.candidates["birch"].service
    readings = here.at("birch", plan.oversize_counts, "birch.service.oversize_counts", {"one": 1, "two": 2})
    wanted = [cost("birch", *shared, *swap(BIRCH_PLAN.strip().split("oversize")[0], BIRCH_PLAN.strip().split("oversize")[0] + f"oversize_counts: {n}, "))
              for n in (1, 2)]  # fmt: skip
    assert [one.cost for one in readings] == pytest.approx(wanted, rel=1e-12)

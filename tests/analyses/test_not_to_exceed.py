"""What a budget should not exceed, against the same scenario with the dearer ends written into it."""

import pytest

from tco.analyses.not_to_exceed import not_to_exceed, nothing_ranged
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.scenario.load import load_text
from tests.analyses.studies import PLANS, first_day


def paid(scenario, name):
    return evaluate(build(scenario))[f"{name}.fiscal.paid_by_year"][0, :, 0]


def test_every_figure_stands_at_its_dearer_end():
    scenario = load_text(PLANS)
    found = not_to_exceed(build(scenario), ["today", "birch", "cedar"])
    volume = {"work.colour": 27000, "change_per_year": 0.02}
    shared = {"shop.paper.letter": 0.011}
    own = {
        "today": {}, "birch": {"birch.service.colour": 0.053, "birch.service.increase": 0.08},
        "cedar": {"cedar.cash.sells_for": 0},
    }  # fmt: skip
    for name, ends in own.items():
        taken = volume | shared | ends
        assert dict(found[name].ends) == {key: pytest.approx(value) for key, value in taken.items()}
        dear = scenario.with_changes(taken)
        assert found[name].years == pytest.approx(paid(dear, name).tolist(), rel=1e-12)
    assert not nothing_ranged(found)


def test_volumes_stand_at_their_high_end_though_they_cost_nothing_more():
    """The minimum of colour swallows the range of colour; it is taken high all the same."""
    text = PLANS.replace("minimum: {colour: 15000}", "minimum: {colour: 90000}")
    found = not_to_exceed(build(load_text(text)), ["cedar"])
    assert dict(found["cedar"].ends)["work.colour"] == 27000


def test_without_ranges_it_is_what_is_paid():
    scenario, model = first_day("900", "1100", black="1000")
    found = not_to_exceed(model, ["ash", "elm"])
    assert nothing_ranged(found)
    assert [found[name].years for name in ("ash", "elm")] == [tuple(paid(scenario, name)) for name in ("ash", "elm")]

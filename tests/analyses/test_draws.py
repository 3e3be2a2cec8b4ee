"""Draws in chunks against the same draws alone, and who is cheapest among those that do all the work."""

import numpy as np
import pytest

from tco.analyses.draws import NOBODY, Costs, comparison, evaluate_in_chunks, one_at_a_time
from tco.model.evaluate import evaluate
from tests.analyses.studies import JOBS, PLANS, cost, study

KEEP = ("birch.measures.present_value", "cedar.statement.net", "today.people.cost", "work.index", "time.live")


def moved(draws):
    random = np.random.default_rng(5)
    return {
        "volume_scale": random.uniform(0.5, 1.6, draws),
        "birch.service.increase": random.uniform(0, 0.1, draws),
        ("season", 3): random.uniform(0.2, 3.0, draws),
        "shop.labour.wage": 23.5,
    }


@pytest.mark.parametrize("chunk", [1, 4, 7, 500])
def test_a_draw_in_a_batch_is_the_same_draw_alone_bit_for_bit(chunk):
    _, model = study(PLANS)
    given = moved(9)
    whole = evaluate_in_chunks(model, given, KEEP, chunk)
    for draw in range(9):
        own = {key: value if np.ndim(value) == 0 else value[draw] for key, value in given.items()}
        alone = evaluate(model, own, KEEP)
        for key in KEEP:
            row = whole[key][draw if len(whole[key]) > 1 else 0]
            assert np.array_equal(row, alone[key][0]), (key, draw)


def test_lines_that_no_draw_touches_stay_one_row():
    _, model = study(PLANS)
    found = evaluate_in_chunks(model, moved(9), KEEP, 4)
    assert {key: len(value) for key, value in found.items()} == {
        "birch.measures.present_value": 9, "cedar.statement.net": 9, "today.people.cost": 9, "work.index": 9,
        "time.live": 1,
    }  # fmt: skip


def test_different_numbers_of_draws_are_refused():
    _, model = study(PLANS)
    with pytest.raises(ValueError, match="different numbers of draws"):
        evaluate_in_chunks(model, {"volume_scale": np.ones(3), "change_per_year": np.zeros(4)}, KEEP)


def test_costs_are_those_of_the_whole_model():
    _, model = study(PLANS)
    found = comparison(model).costs()
    assert found.candidates == ("today", "birch", "cedar")
    assert found.worth[0].tolist() == [cost(model, one) for one in found.candidates]
    cheapest = min(found.candidates, key=lambda one: cost(model, one))
    assert found.name(int(found.winner[0])) == cheapest
    rest = sorted(cost(model, one) for one in found.candidates)
    assert found.lead(cheapest)[0] == rest[1] - rest[0]
    assert found.worth[0, found.second()] == rest[1]


def test_figures_of_columns_are_reached_by_their_own_key():
    _, model = study(JOBS)
    field = comparison(model)
    assert field.reads("jobs.tests.sets_per_job")
    assert not field.reads("no.such.figure")
    found = field.costs({"jobs.tests.sets_per_job": np.array([30.0, 60.0]), "no.such.figure": 7.0})
    anew = comparison(study(JOBS.replace("sets_per_job: 30", "sets_per_job: 60"))[1]).costs()
    assert found.worth[1].tolist() == anew.worth[0].tolist()
    assert found.worth[0].tolist() == field.costs().worth[0].tolist()


def test_who_leaves_work_undone_is_never_cheapest():
    worth = np.array([[3.0, 1.0, 2.0], [3.0, 1.0, 2.0], [1.0, 1.0, 2.0], [5.0, 6.0, 7.0]])
    barred = np.array([[0, 1, 0], [0, 0, 0], [0, 0, 1], [1, 1, 1]], dtype=bool)
    costs = Costs(("a", "b", "c"), worth, barred)
    assert costs.winner.tolist() == [2, 1, 0, NOBODY]
    assert costs.lead("c").tolist() == [1.0, -1.0, -1.0, np.inf]
    assert [costs.second(draw) for draw in range(4)] == [0, 2, 1, NOBODY]
    assert costs.name(NOBODY) == ""


def test_work_that_does_not_fit_bars():
    _, model = study(PLANS.replace("sides_per_minute: 75", "sides_per_minute: 2"))
    costs = comparison(model).costs({"volume_scale": np.array([1.0, 0.01])})
    assert costs.barred.tolist() == [[False, False, True], [False, False, False]]


def test_one_at_a_time_leaves_the_others_alone():
    given = one_at_a_time({"a": 1.0, "b": 2.0, "c": 3.0}, np.array([0, 1, 1]), np.array([7.0, 8.0, 9.0]))
    assert {key: list(value) for key, value in given.items()} == {"a": [7.0, 1.0, 1.0], "b": [2.0, 8.0, 9.0]}


def test_unknown_candidates_are_named():
    _, model = study(PLANS)
    with pytest.raises(ValueError, match="there is no candidate oak; there are today, birch, cedar"):
        comparison(model, ["oak"])

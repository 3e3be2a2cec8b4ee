"""Engine and oracle on fleets, recovery, tax, books, lease accounting, emissions and supplies (sections 11 to 13)."""

from __future__ import annotations

import json
from functools import cache
from random import Random

import numpy as np
import pytest

from tco.analyses.new_work import new_work
from tco.analyses.not_to_exceed import not_to_exceed
from tco.analyses.same_scope import same_scope
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.scenario.load import load_text
from tests.oracle import books, fleets, oracle
from tests.oracle.compare_whole import Whole
from tests.oracle.corners_books import BOOK_CORNERS
from tests.oracle.random_books import PARTS, parts_of, scenario
from tests.oracle.replaced import draws, path_of

SEEDS = range(28)
MANY = [pytest.param(seed, marks=pytest.mark.campaign) for seed in range(28, 200)]
FEW = [8, 22]
MORE = [pytest.param(seed, marks=pytest.mark.campaign) for seed in range(28, 60)]


@cache
def compared(seed):
    data = scenario(seed)
    model = build(load_text(json.dumps(data)))
    return Whole(data, model, evaluate(model), oracle.evaluate(data))


@pytest.mark.parametrize("seed", [*SEEDS, *MANY])
def test_the_engine_gives_what_the_oracle_gives(seed):
    one = compared(seed)
    assert list(one.differences()) == []
    assert [line.id for line in one.model.lines if line.role == "check" and abs(one.values[line.id]).max() > 1e-5] == []


@pytest.mark.parametrize("corner", BOOK_CORNERS)
def test_the_engine_gives_what_the_oracle_gives_in_corners(corner):
    data = BOOK_CORNERS[corner]
    model = build(load_text(json.dumps(data)))
    assert list(Whole(data, model, evaluate(model), oracle.evaluate(data)).differences()) == []


@pytest.mark.parametrize("seed", [*FEW, *MORE])
def test_what_a_budget_should_not_exceed(seed):
    one = compared(seed)
    for key, ceiling in not_to_exceed(one.model, list(one.oracle.candidates)).items():
        theirs = books.not_to_exceed(one.data, key)
        theirs += [0.0] * (len(ceiling.years) - len(theirs))
        assert ceiling.years == pytest.approx(theirs, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize("seed", [*FEW, *MORE])
def test_arrays_of_replaced_figures_give_what_the_oracle_gives_one_by_one(seed):
    one = compared(seed)
    changes = draws(Random(seed), one.model, one.data, 4, 20)  # noqa: S311  draws of a test
    arrays = {key: np.array([change[key] for change in changes]) for key in changes[0]}
    values = evaluate(one.model, arrays)
    for draw, change in enumerate(changes):
        truth = oracle.evaluate(one.data, {path_of(key): new for key, new in change.items()})
        assert list(Whole(one.data, one.model, values, truth, draw).differences()) == [], change


def test_what_further_work_would_bring():
    some = [seed for seed in SEEDS if "new_work" in scenario(seed)][:2]
    assert some
    for seed in some:
        one = compared(seed)
        (found,) = new_work(load_text(json.dumps(one.data)), one.values)
        theirs = fleets.contribution(one.data, "cedar", "won")
        assert found.charged - found.cost == pytest.approx(theirs, rel=1e-9, abs=1e-6)


def test_who_does_how_much_of_each_class():
    for seed in FEW:
        one = compared(seed)
        classes = one.oracle.classes
        found = same_scope(load_text(json.dumps(one.data)), one.values, tuple(work.key for work in classes))
        theirs = [
            (key, work.key, *fleets.scope(candidate, work))
            for key, candidate in one.oracle.candidates.items()
            for work in classes
        ]
        assert [(it.candidate, it.work) for it in found] == [pair[:2] for pair in theirs]
        shares = [[it.in_house, it.sent_out, it.nobody] for it in found]
        assert np.array(shares) == pytest.approx(np.array([it[2:] for it in theirs]))


def test_the_same_draws_hold_every_part_of_the_three_sections():
    found = set().union(*(parts_of(scenario(seed)) for seed in SEEDS))
    assert sorted(PARTS - found) == []


def test_a_wrong_figure_of_the_books_is_told():
    one = compared(next(seed for seed in SEEDS if "books" in scenario(seed)["money"]))
    key = "alder.books.expense"
    wrong = {**one.values, key: one.values[key] + 0.01}
    assert list(Whole(one.data, one.model, wrong, one.oracle).differences()) != []

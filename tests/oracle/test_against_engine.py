"""Engine and oracle on random scenarios: every heading of every month, every measure, hours, clicks, posts."""

from __future__ import annotations

import json
from functools import cache
from random import Random

import numpy as np
import pytest

from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.scenario.load import load_text
from tests.oracle import oracle
from tests.oracle.compare_whole import Headings
from tests.oracle.corners import CORNERS
from tests.oracle.parts import all_parts, kinds_of, parts_of
from tests.oracle.random_scenarios import scenario
from tests.oracle.replaced import draws, path_of

SEEDS = range(60)
MANY = [pytest.param(seed, marks=pytest.mark.campaign) for seed in range(60, 300)]
DRAWN = [3, 11, 20, 34, 47, *[pytest.param(seed, marks=pytest.mark.campaign) for seed in range(100, 140)]]
KINDS = {
    "*", "+", "-", "/", "<", "<=", "=", ">", "and", "or", "not", "safe /", "power", "level payment", "min", "max", "up",
    "down", "mod", "Across", "Before", "Bridge", "Delayed", "Entry", "Gathered", "Joined", "Number", "Of", "Running",
    "Stacked", "Over: highest", "Over: irr", "Over: present", "Over: total", "Table: at", "Table: band", "Table: equal",
}  # fmt: skip


@cache
def model_of(seed):
    return build(load_text(json.dumps(scenario(seed))))


@pytest.mark.parametrize("seed", [*SEEDS, *MANY])
def test_the_engine_gives_what_the_oracle_gives(seed):
    data = scenario(seed)
    told = list(Headings(data, model_of(seed), evaluate(model_of(seed)), oracle.evaluate(data)).differences())
    assert told == []


@pytest.mark.parametrize("corner", CORNERS)
def test_the_engine_gives_what_the_oracle_gives_in_corners(corner):
    data = CORNERS[corner]
    model = build(load_text(json.dumps(data)))
    assert list(Headings(data, model, evaluate(model), oracle.evaluate(data)).differences()) == []


def test_the_same_draws_hold_every_part_of_the_grammar():
    found = set().union(*(parts_of(scenario(seed)) for seed in SEEDS))
    assert sorted(all_parts() - found) == []


def test_the_same_draws_hold_every_kind_of_node():
    found = set().union(*(kinds_of(model_of(seed)) for seed in SEEDS))
    assert sorted(KINDS - found) == []


@pytest.mark.parametrize("seed", DRAWN)
def test_arrays_of_replaced_figures_give_what_the_oracle_gives_one_by_one(seed):
    data, model = scenario(seed), model_of(seed)
    changes = draws(Random(seed), model, data, 20, 30)  # noqa: S311  draws of a test
    assert len(changes[0]) >= 20
    arrays = {key: np.array([one[key] for one in changes]) for key in changes[0]}
    values = evaluate(model, arrays)
    for draw, one in enumerate(changes):
        truth = oracle.evaluate(data, {path_of(key): new for key, new in one.items()})
        told = list(Headings(data, model, values, truth, draw).differences())
        assert told == [], (draw, one)


def test_a_wrong_figure_is_told():
    data, model = scenario(0), model_of(0)
    values = evaluate(model)
    line = next(line for line in model.lines if line.role == "cost" and np.any(values[line.id]))
    values[line.id] = values[line.id] * 1.00000001
    assert list(Headings(data, model, values, oracle.evaluate(data)).differences()) != []

"""Engine and oracle on service plans and leases in parts: the statement by month and timing, measures, clicks.

What is bound when a candidate stops, or its funds do, is compared too.
"""

from __future__ import annotations

import json
from functools import cache

import pytest

from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.scenario.load import load_text
from tests.oracle import oracle
from tests.oracle.compare_whole import Whole
from tests.oracle.random_parts import all_parts, parts_of, scenario

SEEDS = range(25)
MANY = [pytest.param(seed, marks=pytest.mark.campaign) for seed in range(25, 150)]


@cache
def compared(seed):
    data = scenario(seed)
    model = build(load_text(json.dumps(data)))
    return Whole(data, model, evaluate(model), oracle.evaluate(data))


@pytest.mark.parametrize("seed", [*SEEDS, *MANY])
def test_the_engine_gives_what_the_oracle_gives(seed):
    assert list(compared(seed).differences()) == []


def test_every_cost_line_is_part_of_the_statement_compared():
    for seed in SEEDS:
        one = compared(seed)
        for key, candidate in one.oracle.candidates.items():
            lines = [line for line in one.model.lines if line.role == "cost" and line.block.scope == key]
            ours = sum(sum(one.row(line.id)) for line in lines)
            assert ours == pytest.approx(candidate.total, rel=1e-9)


def test_the_same_draws_hold_every_part_of_the_two_sections():
    found = set().union(*(parts_of(scenario(seed)) for seed in SEEDS))
    assert sorted(all_parts() - found) == []

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
from tests.oracle import oracle, reading, stopping
from tests.oracle.compare import Statement
from tests.oracle.random_parts import all_parts, parts_of, scenario

SEEDS = range(25)
MANY = [pytest.param(seed, marks=pytest.mark.campaign) for seed in range(25, 150)]


class Stopped(Statement):
    """What is bound when somebody stops, beside everything else."""

    def stops(self):
        """Costs when a candidate stops after each month, sums contracted, what is bound if funds stop."""
        tree, clock = reading.prepare(self.data, None), self.oracle.clock
        for key, candidate in self.oracle.candidates.items():
            after = stopping.stop_after(tree, candidate, clock)
            yield from self.rows("stopped", self.row(f"{key}.measures.stop_after")[: clock.months], after)
            signed = stopping.contracted(tree, candidate, clock, self.model.columns)
            yield from self.rows("contracted", self.row(f"{key}.measures.contracted"), signed)
        funds = stopping.bound_if_funds_stop(tree, self.oracle.candidates["birch"], clock)
        yield from self.rows("if funds stop", [self.figure("birch.measures.bound_if_funds_stop")], [funds])


@cache
def compared(seed):
    data = scenario(seed)
    model = build(load_text(json.dumps(data)))
    return Stopped(data, model, evaluate(model), oracle.evaluate(data))


@pytest.mark.parametrize("seed", [*SEEDS, *MANY])
def test_the_engine_gives_what_the_oracle_gives(seed):
    assert list(compared(seed).differences()) == []


@pytest.mark.parametrize("seed", [*SEEDS, *MANY])
def test_the_engine_finds_the_same_bound_when_somebody_stops(seed):
    assert list(compared(seed).stops()) == []


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

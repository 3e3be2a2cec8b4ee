"""Engine and oracle on service plans and leases in parts: the statement by month and timing, measures, clicks."""

from __future__ import annotations

import json
from functools import cache

import pytest

from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.scenario.load import load_text
from tests.oracle import oracle
from tests.oracle.compare import Compared
from tests.oracle.random_parts import all_parts, parts_of, scenario

SEEDS = range(25)
MANY = [pytest.param(seed, marks=pytest.mark.campaign) for seed in range(25, 150)]


class Statement(Compared):
    """The same comparison with all cost lines of a candidate added up by month and timing."""

    def costs(self, key, candidate):
        """Everything paid and received at one instant."""
        ours, theirs = {}, {}
        for line in self.model.lines:
            if line.role == "cost" and line.block.scope == key:
                total = ours.setdefault(line.timing, [0.0] * self.model.columns)
                for place, amount in enumerate(self.row(line.id)):
                    total[place] += amount
        for (month, timing), amount in candidate.statement.items():
            total = theirs.setdefault(timing, [0.0] * self.model.columns)
            total.extend([0.0] * (month - len(total)))
            total[month - 1] += amount
        for timing in sorted({*ours, *theirs}):
            yield from self.rows(f"all at {timing}", ours.get(timing, []), theirs.get(timing, []))


@cache
def compared(seed):
    data = scenario(seed)
    model = build(load_text(json.dumps(data)))
    return Statement(data, model, evaluate(model), oracle.evaluate(data))


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

"""Futures of the large example, its whole field of candidates at once: time, memory, against single evaluations and
against a part of it written by hand in NumPy.

.venv/bin/python tests/benchmarks/draws.py
"""

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from tco.analyses.draws import comparison, evaluate_in_chunks
from tco.analyses.ranged import ranged
from tco.analyses.switches import part_of
from tco.assemble import build
from tco.scenario.load import load
from tests.benchmarks.evaluation import EXAMPLE, exponent, peak, seconds

DRAWS, SINGLES = 10_000, 40
SIDES = "divisors.sides"


def drawn(model, field, draws):
    """Every ranged figure that a cost depends on, anywhere within its range."""
    rng = np.random.default_rng(7)
    found = [one for one in ranged(model) if field.reads(one.key)]
    return {one.key: one.limits.hold(rng.uniform(one.low, one.high, draws)) for one in found}


def sides_by_hand(scenario, given, draws):
    """Sides asked over all months in today's money, shape (draws,): classes, seasons, trends and discounting."""
    months = np.arange(scenario.horizon)
    year = months // 12
    rate = np.reshape(given.get("money.discount_rate", scenario.money.discount_rate.number), (-1, 1))
    factor = (1 + rate) ** (-(months + 1) / 12)
    shared = np.reshape(given.get("change_per_year", scenario.change_per_year.number), (-1, 1))
    total = np.zeros((draws, 1))
    for name, job in scenario.jobs.items():
        jobs = np.reshape(given.get(f"jobs.{name}.jobs", job.jobs.number), (-1, 1)) / 12
        own = job.change_per_year.path == f"jobs.{name}.change_per_year"
        trend = job.change_per_year.number if own else shared
        season = np.array((job.season or scenario.season).values)
        index = (season / season.mean())[months % 12] * (1 + trend) ** year
        sides = job.sides_per_set.number * job.sets_per_job.number
        total = total + (jobs * sides * index * factor).sum(axis=1, keepdims=True)
    return total[:, 0]


def main():
    scenario = load(EXAMPLE)
    model = build(scenario)
    field = comparison(model)
    given = drawn(model, field, DRAWS)
    names = f"{len(field.candidates)} candidates, {len(field.model.lines):,} lines, {model.columns} months"
    print(f"{EXAMPLE.stem}: {names}, {len(given)} figures drawn")
    whole = seconds(lambda: field.costs(given), 1)
    print(f"{DRAWS:,} draws of the whole field {whole:8.2f} s, {1e6 * whole / DRAWS:.0f} millionths a draw", end="")
    print(f", peak memory {peak(lambda: field.costs({key: row[:2_000] for key, row in given.items()})):.0f} MiB")
    one_by_one = [{key: row[place] for key, row in given.items()} for place in range(SINGLES)]
    singly = seconds(lambda: [field.costs(one) for one in one_by_one], 1) * DRAWS / SINGLES
    print(f"{DRAWS:,} single evaluations       {singly:8.0f} s, reckoned from {SINGLES}: {singly / whole:.0f} times")
    part = part_of(model, [SIDES])
    some = {key: row for key, row in given.items() if key in part or key in part.entries}
    ours = evaluate_in_chunks(part, some, [SIDES])[SIDES][:, 0, 0]
    off = float(np.abs(ours / sides_by_hand(scenario, some, DRAWS) - 1).max())
    if off > 1e-12:
        raise SystemExit(f"model and handwritten part differ by {off:g}: the comparison means nothing")
    model_takes = seconds(lambda: evaluate_in_chunks(part, some, [SIDES]), 3)
    hand_takes = seconds(lambda: sides_by_hand(scenario, some, DRAWS), 3)
    print(f"sides in today's money, {DRAWS:,} draws: model {model_takes:.2f} s, by hand {hand_takes:.2f} s,", end=" ")
    print(f"{model_takes / hand_takes:.1f} times; largest difference {off:.0e}")
    sizes = (500, 1_000, 2_000, 4_000)
    times = [seconds(lambda n=n: field.costs({key: row[:n] for key, row in given.items()}), 1) for n in sizes]
    print(f"growth with draws {exponent(sizes, times):.2f}   ({sizes[0]} to {sizes[-1]:,})")


if __name__ == "__main__":
    main()

"""How long the model takes against the same candidate written by hand in NumPy: ratios taken in one run.

.venv/bin/python tests/benchmarks/evaluation.py
"""

import sys
import time
import tracemalloc
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from tco.analyses.draws import evaluate_in_chunks
from tco.analyses.switches import part_of
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.scenario.load import load
from tco.scenario.schema import Scenario
from tests.benchmarks.by_hand import present_value

HERE = Path(__file__).parent
EXAMPLE = HERE.parents[1] / "scenarios" / "harbour_print_centre.yaml"
COST = "buy.measures.present_value"
KEYS = {
    "scale": "volume_scale", "rate": "buy.service.colour", "base": "buy.service.base", "wage": "shop.labour.wage",
    "increase": "buy.service.increase", "price": "buy.cash.price", "sale": "buy.cash.sells_for",
    "paper": "shop.paper.a4", "discount": "money.discount_rate", "inflation": "money.inflation",
}  # fmt: skip
DRAWS, CHUNK, VOLUMES = 10_000, 500, 400


def seconds(work, repeats=5):
    """Processor time, best of a few runs, since other programs share the machine."""
    times = []
    for _ in range(repeats):
        begun = time.process_time()
        work()
        times.append(time.process_time() - begun)
    return min(times)


def peak(work):
    """Most memory that arrays and objects took at once, in MiB."""
    tracemalloc.start()
    work()
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return most / 2**20


def exponent(sizes, times):
    """How time grows with size: 1 is in proportion, 0 not at all."""
    return np.polyfit(np.log(sizes), np.log(times), 1)[0]


def drawn(model, draws):
    """Every figure up to a fifth above or below, by the names the handwritten version uses."""
    rng = np.random.default_rng(20)
    return {name: float(model[key].value[0, 0]) * rng.uniform(0.8, 1.2, draws) for name, key in KEYS.items()}


def by_key(figures):
    return {KEYS[name]: values for name, values in figures.items()}


def by_hand_in_chunks(figures):
    parts = [
        present_value({name: values[start : start + CHUNK] for name, values in figures.items()})
        for start in range(0, DRAWS, CHUNK)
    ]
    return np.concatenate(parts)


def against_hand():
    model = part_of(build(load(HERE / "one_candidate.yaml")), [COST])
    many, one = drawn(model, DRAWS), drawn(model, 1)
    ours = evaluate_in_chunks(model, by_key(many), [COST], CHUNK)[COST][:, 0, 0]
    difference = float(np.abs(ours / present_value(many) - 1).max())
    if difference > 1e-12:
        raise SystemExit(f"model and handwritten version differ by {difference:g}: the comparison means nothing")
    print(f"one candidate, {len(model.lines)} lines, {model.columns} months; largest difference {difference:.0e}\n")

    def tell(what, model_takes, hand_takes):
        print(f"{what:46} {1e3 * model_takes:9.2f} ms {1e3 * hand_takes:9.2f} ms {model_takes / hand_takes:7.2f} times")

    print(f"{'':46} {'model':>12} {'by hand':>12} {'ratio':>12}")
    tell("1 draw", seconds(lambda: evaluate(model, by_key(one), [COST]), 50), seconds(lambda: present_value(one), 50))
    in_chunks = seconds(lambda: evaluate_in_chunks(model, by_key(many), [COST], CHUNK))
    tell(f"{DRAWS:,} draws, {CHUNK} at a time", in_chunks, seconds(lambda: by_hand_in_chunks(many)))
    tell(f"{DRAWS:,} draws, by hand at once", in_chunks, seconds(lambda: present_value(many)))
    ours = peak(lambda: evaluate_in_chunks(model, by_key(many), [COST], CHUNK))
    theirs = peak(lambda: present_value(many))
    print(f"{'peak memory, by hand at once':46} {ours:8.1f} MiB {theirs:8.1f} MiB {ours / theirs:7.2f} times")

    scales = np.linspace(0.3, 1.7, VOLUMES)
    at_once = seconds(lambda: evaluate(model, {"volume_scale": scales}, [COST]))
    singly = seconds(lambda: [evaluate(model, {"volume_scale": one}, [COST]) for one in scales], 2)
    print(f"\n{VOLUMES} volumes in one call {1e3 * at_once:.1f} ms, in {VOLUMES} calls {1e3 * singly:.0f} ms:", end=" ")
    print(f"{singly / at_once:.0f} times")
    sizes = (1_000, 2_000, 4_000, 8_000)
    times = [seconds(lambda n=n: evaluate_in_chunks(model, by_key(drawn(model, n)), [COST], CHUNK), 3) for n in sizes]
    print(f"growth with draws   {exponent(sizes, times):5.2f}   ({sizes[0]:,} to {sizes[-1]:,})")


def growth():
    scenario = load(EXAMPLE)
    whole, everyone = build(scenario), [key for key, _ in scenario.candidates_all]
    takes, sizes = [], range(2, len(everyone) + 1)
    for count in sizes:
        keys = [f"{one}.measures.present_value" for one in everyone[-count:]]
        model = part_of(whole, keys)
        takes.append(seconds(lambda model=model, keys=keys: evaluate(model, {"volume_scale": np.ones(CHUNK)}, keys), 3))
    print(f"growth with candidates {exponent(sizes, takes):.2f}   ({sizes[0]} to {sizes[-1]} of {EXAMPLE.stem})")
    months, takes = (30, 60, 120, 240), []
    for count in months:
        longer = build(longer_by(load(HERE / "one_candidate.yaml"), count))
        model = part_of(longer, [COST])
        scales = np.linspace(0.9, 1.1, CHUNK)
        takes.append(seconds(lambda model=model, scales=scales: evaluate(model, {"volume_scale": scales}, [COST]), 3))
    print(f"growth with months  {exponent(months, takes):5.2f}   ({months[0]} to {months[-1]})")
    print(f"\n{EXAMPLE.stem}: {len(whole.lines):,} lines, {whole.columns} months, {len(everyone)} candidates")
    print(f"  built in {1e3 * seconds(lambda: build(scenario), 3):.0f} ms,", end=" ")
    print(f"evaluated whole in {1e3 * seconds(lambda: evaluate(whole)):.0f} ms", end=" ")
    keys = [f"{one}.measures.present_value" for one in everyone]
    part = part_of(whole, keys)
    scales = np.linspace(0.5, 1.5, 2_000)
    print(f"and at 2,000 draws in {seconds(lambda: evaluate_in_chunks(part, {'volume_scale': scales}, keys), 2):.2f} s")


def longer_by(scenario: Scenario, months: int) -> Scenario:
    return scenario.with_changes({"months": months})


if __name__ == "__main__":
    against_hand()
    growth()

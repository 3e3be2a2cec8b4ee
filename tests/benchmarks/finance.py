"""How long bulk finance takes, as ratios to a plain matrix product in the same run.

.venv/bin/python tests/benchmarks/finance.py
"""

import time

import numpy as np
import pyxirr

from tco.finance import bulk_present_value, effective_factor, present_value
from tco.rates_of_return import irr

ROWS, MONTHS, REPEATS = 100_000, 60, 5
ALONE = 2_000  # rows handed one by one to the independent program


def seconds(work):
    """Processor time, best of a few runs, since other programs share the machine."""
    times = []
    for _ in range(REPEATS):
        begun = time.process_time()
        work()
        times.append(time.process_time() - begun)
    return min(times)


def main():
    rng = np.random.default_rng(20)
    flows = rng.uniform(10, 90, (ROWS, MONTHS))
    flows[:, 0] = -rng.uniform(1_000, 2_500, ROWS)
    factors = effective_factor(0.08, np.arange(MONTHS) / 12)
    product = seconds(lambda: flows @ factors)
    figures = {
        "matrix product, flows @ factors": product,
        "bulk_present_value": seconds(lambda: bulk_present_value(flows, factors)),
        "present_value, same bits alone and in a batch": seconds(lambda: present_value(flows, factors)),
        "irr": seconds(lambda: irr(flows)),
        "pyxirr.irr, row by row": seconds(lambda: [pyxirr.irr(row) for row in flows[:ALONE]]) * ROWS / ALONE,
    }
    print(f"{ROWS:,} rows of {MONTHS} months")
    print("aims: bulk_present_value within 1.5 times the product, irr within 30 times")
    for name, taken in figures.items():
        print(f"{name:46} {1_000 * taken:10.1f} ms {taken / product:10.1f} times the product")


if __name__ == "__main__":
    main()

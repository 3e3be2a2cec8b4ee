"""All benchmarks, one after the other: .venv/bin/python tests/benchmarks."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.benchmarks import draws, evaluation, finance, stages

if __name__ == "__main__":
    for one in (finance.main, evaluation.against_hand, evaluation.growth, draws.main, stages.main):
        print(f"\n== {one.__module__.rsplit('.', 1)[-1]}")
        one()

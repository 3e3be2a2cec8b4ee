"""Where `tco build` spends its time: each step it tells of, for every example.

.venv/bin/python tests/benchmarks/stages.py
"""

import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tco.publish.publish import publish
from tco.scenario.load import load
from tests.benchmarks.evaluation import EXAMPLE


def main():
    for file in sorted(EXAMPLE.parent.glob("*.yaml")):
        steps, marks = ["reading"], [time.process_time()]

        def tell(step, steps=steps, marks=marks):
            steps.append(step)
            marks.append(time.process_time())

        scenario = load(file)
        with tempfile.TemporaryDirectory() as folder:
            publish(scenario, Path(folder) / file.stem, tell)
        marks.append(time.process_time())
        told = [f"{step} {after - before:.1f}" for step, before, after in zip(steps, marks, marks[1:], strict=False)]
        print(f"{file.stem}: {marks[-1] - marks[0]:.1f} s of one core: {', '.join(told)}")


if __name__ == "__main__":
    main()

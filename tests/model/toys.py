"""Small models for the tests of the kernel: rows of months from typed figures, and the example scenarios."""

from functools import cache
from pathlib import Path

import numpy as np

from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.model.kinds import Axis
from tco.model.lines import Builder
from tco.model.model import finish
from tco.model.vocabulary import at, before, stacked
from tco.scenario.load import load

SCENARIOS = Path(__file__).parents[2] / "scenarios"
NAMES = tuple(sorted(path.stem for path in SCENARIOS.glob("*.yaml")))
KINDS = Axis("kind", ("a", "b", "c"))


@cache
def model_of(name):
    """The model of an example scenario; it is never changed, so that all tests share it."""
    return build(load(SCENARIOS / f"{name}.yaml"))


@cache
def values_of(name):
    return evaluate(model_of(name))


class Toy:
    """A block that takes rows of months as lists of figures."""

    def __init__(self, columns=6):
        self.builder = Builder(columns)
        self.block = self.builder.block("toy", "Toy")
        self.columns = columns
        self.months = Axis("column", tuple(str(place) for place in range(1, columns + 1)))
        self.month = self.block.declare("month", "Month", "1")
        self.month.becomes(before(self.month) + 1)

    def figure(self, key, value, measure="1"):
        return self.block.given(key, key.capitalize(), measure, value)

    def column(self, key, values, measure="1", axis=KINDS):
        return self.block.given(key, key.capitalize(), measure, values, axis=axis)

    def row(self, key, values, measure="1"):
        """A row of months; its figures are `<key>_figures`."""
        figures = self.column(f"{key}_figures", values, measure, self.months)
        return self.block.line(key, key.capitalize(), measure, at(figures, self.month))

    def rows(self, key, table, measure="1", axis=KINDS):
        """A row of months for every entry of an axis."""
        each = [self.row(f"{key}_{place}", values, measure) for place, values in enumerate(table)]
        return self.block.line(key, key.capitalize(), measure, stacked(axis, each))

    def line(self, key, term, measure="1", **more):
        return self.block.line(key, key.capitalize(), measure, term, **more)

    def solved(self, replace=None, keep=None, watch=None):
        return evaluate(finish(self.builder), replace, keep, watch)

    def value(self, key, replace=None):
        """One line as a table of entries by months, first draw."""
        return np.asarray(self.solved(replace)[f"toy.{key}"][0])

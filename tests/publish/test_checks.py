"""A model that contradicts itself is not published."""

from __future__ import annotations

import pytest

from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.model.lines import Builder
from tco.model.model import finish
from tco.publish.checks import failed_checks
from tco.scenario.load import load_text
from tco.scenario.starting import starting_scenario


def model_with(one: float, other: float):
    builder = Builder(3)
    block = builder.block("a.sums", "Sums", "a")
    first, second = block.given("one", "One", "money", one), block.given("other", "Other", "money", other)
    block.check("agree", "Both are the same", "money", first - second)
    return finish(builder)


@pytest.mark.parametrize(("one", "other"), [(0.0, 0.0), (1e6, 1e6 + 1e-5), (0.1 + 0.2, 0.3)])
def test_rounding_in_the_last_digits_is_no_contradiction(one, other):
    model = model_with(one, other)
    assert failed_checks("file.yaml", model, evaluate(model)) == []


@pytest.mark.parametrize(("one", "other"), [(1.0, 1.01), (1e6, 1e6 - 0.01), (0.0, -1e-6)])
def test_a_difference_is_told_by_name(one, other):
    model = model_with(one, other)
    (problem,) = failed_checks("file.yaml", model, evaluate(model))
    assert problem.path == "a.sums.agree"
    assert "Both are the same" in problem.what


def test_a_value_that_is_no_number_fails():
    model = model_with(1.0, 1.0)
    values = evaluate(model)
    values["a.sums.one"] = values["a.sums.one"] * float("inf")
    values["a.sums.agree"] = values["a.sums.agree"] * float("nan")
    (problem,) = failed_checks("file.yaml", model, values)
    assert problem.path == "a.sums.one"


def test_the_starting_scenario_agrees_with_itself():
    model = build(load_text(starting_scenario()))
    assert sum(line.role == "check" for line in model.lines) >= 6
    assert failed_checks("file.yaml", model, evaluate(model)) == []

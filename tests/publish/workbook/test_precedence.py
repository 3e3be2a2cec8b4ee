"""Random expressions: what the formula says equals what the engine computes, whatever stands inside whatever."""

import random

import ironcalc
import numpy as np
import pytest

from tco.model.evaluate import evaluate
from tco.model.lines import Builder
from tco.model.model import finish
from tco.model.nodes import TWELVE, Apply, Bridge, lift
from tco.model.vocabulary import before, booked, this_month
from tco.publish.workbook.formulas import formula, month
from tco.publish.workbook.layout import FIRST_MONTH, VALUE, lay_out
from tests.recalc import differences

FIGURES = (0.0, 1.0, -1.0, 2.0, -3.0, 0.5, -0.25, 7.0)
TWO_SIDED = ("+", "-", "*", "safe /", "=", "<", "<=", ">", ">=", "and", "or", "min", "max", "mod", "power", "/")
ONE_SIDED = ("up", "down", "not")


def expression(chance, leaves, depth):
    """A random tree. Powers get exponents 2 or -1 of bases away from zero, quotients and remainders such divisors."""
    if depth == 0 or chance.random() < 0.12:
        return chance.choice([*leaves, lift(0), lift(1), lift(-1), TWELVE])
    if chance.random() < 0.15:
        return Apply(chance.choice(ONE_SIDED), (expression(chance, leaves, depth - 1),))
    if chance.random() < 0.1:
        return hidden(expression(chance, leaves, depth - 1))
    op = chance.choice(TWO_SIDED)
    left, right = expression(chance, leaves, depth - 1), expression(chance, leaves, depth - 1)
    if op in ("mod", "/"):
        right = Apply("max", (right, lift(1)))
    if op == "power":
        left = Apply("max", (Apply("min", (left, lift(1) + 1)), lift(1)))
        right = Apply("min", (Apply("max", (right, lift(-1) - 1)), lift(1) + 1))
    return Apply(op, (left, right))


def hidden(node):
    """A bridge there and back: it adds no arithmetic and hides what it contains."""
    return this_month(booked(node))


@pytest.mark.parametrize("seed", range(6))
def test_random_expressions_mean_the_same_in_both(seed):
    chance = random.Random(seed)  # noqa: S311
    builder = Builder(1)
    block = builder.block("all", "All")
    leaves = [lift(block.given(f"f{place}", f"F{place}", "1", value)) for place, value in enumerate(FIGURES)]
    lines = [block.line(f"e{n}", f"E{n}", "1", tree) for n, tree in trees(chance, leaves)]
    model = finish(builder)
    values, layout = evaluate(model), lay_out(model)
    sheet = ironcalc.create("book", "en", "UTC")
    for place, value in enumerate(FIGURES):
        home = layout.links.get((block, model[f"all.f{place}"]))
        if home:
            sheet.set_user_input(0, home.row + 1, home.column + 1, repr(value))
    wanted = {}
    for line in lines:
        home = layout.homes[line]
        sheet.set_user_input(0, home.row + 1, home.column + 1, "=" + formula(line, 0, layout))
        wanted[home.row + 1, home.column + 1] = float(values[line.id][0, 0, 0])
    sheet.evaluate()
    found = {key: sheet.get_cell_value(0, *key) for key in wanted}
    assert len(wanted) == 400
    assert np.isfinite(list(wanted.values())).all()
    assert differences(wanted, found) == {}


def trees(chance, leaves):
    return [(number, expression(chance, leaves, chance.randint(1, 5))) for number in range(400)]


def test_what_is_hidden_by_a_bridge_is_bracketed():
    builder = Builder(1)
    block = builder.block("all", "All")
    one, two = block.given("one", "One", "1", 3), block.given("two", "Two", "1", 5)
    line = block.line("x", "X", "1", one * hidden(one - two))
    other = block.line("y", "Y", "1", one * hidden(one <= two))
    assert isinstance(line.expr.args[1], Bridge)
    layout = lay_out(finish(builder))
    assert formula(line, 0, layout) == "$D$6 * ($D$6 - $D$7)"
    assert formula(other, 0, layout) == "$D$6 * ($D$6 <= $D$7)"


def test_a_comparison_at_the_root_is_a_number():
    builder = Builder(1)
    block = builder.block("all", "All")
    one = block.given("one", "One", "1", 3)
    line = block.line("x", "X", "1", one > 0)
    assert formula(line, 0, lay_out(finish(builder))) == "1 * ($D$6 > 0)"


def test_a_template_is_filled_with_the_month_and_the_one_before():
    builder = Builder(3)
    block = builder.block("all", "All")
    count = block.declare("count", "Count", "1")
    count.becomes(before(count) + 1)
    layout = lay_out(finish(builder))
    assert layout.homes[count].column == FIRST_MONTH != VALUE
    template = formula(count, 0, layout)
    assert [month(template, FIRST_MONTH + place) for place in range(3)] == ["G6 + 1", "H6 + 1", "I6 + 1"]

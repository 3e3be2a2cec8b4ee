"""Mistakes of whoever writes a room: each is refused when the model is built, by name."""

import numpy as np
import pytest

from tco.model.kinds import Axis, ModelError
from tco.model.model import finish
from tco.model.nodes import Across, Delayed, Gathered, Line, Over, Running, Table, lift
from tco.model.vocabulary import (
    across,
    at,
    band,
    before,
    booked,
    by_key,
    cumulative,
    delayed,
    entry,
    gathered,
    growth,
    internal_rate,
    joined,
    power,
    present,
    since,
    smallest,
    stacked,
    total,
)
from tco.units import UnitMismatchError
from tests.model.toys import KINDS, Toy

OTHERS = Axis("other", ("x", "y", "z"))


@pytest.fixture
def toy():
    return Toy()


def test_no_truth_value(toy):
    a, b = toy.figure("a", 1), toy.figure("b", 2)
    for question in (lambda: bool(a), lambda: bool(a + b), lambda: a and b, lambda: not a, lambda: 0 < a < b):
        with pytest.raises(ModelError, match="no truth value"):
            question()
    with pytest.raises(ModelError, match="no truth value"):
        smallest(*([a] if a > b else [b]))


@pytest.mark.parametrize("literal", [2, 12, -2, 60, 1000])
def test_other_literals_belong_into_a_line(toy, literal):
    with pytest.raises(ModelError, match=f"the literal {literal} belongs into a line"):
        toy.figure("a", 1) * literal


@pytest.mark.parametrize("thing", [0.5, 1.0, True, False, "1", None, np.float64(1), np.ones(3)])
def test_what_is_no_whole_number_cannot_stand_in_an_expression(thing):
    with pytest.raises(ModelError, match="cannot stand in an expression"):
        lift(thing)


def test_an_equality_written_with_two_signs_is_seen(toy):
    with pytest.raises(ModelError, match="cannot stand in an expression"):
        toy.line("flag", toy.figure("a", 1) == 1)


def test_reducers_refuse_inner_expressions(toy):
    """A sum over an expression would be array mathematics that a spreadsheet cell does not do."""
    row, column = toy.row("flow", [1] * 6, "money/month"), toy.column("weight", [1, 2, 3])
    attempts = [
        lambda: total(row * row), lambda: present(row, row + row), lambda: across(column * column),
        lambda: cumulative(row - row), lambda: since(row, toy.month > 1), lambda: internal_rate(-1 * row),
        lambda: gathered(KINDS, row * row, toy.month), lambda: delayed(row + row, column, toy.month),
        lambda: before(row + row), lambda: entry(column + 1, 0), lambda: at(column + 1, 1),
        lambda: band(column, column + 1, 1), lambda: joined([row + row], "money/month"),
    ]  # fmt: skip
    for attempt in attempts:
        with pytest.raises(ModelError, match="must first become a line of its own"):
            attempt()


def test_a_running_sum_stands_alone(toy):
    """It refers to its own row in a spreadsheet."""
    flow = toy.row("flow", [1] * 6, "money/month")
    assert toy.line("fine", booked(cumulative(flow)), "money/month") in finish(toy.builder).lines
    toy.line("twice", cumulative(flow) + cumulative(flow), "money")
    with pytest.raises(ModelError, match=r"toy\.twice: the running sum of \[Flow\] needs a line of its own"):
        finish(toy.builder)


def test_axes_must_be_the_same(toy):
    left, right = toy.column("left", [1, 2, 3]), toy.column("right", [4, 5, 6], axis=OTHERS)
    for attempt in (lambda: left + right, lambda: across(left, right), lambda: smallest(left, 1, right)):
        with pytest.raises(ModelError, match="by kind does not go with one by other"):
            attempt()
    with pytest.raises(ModelError, match="not along an axis"):
        across(toy.figure("single", 1))
    with pytest.raises(ModelError, match="Right is no key column of Left"):
        by_key(left, right, 1)
    with pytest.raises(ModelError, match="2 expressions for 3 entries of kind"):
        stacked(KINDS, [1, 0])
    with pytest.raises(ModelError, match="one value"):
        stacked(KINDS, [left, 1, 0])
    with pytest.raises(ModelError, match="has no entry 3"):
        entry(left, 3)
    with pytest.raises(ModelError, match="the key of a look-up has no axis"):
        at(left, right)
    with pytest.raises(ModelError, match="needs a column along an axis"):
        at(toy.month, 1)


def test_shapes_that_cannot_be_computed_are_refused_when_they_are_written(toy):
    """Each of these would give an array of another shape than the line, or the first entry for all of them."""
    flow, table = toy.row("flow", [1] * 6, "money/month"), toy.rows("table", [[1] * 6] * 3)
    one, other = toy.figure("one", 1), toy.rows("other", [[1] * 6] * 3, axis=OTHERS)
    attempts = [
        lambda: Gathered(KINDS, table, toy.month), lambda: Gathered(KINDS, flow, table),
        lambda: Delayed(flow, one, table), lambda: Delayed(flow, toy.column("lags", [1, 2, 3]), toy.month),
        lambda: Running(flow, one), lambda: Running(other, table), lambda: Over("present", (other, table)),
        lambda: Over("total", (one,)), lambda: Running(one, None), lambda: Gathered(KINDS, one, toy.month),
        lambda: Delayed(one, one, toy.month), lambda: before(one),
        lambda: toy.block.declare("owed", "Owed", "1", opening=toy.month),
        lambda: toy.block.declare("owed", "Owed", "1", opening=toy.column("each", [1, 2, 3])),
    ]  # fmt: skip
    for attempt in attempts:
        with pytest.raises(ModelError):
            attempt()
    assert Running(flow, table).shape == Over("present", (toy.month, table)).lines[1].shape
    assert Across((table, table)).shape == toy.month.shape


def test_a_mismatch_of_units_names_both_sides(toy):
    price, rent = toy.figure("price", 1, "money"), toy.figure("rent", 1, "money/month")
    with pytest.raises(UnitMismatchError, match=r"\+ of \[Price\] and \[Rent\]: money does not go with money/month"):
        price + rent
    with pytest.raises(UnitMismatchError, match=r"\[Late\] of toy and its expression: money does not go with 1"):
        toy.line("late", toy.month, "money")
    with pytest.raises(UnitMismatchError, match="entries of a table by kind"):
        stacked(KINDS, [price, rent, 0])
    with pytest.raises(UnitMismatchError, match="Rent in a sum"):
        joined([rent], "money")
    with pytest.raises(UnitMismatchError, match="look-up of Money"):
        band(toy.column("rates", [1, 2, 3]), toy.column("money", [0, 1, 2], "money"), rent)
    with pytest.raises(UnitMismatchError, match="opening value of Owed"):
        toy.block.declare("owed", "Owed", "money", opening=rent)
    with pytest.raises(UnitMismatchError, match="where a plain number is needed"):
        at(toy.column("three", [1, 2, 3]), price)
    with pytest.raises(UnitMismatchError, match="where a plain number is needed"):
        gathered(KINDS, toy.month, toy.row("dated", [1] * 6, "money"))


def test_effective_and_nominal_rates_are_kept_apart(toy):
    nominal, years = toy.figure("nominal", 0.07, "1/year"), toy.figure("years", 2, "year")
    with pytest.raises(UnitMismatchError):
        growth(nominal, years)
    with pytest.raises(UnitMismatchError):
        power(1 + toy.figure("rate", 0.07), years)


def test_a_state_is_no_event(toy):
    price, state = toy.figure("price", 1, "money"), toy.block.state("state", "State", toy.month <= 1)
    with pytest.raises(UnitMismatchError, match="money/month does not go with money"):
        toy.block.cost("wrong", "Cost", "equipment", price * state)
    event = toy.block.event("event", "Event", state)
    assert toy.block.cost("cost", "Cost", "equipment", price * event).unit == booked(price).unit


def test_declared_and_never_closed(toy):
    toy.block.declare("owed", "Owed", "money")
    with pytest.raises(ModelError, match=r"toy\.owed was declared but never given an expression"):
        finish(toy.builder)


def test_closed_twice(toy):
    with pytest.raises(ModelError, match=r"toy\.month already has an expression"):
        toy.month.becomes(before(toy.month))


@pytest.mark.parametrize("double", ["line", "given", "block"])
def test_doubles_are_reported_by_name(toy, double):
    toy.line("double", toy.month)
    with pytest.raises(ModelError, match=r"called toy"):
        toy.builder.block("toy", "Again") if double == "block" else toy.line("double", toy.month)


def test_one_figure_is_one_line_and_of_one_kind(toy):
    first = toy.figure("price", 5, "money")
    assert toy.figure("price", 7, "money") is first
    with pytest.raises(ModelError, match=r"toy\.price is used as 1 here and otherwise elsewhere"):
        toy.figure("price", 5)
    with pytest.raises(ModelError, match=r"toy\.price is used as money here"):
        toy.column("price", [1, 2, 3], "money")


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_a_figure_is_finite(toy, value):
    with pytest.raises(ModelError, match=r"toy\.price is not a finite number"):
        toy.figure("price", value)


def test_a_column_has_a_figure_for_each_entry(toy):
    with pytest.raises(ModelError, match=r"toy\.short: 2 values for 3 entries of kind"):
        toy.column("short", [1, 2])


def test_a_line_of_another_model_is_missed(toy):
    toy.line("borrowed", Toy().figure("price", 1) + 1)
    with pytest.raises(ModelError, match=r"toy\.borrowed reads toy\.price, which is in no block of this model"):
        finish(toy.builder)


def test_a_cycle_within_a_month_names_its_lines(toy):
    a, b = toy.block.declare("a", "A", "1"), toy.block.declare("b", "B", "1")
    a.becomes(b + 1)
    b.becomes(before(a) + a)
    with pytest.raises(ModelError, match=r"need each other within the same month: toy\.a, toy\.b$"):
        finish(toy.builder)


def test_a_line_that_needs_itself(toy):
    a = toy.block.declare("a", "A", "1")
    a.becomes(a + 1)
    with pytest.raises(ModelError, match=r"within the same month: toy\.a$"):
        finish(toy.builder)


def test_a_line_cannot_sum_a_row_that_depends_on_it(toy):
    a = toy.block.declare("a", "A", "1/month")
    a.becomes(before(a) + booked(smallest(total(a), 1)))
    with pytest.raises(ModelError, match=r"toy\.a.*depends on it|toy\.a"):
        finish(toy.builder)
    other = Toy()
    b, so_far = other.block.declare("b", "B", "1/month"), other.block.declare("so_far", "So far", "1")
    so_far.becomes(cumulative(b))
    b.becomes(booked(before(so_far)))
    with pytest.raises(ModelError, match=r"toy\.so_far sums a row that depends on it"):
        finish(other.builder)


def test_a_row_is_no_single_value(toy):
    with pytest.raises(ModelError, match=r"toy\.flat: the expression is"):
        toy.line("flat", toy.month + 1, row=False)
    assert isinstance(toy.line("long", lift(1), row=True), Line)
    assert isinstance(at(toy.column("values", [1, 2, 3]), 1), Table)

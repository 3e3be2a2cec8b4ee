"""Every node against plain Python loops, on figures drawn at random."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tco.model import nodes
from tco.model.evaluate import evaluate
from tco.model.kinds import Axis, ModelError
from tco.model.model import finish, nodes_of
from tco.model.unit_rules import UNIT_RULES
from tco.model.vocabulary import (
    across,
    at,
    band,
    before,
    booked,
    by_key,
    cumulative,
    delayed,
    down,
    entry,
    equals,
    excess,
    first_month,
    gathered,
    growth,
    highest,
    internal_rate,
    joined,
    largest,
    level_payment,
    lowest,
    mod,
    power,
    present,
    share,
    since,
    smallest,
    stacked,
    this_month,
    total,
    up,
)
from tests.model.plain import Plain
from tests.model.toys import KINDS, NAMES, Toy, model_of

NEAR = {"rtol": 1e-12, "atol": 1e-12}
FIGURE = st.one_of(st.integers(-6, 6).map(float), st.floats(-50, 50).map(lambda x: round(x, 3)))
ROW = st.lists(FIGURE, min_size=6, max_size=6)


def expect_alike(toy, figures=None, **near):
    """Every line of the toy as arrays and as loops."""
    model = finish(toy.builder)
    values, plain = evaluate(model, figures), Plain(model)
    for line in model.lines:
        np.testing.assert_allclose(values[line.id][0], plain.table(line.id), err_msg=line.id, **(near or NEAR))
    return values


UNLIKE = {"/", "power", "growth", "level payment", "not", "up", "down", "mod"}  # drawn within what they are made for


@given(ROW, ROW, st.lists(FIGURE, min_size=3, max_size=3), FIGURE)
@settings(max_examples=40, deadline=None)
def test_operations_of_two_over_every_pair_of_shapes(first, second, column, single):
    """A single value, a row, a column and a table of rows; each with each."""
    toy = Toy()
    table = [first, second, first[::-1]]
    shapes = [toy.figure("s", single), toy.row("r", first), toy.column("c", column), toy.rows("t", table)]
    for op in sorted(set(UNIT_RULES) - UNLIKE):
        for i, left in enumerate(shapes):
            for j, right in enumerate(shapes):
                made = nodes.Apply(op, (nodes.lift(left), nodes.lift(right)))
                toy.line(f"x{i}{j}_{sorted(UNIT_RULES).index(op)}", made)
    expect_alike(toy)


@given(ROW, ROW, ROW)
@settings(max_examples=40, deadline=None)
def test_the_other_operations(a, b, c):
    toy = Toy()
    x, y, z = toy.row("x", a), toy.row("y", b), toy.row("z", c)
    size = toy.line("size", largest(x, -1 * x) + 1)
    years, rate = toy.row("years", c, "year"), toy.row("rate", [abs(one) / 100 + 0.001 for one in a], "1/month")
    whole = toy.row("whole", [float(abs(round(one)) + 1) for one in b])
    toy.line("quotient", y / size)
    toy.line("raised", power(size, share(y, size * size)))
    toy.line("grown", growth(size - 1, years))
    toy.line("level", level_payment(toy.row("lent", b, "money"), rate, whole), "money/month")
    toy.line("not", ~(x > y))
    toy.line("up", up(x + y))
    toy.line("down", down(x - y))
    toy.line("mod", mod(x, size))
    toy.line("least", smallest(x, y, z, 0))
    toy.line("most", largest(x, y, z, 0))
    toy.line("excess", excess(x, y))
    toy.line("nested", (x + y) * (y - z) - share(x, y - z) * -1)
    toy.line("bridged", this_month(booked(x) + booked(equals(x, y))))
    expect_alike(toy, rtol=1e-9, atol=1e-9)


@given(ROW, ROW, ROW, st.lists(st.booleans(), min_size=6, max_size=6))
@settings(max_examples=60, deadline=None)
def test_sums_over_months(a, b, c, flags):
    toy = Toy()
    flow, factor = toy.row("flow", a, "money/month"), toy.row("factor", b)
    opens = toy.row("opens", [float(one) for one in flags])
    table = toy.rows("table", [a, b, c])
    openings = toy.rows("openings", [[float(one) for one in flags], [0] * 6, [1] * 6])
    toy.line("all", total(flow), "money")
    toy.line("alls", total(table), "month")
    toy.line("worth", present(flow, factor), "money")
    toy.line("worths", present(table, factor), "month")
    toy.line("worths_by_table", present(factor, table), "month")
    for key, made in (("highest", highest), ("lowest", lowest)):
        toy.line(key, made(flow), "money/month")
        toy.line(f"{key}_each", made(table))
    toy.line("first", first_month(opens))
    toy.line("firsts", first_month(openings))
    toy.line("so_far", cumulative(flow), "money")
    toy.line("so_far_each", cumulative(table), "month")
    toy.line("since", since(flow, opens), "money")
    toy.line("since_each", since(table, opens), "month")
    toy.line("since_by_table", since(factor, openings), "month")
    toy.line("booked_since", booked(since(flow, opens)), "money/month")
    toy.line("past", before(table) - before(flow_of(toy, b)))
    expect_alike(toy, rtol=1e-11, atol=1e-9)


def flow_of(toy, values):
    return toy.row("plain_flow", values)


@given(ROW, st.lists(FIGURE, min_size=3, max_size=3), ROW, ROW)
@settings(max_examples=60, deadline=None)
def test_sums_along_an_axis_and_its_entries(a, column, b, c):
    toy = Toy()
    weights, table = toy.column("weights", column), toy.rows("table", [a, b, c])
    toy.line("weight", across(weights))
    toy.line("squares", across(weights, weights))
    toy.line("by_month", across(weights, table))
    toy.line("three", across(table, weights, table))
    toy.line("one", entry(table, 2) - entry(weights, 0))
    row = toy.row("row", b)
    toy.line("stack", stacked(KINDS, [row, 1, row * toy.month]))
    toy.line("flat", stacked(KINDS, [toy.figure("k", column[0]), 0, -1]))
    toy.line("sum", joined([row, toy.month, row], "1"))
    toy.line("sum_of_tables", joined([table, table, weights], "1", table.shape))
    toy.line("nothing", joined([], "money"), "money")
    expect_alike(toy)


KEYS = st.lists(st.integers(-2, 8).map(float), min_size=6, max_size=6)
LIMITS = st.lists(st.integers(-2, 8), min_size=3, max_size=3, unique=True)


@given(KEYS, st.lists(FIGURE, min_size=3, max_size=3), LIMITS)
@settings(max_examples=60, deadline=None)
def test_look_ups_three_ways(wanted, values, limits):
    toy = Toy()
    column, rising = toy.column("values", values), toy.column("limits", sorted(float(one) for one in limits))
    doubles = toy.column("doubles", [float(limits[0]), float(limits[1]), float(limits[0])])
    key = toy.row("key", wanted)
    toy.line("by_position", at(column, key))
    toy.line("between", at(column, key + share(1, toy.figure("two", 2))))
    toy.line("by_band", band(column, rising, key))
    toy.line("by_equal", by_key(column, rising, key))
    toy.line("by_doubles", by_key(column, doubles, key))
    toy.line("single", band(column, rising, toy.figure("one", wanted[0])))
    expect_alike(toy)


@given(ROW, KEYS, st.one_of(st.integers(-7, 7), st.just(1.5)))
@settings(max_examples=60, deadline=None)
def test_gathered_and_delayed(flow, numbers, lag):
    toy = Toy()
    row, number = toy.row("flow", flow, "money/month"), toy.row("number", numbers)
    table = toy.rows("table", [flow, numbers, flow[::-1]])
    toy.line("by_number", gathered(KINDS, row, number), "money")
    toy.line("late", delayed(row, toy.figure("lag", lag), toy.month), "money/month")
    toy.line("lates", delayed(table, toy.figure("lag", lag), toy.month))
    toy.line("by_month", delayed(row, number, toy.month), "money/month")
    expect_alike(toy)


@given(st.floats(50, 500), st.lists(st.floats(0.5, 90), min_size=5, max_size=5))
@settings(max_examples=30, deadline=None)
def test_the_rate_of_return_row_by_row(paid, received):
    """One root, none (all positive) and several (by Descartes' rule up to two): 0 where it is not exactly one."""
    toy = Toy()
    rows = [[-paid, *received], [paid, *received], [-1.0, 3.0, -1.9, 0, 0, 0]]
    toy.line("rate", internal_rate(toy.row("single", rows[0])))
    toy.line("rates", internal_rate(toy.rows("table", rows)))
    values = expect_alike(toy, rtol=1e-7, atol=1e-7)
    assert values["toy.rates"][0, 1:, 0].tolist() == [0, 0]
    assert values["toy.rates"][0, 0, 0] == values["toy.rate"][0, 0, 0] != 0


@given(ROW, ROW, st.floats(-0.9, 0.9), st.lists(FIGURE, min_size=3, max_size=3))
@settings(max_examples=60, deadline=None)
def test_balances_month_by_month(flow, other, rate, column):
    """A group of lines that need each other's past: every node that may stand in one."""
    toy = Toy()
    block, first = toy.block, toy.figure("first", flow[0], "money")
    paid, part = toy.row("paid", flow, "money"), toy.figure("part", rate)
    weights = toy.column("weights", column)
    owed = block.declare("owed", "Owed", "money", opening=first + first)
    each = block.declare("each", "Each", "money", opening=first, axis=KINDS)
    grown = toy.line("grown", before(owed) * (1 + part), "money")
    settled = toy.line("settled", smallest(grown, paid), "money")
    one, summed = toy.line("one", entry(each, 2), "money"), toy.line("summed", across(each, weights), "money")
    both = toy.line("both", joined([settled, summed, paid], "money"), "money")
    steps, places = toy.column("steps", [-40, 0, 40], "money"), toy.column("places", [1, 2, 3])
    deep = toy.line("deep", before(owed) > first)
    looked_up = at(weights, deep + 1) * by_key(weights, places, deep)
    found = toy.line("found", band(weights, steps, before(owed)) + looked_up)
    apart = toy.line("apart", stacked(KINDS, [before(owed) * part, paid, before(each_total(block, each))]), "money")
    each.becomes(before(each) * part + apart * weights * share(1, 1 + found * found))
    owed.becomes(grown - settled + share(one, 1 + found * found) + share(both, 1 + across(weights, weights)))
    toy.line("total", total(toy.line("flow", booked(owed), "money/month")), "money")
    toy.row("unused", other)
    groups = [len(group.lines) for group in finish(toy.builder).order if group.monthly]
    assert sorted(groups) == [1, 11]
    expect_alike(toy, rtol=1e-9, atol=1e-9)


def each_total(block, each):
    return block.line("each_total", "Sum of each", "money", across(each))


def test_a_balance_along_an_axis_that_never_says_its_entries():
    """Opening and expression hold one value for all entries; the line still has three."""
    toy = Toy()
    same = toy.block.declare("same", "Same", "1", opening=1, axis=KINDS)
    same.becomes(before(same) + before(same))
    toy.line("second", entry(same, 1))
    toy.line("all", across(same))
    values = expect_alike(toy)
    assert values["toy.same"].shape == (1, 3, 6)
    assert values["toy.all"][0, 0].tolist() == [6, 12, 24, 48, 96, 192]


def test_the_first_month_reads_the_opening_value():
    toy = Toy(1)
    owed = toy.block.declare("owed", "Owed", "money", opening=toy.figure("first", 5, "money"))
    owed.becomes(before(owed) + before(owed))
    late = toy.line("late", before(owed), "money")
    model = finish(toy.builder)
    assert evaluate(model)["toy.owed"].tolist() == [[[10]]]
    assert evaluate(model, {"toy.first": [1, 2]})[late.id].tolist() == [[[1]], [[2]]]


def test_a_delay_by_draw_reads_each_draws_own_month():
    toy = Toy()
    toy.figure("lag", 0)
    flow = toy.row("flow", [1, 2, 3, 4, 5, 6])
    toy.line("late", delayed(flow, toy.figure("lag", 0), toy.month))
    late = toy.solved({"toy.lag": [0, 2, 6, -1, 0.5]})["toy.late"][:, 0]
    assert late.tolist() == [
        [1, 2, 3, 4, 5, 6], [0, 0, 1, 2, 3, 4], [0] * 6, [2, 3, 4, 5, 6, 0], [0] * 6,
    ]  # fmt: skip


def test_every_kind_of_node_is_used_by_an_example():
    """So that what is told of real models is told of the whole vocabulary, but for what the toys above alone use."""
    lines = [line for name in NAMES for line in model_of(name).lines if line.expr is not None]
    used = {type(node) for line in lines for node in nodes_of(line.expr)}
    kinds = {one for one in vars(nodes).values() if isinstance(one, type) and issubclass(one, nodes.Node)}
    assert kinds - {nodes.Node} - used == set()


@pytest.mark.parametrize("name", NAMES)
def test_examples_line_by_line(name):
    """All lines of a whole model, read a second time by loops."""
    model = model_of(name)
    values, plain = evaluate(model), Plain(model)
    for line in model.lines:
        table = np.asarray(plain.table(line.id))
        assert values[line.id].shape == (1, *table.shape), line.id
        # What is left of a difference of large amounts is rounding of them.
        largest_read = max((float(np.abs(values[one.id]).max()) for one in model.sources[line]), default=0.0)
        near = {"rtol": 1e-9, "atol": 1e-9 + 1e-12 * largest_read}
        np.testing.assert_allclose(values[line.id][0], table, err_msg=line.id, **near)


def test_an_axis_of_another_name_is_another_axis():
    assert Axis("kind", ("a", "b", "c")) == KINDS != Axis("sort", ("a", "b", "c"))
    with pytest.raises(ModelError):
        Toy().column("x", [1, 2, 3]) + Toy().column("y", [1, 2, 3], axis=Axis("sort", ("a", "b", "c")))

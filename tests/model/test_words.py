"""Lines told in plain words: some of real models in a file that a person can read, and brackets where needed."""

from pathlib import Path

import pytest

from tco.model import nodes
from tco.model.model import nodes_of
from tco.model.unit_rules import UNIT_RULES
from tco.model.vocabulary import (
    across,
    at,
    before,
    booked,
    cumulative,
    delayed,
    down,
    entry,
    equals,
    excess,
    gathered,
    joined,
    largest,
    mod,
    power,
    share,
    since,
    smallest,
    stacked,
    this_month,
)
from tco.model.words import words
from tests.model.toys import KINDS, NAMES, Toy, model_of

GOLDEN = Path(__file__).with_name("words.txt")


def told(name, key):
    line = model_of(name)[key]
    return f"{name} {key}\n    {line.label} = {words(line)}"


def golden():
    """Pairs of two lines: scenario and key; label = words."""
    pairs = [pair.split("\n", 1) for pair in GOLDEN.read_text(encoding="utf-8").strip().split("\n\n")]
    return {tuple(head.split()): f"{head}\n{text}" for head, text in pairs}


@pytest.mark.parametrize(("name", "key"), list(golden()))
def test_a_line_reads_as_written(name, key):
    assert told(name, key) == golden()[name, key]


def test_the_written_lines_use_every_kind_of_node():
    lines = [model_of(name)[key] for name, key in golden()]
    used = {type(node) for line in lines for node in nodes_of(line.expr)}
    kinds = {one for one in vars(nodes).values() if isinstance(one, type) and issubclass(one, nodes.Node)}
    assert kinds - {nodes.Node} - used == set()
    operations = {node.op for line in lines for node in nodes_of(line.expr) if isinstance(node, nodes.Apply)}
    assert set(UNIT_RULES) - operations == {"growth"}  # told below; no example has a use for it
    assert 35 <= len(lines) <= 50


@pytest.mark.parametrize("name", NAMES)
def test_every_line_of_the_examples_has_words(name):
    for line in model_of(name).lines:
        text = words(line)
        assert text.strip()
        assert text.count("(") == text.count(")")
        assert text.count("[") == text.count("]")
        assert "<" not in text
        for other in model_of(name).sources[line]:
            assert f"{other.label}]" in text or other in understood(line), f"{line.id} does not name {other.id}"


def understood(line):
    """Lines that a phrase means without naming them: the months of a delay, the keys of a look-up."""
    for node in nodes_of(line.expr):
        if isinstance(node, nodes.Delayed):
            yield node.month
        if isinstance(node, nodes.Table):
            yield node.keys


@pytest.fixture
def lines():
    toy = Toy()
    made = {name: toy.row(name, [1] * 6) for name in "abcd"}
    made |= {"col": toy.column("col", [1, 2, 3]), "keys": toy.column("keys", [1, 2, 3]), "one": toy.figure("one", 1)}
    return {**made, "block": toy.block, "month": toy.month}


@pytest.mark.parametrize(
    ("write", "text"),
    [
        # Brackets: only where another order would be read.
        (lambda m: m["a"] - (m["b"] - m["c"]), "[A] − ([B] − [C])"),
        (lambda m: m["a"] - m["b"] - m["c"], "[A] − [B] − [C]"),
        (lambda m: m["a"] + (m["b"] + m["c"]), "[A] + [B] + [C]"),
        (lambda m: m["a"] - (m["b"] + m["c"]), "[A] − ([B] + [C])"),
        (lambda m: (m["a"] + m["b"]) * m["c"], "([A] + [B]) × [C]"),
        (lambda m: m["a"] / (m["b"] * m["c"]), "[A] ÷ ([B] × [C])"),
        (lambda m: m["a"] / m["b"] / m["c"], "[A] ÷ [B] ÷ [C]"),
        (lambda m: -1 * (m["a"] - m["b"]), "−1 × ([A] − [B])"),
        (lambda m: power(1 + m["a"], m["b"] - 1), "(1 + [A]) to the power of ([B] − 1)"),
        (lambda m: m["c"] * power(1 + m["a"], m["b"]), "[C] × ((1 + [A]) to the power of [B])"),
        (lambda m: m["a"] & ~m["b"], "[A] and not [B]"),
        (lambda m: share(m["a"] + m["b"], m["c"] * m["d"]), "([A] + [B]) ÷ ([C] × [D]) (0 where that is 0)"),
        (lambda m: m["a"] * equals(m["b"], 0), "[A] × ([B] equals 0)"),
        (lambda m: equals(m["a"], m["b"] + 1), "[A] equals [B] + 1"),
        (lambda m: equals(m["a"] > m["b"], m["c"]), "([A] is above [B]) equals [C]"),
        (lambda m: (m["a"] < m["b"]) & (m["c"] <= 1), "[A] is below [B] and [C] is at most 1"),
        (lambda m: m["a"] & (m["b"] | m["c"]), "[A] and ([B] or [C])"),
        (lambda m: (m["a"] & m["b"]) | m["c"], "([A] and [B]) or [C]"),
        (lambda m: m["a"] & m["b"] & m["c"], "[A] and [B] and [C]"),
        (lambda m: ~(m["a"] | m["b"]) * m["c"], "(not ([A] or [B])) × [C]"),
        (lambda m: largest(0, m["a"] - m["b"]) * m["c"], "([A] − [B], if above 0) × [C]"),
        (lambda m: excess(m["a"], m["b"]), "([A] − [B], if above 0)"),
        (lambda m: smallest(m["a"], m["b"] - m["c"], 1), "the smaller of ([A]; [B] − [C]; 1)"),
        (lambda m: largest(m["a"], m["b"]), "the larger of ([A]; [B])"),
        (lambda m: down(m["a"] / m["b"]) + 1, "whole part of ([A] ÷ [B]) + 1"),
        (lambda m: mod(m["a"] - 1, m["b"]), "the remainder of ([A] − 1) by [B]"),
        (lambda m: across(m["col"]) * m["a"], "(over every kind, the sum of [Col]) × [A]"),
        (lambda m: at(m["col"], m["a"] - 1) * m["b"], "([Col] at position ([A] − 1)) × [B]"),
        # Units bridged and nothing added: neither is told.
        (lambda m: this_month(booked(m["a"] - m["b"])) * m["c"], "([A] − [B]) × [C]"),
        (lambda m: m["a"] + 0, "[A]"),
        # Nodes of months and tables.
        (lambda m: before(m["a"]) + m["b"], "last month's [A] + [B]"),
        (lambda m: nodes.Bridge("booked", cumulative(m["a"])), "[A], added up since the first month"),
        (lambda m: nodes.Bridge("booked", since(m["a"], m["b"])), "[A], added up since [B]"),
        (lambda m: delayed(m["a"], m["one"], m["month"]), "[A], [One] months later"),
        (lambda m: nodes.Bridge("booked", gathered(KINDS, m["a"], m["b"])), "[A], added up for every kind by [B]"),
        (lambda m: entry(m["col"], 1) * m["a"], "([Col] of b) × [A]"),
        (lambda m: stacked(KINDS, [m["a"], 0, m["a"]]), "for every kind: [A]; 0"),
        (lambda m: joined([m["a"], m["b"]], "1") * m["c"], "([A] + [B]) × [C]"),
        (lambda m: joined([m["a"]], "1") * m["c"], "[A] × [C]"),
        (lambda m: joined([], "1") * m["c"], "none × [C]"),
    ],
)
def test_brackets_and_phrases(lines, write, text):
    assert words(lines["block"].line("x", "X", "1", write(lines))) == text


def test_growth_is_a_power_of_years():
    toy = Toy()
    rate, years = toy.figure("rate", 0.03), toy.figure("years", 2, "year")
    assert words(toy.line("x", nodes.Apply("growth", (nodes.lift(rate), nodes.lift(years))))) == (
        "(1 + [Rate]) to the power of [Years]"
    )


def test_a_line_of_another_block_is_told_with_its_block_and_of_another_candidate_with_its_key():
    toy = Toy()
    own = toy.builder.block("a.own", "Statement", "a")
    other = toy.builder.block("today.own", "Statement", "today")
    both = toy.builder.block("both", "Side by side", "comparison")
    cost, reference = own.line("cost", "Cost", "1", toy.month), other.line("cost", "Cost", "1", toy.month)
    press = toy.builder.block("a.press", "Press", "a")
    assert words(cost) == "[Toy: Month]"
    assert words(press.line("x", "X", "1", cost + toy.month)) == "[Statement: Cost] + [Toy: Month]"
    assert words(press.line("y", "Y", "1", reference - cost)) == "[Statement of today: Cost] − [Statement: Cost]"
    beside = both.line("z", "Z", "1", stacked(KINDS, [cost, reference, 0]))
    assert words(beside) == "for every kind: [Statement: Cost]; 0"


def test_a_figure_of_the_scenario_is_read_by_its_own_name_wherever_it_is_used():
    toy = Toy()
    other = toy.builder.block("other", "Other")
    price = toy.figure("price", 3)
    assert other.given("toy.price", "Price", "1", 3, own_key=True) is price
    assert words(other.line("x", "X", "1", price * 1)) == "[Price] × 1"
    assert words(price) == "a figure of the scenario"


def test_an_opening_value_is_told():
    toy = Toy()
    owed = toy.block.declare("owed", "Owed", "1", opening=toy.figure("first", 5))
    owed.becomes(before(owed) - 1)
    assert words(owed) == "last month's [Owed] − 1; before the first month [First]"
    assert words(toy.month) == "last month's [Month] + 1; before the first month 0"


def test_a_choice_is_told_by_its_word():
    toy = Toy()
    toy.block.choice("form", "Form of finance", "leased, returned at the end")
    assert words(toy.builder.by_id["toy.form"]) == "leased, returned at the end"

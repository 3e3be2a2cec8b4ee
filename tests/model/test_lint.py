"""House style of the real model: short expressions, short labels, keys of one grammar, nothing written for nobody."""

from collections import Counter

import pytest

from tco.model import nodes
from tco.model.model import nodes_of
from tco.model.vocabulary import smallest, stacked
from tco.publish.checks import failed_checks
from tco.scenario.words import RESERVED_BESIDE_PRESSES
from tests.model.toys import KINDS, NAMES, Toy, model_of, values_of

MOST_LEAVES, MOST_LEVELS, MOST_WORDS = 6, 3, 6
# Last parts of keys. A line comes off these lists when it is cut into named parts, and none is added lightly.
LONG_EXPRESSIONS = {
    "year": "the year that holds a month number", "fiscal_year": "the same, shifted by the months gone before",
    "starts_1": "the same of the first month", "leaves_1": "the same of the last month",
    "reloads": "loads beyond the first, never below none, in hours",
    "opens": "the first month of a period", "closes": "the last month of a period, of the plan and of the comparison",
    "raised": "a count of whole intervals, never below none",
    "black_by_class": "passes by what a large one counts", "colour_by_class": "the same for colour",
    "black_in_band": "the part of a number between two limits", "colour_in_band": "the same for colour",
    "sides": "outside sides by what a large one counts", "sheets": "good sheets printed on one side and on both",
    "drawn": "three products of a power and its hours", "posts": "rounded up to half posts with a tolerance",
    "regular": "rents by schedule: so many months apart, so many of them",
    "notice_left": "rents of the months of notice",
    "worth": "what a press would fetch, in a straight line from price to sale",
}  # fmt: skip
LONG_LABELS = {
    "Price per page that just covers everything", "Bound to pay if nothing is printed",
    "Cost by class adds up to the total", "All asked work is placed, outside or unplaced",
    "Costs by kind add up to all costs", "Paid back for good from month (0",
    "Rate of return a month, if there is one", "Worth of the difference if freed hours really saved",
    "Worth of the difference if same people paid anyway", "Floor space a square metre, a month",
    "Busiest month of the year so far", "Hours a post can give a month", "Clicks of plan 1 at first rates",
    "Clicks of plan 2 at first rates", "Clicks of plan 3 at first rates", "Present rent to the end of its term",
    "Months of the first fiscal year before the start", "Kilowatt-hours in a kilowatt for an hour",
    "Share allowed in the year of leaving", "Cost if it stops after the month",
    "Presses would fetch, in a straight line", "Asked sides, average month at scale 1",
}  # fmt: skip
# Labels that stand twice in one block: a class's own figure beside that of all classes, and what is made of either.
TWICE = {
    "Waste sheets per good sheet", "Season", "Mean of the season's figures", "Season factor", "Change of volume a year",
    "Trend", "Coverage", "Work done, counted", "Share of a settlement period", "Down payment",
}  # fmt: skip
# Roles that are read by people, and last parts of keys that are.
FOR_PEOPLE = {"memo", "check", "choice"}
READ_BY_NOBODY = {
    "attended": "attended hours where people are hired by the hour",
    "utilisation": "shown as hours needed of hours there",
    "part": "shares of the total by kind", "moves": "one more month of a class",
    "starts": "an event of every press", "leaves": "the same",
    "closes_year": "flags of the timeline, which is the same for every scenario", "opens_year": "the same",
    "closes_fiscal": "the same", "opens_fiscal": "the same", "price_level": "the same",
    "run_sheets": "a quantity of the work, which is told whole", "average_sides": "the volume everything is asked at",
}  # fmt: skip


def last(line):
    return line.id.rpartition(".")[2]


def bare(node):
    while isinstance(node, nodes.Bridge):
        node = node.part
    return node


CHAINS = ({"+", "-"}, {"*", "/"}, {"and"}, {"or"})


def kind_of(node):
    """A sum of three is one level, and so is a product of four; what is booked or read within the month is none."""
    return next((i for i, chain in enumerate(CHAINS) if isinstance(node, nodes.Apply) and node.op in chain), None)


def levels(node):
    node = bare(node)
    if isinstance(node, nodes.Stacked) or not node.parts:
        return 0
    deepest = 0
    for part in map(bare, node.parts):
        chained = kind_of(node) is not None and kind_of(part) == kind_of(node)
        deepest = max(deepest, levels(part) if chained else levels(part) + 1)
    return deepest


def leaves(node):
    """Lines and literals of an expression; a column put together entry by entry counts as one."""
    node = bare(node)
    return sum(map(leaves, node.parts)) if node.parts and not isinstance(node, nodes.Stacked) else 1


def cells(node):
    """What stands in one cell: a table put together entry by entry has one expression for each."""
    if not isinstance(bare(node), nodes.Stacked):
        yield node
    for table in nodes_of(node):
        if isinstance(table, nodes.Stacked):
            yield from table.args


def is_long(cell):
    return leaves(cell) > MOST_LEAVES or levels(cell) > MOST_LEVELS


@pytest.fixture(params=NAMES)
def model(request):
    return model_of(request.param)


def test_expressions_are_short(model):
    long = {}
    for line in model.lines:
        if line.expr is not None and last(line) not in LONG_EXPRESSIONS:
            for cell in cells(line.expr):
                if is_long(cell):
                    long[line.id] = (leaves(cell), levels(cell))
    assert long == {}


def test_the_measure_of_an_expression():
    toy = Toy()
    a, b = toy.figure("a", 1), toy.figure("b", 2)
    assert (leaves(a * b * a / b), levels(a * b * a / b)) == (4, 1)
    assert (leaves(a * (b + a) - 1), levels(a * (b + a) - 1)) == (4, 3)
    assert levels(smallest(a, b - a)) == 2
    assert levels(nodes.lift(a)) == 0
    table = nodes.Apply("*", (stacked(KINDS, [a * b + a, 0, 1]), nodes.lift(b)))
    assert (leaves(table), levels(table)) == (2, 1)
    assert [leaves(cell) for cell in cells(table)] == [2, 3, 1, 1]


def test_exceptions_are_still_needed():
    """A list of exceptions only shrinks."""
    models = [model_of(name) for name in NAMES]
    lines = [line for model in models for line in model.lines]
    written = [(last(line), cell) for line in lines if line.expr is not None for cell in cells(line.expr)]
    assert {key for key, cell in written if is_long(cell)} == set(LONG_EXPRESSIONS)
    assert {short(line.label) for line in lines if len(short(line.label).split()) > MOST_WORDS} == LONG_LABELS
    assert {label for model in models for block in model.blocks for label in doubles(block)} == TWICE
    silent = {last(line) for model in models for line in model.lines if not model.readers[line]}
    assert {name for name in READ_BY_NOBODY if name not in silent} == set()


def short(label):
    """A label without what a colon adds to tell its rows apart."""
    return label.partition(":")[0]


def test_labels_are_short(model):
    assert [line.label for line in model.lines if len(short(line.label).split()) > MOST_WORDS
            and short(line.label) not in LONG_LABELS] == []  # fmt: skip
    assert [line.id for line in model.lines if line.label != line.label.strip() or not line.label] == []


def doubles(block):
    return [label for label, count in Counter(line.label for line in block.lines).items() if count > 1]


def test_labels_are_unique_within_a_block(model):
    assert {(block.id, label) for block in model.blocks for label in doubles(block) if label not in TWICE} == set()


def test_a_label_says_no_unit_and_no_key(model):
    """Words of a label are read inside a sentence; a figure may carry a name the user gave."""
    assert [line.label for line in model.lines if "_" in line.label and not line.is_input] == []
    assert [line.label for line in model.lines if "[" in line.label or "]" in line.label] == []


def test_every_cost_has_a_kind_and_a_timing_and_nothing_else_has(model):
    costs = [line for line in model.lines if line.role == "cost"]
    assert costs
    assert [line.id for line in costs if not line.kind or not line.timing or not line.shape.months] == []
    assert [line.id for line in model.lines if line.role != "cost" and (line.kind or line.timing)] == []


def test_every_line_stands_in_its_block_and_reads_only_its_own_candidate_the_reference_and_what_is_shared(model):
    for block in model.blocks:
        for line in block.lines:
            assert line.block is block
            assert line.is_input or line.id.startswith(f"{block.id}.")
            for other in model.sources[line]:
                near = other.block.scope in {"shared", block.scope, "today"} or block.scope == "comparison"
                assert near or other.is_input, f"{line.id} reads {other.id}"


def test_what_nobody_reads_is_there_for_people(model):
    idle = [line for line in model.lines if not model.readers[line] and line.role not in FOR_PEOPLE]
    named = {line.id for line in idle if last(line) not in READ_BY_NOBODY and line.block.scope != "comparison"}
    assert {key for key in named if not key.rpartition(".")[2].endswith("_part") and ".more_" not in key} == set()


@pytest.mark.parametrize("name", NAMES)
def test_no_input_is_read_by_nobody(name):
    """A figure asked for and not used would be a question for nothing."""
    model = model_of(name)
    assert [line.id for line in model.lines if line.is_input and not model.readers[line]] == []


@pytest.mark.parametrize("name", NAMES)
def test_check_lines_are_zero(name):
    model = model_of(name)
    checks = [line for line in model.lines if line.role == "check"]
    assert len(checks) >= 3 * (len(model.scopes) - 2)
    assert failed_checks(name, model, values_of(name)) == []


@pytest.mark.parametrize("name", NAMES)
def test_no_press_can_take_the_place_of_a_part_of_its_candidate(name):
    model = model_of(name)
    parts = {block.id.split(".")[1] for block in model.blocks if block.id.startswith(f"{block.scope}.")}
    presses = {
        line.id.split(".")[1] for line in model.lines if line.id.endswith(".present") and line.id.count(".") == 2
    }
    beside = parts - presses
    assert {"plan", "measures", "statement"} <= beside <= RESERVED_BESIDE_PRESSES

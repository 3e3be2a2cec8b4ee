"""Draws, replaced figures, lines kept and switches watched, on the example scenarios."""

import numpy as np
import pytest

from tco.analyses.draws import evaluate_in_chunks
from tco.model import evaluate as evaluation
from tco.model.evaluate import evaluate
from tco.model.kinds import ModelError
from tco.model.model import finish
from tco.model.operations import OPERATIONS, SWITCHES
from tco.model.vocabulary import band, before, highest, largest, mod, smallest, up
from tests.model.plain import Plain
from tests.model.toys import NAMES, Toy, model_of, values_of

DRAWS = 50


def moved(model, draws, seed=5, every=3):
    """Figures of a model, each moved by up to a fifth; whole numbers stay whole, months stay where they are."""
    rng = np.random.default_rng(seed)
    replace = {}
    for line in model.lines:
        if line.role == "input" and "month" not in line.label.lower() and rng.integers(every) == 0:
            for place, key in enumerate(line.entry_keys or (line.id,)):
                value = float(line.value[place, 0])
                drawn = value * rng.uniform(0.8, 1.2, draws)
                replace[key] = np.round(drawn) if value == round(value) and abs(value) > 1 else drawn
    return replace


@pytest.mark.parametrize("name", NAMES)
def test_fifty_draws_are_fifty_single_evaluations(name):
    """Bit for bit, every line: figures, columns and whole volume move at once."""
    model = model_of(name)
    replace = moved(model, DRAWS)
    together = evaluate(model, replace)
    assert len(replace) >= 15
    assert max(len(value) for value in together.values()) == DRAWS
    for draw in range(DRAWS):
        alone = evaluate(model, {key: values[draw] for key, values in replace.items()})
        for key, value in alone.items():
            batch = together[key]
            assert np.array_equal(batch[draw if len(batch) > 1 else 0], value[0]), f"{key} in draw {draw}"


@pytest.mark.parametrize("name", NAMES)
def test_moved_figures_line_by_line_in_plain_loops(name):
    """One draw far from the scenario's own figures, read a second time without arrays."""
    model = model_of(name)
    replace = moved(model, 2, seed=8, every=2)
    figures = {}
    for key, values in replace.items():
        line, place = model.entries[key] if key in model.entries else (model[key], 0)
        row = figures.setdefault(line.id, line.value[:, 0].copy())
        row[slice(None) if line.id == key else place] = values[1]
    values, plain = evaluate(model, replace), Plain(model, figures)
    for line in model.lines:
        last = values[line.id][-1]
        read = max((float(np.abs(values[one.id]).max()) for one in model.sources[line]), default=0.0)
        near = {"rtol": 1e-9, "atol": 1e-9 + 1e-12 * read}
        np.testing.assert_allclose(last, plain.table(line.id), err_msg=line.id, **near)


@pytest.mark.parametrize("name", NAMES)
def test_what_no_replaced_figure_touches_keeps_one_draw(name):
    model = model_of(name)
    values = evaluate(model, {"money.discount_rate": np.linspace(0.02, 0.12, 7)})
    touched = {key for key, value in values.items() if len(value) == 7}
    reached, further = set(), {model["money.discount_rate"]}
    while further:
        reached |= further
        further = {other for one in further for other in model.readers[one]} - reached
    assert touched == {line.id for line in reached}
    assert 0 < len(touched) < len(values) / 2


@pytest.mark.parametrize("name", NAMES)
def test_kept_lines_are_equal_and_all_others_are_dropped(name, monkeypatch):
    model, whole = model_of(name), values_of(name)
    chosen = [line.id for line in model.lines if line.role in ("cost", "memo", "check")]
    keep = ["time.month", *chosen[::3]]
    held = []
    free = evaluation._free

    def watched(model, group, store, left, wanted):
        free(model, group, store, left, wanted)
        held.append((sum(line in left for line in store), len(left)))

    monkeypatch.setattr(evaluation, "_free", watched)
    scale = {"volume_scale": whole["volume_scale"][0, 0, 0]}
    for replace in ({}, scale):
        kept = evaluate(model, replace, keep)
        assert set(kept) == set(keep)
        for key, value in kept.items():
            assert np.array_equal(value, whole[key])
    touched = {key for key, value in evaluate(model, {"volume_scale": [1.0, 2.0]}).items() if len(value) == 2}
    moved_at_end, _ = held[-1]
    assert moved_at_end == len(touched.intersection(keep)) > 10
    assert max(alive for alive, _ in held) < held[-1][1] / 2


def test_a_model_remembers_what_no_replaced_figure_touches_and_nobody_can_write_into_it():
    made = toy()
    model = finish(made.builder)
    first = evaluate(model)
    again = evaluate(model, {"toy.a": 5})
    assert again["toy.c"] is first["toy.c"] is evaluate(model)["toy.c"]
    assert evaluate(model)["toy.x"].tolist() == first["toy.x"].tolist() != again["toy.x"].tolist()
    with pytest.raises(ValueError, match="read-only"):
        first["toy.x"][0, 0, 0] = 7


def test_keep_nothing_and_keep_something_unknown():
    model = model_of(NAMES[0])
    assert evaluate(model, keep=()) == {}
    with pytest.raises(ModelError, match="no_such_line is no line of this model"):
        evaluate(model, keep=["no_such_line"])


@pytest.mark.parametrize("chunk", [1, 7, 50, 500])
def test_pieces_of_draws_are_the_same_draws(chunk):
    model = model_of(NAMES[1])
    replace = moved(model, DRAWS)
    keep = [line.id for line in model.lines if line.role == "memo"]
    whole, pieces = evaluate(model, replace, keep), evaluate_in_chunks(model, replace, keep, chunk)
    for key in keep:
        assert np.array_equal(*np.broadcast_arrays(whole[key], pieces[key])), key


def toy():
    made = Toy()
    a, b, c = made.figure("a", 2), made.column("c", [1, 2, 3]), made.row("r", [5, 1, 3, 2, 9, 4])
    made.line("x", a * b)
    made.line("y", a + c)
    return made


def test_replace_by_key():
    values = toy().solved({"toy.a": 5})
    assert values["toy.x"].tolist() == [[[5], [10], [15]]]
    assert values["toy.y"].tolist() == [[[10, 6, 8, 7, 14, 9]]]
    draws = toy().solved({"toy.a": np.array([0.0, 1.0])})
    assert draws["toy.x"].tolist() == [[[0], [0], [0]], [[1], [2], [3]]]
    assert draws["toy.c"].shape == (1, 3, 1)
    whole = toy().solved({"toy.c": [7, 8]})
    assert whole["toy.x"].tolist() == [[[14]] * 3, [[16]] * 3]


def test_replace_one_entry_of_a_column():
    values = toy().solved({("toy.c", 1): [10, 20], "toy.a": 1})
    assert values["toy.x"].tolist() == [[[1], [10], [3]], [[1], [20], [3]]]
    both = toy().solved({("toy.c", 1): [10, 20], ("toy.c", 2): 0})
    assert both["toy.c"].tolist() == [[[1], [10], [0]], [[1], [20], [0]]]
    after = toy().solved({"toy.c": [4, 5], ("toy.c", 0): 0})
    assert after["toy.c"].tolist() == [[[0], [4], [4]], [[0], [5], [5]]]


def test_replacing_leaves_the_model_alone():
    made = toy()
    model = finish(made.builder)
    before_it = evaluate(model)
    changed = evaluate(model, {("toy.c", 1): 10, "toy.a": [7, 8]})
    changed["toy.c"][...] = 99
    for key, value in evaluate(model).items():
        assert np.array_equal(value, before_it[key])


def test_replace_by_the_key_of_an_entry():
    """A figure of the scenario that stands in a column goes by its own path."""
    model = model_of("harbour_print_centre")
    line = model.entries["jobs.cards.jobs"][0]
    place = line.entry_keys.index("jobs.cards.jobs")
    by_path = evaluate(model, {"jobs.cards.jobs": [100, 200]})
    by_place = evaluate(model, {(line.id, place): [100, 200]})
    assert by_path[line.id][:, place, 0].tolist() == [100, 200]
    for key, value in by_path.items():
        assert np.array_equal(value, by_place[key])
    assert len({float(one) for one in by_path["buy.measures.present_value"][:, 0, 0]}) == 2


@pytest.mark.parametrize(
    ("key", "complaint"),
    [
        ("toy.b", "toy.b is no figure"),
        ("toy.x", "toy.x is no figure"),
        ("toy.month", "toy.month is no figure"),
        ("toy.word", "toy.word is no figure"),
        (("toy.c", 3), "toy.c has 3 entries, and none at place 3"),
        (("toy.c", -1), "and none at place -1"),
        (("toy.a", 1), "toy.a has 1 entries"),
        (("toy.x", 0), "toy.x is no figure"),
    ],
)
def test_what_cannot_be_replaced_is_named(key, complaint):
    made = toy()
    made.block.choice("word", "Form of finance", "cash")
    with pytest.raises(ModelError, match=complaint):
        made.solved({key: 1})


def test_readers_are_the_lines_that_read():
    made = toy()
    made.line("z", made.block.lines[0] + before(made.block.builder.by_id["toy.y"]) + highest(made.block.lines[0]))
    model = finish(made.builder)
    names = {line.id: [other.id for other in others] for line, others in model.readers.items()}
    assert names["toy.a"] == ["toy.x", "toy.y"]
    assert names["toy.y"] == ["toy.z"]
    assert names["toy.month"] == ["toy.month", "toy.r", "toy.z"]
    assert names["toy.x"] == names["toy.z"] == []
    for name in NAMES:
        model = model_of(name)
        for line, others in model.readers.items():
            assert all(line in model.sources[other] for other in others)
        assert sum(map(len, model.readers.values())) == sum(map(len, model.sources.values()))


def seen(made, replace=None):
    found = []
    made.solved(replace, watch=found.append)
    return found


@pytest.mark.parametrize(
    ("write", "sides"),
    [
        (lambda made: smallest(made["a"], made["r"]), [[1, 0, 1, 0, 0, 0]]),
        (lambda made: largest(made["a"], made["r"], 0), [[0, 1, 0, 0, 1, 1]]),
        (lambda made: largest(made["r"], made["a"]), [[1, 0, 1, 0, 0, 0]]),
        (lambda made: up(made["r"] / made["a"]), [[1, 2, 1, 1, 2, 2]]),
        (lambda made: mod(made["r"], made["a"]), [[0, 2, 0, 1, 1, 2]]),
        (lambda made: made["r"] > made["a"], [[0, 1, 0, 0, 1, 1]]),
        (lambda made: band(made["c"], made["c"], made["r"]), [[0, 2, 0, 1, 2, 2]]),
        (lambda made: highest(made["r"]), [[1] * 6]),
    ],
)
def test_watch_reports_the_side_of_every_switch(write, sides):
    made = Toy()
    lines = {"a": made.figure("a", 2), "c": made.column("c", [1, 2, 3]), "r": made.row("r", [1, 4, 1, 2, 3, 4])}
    made.line("x", write(lines))
    (found,) = seen(made)
    assert np.broadcast_to(found, (1, 1, 6))[0].tolist() == sides


def test_watch_reports_month_by_month_inside_a_balance():
    made = Toy()
    owed = made.block.declare("owed", "Owed", "1", opening=made.figure("first", 10))
    owed.becomes(largest(0, before(owed) - made.figure("paid", 3)))
    found = seen(made, {"toy.first": [10, 20]})
    assert [part.reshape(-1).tolist() for part in found] == [[1, 1], [1, 1], [1, 1], [0, 1], [0, 1], [0, 1]]


def test_every_operation_that_has_sides_is_an_operation():
    assert set(SWITCHES) < set(OPERATIONS)


@pytest.mark.parametrize("name", NAMES)
def test_the_same_side_of_every_switch_means_a_straight_line(name):
    """Between two volumes with equal sides the cost of today lies on their chord."""
    model = model_of(name)
    scales = np.linspace(0.9, 1.1, 81)
    found = []
    cost = evaluate(model, {"volume_scale": scales}, ["today.measures.present_value"], found.append)
    worth = cost["today.measures.present_value"][:, 0, 0]
    found.append(np.zeros((81, 1, 1)))  # a scenario may have no switch that volume can move
    sides = np.concatenate([np.broadcast_to(one, (81, *one.shape[1:])).reshape(81, -1) for one in found], axis=1)
    alike = [i for i in range(79) if np.array_equal(sides[i], sides[i + 1]) and np.array_equal(sides[i], sides[i + 2])]
    assert len(np.unique(worth)) > 1
    bend = np.abs(worth[:-2] - 2 * worth[1:-1] + worth[2:])
    assert all(bend[i] <= 1e-9 * abs(worth[i]) for i in alike)


def test_changing_the_volume_changes_the_cost():
    """`volume_scale` is a figure like any other in each of the examples."""
    for name in NAMES:
        values = evaluate(model_of(name), {"volume_scale": [0.5, 1, 2]}, ["today.measures.present_value"])
        low, own, high = values["today.measures.present_value"][:, 0, 0]
        assert low < own < high

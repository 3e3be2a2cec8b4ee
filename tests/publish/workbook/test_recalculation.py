"""Poisoned workbooks recalculated by programs that know nothing of the model: every cell equals the engine."""

import numpy as np
import pytest

from tco.model import nodes
from tco.model.evaluate import evaluate
from tco.model.operations import OPERATIONS
from tco.publish.workbook.styles import WorkbookError
from tco.publish.workbook.write import write_workbook
from tests import recalc
from tests.publish.workbook.exported import export_toy
from tests.publish.workbook.toy import study, toy

# Figures that move no cell at all when they are typed over, each with the reason.
STILL = {
    "toy": {},
    "small": {
        "today.count": "nothing is bought, rented or powered today, so nothing reads how many presses there are",
        "today.service.oversize_counts": "no side is printed on a large sheet",
        "birch.service.oversize_counts": "no side is printed on a large sheet",
    },
    "rich": {
        "one_large.lease.renewal_rent": "the lease ends with the horizon and renews for no month",
        "one_large.service.included.black": "included in a month, more than is printed in the fullest one",
        "one_large.reload_minutes": "a job fits the trays, so that no stop is for reloading",
    },
}


def test_the_toy_has_every_kind_of_expression():
    kinds, operations, hows = set(), set(), set()

    def look(node):
        kinds.add(type(node))
        operations.add(getattr(node, "op", None))
        hows.add(getattr(node, "how", None))
        for part in node.parts:
            look(part)

    for line in toy().lines:
        if line.expr is not None:
            look(line.expr)
    assert kinds == set(nodes.Node.__subclasses__())
    assert operations - {None} == set(OPERATIONS)
    assert hows - {None} == {"total", "present", "highest", "lowest", "first month", "irr", "at", "band", "equal"}


def test_stored_values_are_those_of_the_engine(exported):
    assert recalc.compare(exported.model, exported.values, exported.layout, recalc.stored(exported.cells)) == {}


def test_poison_reaches_every_formula(toy_book, tmp_path):
    poisoned = recalc.formula_cells(recalc.poison(toy_book.path, tmp_path))
    assert {cell.stored for cell in poisoned.values()} == {recalc.POISON}
    assert set(poisoned) == set(toy_book.cells)


@pytest.mark.parametrize("engine", [recalc.recalc_ironcalc, recalc.recalc_formualizer])
def test_other_engines_find_the_same_in_every_cell(exported, engine, tmp_path):
    poisoned = recalc.poison(exported.path, tmp_path)
    found = engine(poisoned, exported.cells)
    assert recalc.differences(recalc.stored(exported.cells), found) == {}
    assert recalc.compare(exported.model, exported.values, exported.layout, found) == {}


def test_libreoffice_finds_the_same_in_every_cell(exported, tmp_path):
    poisoned = recalc.poison(exported.path, tmp_path)
    found = recalc.recalc_libreoffice(poisoned, exported.cells, tmp_path)
    assert recalc.differences(recalc.stored(exported.cells), found) == {}


def test_every_figure_flows_to_what_reads_it(exported, tmp_path, request):
    """Type inputs over, one after the other: the recalculated file equals the engine with that figure replaced."""
    keys, wanted = figures(exported), [line.id for line in exported.model.lines if line.value is None]
    if request.node.callspec.params["exported"] == "rich":  # all cells of a third of one candidate's figures
        keys = [key for key in keys if not key.startswith(("mixed.", "all_out.", "rented."))][::3]
    poisoned = recalc.poison(exported.path, tmp_path)
    as_exported = recalc.engine_cells(exported.model, exported.values, exported.layout)
    still = []
    for key in keys:
        line = exported.model[key]
        value, place = float(line.value[0, 0]), exported.layout.homes[line]
        whole = line.shape.axis is None and value.is_integer() and not line.percent
        new = value + 1 if whole else value * 1.1 + 0.01
        replaced = evaluate(exported.model, replace={(key, 0) if line.shape.axis else key: new}, keep=wanted)
        right = recalc.engine_cells(exported.model, replaced, exported.layout)
        found = recalc.recalc_ironcalc(poisoned, right, {(place.sheet, place.row + 1, place.column + 1): new})
        assert recalc.differences(right, found) == {}, key
        if right == as_exported:
            still.append(key)
    assert len(keys) > 5
    assert set(still) == set(STILL[request.node.callspec.params["exported"]]).intersection(keys)


def figures(exported):
    return [line.id for line in exported.model.lines if line.role == "input"]


def test_a_stale_value_a_short_sum_and_a_typed_number_are_seen(toy_book):
    """The harness itself: what it must notice, it notices."""
    cells = recalc.stored(toy_book.cells)
    sums = [key for key, cell in toy_book.cells.items() if cell.formula.startswith("SUM($H") and cell.stored > 1]
    key = sums[0]
    assert recalc.compare(toy_book.model, toy_book.values, toy_book.layout, cells) == {}
    model = toy_book.model
    place = toy_book.layout.homes[model["elm.measures.total"]]
    stale = cells | {(place.sheet, place.row + 1, place.column + 1): 999.0}
    assert len(recalc.compare(model, toy_book.values, toy_book.layout, stale)) == 1
    assert recalc.differences({key: cells[key]}, {key: cells[key] + 0.01}) != {}
    assert recalc.differences({key: 1.0}, {key: True}) != {}
    assert recalc.differences({key: 1.0}, {key: "1"}) != {}
    assert recalc.differences({key: 1e-6}, {key: 0.0}) != {}


def test_the_same_study_gives_the_same_bytes(tmp_path):
    contents = []
    for name in ("first", "second"):
        (tmp_path / name).mkdir()
        contents.append(export_toy(tmp_path / name).path.read_bytes())
    assert contents[0] == contents[1]


def test_a_value_that_is_not_finite_is_refused(tmp_path):
    model = toy()
    values = dict(evaluate(model))
    values["elm.measures.total"] = np.full((1, 1, 1), np.nan)
    with pytest.raises(WorkbookError, match="finite"):
        write_workbook(model, values, study(), tmp_path / "x.xlsx")
    assert list(tmp_path.iterdir()) == []

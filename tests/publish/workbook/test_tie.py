"""A tie volume typed into the workbook makes the two candidates cost the same there, by another program."""

from pathlib import Path

import pytest

from tco.analyses.breakeven import break_even
from tco.publish.workbook.breakeven import BREAK_EVEN
from tco.scenario.load import load
from tests.publish.workbook.exported import export_scenario
from tests.recalc import poison, recalc_ironcalc

FILE = Path(__file__).parents[3] / "scenarios" / "quick_printer.yaml"


@pytest.fixture(scope="module")
def exported(tmp_path_factory):
    return export_scenario(load(FILE), tmp_path_factory.mktemp("tie"), "tie")


def named(book, name):
    ((sheet, place),) = book.defined_names[name].destinations
    cell = book[sheet][place.replace("$", "")]
    return sheet, cell.row, cell.column


def test_a_tie_volume_typed_in_makes_the_difference_nothing(exported, tmp_path):
    ids = [one.id for one in exported.study.candidates]
    found = break_even(exported.model, ids, 0.0, 2 * float(exported.values["work.average_sides"].item()))
    ties = [(pair, one) for pair in found.pairs for one in pair.crossings if one.kind == "tie" and one.changes]
    assert len(ties) >= 2
    book = exported.book
    scale, first, second = (named(book, name) for name in ("in_volume_scale", "g_first", "g_second"))
    difference = (BREAK_EVEN, second[1] + 1, second[2])
    assert "INDEX" in exported.cells[difference].formula
    poisoned = poison(exported.path, tmp_path)
    for pair, tie in ties:
        typed = {scale: tie.low / found.average, first: ids.index(pair.first) + 1, second: ids.index(pair.second) + 1}
        assert abs(recalc_ironcalc(poisoned, [difference], typed)[difference]) < 0.005
        typed[scale] = 1.1 * tie.low / found.average
        assert abs(recalc_ironcalc(poisoned, [difference], typed)[difference]) > 1

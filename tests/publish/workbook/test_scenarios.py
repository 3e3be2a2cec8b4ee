"""The scenarios that come with the project, exported and recalculated whole."""

import pytest

from tco.scenario.load import load
from tests import recalc
from tests.house.tree import ROOT
from tests.publish.workbook.exported import export_scenario

FILES = sorted((ROOT / "scenarios").glob("*.yaml"))


@pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])
def test_every_cell_of_a_scenario_is_recalculated_right(path, tmp_path):
    exported = export_scenario(load(path), tmp_path, path.stem)
    poisoned = recalc.poison(exported.path, tmp_path)
    found = recalc.recalc_ironcalc(poisoned, exported.cells)
    assert recalc.differences(recalc.stored(exported.cells), found) == {}
    assert recalc.compare(exported.model, exported.values, exported.layout, found) == {}


def test_there_are_scenarios():
    assert FILES

"""Workbooks that several tests look at, written once."""

import pytest

from tco.scenario.load import load_text
from tests.publish.workbook.exported import export_scenario, export_toy
from tests.scenario.samples import RICH, SMALL


@pytest.fixture(scope="session", params=["toy", "small", "rich"])
def exported(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp(request.param)
    if request.param == "toy":
        return export_toy(folder)
    return export_scenario(load_text({"small": SMALL, "rich": RICH}[request.param]), folder, request.param)


@pytest.fixture(scope="session")
def toy_book(tmp_path_factory):
    return export_toy(tmp_path_factory.mktemp("toy"))

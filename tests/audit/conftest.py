"""Exports that several tests edit, written once."""

import pytest

from tco.scenario.starting import starting_scenario
from tests.audit.books import export
from tests.scenario.samples import RICH, SMALL


@pytest.fixture(scope="session")
def small(tmp_path_factory):
    return export(SMALL, tmp_path_factory.mktemp("small"), "small")


@pytest.fixture(scope="session")
def start(tmp_path_factory):
    return export(starting_scenario(), tmp_path_factory.mktemp("start"), "start")


@pytest.fixture(scope="session")
def rich(tmp_path_factory):
    return export(RICH, tmp_path_factory.mktemp("rich"), "rich")

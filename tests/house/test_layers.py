"""A file imports only from lower floors, and nothing imports in a circle."""

from graphlib import CycleError, TopologicalSorter

import pytest

from tests.house.tree import imports, module_files

# From the ground up; those of the ground floor stand beside each other and so do a floor's own files.
FLOORS = (
    {"units", "finance", "rates_of_return", "problem", "reference_data"},
    {"model"},
    {"scenario"},
    {"costs"},
    {"measures"},
    {"assemble"},
    {"analyses"},
    {"advice"},
    {"report"},
    {"publish"},
    {"audit"},
    {"building"},
    {"cli"},
)
FLOOR = {name: number for number, names in enumerate(FLOORS) for name in names}
# tco/__init__ is the facade over everything but the command line: it may import, and may not be imported.
FACADE = "tco"

# Files of costs/ that are no rooms: what rooms write lines with, hand to each other, and count dates by.
TOOLS_OF_ROOMS = {"coverage", "desk", "records", "terms", "lease_rents", "lease_end", "lease_extras"}


def graph():
    modules = dict(module_files())
    return {name: set(imports(path.read_text(encoding="utf-8"), modules)) for name, path in modules.items()}


def part(module):
    return module.split(".")[1]


def wrong(arrows):
    """Every import that goes sideways to another part, upwards, or to the facade."""
    for name, targets in arrows.items():
        for target in sorted(targets):
            if target == FACADE or (name == FACADE and part(target) == "cli"):
                yield f"{name} imports {target}"
            elif name != FACADE and part(name) != part(target) and FLOOR[part(target)] >= FLOOR[part(name)]:
                yield f"{name} imports {target}, which is not on a lower floor"
            elif name.startswith("tco.costs.") and target.startswith("tco.costs.") and both_rooms(name, target):
                yield f"{name} imports the room {target}"


def both_rooms(name, target):
    return name.split(".")[2] != target.split(".")[2] and target.split(".")[2] not in TOOLS_OF_ROOMS


def test_every_part_of_the_program_has_a_floor():
    assert {part(name) for name in graph() if name != FACADE} <= set(FLOOR)


def test_imports_go_down():
    assert list(wrong(graph())) == []


def test_nothing_imports_in_a_circle():
    arrows = {name: targets - {name} for name, targets in graph().items()}
    order = list(TopologicalSorter(arrows).static_order())
    assert set(order) >= set(arrows)


def test_a_hidden_import_is_seen():
    modules = {"tco", "tco.cli", "tco.model", "tco.model.lines", "tco.units"}
    source = "def late():\n    from tco.model import lines\n    import tco.cli\n    from tco import units\n"
    assert set(imports(source, modules)) == {"tco.model.lines", "tco.cli", "tco.units"}
    assert list(wrong({"tco.units": {"tco.cli"}})) == ["tco.units imports tco.cli, which is not on a lower floor"]
    assert list(wrong({"tco.costs.paper": {"tco.costs.lease"}})) == ["tco.costs.paper imports the room tco.costs.lease"]
    assert list(wrong({"tco.cli": {"tco"}, "tco": {"tco.report"}})) == ["tco.cli imports tco"]
    with pytest.raises(ValueError, match="relative import on line 1"):
        list(imports("from . import lines", modules))
    with pytest.raises(CycleError):
        list(TopologicalSorter({"a": {"b"}, "b": {"a"}}).static_order())

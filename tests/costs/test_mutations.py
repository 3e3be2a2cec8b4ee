"""A room that is slightly wrong is noticed: mutants of every room against the oracle on a fixed set of scenarios.

Only lines that these scenarios reach can be held; where some are not reached is listed, too.
"""

import json
from functools import cache
from random import Random

import pytest

from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.model.kinds import ModelError
from tco.scenario.load import load_text
from tests.costs.mutants import file_of, modules, mutants, rooms_with, unchanged
from tests.costs.reached import lines_reached
from tests.costs.survivors import NOT_REACHED, SURVIVORS
from tests.oracle import oracle, random_books, random_parts
from tests.oracle.compare_whole import Headings, Whole
from tests.oracle.corners import CORNERS
from tests.oracle.corners_books import BOOK_CORNERS
from tests.oracle.random_scenarios import scenario

SEEDS = (39, 2, 4, 0, 6, 5, 43, 47)
PARTS = (9, 17, 7, 6)  # of random_parts
BOOKS = (21, 20, 3, 2)  # of random_books
PLANS = "tco.costs.service."
SAMPLE = 60


@cache
def answers():
    """How a scenario is compared, and what the oracle says; the one that noticed the last mutant is asked first."""
    basic = [*CORNERS.values(), *(scenario(seed) for seed in SEEDS)]
    further = [*(random_parts.scenario(seed) for seed in PARTS), *(random_books.scenario(seed) for seed in BOOKS)]
    further += BOOK_CORNERS.values()
    written = [*((Headings, data) for data in basic), *((Whole, data) for data in further)]
    return [(how, data, load_text(json.dumps(data)), oracle.evaluate(data)) for how, data in written]


@cache
def everyone():
    return [mutant for module in modules() for mutant in mutants(module)]


@cache
def reached(how):
    return lines_reached(lambda: [build(read) for way, _, read, _ in answers() if way is how])


def is_reached(mutant):
    """Whether a scenario reaches it; of service plans only basic scenarios are asked, as each takes its time."""
    ways = (Headings,) if mutant.module.startswith(PLANS) else (Headings, Whole)
    lines = set().union(*(reached(how).get(str(file_of(mutant.module)), set()) for how in ways))
    return not lines.isdisjoint(range(mutant.line, mutant.last_line + 1))


def noticed(build, most=None):
    """Whether a program gives another figure than the oracle, fails a check of its own, or cannot be built at all."""
    asked = answers()
    for place, one in enumerate(asked[:most]):
        if differs(build, *one):
            asked.insert(0, asked.pop(place))
            return True
    return False


def differs(build, how, data, read, truth):
    try:
        model = build(read)
        values = evaluate(model)
        if next(how(data, model, values, truth).differences(), None) is not None:
            return True
    except (ModelError, ArithmeticError, ValueError, LookupError, TypeError, AttributeError, AssertionError,
            RuntimeWarning):
        return True
    return any(abs(values[line.id]).max() > 1e-5 for line in model.lines if line.role == "check")


def survivors(chosen):
    found = []
    for mutant in chosen:
        with rooms_with(mutant) as build:
            if not noticed(build):
                found.append(mutant.name)
    return found


def test_what_the_scenarios_do_not_reach_is_listed():
    away = {mutant.module.removeprefix("tco.") for mutant in everyone() if not is_reached(mutant)}
    assert sorted(away - set(NOT_REACHED)) == []


@pytest.mark.parametrize("module", modules())
def test_a_room_read_anew_and_unchanged_passes(module):
    with rooms_with(unchanged(module)) as build:
        assert not noticed(build, 2)


def test_a_sample_of_mutants_is_noticed():
    known = [mutant for mutant in everyone() if is_reached(mutant) and mutant.name not in SURVIVORS]
    assert len(known) > 1100
    chosen = Random(7).sample(known, SAMPLE)  # noqa: S311  a sample of mutants
    assert survivors(chosen) == []


@pytest.mark.campaign
@pytest.mark.parametrize("module", modules())
def test_every_mutant_is_noticed_or_listed(module):
    found = survivors(mutant for mutant in mutants(module) if is_reached(mutant))
    assert [name for name in found if name not in SURVIVORS] == []
    listed = [name for name in SURVIVORS if name.startswith(f"{module.removeprefix('tco.')}: ")]
    assert [name for name in listed if name not in found] == []

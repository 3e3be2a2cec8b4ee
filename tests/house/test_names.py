"""Keys are for ever: their grammar, those that were retired, and names that tell one block from another."""

import re
from collections import Counter
from typing import NamedTuple

import pytest

from tco.model.lines import COMPARISON, SHARED
from tests.model.toys import NAMES, model_of

WORD = r"[a-z](?:[a-z0-9]|_(?=[a-z0-9]))*"
SHEET = r"[0-9]+x[0-9]+"  # what the trade calls some sizes, such as 12x18
ID = re.compile(rf"{WORD}(?:\.(?:{WORD}|{SHEET}|[0-9]+))*")

# Last parts of keys that mean a flag where a press is bought on credit, and money where it is leased.
OF_TWO_KINDS = {"due"}


class Retired(NamedTuple):
    """A key that once was published: somebody's notes, results and workbooks may still name it.

    `key` is the last part of a key, or more of them (`press.price`); `instead` is what says the same now, empty when
    nothing does; `why` and `since` (a date) stand beside it. A retired key is never used for anything else.
    """

    key: str
    instead: str
    why: str
    since: str


# For instance: Retired("plan.clicks", "plan.colour_clicks_1", "clicks are told by press and colour", "2026-11-25")
RETIRED: tuple[Retired, ...] = ()


@pytest.fixture(params=NAMES)
def model(request):
    return model_of(request.param)


def ends_with(key, retired):
    return f".{key}".endswith(f".{retired}")


def wrong_keys(keys):
    return [key for key in keys if not ID.fullmatch(key)]


def test_keys_follow_one_grammar(model):
    """Small words of letters and digits, joined by underscores, in places joined by dots."""
    keys = [*(line.id for line in model.lines), *(block.id for block in model.blocks), *model.entries, *model.scopes]
    assert wrong_keys(keys) == []


@pytest.mark.parametrize(
    "key", ["Price", "lease..price", ".price", "price.", "lease.1st_x", "sells-for", "2nd", "_x", "x_", "x__y", "é"]
)
def test_the_grammar_refuses(key):
    assert wrong_keys([key]) == [key]


def test_the_grammar_takes():
    assert wrong_keys(["months", "lease.press.sells_for", "today.plan.black.0.rate", "a1.b_2", "speeds.12x18"]) == []


def test_no_retired_key_is_used_again(model):
    used = [line.id for line in model.lines for one in RETIRED if ends_with(line.id, one.key)]
    assert used == []


def test_retired_keys_say_what_became_of_them():
    for one in RETIRED:
        assert wrong_keys([one.key]) == []
        assert not one.instead or wrong_keys([one.instead]) == []
        assert len(one.why.split()) >= 3
        assert re.fullmatch(r"20\d\d-\d\d-\d\d", one.since)
    assert len({one.key for one in RETIRED}) == len(RETIRED)
    assert ends_with("lease.press.price", "press.price")
    assert not ends_with("lease.press.price", "ess.price")


def test_no_key_is_said_twice(model):
    """A figure within a column goes by its own path: it is no key of a line, nor of another column."""
    keys = [line.id for line in model.lines]
    places = [key for line in model.lines for key in line.entry_keys]
    assert [key for key, count in Counter(keys).items() if count > 1] == []
    assert set(keys) & set(places) == set()


def test_a_scope_names_its_blocks_apart(model):
    """Two presses may both need energy; each block then names its press."""
    for scope in model.scopes:
        labels = Counter(block.label for block in model.blocks_of(scope))
        assert [label for label, count in labels.items() if count > 1] == [], scope


def test_blocks_of_a_candidate_carry_its_key(model):
    for block in model.blocks:
        if block.scope not in (SHARED, COMPARISON):
            assert block.id.startswith(f"{block.scope}."), block.id
    assert model.scopes[0] == SHARED
    assert model.scopes[1] == "today"
    assert model.scopes[-1] == COMPARISON


def test_the_same_key_is_the_same_quantity_in_every_candidate(model):
    """A unit that depended on the candidate would make two different things of one word."""
    seen = {}
    for line in model.lines:
        if line.block.scope not in (SHARED, COMPARISON) and line.id.startswith(f"{line.block.scope}."):
            tail = line.id.removeprefix(f"{line.block.scope}.")
            if not line.is_input and tail.rpartition(".")[2] not in OF_TWO_KINDS:
                assert seen.setdefault(tail, line).unit == line.unit, f"{line.id} against {seen[tail].id}"
    assert len(seen) > 100

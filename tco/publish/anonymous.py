"""The same study without names: candidates become Candidate A, B and so on, their quotes and sources are dropped."""

from __future__ import annotations

from string import ascii_uppercase
from typing import Final

from tco.scenario.schema import Scenario
from tco.scenario.tree import Node, node_at, plain

# What would tell who offered: documents, dates of theirs, remarks and names of machines.
TELLING: Final = frozenset({"quote", "source", "date", "note", "name"})


def letters(place: int) -> str:
    """The letters of a candidate by its place: A to Z, then AA, AB and so on."""
    first, last = divmod(place, len(ascii_uppercase))
    return (letters(first - 1) if first else "") + ascii_uppercase[last]


def anonymised(scenario: Scenario) -> Scenario:
    """Return the scenario with every candidate but today's named by a letter.

    The author's own texts are dropped, since they name candidates; what stands on the floor today keeps its name. The
    result has no file text of its own, so none is published with it.
    """
    written = node_at(scenario.document.data, "candidates")
    assert written is not None
    named = {key: f"candidate_{letters(place).lower()}" for place, key in enumerate(written)}
    candidates = {}
    for place, (key, tree) in enumerate(written.items()):
        bare = _without_names(plain(tree))
        assert isinstance(bare, dict)
        candidates[named[key]] = {"name": f"Candidate {letters(place)}", **bare}
    changes: dict[str, object] = {"candidates": candidates, "introduction": None, "recommendation": None}
    settled = node_at(scenario.document.data, "accepted")
    if settled is not None:
        changes["accepted"] = {_renamed(key, named): plain(reason) for key, reason in settled.items()}
    drawn = node_at(scenario.document.data, "futures")
    if drawn is not None:
        changes["futures"] = _keys_renamed(plain(drawn), named, written)
    for key, work in (scenario.new_work or {}).items():
        changes[f"new_work.{key}.only_with"] = [named.get(one, one) for one in work.only_with]
    shared = node_at(scenario.document.data, "every_quote")
    if shared is not None:
        changes["every_quote"] = _without_names(plain(shared))
    return scenario.with_changes(changes)


def _without_names(value: object) -> object:
    if isinstance(value, list):
        return [_without_names(part) for part in value]
    if not isinstance(value, dict):
        return value
    kept = {key: _without_names(part) for key, part in value.items() if key not in TELLING}
    presses = kept.get("presses")
    if isinstance(presses, dict):
        kept["presses"] = {f"press_{place}": part for place, part in enumerate(presses.values(), 1)}
    return kept


def _keys_renamed(value: object, named: dict[str, str], written: Node) -> object:
    """The keys of figures of candidates, in lists at any depth, by the new names of candidates and presses."""
    if isinstance(value, dict):
        return {name: _keys_renamed(part, named, written) for name, part in value.items()}
    if isinstance(value, list):
        return [_keys_renamed(part, named, written) for part in value]
    owner, *rest = str(value).split(".")
    presses = node_at(written, owner, "presses")
    if presses is not None and rest[:1] == ["presses"]:
        rest[1] = f"press_{list(presses).index(rest[1]) + 1}"
    return ".".join([named.get(owner, owner), *rest])


def _renamed(key: str, named: dict[str, str]) -> str:
    owner, dot, code = key.partition(".")
    return f"{named.get(owner, owner)}{dot}{code}"

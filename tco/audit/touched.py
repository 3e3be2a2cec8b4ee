"""What a touched formula does to the answer: the engine computes the scenario again with that one cell held.

A formula that was replaced by a number, emptied, or rewritten gives one value in its cell, whatever it reads. In a
copy of the model the line takes that value in that month and its own expression in all others, so whatever depends on
it follows. A rewritten formula is judged by the value stored beside it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace as with_fields
from typing import Final, TypeAlias

import numpy as np

from tco.assemble import build
from tco.audit.align import Aligned
from tco.audit.cells import Cell, column_index
from tco.audit.compare_cells import Compared
from tco.audit.effects import Answer, Effect, answer, effect
from tco.audit.expected import Expected
from tco.audit.findings import TRACED, Finding
from tco.audit.places import Spot, Spots
from tco.model.evaluate import Key
from tco.model.kinds import ModelError
from tco.model.lines import Block
from tco.model.model import Model, finish
from tco.model.nodes import Bridge, Line, Node, Running
from tco.units import NONE

_MOST: Final = 60  # findings whose effect is computed; each builds the model again
_CELLS: Final = re.compile(r"([A-Z]+)(\d+)(?::([A-Z]+)\d+)?")
Held: TypeAlias = dict[tuple[int, int], float]  # by (entry, month)
Pairs: TypeAlias = list[tuple["Spot | None", "Cell | None"]]


def with_effects(
    expected: Expected, spots: Spots, compared: Compared, replaced: Mapping[Key, float]
) -> list[Finding]:
    """Return the findings of a comparison, those on touched formulas with their effect where the engine can tell."""
    sheets = {one.actual.name: (name, one) for name, one in compared.sheets.items()}
    wanted = any(one.kind in TRACED for one in compared.findings)
    before = answer(expected.model, replaced) if wanted else None
    found, count = [], 0
    for one in compared.findings:
        if one.kind not in TRACED or before is None or one.sheet not in sheets or count == _MOST:
            found.append(one)
            continue
        count += 1
        name, aligned = sheets[one.sheet]
        found.append(_judged(one, _cells(one, name, aligned, spots), expected, replaced, before))
    return found


def _cells(one: Finding, name: str, aligned: Aligned, spots: Spots) -> Pairs:
    match = _CELLS.fullmatch(one.cell)
    if match is None:
        return []
    first, row = column_index(match[1]), int(match[2]) - 1
    last = column_index(match[3]) if match[3] else first
    found: Pairs = []
    for column in range(first, last + 1):
        home = aligned.to_expected(row, column)
        spot = spots.by_cell.get((name, *home)) if home is not None else None
        found.append((spot, aligned.actual.cells.get((row, column))))
    return found


def _judged(
    one: Finding, cells: Pairs, expected: Expected, replaced: Mapping[Key, float], before: Answer
) -> Finding:
    spots = [spot for spot, _ in cells if spot is not None]
    if not spots or all(spot.part == "total" for spot in spots):
        note = "it changes what is shown, not the present values"
        return with_fields(one, effect=effect(before, before), note=_joined(one.note, note))
    values: Held = {}
    for spot, cell in cells:
        value = 0.0 if cell is None else cell.value
        if spot is None or spot.line is not spots[0].line or not isinstance(value, float | bool):
            note = "its effect cannot be told: no number is stored in the cell"
            return with_fields(one, note=_joined(one.note, note))
        values[spot.entry, spot.month] = float(value)
    told = _effect(spots[0], values, expected, replaced, before)
    if told is None:
        return with_fields(one, note=_joined(one.note, "the engine cannot tell its effect alone"))
    return with_fields(one, effect=told)


def _joined(*notes: str) -> str:
    return "; ".join(note for note in notes if note)


def _effect(
    spot: Spot, values: Held, expected: Expected, replaced: Mapping[Key, float], before: Answer
) -> Effect | None:
    line = spot.line
    try:
        if spot.part == "link":
            blocks = [block for block, linked in expected.layout.links if linked is line]
            if len(blocks) > 1:
                return None
            more: dict[Key, float] = {
                line.id if line.shape.axis is None else (line.id, entry): value for (entry, _), value in values.items()
            }
            return effect(before, answer(expected.model, {**replaced, **more}))
        if spot.part not in ("value", "month"):
            return None
        model = held(build(expected.scenario), line.id, values)
        return None if model is None else effect(before, answer(model, replaced))
    except ModelError:
        return None


def held(model: Model, key: str, values: Held) -> Model | None:
    """A model in which a line has given values at some places; the model given is used up.

    Parameters
    ----------
    model : built for this purpose alone
    key : of a calculated line
    values : by (entry, month), both counted from 0

    Returns
    -------
    The model, or None for a running sum: it is a whole row for the engine and cannot be held in one month.
    """
    line = model[key]
    assert line.expr is not None
    if isinstance(_root(line.expr), Running):
        return None
    shape = (len(line.shape.axis) if line.shape.axis is not None else 1, model.columns if line.shape.months else 1)
    mask, numbers = np.zeros(shape), np.zeros(shape)
    for place, value in values.items():
        mask[place], numbers[place] = 1.0, value
    block = line.block
    assert isinstance(block, Block)
    here = Line(f"{key} (held)", "Held", NONE, line.shape, block, "constant", value=mask)
    number = Line(f"{key} (typed)", "Typed", line.unit, line.shape, block, "constant", value=numbers)
    own, line.expr = line.expr, None
    line.becomes(own * (1 - here) + number * here)
    block.lines.extend((here, number))
    return finish(block.builder)


def _root(node: Node) -> Node:
    while isinstance(node, Bridge):
        node = node.part
    return node

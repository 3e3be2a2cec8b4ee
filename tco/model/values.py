"""The value of an expression when the lines it reads are known."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeAlias

import numpy as np

from tco import rates_of_return
from tco.model.kinds import Array, ModelError
from tco.model.nodes import (
    Across,
    Apply,
    Before,
    Bridge,
    Delayed,
    Entry,
    Gathered,
    Joined,
    Line,
    Node,
    Number,
    Of,
    Over,
    Running,
    Stacked,
    Table,
)
from tco.model.operations import OPERATIONS, SWITCHES, flag

Watch: TypeAlias = Callable[[Array], None]
Store: TypeAlias = dict[Line, Array]

LITERALS: Final = {value: np.full((1, 1, 1), float(value)) for value in (-1, 0, 1, 12)}
for _literal in LITERALS.values():
    _literal.flags.writeable = False  # the same array stands in every evaluation


def value_of(node: Node, store: Store, columns: int, watch: Watch | None) -> Array:
    """Compute an expression: (draws or 1, entries or 1, months or 1)."""
    match node:
        case Of(line=line):
            return store[line]
        case Apply(op=op, args=args):
            values = [value_of(part, store, columns, watch) for part in args]
            if watch is not None and op in SWITCHES:
                watch(SWITCHES[op](*values))
            return OPERATIONS[op](*values)
        case Number(value=value):
            return LITERALS[value]
        case Bridge(part=part):
            return value_of(part, store, columns, watch)
        case Entry(line=line, place=place):
            return store[line][:, place : place + 1, :]
        case Before(line=line):
            return _shifted(line, store, columns, watch)
        case Stacked(args=args):
            parts = [value_of(part, store, columns, watch) for part in args]
            draws, months = max(len(p) for p in parts), max(p.shape[2] for p in parts)
            return np.concatenate([np.broadcast_to(p, (draws, 1, months)) for p in parts], axis=1)
        case Joined(lines=lines, shape=shape):
            months = columns if shape.months else 1
            return sum((store[line] for line in lines), np.zeros((1, 1, months)))
        case _:
            return _reduced(node, store, columns, watch)


def _reduced(node: Node, store: Store, columns: int, watch: Watch | None) -> Array:
    """Nodes that read a whole row, a whole column or a table."""
    match node:
        case Running(flow=flow, opens=opens):
            return _running(store[flow], None if opens is None else store[opens])
        case Across(factors=factors):
            return sum_of_products([store[line] for line in factors])
        case Over(how=how, lines=lines):
            return _over(how, [store[line] for line in lines], watch)
        case Table(how=how, values=values, keys=keys, key=key):
            wanted = value_of(key, store, columns, watch)
            return look_up(how, store[values], None if keys is None else store[keys], wanted, watch)
        case Gathered(axis=axis, flow=flow, number=number):
            rows, numbers = store[flow], store[number]
            parts = [_sum(rows * (numbers == place), 2) for place in range(1, len(axis) + 1)]
            return np.concatenate(parts, axis=1)
        case Delayed(flow=flow, lag=lag):
            return _delay(store[flow], store[lag])
    raise ModelError(f"{type(node).__name__} can only be read month by month")


def _running(flow: Array, opens: Array | None) -> Array:
    so_far = np.cumsum(flow, axis=2)
    if opens is None:
        return so_far
    before = so_far - flow
    months = np.arange(flow.shape[2])
    last = np.maximum.accumulate(np.where(opens != 0, months, 0), axis=2).astype(np.intp)
    draws = max(len(before), len(last))
    entries = max(before.shape[1], last.shape[1])
    shape = (draws, entries, flow.shape[2])
    at_open = np.take_along_axis(np.broadcast_to(before, shape), np.broadcast_to(last, shape), axis=2)
    return so_far - at_open


def _over(how: str, rows: list[Array], watch: Watch | None) -> Array:
    if how == "total":
        return _sum(rows[0], 2)
    if how == "present":
        return _sum(rows[0] * rows[1], 2)
    if watch is not None and how in ("highest", "lowest"):
        place = rows[0].argmax(axis=2) if how == "highest" else rows[0].argmin(axis=2)
        watch(place[:, :, np.newaxis].astype(np.float64))
    if how == "highest":
        return np.asarray(rows[0].max(axis=2, keepdims=True))
    if how == "lowest":
        return np.asarray(rows[0].min(axis=2, keepdims=True))
    if how == "first month":
        flag = rows[0] != 0
        return np.where(flag.any(axis=2, keepdims=True), flag.argmax(axis=2, keepdims=True) + 1.0, 0.0)
    return np.nan_to_num(rates_of_return.irr(rows[0]).rate, nan=0.0)[:, :, np.newaxis]


def sum_of_products(factors: list[Array]) -> Array:
    """The sum along the axis of the product of tables."""
    product = factors[0]
    for other in factors[1:]:
        product = product * other
    return _sum(product, 1)


def _sum(values: Array, axis: int) -> Array:
    """Add up along an axis, in an order that the number of draws cannot change.

    NumPy adds in the order of memory, and an array of draws may lie there in another order than one draw alone.
    """
    return np.asarray(np.ascontiguousarray(values).sum(axis=axis, keepdims=True))


def look_up(how: str, values: Array, keys: Array | None, wanted: Array, watch: Watch | None) -> Array:
    """The entry of a column by position, by band or by equal key; 0 where there is none."""
    if how == "at":
        place = wanted - 1.0
    elif how == "band":
        assert keys is not None
        place = sum((flag(keys[:, i : i + 1] <= wanted) for i in range(keys.shape[1])), np.zeros(wanted.shape)) - 1.0
        if watch is not None:
            watch(place)
    else:
        assert keys is not None
        return sum(
            ((keys[:, i : i + 1] == wanted) * values[:, i : i + 1] for i in range(keys.shape[1])),
            np.zeros((1, 1, 1)),
        )
    found = np.zeros((1, 1, 1))
    for i in range(values.shape[1]):
        found = np.where(place == i, values[:, i : i + 1], found)
    return found


def _delay(rows: Array, lag: Array) -> Array:
    """Read each row `lag` months earlier: 0 for a part of a month, before the first and after the last."""
    source = np.arange(rows.shape[2]) - lag
    there = (source >= 0) & (source < rows.shape[2]) & (source == np.floor(source))
    shape = (max(len(rows), len(source)), *rows.shape[1:])
    place = np.broadcast_to(np.where(there, source, 0.0), shape).astype(np.intp)
    return np.where(there, np.take_along_axis(np.broadcast_to(rows, shape), place, axis=2), 0.0)


def opening_of(line: Line, store: Store, columns: int, watch: Watch | None) -> Array:
    """The value of a line before the first month."""
    return np.zeros((1, 1, 1)) if line.opening is None else value_of(line.opening, store, columns, watch)


def _shifted(line: Line, store: Store, columns: int, watch: Watch | None) -> Array:
    rows, first = store[line], opening_of(line, store, columns, watch)
    draws = max(len(rows), len(first))
    head = np.broadcast_to(first, (draws, rows.shape[1], 1))
    return np.concatenate([head, np.broadcast_to(rows[:, :, :-1], (draws, rows.shape[1], columns - 1))], axis=2)

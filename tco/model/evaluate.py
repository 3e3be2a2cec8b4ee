"""Lines as NumPy arrays: one row, or one per draw.

Every value is an array of shape (draws or 1, entries or 1, months or 1). What no replaced line touches keeps one draw;
that is all the constant folding there is, and it makes a draw in a batch equal the same draw alone bit for bit.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TypeAlias

import numpy as np

from tco.model.kinds import Array, ModelError
from tco.model.model import Group, Model, reads
from tco.model.nodes import Apply, Before, Bridge, Entry, Line, Node, Of, Stacked
from tco.model.operations import OPERATIONS, SWITCHES
from tco.model.values import Store, Watch, opening_of, value_of

Key: TypeAlias = "str | tuple[str, int]"


def evaluate(
    model: Model,
    replace: Mapping[Key, Array | float] | None = None,
    keep: Collection[str] | None = None,
    watch: Watch | None = None,
) -> dict[str, Array]:
    """Compute the model.

    Parameters
    ----------
    model : the model
    replace : figures to take instead of the scenario's own, by key or by (key of a column, entry counted from 0): a
        number or an array of draws, shape (draws,), in the unit of the line
    keep : keys of the lines wanted; all when absent. Others are dropped after their last reader.
    watch : called with the side every minimum, maximum, comparison and rounding took, shape (draws, entries, months)

    Returns
    -------
    Arrays of shape (draws or 1, entries or 1, months or 1) by key.

    Raises
    ------
    ModelError
        A key to replace is unknown or no figure.
    """
    store: Store = {}
    replaced = _replacements(model, replace or {})
    wanted = None if keep is None else {model[key] for key in keep}
    left = {line: len(readers) for line, readers in model.readers.items()} if wanted is not None else {}
    for group in model.order:
        if group.monthly:
            _MonthByMonth(group, store, model.columns, watch).run()
        else:
            (line,) = group.lines
            if line.value is not None:
                store[line] = replaced.get(line, line.value[np.newaxis])
            else:
                assert line.expr is not None
                store[line] = _full(line, value_of(line.expr, store, model.columns, watch), model.columns)
        if wanted is not None:
            _free(group, store, left, wanted)
    chosen = model.lines if wanted is None else wanted
    return {line.id: store[line] for line in chosen}


def _free(group: Group, store: Store, left: dict[Line, int], wanted: set[Line]) -> None:
    for line in group.lines:
        for other in reads(line):
            left[other] -= 1
            if left[other] == 0 and other not in wanted and other in store:
                del store[other]


def _replacements(model: Model, replace: Mapping[Key, Array | float]) -> Store:
    found: Store = {}
    for key, given in replace.items():
        name, place = key if isinstance(key, tuple) else (key, None)
        if name in model.entries:
            line, place = model.entries[name]
            name = line.id
        if name not in model or model[name].value is None:
            raise ModelError(f"{name} is no figure of this model")
        line = model[name]
        base = found.get(line, line.value[np.newaxis])  # type: ignore[index]
        values = np.asarray(given, dtype=np.float64).reshape(-1, 1, 1)
        if place is None:
            found[line] = (
                np.broadcast_to(values, (len(values), *base.shape[1:])).copy() if base.shape[1] > 1 else values
            )
        else:
            table = np.broadcast_to(base, (max(len(values), len(base)), *base.shape[1:])).copy()
            table[:, place : place + 1, :] = values
            found[line] = table
    return found


def _full(line: Line, value: Array, columns: int) -> Array:
    """Give a row of months its months, and a table its entries, when the expression had fewer."""
    entries = len(line.shape.axis) if line.shape.axis is not None else 1
    months = columns if line.shape.months else 1
    if value.shape[1:] == (entries, months):
        return value
    return np.broadcast_to(value, (len(value), entries, months))


class _MonthByMonth:
    """Computes lines that need each other's past; what does not depend on them is computed once, whole.

    A class, not a recursive inner function: a closure and its arrays would form a cycle that waits for the collector.
    """

    def __init__(self, group: Group, store: Store, columns: int, watch: Watch | None) -> None:
        self.group, self.store, self.columns, self.watch = group, store, columns, watch
        self.past: dict[Line, list[Array]] = {line: [] for line in group.lines}
        self.outside: dict[Node, Array] = {}
        self.dependent: dict[Node, bool] = {}
        self.opening = {line: opening_of(line, store, columns, watch) for line in group.lines}

    def run(self) -> None:
        """Fill the store with the rows of the group."""
        for month in range(self.columns):
            for line in self.group.lines:
                assert line.expr is not None
                self.past[line].append(self._value(line.expr, month))
        for line, parts in self.past.items():
            shape = tuple(max(part.shape[i] for part in parts) for i in (0, 1))
            self.store[line] = np.concatenate([np.broadcast_to(part, (*shape, 1)) for part in parts], axis=2)

    def _depends(self, node: Node) -> bool:
        if node not in self.dependent:
            if isinstance(node, Of | Before | Entry):
                self.dependent[node] = node.line in self.past
            else:
                self.dependent[node] = any(self._depends(part) for part in node.parts)
        return self.dependent[node]

    def _value(self, node: Node, month: int) -> Array:
        if not self._depends(node):
            if node not in self.outside:
                self.outside[node] = value_of(node, self.store, self.columns, self.watch)
            whole = self.outside[node]
            return whole if whole.shape[2] == 1 else whole[:, :, month : month + 1]
        match node:
            case Before(line=line):
                return self.past[line][month - 1] if month else self.opening[line]
            case Of(line=line):
                return self.past[line][month]
            case Entry(line=line, place=place):
                return self.past[line][month][:, place : place + 1]
            case Bridge(part=part):
                return self._value(part, month)
            case Stacked(args=args):
                parts = [self._value(part, month) for part in args]
                draws = max(len(part) for part in parts)
                return np.concatenate([np.broadcast_to(part, (draws, 1, 1)) for part in parts], axis=1)
            case Apply(op=op, args=args):
                values = tuple(self._value(part, month) for part in args)
                if self.watch is not None and op in SWITCHES:
                    self.watch(SWITCHES[op](*values))
                return OPERATIONS[op](*values)
        raise ModelError(f"{type(node).__name__} over lines that need their own past")

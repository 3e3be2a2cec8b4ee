"""Lines as NumPy arrays: one row, or one per draw.

Every value is an array of shape (draws or 1, entries or 1, months or 1). What no replaced line touches keeps one draw,
and the model remembers it; so a draw in a batch equals the same draw alone bit for bit.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TypeAlias

import numpy as np

from tco.model.kinds import Array, ModelError
from tco.model.model import Group, Model, references
from tco.model.nodes import Across, Apply, Before, Bridge, Entry, Joined, Line, Node, Of, Stacked, Table
from tco.model.operations import OPERATIONS, SWITCHES
from tco.model.plan import Plan, plan
from tco.model.values import Store, Watch, look_up, opening_of, sum_of_products, value_of

Key: TypeAlias = "str | tuple[str, int]"


def evaluate(
    model: Model,
    replace: Mapping[Key, Array | float] | None = None,
    keep: Collection[str] | None = None,
    watch: Watch | None = None,
    overtype: Mapping[str, Array | float] | None = None,
) -> dict[str, Array]:
    """Compute the model.

    Parameters
    ----------
    model : the model
    replace : figures to take instead of the scenario's own, by key or by (key of a column, entry counted from 0): a
        number or an array of draws, shape (draws,), in the unit of the line
    keep : keys of the lines wanted; all when absent. Others are dropped after their last reader.
    watch : called with the side every minimum, maximum, comparison and rounding took that a replaced figure can move,
        or every one when none is replaced; shape (draws, entries, months)
    overtype : computed lines to take as given, as if their cells were typed over in the workbook: a number, or an array
        that fits (draws or 1, entries, months)

    Returns
    -------
    Arrays of shape (draws or 1, entries or 1, months or 1) by key.

    Raises
    ------
    ModelError
        A key to replace is unknown or no figure, a key to keep or to overtype is unknown, or what is overtyped needs
        its own past.
    """
    replaced = _replacements(model, replace or {}) | _overtyped(model, overtype or {})
    wanted = None if keep is None else {_known(model, key) for key in keep}
    todo = _plan(model, replaced, wanted)
    if watch is not None and not replaced:  # nothing moves, and whoever watches wants to see it all
        todo = Plan((), todo.fixed, (), todo.readers)
    for group in todo.fixed:
        if group.lines[0] not in model.own:
            _compute(group, model.own, replaced, model.columns, None)
            for line in group.lines:
                model.own[line].flags.writeable = False
    store = {line: model.own[line] for line in todo.read}
    left = dict(todo.readers)
    for group in todo.moved:
        _compute(group, store, replaced, model.columns, watch)
        if wanted is not None:
            _free(model, group, store, left, wanted)
    chosen = model.lines if wanted is None else wanted
    return {line.id: store[line] for line in chosen}


def _plan(model: Model, replaced: Store, wanted: set[Line] | None) -> Plan:
    """The plan for these lines, remembered: a search asks the same question many times."""
    key = (frozenset(replaced), None if wanted is None else frozenset(wanted))
    found = model.plans.get(key)
    if found is None:
        found = model.plans[key] = plan(model, replaced, wanted)
    return found


def _compute(group: Group, store: Store, replaced: Store, columns: int, watch: Watch | None) -> None:
    """Put the values of a group into the store."""
    if group.monthly:
        _MonthByMonth(group, store, columns, watch).run()
    else:
        (line,) = group.lines
        if line in replaced:
            store[line] = replaced[line]
        elif line.value is not None:
            store[line] = line.value[np.newaxis]
        else:
            assert line.expr is not None
            store[line] = _full(line, value_of(line.expr, store, columns, watch), columns)


def _known(model: Model, key: str) -> Line:
    if key not in model:
        raise ModelError(f"{key} is no line of this model")
    return model[key]


def _free(model: Model, group: Group, store: Store, left: dict[Line, int], wanted: set[Line]) -> None:
    """Drop what no group to come reads: what this one read last, and lines that nobody reads."""
    for other in {other for line in group.lines for other in model.sources[line] if other in left}:
        left[other] -= 1
        if left[other] == 0 and other not in wanted:
            store.pop(other, None)
    for line in group.lines:
        if left[line] == 0 and line not in wanted:
            store.pop(line, None)


def _replacements(model: Model, replace: Mapping[Key, Array | float]) -> Store:
    """Figures that are replaced, whole or entry by entry; of two replacements of one figure the later one holds."""
    found: Store = {}
    for key, given in replace.items():
        name, place = key if isinstance(key, tuple) else (key, None)
        if name in model.entries:
            line, place = model.entries[name]
        elif name in model:
            line = model[name]
        else:
            raise ModelError(f"{name} is no figure of this model")
        if line.value is None or line.role == "choice":
            raise ModelError(f"{name} is no figure of this model")
        if place is not None and not 0 <= place < len(line.value):
            raise ModelError(f"{name} has {len(line.value)} entries, and none at place {place}")
        values = np.asarray(given, dtype=np.float64).reshape(-1, 1, 1)
        base = found.get(line, line.value[np.newaxis])
        if place is None:
            found[line] = np.broadcast_to(values, (len(values), *base.shape[1:]))
        else:
            table = np.broadcast_to(base, (max(len(values), len(base)), *base.shape[1:])).copy()
            table[:, place : place + 1, :] = values
            found[line] = table
    return found


def _overtyped(model: Model, overtype: Mapping[str, Array | float]) -> Store:
    """Computed lines with the values they are given."""
    past = {line for group in model.order if group.monthly for line in group.lines} if overtype else set()
    found: Store = {}
    for key, given in overtype.items():
        line = _known(model, key)
        if line.expr is None or line in past:
            raise ModelError(f"{key} is {'a figure' if line.expr is None else 'computed from its own past'}")
        values = np.asarray(given, dtype=np.float64)
        found[line] = _full(line, values if values.ndim > 1 else values.reshape(-1, 1, 1), model.columns)
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
            entries = 1 if line.shape.axis is None else len(line.shape.axis)
            rows = np.empty((max(map(len, parts)), entries, self.columns))
            for month, part in enumerate(parts):
                rows[:, :, month : month + 1] = part
            self.store[line] = rows

    @staticmethod
    def _all_entries(line: Line, value: Array) -> Array:
        """Give a month of a table its entries when the expression had one for all."""
        if line.shape.axis is None or value.shape[1] == len(line.shape.axis):
            return value
        return np.broadcast_to(value, (len(value), len(line.shape.axis), 1))

    def _depends(self, node: Node) -> bool:
        if node not in self.dependent:
            self.dependent[node] = any(line in self.past for line, _ in references(node))
        return self.dependent[node]

    def _this(self, line: Line, month: int) -> Array:
        """One month of a line, of this group or computed before."""
        if line in self.past:
            return self.past[line][month]
        whole = self.store[line]
        return whole if whole.shape[2] == 1 else whole[:, :, month : month + 1]

    def _value(self, node: Node, month: int) -> Array:
        whole = self.outside.get(node)
        if whole is None:
            if self._depends(node):
                return self._dependent(node, month)
            whole = self.outside[node] = value_of(node, self.store, self.columns, self.watch)
        return whole if whole.shape[2] == 1 else whole[:, :, month : month + 1]

    def _dependent(self, node: Node, month: int) -> Array:
        match node:
            case Apply(op=op, args=args):
                given = [self._value(part, month) for part in args]
                if self.watch is not None and op in SWITCHES:
                    self.watch(SWITCHES[op](*given))
                return OPERATIONS[op](*given)
            case Of(line=line):
                return self._this(line, month)
            case Before(line=line):
                return self.past[line][month - 1] if month else self.opening[line]
            case Entry(line=line, place=place):
                return self._all_entries(line, self.past[line][month])[:, place : place + 1]
            case Bridge(part=part):
                return self._value(part, month)
            case Stacked(args=args):
                parts = [self._value(part, month) for part in args]
                draws = max(len(part) for part in parts)
                return np.concatenate([np.broadcast_to(part, (draws, 1, 1)) for part in parts], axis=1)
            case Joined(lines=lines):
                return sum((self._this(line, month) for line in lines), np.zeros((1, 1, 1)))
            case Across(factors=factors):
                return sum_of_products([self._all_entries(line, self._this(line, month)) for line in factors])
            case Table(how=how, values=values, keys=keys, key=key):
                keyed = None if keys is None else self.store[keys]
                return look_up(how, self.store[values], keyed, self._value(key, month), self.watch)
        raise ModelError(f"{type(node).__name__} over lines that need their own past")

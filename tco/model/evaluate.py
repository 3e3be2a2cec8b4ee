"""Lines as NumPy arrays: one row, or one per draw.

Every value is an array of shape (draws or 1, entries or 1, months or 1). What no replaced line touches keeps one draw;
that is all the constant folding there is, and it makes a draw in a batch equal the same draw alone bit for bit.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import Final, TypeAlias

import numpy as np

from tco import finance
from tco.model.lines import Array, Line
from tco.model.model import Group, Model, reads
from tco.model.nodes import (
    Across,
    Apply,
    Before,
    Bridge,
    Delayed,
    Entry,
    Gathered,
    Joined,
    ModelError,
    Node,
    Number,
    Of,
    Over,
    Running,
    Stacked,
    Table,
)

Key: TypeAlias = "str | tuple[str, int]"
Watch: TypeAlias = Callable[[Array], None]
Store: TypeAlias = dict[Line, Array]


def _safe_divide(part: Array, whole: Array) -> Array:
    zero = whole == 0
    return np.where(zero, 0.0, part / np.where(zero, 1.0, whole))


def _level_payment(principal: Array, rate: Array, months: Array) -> Array:
    return np.asarray(finance.level_payment(principal, rate, months))


def _flag(value: Array) -> Array:
    return value.astype(np.float64)


OPERATIONS: Final[dict[str, Callable[..., Array]]] = {
    "+": np.add,
    "-": np.subtract,
    "*": np.multiply,
    "/": np.divide,
    "safe /": _safe_divide,
    "power": np.power,
    "growth": lambda rate, years: np.power(1.0 + rate, years),
    "level payment": _level_payment,
    "=": lambda a, b: _flag(a == b),
    "<": lambda a, b: _flag(a < b),
    "<=": lambda a, b: _flag(a <= b),
    ">": lambda a, b: _flag(a > b),
    ">=": lambda a, b: _flag(a >= b),
    "and": lambda a, b: _flag((a != 0) & (b != 0)),
    "or": lambda a, b: _flag((a != 0) | (b != 0)),
    "not": lambda a: 1.0 - a,
    "min": lambda *args: _fold(np.minimum, args),
    "max": lambda *args: _fold(np.maximum, args),
    "up": np.ceil,
    "down": np.floor,
    "mod": lambda a, b: a - b * np.floor(a / b),
}

SWITCHES: Final[dict[str, Callable[..., Array]]] = {
    "safe /": lambda _, whole: _flag(whole == 0),
    "=": lambda a, b: _flag(a == b),
    "<": lambda a, b: _flag(a < b),
    "<=": lambda a, b: _flag(a <= b),
    ">": lambda a, b: _flag(a > b),
    ">=": lambda a, b: _flag(a >= b),
    "min": lambda *args: _flag(_side(np.less_equal, args)),
    "max": lambda *args: _flag(_side(np.greater_equal, args)),
    "up": np.ceil,
    "down": np.floor,
}


def _fold(function: Callable[[Array, Array], Array], args: tuple[Array, ...]) -> Array:
    result = args[0]
    for other in args[1:]:
        result = function(result, other)
    return result


def _side(compare: Callable[[Array, Array], Array], args: tuple[Array, ...]) -> Array:
    """Which argument of a minimum or maximum was taken, counted from 0."""
    taken, best = np.zeros(()), args[0]
    for place, other in enumerate(args[1:], 1):
        keeps = compare(best, other)
        taken = np.where(keeps, taken, float(place))
        best = np.where(keeps, best, other)
    return taken


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
            _by_month(group, store, model.columns, watch)
        else:
            (line,) = group.lines
            if line.value is not None:
                store[line] = replaced.get(line, line.value[np.newaxis])
            else:
                assert line.expr is not None
                store[line] = _full(line, _value(line.expr, store, model.columns, watch), model.columns)
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
            found[line] = np.broadcast_to(values, (len(values), *base.shape[1:])).copy() if base.shape[1] > 1 else values
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


def _value(node: Node, store: Store, columns: int, watch: Watch | None) -> Array:
    match node:
        case Of(line=line):
            return store[line]
        case Number(value=value):
            return np.full((1, 1, 1), float(value))
        case Apply(op=op, args=args):
            values = tuple(_value(part, store, columns, watch) for part in args)
            if watch is not None and op in SWITCHES:
                watch(SWITCHES[op](*values))
            return OPERATIONS[op](*values)
        case Bridge(part=part):
            return _value(part, store, columns, watch)
        case Entry(line=line, place=place):
            return store[line][:, place : place + 1, :]
        case Before(line=line):
            return _shifted(line, store, columns, watch)
        case Stacked(args=args):
            parts = [_value(part, store, columns, watch) for part in args]
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
            product = store[factors[0]]
            for line in factors[1:]:
                product = product * store[line]
            return np.asarray(product.sum(axis=1, keepdims=True))
        case Over(how=how, lines=lines):
            return _over(how, [store[line] for line in lines])
        case Table(how=how, values=values, keys=keys, key=key):
            wanted = _value(key, store, columns, watch)
            return _look_up(how, store[values], None if keys is None else store[keys], wanted, watch)
        case Gathered(axis=axis, flow=flow, number=number):
            rows, numbers = store[flow], store[number]
            parts = [(rows * (numbers == place)).sum(axis=2, keepdims=True) for place in range(1, len(axis) + 1)]
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


def _over(how: str, rows: list[Array]) -> Array:
    if how == "total":
        return np.asarray(rows[0].sum(axis=2, keepdims=True))
    if how == "present":
        return np.asarray((rows[0] * rows[1]).sum(axis=2, keepdims=True))
    if how == "highest":
        return np.asarray(rows[0].max(axis=2, keepdims=True))
    if how == "lowest":
        return np.asarray(rows[0].min(axis=2, keepdims=True))
    if how == "first month":
        flag = rows[0] != 0
        return np.where(flag.any(axis=2, keepdims=True), flag.argmax(axis=2, keepdims=True) + 1.0, 0.0)
    rates = finance.irr(rows[0][:, 0, :]).rate
    return np.nan_to_num(rates, nan=0.0).reshape(-1, 1, 1)


def _look_up(how: str, values: Array, keys: Array | None, wanted: Array, watch: Watch | None) -> Array:
    if how == "at":
        place = wanted - 1.0
    elif how == "band":
        assert keys is not None
        place = sum((_flag(keys[:, i : i + 1] <= wanted) for i in range(keys.shape[1])), np.zeros(wanted.shape)) - 1.0
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
    source = np.arange(rows.shape[2]) - lag.astype(np.intp)
    shape = (max(len(rows), len(source)), rows.shape[1], rows.shape[2])
    taken = np.take_along_axis(
        np.broadcast_to(rows, shape), np.broadcast_to(np.clip(source, 0, None), shape).astype(np.intp), axis=2
    )
    return np.where(source >= 0, taken, 0.0)


# Month by month ----------------------------------------------------------------------------------------------------


def _by_month(group: Group, store: Store, columns: int, watch: Watch | None) -> None:
    """Compute lines that need each other's past; subexpressions that do not are computed once, whole."""
    inside = set(group.lines)
    columns_of: dict[Line, list[Array]] = {line: [] for line in group.lines}
    outside: dict[Node, Array] = {}
    opening = {line: _opening(line, store, columns, watch) for line in group.lines}

    def depends(node: Node) -> bool:
        if isinstance(node, Of | Before | Entry):
            return node.line in inside
        return any(depends(part) for part in node.parts)

    def value(node: Node, month: int) -> Array:
        if isinstance(node, Before) and node.line in inside:
            past = columns_of[node.line]
            return past[month - 1] if month else opening[node.line]
        if isinstance(node, Of) and node.line in inside:
            return columns_of[node.line][month]
        if isinstance(node, Entry) and node.line in inside:
            return columns_of[node.line][month][:, node.place : node.place + 1]
        if not depends(node):
            if node not in outside:
                outside[node] = _value(node, store, columns, watch)
            whole = outside[node]
            return whole if whole.shape[2] == 1 else whole[:, :, month : month + 1]
        if isinstance(node, Bridge):
            return value(node.part, month)
        if isinstance(node, Stacked):
            parts = [value(part, month) for part in node.args]
            draws = max(len(p) for p in parts)
            return np.concatenate([np.broadcast_to(p, (draws, 1, 1)) for p in parts], axis=1)
        if isinstance(node, Apply):
            values = tuple(value(part, month) for part in node.args)
            if watch is not None and node.op in SWITCHES:
                watch(SWITCHES[node.op](*values))
            return OPERATIONS[node.op](*values)
        raise ModelError(f"{type(node).__name__} over lines that need their own past")

    for month in range(columns):
        for line in group.lines:
            assert line.expr is not None
            columns_of[line].append(value(line.expr, month))
    for line in group.lines:
        parts = columns_of[line]
        shape = tuple(max(p.shape[i] for p in parts) for i in (0, 1))
        store[line] = np.concatenate([np.broadcast_to(p, (*shape, 1)) for p in parts], axis=2)


def _opening(line: Line, store: Store, columns: int, watch: Watch | None) -> Array:
    return np.zeros((1, 1, 1)) if line.opening is None else _value(line.opening, store, columns, watch)


def _shifted(line: Line, store: Store, columns: int, watch: Watch | None) -> Array:
    rows, first = store[line], _opening(line, store, columns, watch)
    draws = max(len(rows), len(first))
    head = np.broadcast_to(first, (draws, rows.shape[1], 1))
    return np.concatenate([head, np.broadcast_to(rows[:, :, :-1], (draws, rows.shape[1], columns - 1))], axis=2)

"""The finished model: all lines with the order in which they can be computed."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from tco.model.kinds import Array, ModelError
from tco.model.lines import Block, Builder
from tco.model.nodes import (
    Across,
    Before,
    Bridge,
    Delayed,
    Entry,
    Gathered,
    Joined,
    Line,
    Node,
    Of,
    Over,
    Running,
    Table,
)


def references(node: Node) -> Iterator[tuple[Line, bool]]:
    """The lines an expression reads, each with whether it is read a month late."""
    match node:
        case Of(line=line) | Entry(line=line):
            yield line, False
        case Before(line=line):
            yield line, True
        case Running(flow=flow, opens=opens):
            yield flow, False
            if opens is not None:
                yield opens, False
        case Across(factors=lines) | Over(lines=lines) | Joined(lines=lines):
            yield from ((line, False) for line in lines)
        case Gathered(flow=flow, number=number):
            yield from ((flow, False), (number, False))
        case Delayed(flow=flow, lag=lag, month=month):
            yield from ((flow, False), (lag, False), (month, False))
        case Table(values=values, keys=keys):
            yield values, False
            if keys is not None:
                yield keys, False
    for part in node.parts:
        yield from references(part)


def reads(line: Line) -> dict[Line, bool]:
    """The lines a line reads; True where every reading is of the month before."""
    late: dict[Line, bool] = {}
    for node in (line.expr, line.opening):
        if node is not None:
            for other, before in references(node):
                late[other] = late.get(other, True) and before
    return late


@dataclass(frozen=True)
class Group:
    """Lines computed together: one alone, or several that need each other's past and go month by month."""

    lines: tuple[Line, ...]
    monthly: bool


@dataclass(frozen=True, eq=False)
class Model:
    """Everything a scenario means, ready to be evaluated, spelled as formulas and told in words.

    `own` is the memory of `evaluate`: values with no figure replaced, by line; a part of a model shares it.
    """

    columns: int
    blocks: tuple[Block, ...]
    lines: tuple[Line, ...]
    order: tuple[Group, ...]
    own: dict[Line, Array] = field(default_factory=dict, repr=False)

    @cached_property
    def by_id(self) -> dict[str, Line]:
        """Lines by key."""
        return {line.id: line for line in self.lines}

    @cached_property
    def entries(self) -> dict[str, tuple[Line, int]]:
        """Figures that are one entry of a column: their key, the column and the place counted from 0."""
        return {key: (line, place) for line in self.lines for place, key in enumerate(line.entry_keys)}

    def __getitem__(self, key: str) -> Line:
        return self.by_id[key]

    def __contains__(self, key: str) -> bool:
        return key in self.by_id

    @cached_property
    def plans(self) -> dict[Hashable, Any]:
        """What `evaluate` found out about questions asked before, by question."""
        return {}

    @cached_property
    def sources(self) -> dict[Line, tuple[Line, ...]]:
        """For every line the lines it reads."""
        return {line: tuple(reads(line)) for line in self.lines}

    @cached_property
    def readers(self) -> dict[Line, tuple[Line, ...]]:
        """For every line the lines that read it, in order."""
        found: dict[Line, list[Line]] = {line: [] for line in self.lines}
        for line in self.lines:
            for other in self.sources[line]:
                found[other].append(line)
        return {line: tuple(others) for line, others in found.items()}

    @property
    def scopes(self) -> tuple[str, ...]:
        """Scopes in order: shared, each candidate, comparison."""
        return tuple(dict.fromkeys(block.scope for block in self.blocks))

    def blocks_of(self, scope: str) -> tuple[Block, ...]:
        """The blocks of one scope, in reading order."""
        return tuple(block for block in self.blocks if block.scope == scope)


def finish(builder: Builder) -> Model:
    """Close a model: every line has a meaning, every reading is inside, and an order of computing exists.

    Raises
    ------
    ModelError
        A line was declared and never closed, or lines need each other within the same month; both by name.
    """
    blocks = tuple(block for block in builder.blocks if block.lines or block.used)
    lines = tuple(line for block in blocks for line in block.lines)
    inside = set(lines)
    for line in lines:
        if line.expr is None and line.value is None:
            raise ModelError(f"{line.id} was declared but never given an expression")
        for other in reads(line):
            if other not in inside:
                raise ModelError(f"{line.id} reads {other.id}, which is in no block of this model")
        if line.expr is not None:
            _refuse_running_below(line, line.expr)
    return Model(builder.columns, blocks, lines, tuple(_groups(lines)))


def nodes_of(node: Node) -> Iterator[Node]:
    """An expression and every one it is made of."""
    yield node
    for part in node.parts:
        yield from nodes_of(part)


def _refuse_running_below(line: Line, expr: Node) -> None:
    """A running sum refers to its own row in a spreadsheet, so it is the whole expression of its line."""
    while isinstance(expr, Bridge):
        expr = expr.part
    for node in nodes_of(expr):
        if isinstance(node, Running) and node is not expr:
            raise ModelError(f"{line.id}: the running sum of [{node.flow.label}] needs a line of its own")


def _groups(lines: tuple[Line, ...]) -> Iterator[Group]:
    """Strongly connected groups in order of computing (Tarjan's algorithm, without recursion)."""
    index: dict[Line, int] = {}
    low: dict[Line, int] = {}
    stack: list[Line] = []
    on_stack: set[Line] = set()
    links = {line: reads(line) for line in lines}
    for root in lines:
        if root in index:
            continue
        index[root] = low[root] = len(index)
        stack.append(root)
        on_stack.add(root)
        work = [(root, iter(links[root]))]
        while work:
            line, others = work[-1]
            for other in others:
                if other not in index:
                    index[other] = low[other] = len(index)
                    stack.append(other)
                    on_stack.add(other)
                    work.append((other, iter(links[other])))
                    break
                if other in on_stack:
                    low[line] = min(low[line], index[other])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[line])
                if low[line] == index[line]:
                    at = stack.index(line)
                    members = stack[at:]
                    del stack[at:]
                    on_stack.difference_update(members)
                    yield _group(members, links)


def _group(members: list[Line], links: dict[Line, dict[Line, bool]]) -> Group:
    inside = set(members)
    if len(members) == 1 and members[0] not in links[members[0]]:
        return Group((members[0],), monthly=False)
    ordered: list[Line] = []
    waiting = {line: {other for other, late in links[line].items() if other in inside and not late} for line in members}
    while waiting:
        ready = [line for line, needs in waiting.items() if not needs]
        if not ready:
            names = ", ".join(sorted(line.id for line in waiting))
            raise ModelError(f"these lines need each other within the same month: {names}")
        for line in ready:
            ordered.append(line)
            del waiting[line]
        for needs in waiting.values():
            needs.difference_update(ready)
    for line in ordered:
        _refuse_reducers(line, inside)
    return Group(tuple(ordered), monthly=True)


def _refuse_reducers(line: Line, inside: set[Line]) -> None:
    """A line computed month by month cannot read a whole row of its own group."""
    for node in nodes_of(line.expr) if line.expr is not None else ():
        whole_rows = isinstance(node, Running | Over | Gathered | Delayed)
        if whole_rows and any(other in inside for other, _ in references(node)):
            raise ModelError(f"{line.id} sums a row that depends on it")

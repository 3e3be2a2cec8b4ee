"""The order of what stands on a ledger: nothing reads a row below it, and tables along one axis stand side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from tco.model.kinds import Axis
from tco.model.lines import Block
from tco.model.model import reads
from tco.model.nodes import Line


@dataclass
class Columns:
    """A small table in the making: lines along one axis."""

    axis: Axis
    lines: list[Line] = field(default_factory=list)


def in_turn(blocks: Sequence[Block]) -> Iterator[tuple[Block, list[Line]]]:
    """Blocks with their calculated lines. Lines that read a later block wait for it and continue their own after it."""
    waiting: list[tuple[Block, list[Line]]] = []
    every = {line for block in blocks for line in block.lines if line.value is None}
    done: set[Line] = set()
    for block in blocks:
        waiting.append((block, _in_order([line for line in block.lines if line.value is None])))
        moved = True
        while moved:
            moved = False
            for place, (one, lines) in enumerate(waiting):
                ready = _ready(lines, every, done)
                if ready:
                    done.update(ready)
                    waiting[place] = (one, [line for line in lines if line not in done])
                    yield one, ready
                    moved = True


def _ready(lines: Sequence[Line], every: set[Line], done: set[Line]) -> list[Line]:
    """The lines whose readings of the same month are done, or come before them here."""
    ready: dict[Line, None] = {}
    for line in lines:
        needs = (other for other, late in reads(line).items() if other in every and not late)
        if all(other in done or other in ready for other in needs):
            ready[line] = None
    return list(ready)


def linked(block: Block, calculated: Sequence[Line]) -> list[Line]:
    """The figures a block reads, those it names itself first: each gets one link row."""
    wanted = dict.fromkeys(other for line in calculated for other in reads(line) if other.value is not None)
    named = [line for line in block.used if line in wanted]
    return named + [line for line in wanted if line not in named]


def _in_order(lines: Sequence[Line]) -> list[Line]:
    """Reading order, but nothing stands above what it reads in the same month: balances come after their movements."""
    inside, done = set(lines), dict[Line, None]()

    def visit(line: Line) -> None:
        if line in done or line in waiting:
            return
        waiting.add(line)
        for other, late in reads(line).items():
            if other in inside and not late:
                visit(other)
        done[line] = None

    waiting: set[Line] = set()
    for line in lines:
        visit(line)
    return list(done)


def parts(linked: Sequence[Line], calculated: Sequence[Line]) -> list[Line | Columns]:
    """Rows and tables of a block. A column joins an earlier table of its axis if it reads nothing that stands below."""
    parts: list[Line | Columns] = []
    at: dict[Line, int] = {}
    open_tables: dict[Axis, int] = {}
    for line in [*linked, *calculated]:
        axis = line.shape.axis
        if axis is None or line.shape.months:
            at[line] = len(parts)
            parts.append(line)
            continue
        latest = max((at[other] for other in reads(line) if other in at), default=-1)
        place = open_tables.get(axis, -1)
        if place < latest or place == -1:
            place = open_tables[axis] = len(parts)
            parts.append(Columns(axis))
        table = parts[place]
        assert isinstance(table, Columns)
        table.lines.append(line)
        at[line] = place
    return parts

"""What an answer needs, and which part of it replaced figures touch.

Everything else is worth what it always is, so a model computes it once and remembers it: a what-if costs only the
lines that can change.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from tco.model.model import Group, Model
from tco.model.nodes import Line


@dataclass(frozen=True, eq=False)
class Plan:
    """The work of one evaluation, in order.

    Attributes
    ----------
    fixed : groups that no replaced figure touches
    moved : groups to compute anew
    read : lines of `fixed` that `moved` or the caller reads
    readers : for every line of `moved` by how many groups of `moved` it is read
    """

    fixed: tuple[Group, ...]
    moved: tuple[Group, ...]
    read: tuple[Line, ...]
    readers: dict[Line, int]


def plan(model: Model, replaced: Collection[Line], wanted: Collection[Line] | None) -> Plan:
    """Return what to compute for the wanted lines, all when None, when these figures are replaced."""
    needed = set(model.lines) if wanted is None else _closed(wanted, model.sources)
    touched = _closed(replaced, model.readers)
    mine = [group for group in model.order if group.lines[0] in needed]
    moved = tuple(group for group in mine if any(line in touched for line in group.lines))
    fixed = tuple(group for group in mine if not any(line in touched for line in group.lines))
    inside = {line for group in moved for line in group.lines}
    readers = dict.fromkeys(inside, 0)
    read: dict[Line, None] = {}
    for group in moved:
        for other in {other for line in group.lines for other in model.sources[line]}:
            if other in inside:
                readers[other] += 1
            else:
                read[other] = None
    kept = model.lines if wanted is None else wanted
    read.update(dict.fromkeys(line for line in kept if line not in inside))
    return Plan(fixed, moved, tuple(read), readers)


def _closed(lines: Collection[Line], links: dict[Line, tuple[Line, ...]]) -> set[Line]:
    """These lines and all that can be reached from them."""
    found: set[Line] = set()
    waiting = list(lines)
    while waiting:
        line = waiting.pop()
        if line not in found:
            found.add(line)
            waiting.extend(links[line])
    return found

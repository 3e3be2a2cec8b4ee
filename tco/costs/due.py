"""Jobs that are due: the press hours of one job, against the hours within which it must be printed."""

from __future__ import annotations

from tco.costs.desk import Desk
from tco.costs.records import Placement, Work
from tco.model.kinds import Axis
from tco.model.lines import Block
from tco.model.nodes import Node
from tco.model.vocabulary import entry, excess, share, stacked


def due(desk: Desk, block: Block, placement: Placement, work: Work) -> None:
    """Describe the hours of one job of each class that has a due time, on the first press with speeds that takes it."""
    if work.jobs is None:
        return
    names: list[str] = []
    hours: list[Node] = []
    limits: list[Node] = []
    for at, one in enumerate(work.classes):
        limit = one.job.due_hours if one.job is not None else None
        needed = [press.needed for press in placement.presses if press.takes[at] and press.needed is not None]
        if limit is None or not needed:
            continue
        names.append(one.name)
        hours.append(share(entry(needed[0], at), entry(work.jobs, at)))
        limits.append(desk.take(block, limit, f"Due within: {one.name}", "hour/job") + 0)
    if not names:
        return
    axis = Axis("class with a due time", tuple(names))
    within = block.line("within", "Due within", "hour/job", stacked(axis, limits))
    one_job = block.line("hours", "Press hours of one job", "hour/job", stacked(axis, hours))
    block.memo("late", "Hours over the due time", "hour/job", excess(one_job, within))

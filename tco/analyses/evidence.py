"""What each candidate's present value rests on: how far it moves with each figure, and where those figures come from.

A figure weighs as much as the present value moves when that figure alone is moved by 1 % of itself, all others staying
as they are: half the distance between 1 % more and 1 % less. A receipt is relied on as much as a cost, so the size
counts and not the sign. The shares of a candidate are weights over the sum of all its weights; they add up to 1.

Where figures multiply each other, as rate times clicks do, each of them carries the whole product: 1 % of either moves
it by 1 %. So a share says how much of what can be off is of that kind, not how much money was quoted. Two sorts of
figure carry nothing and are counted apart: what counts months, presses or sides has no hundredth part, and a figure of
nothing has no 1 %, so an unknown figure computed as nothing shows among the gaps only. The volume scale is a lever for
trying, no figure that anybody vouches for, and is left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from tco.analyses.draws import comparison, one_at_a_time
from tco.analyses.ranged import Limits, limits_of
from tco.analyses.switches import SCALE
from tco.model.evaluate import Key
from tco.model.kinds import Array, Origin
from tco.model.model import Model
from tco.model.nodes import Line

STEP: Final = 0.01
MOST: Final = 10
ENOUGH: Final = 0.9
# Months counted from the start, beside the figures that `Limits` knows as whole.
ORDINALS: Final = frozenset({"present_end", "increase_month"})
# From what binds somebody to what nobody said; also the order of the columns that show it.
STATUSES: Final = ("contracted", "quoted", "invoiced", "measured", "estimated", "unknown", "assumed")


@dataclass(frozen=True)
class Weighed:
    """One figure and its weight for one candidate.

    Attributes
    ----------
    key, label : of the figure or of its entry
    line, entry : where it stands in the model; entry counted from 0
    status, source, date : as written
    value : the figure itself, in the unit of its line
    moves : today's money that the candidate costs more when the figure is 1 % farther from nothing
    share : weight over the sum of all weights of the candidate
    """

    key: str
    label: str
    line: str
    entry: int
    status: str
    source: str
    date: str
    value: float
    moves: float
    share: float


@dataclass(frozen=True)
class Rests:
    """What one candidate rests on.

    Attributes
    ----------
    shares : by status, all of `STATUSES`; they add up to 1, or are all 0 where no figure weighs anything
    most : the heaviest figures, until nine tenths are reached, ten at most
    reached : share of those together
    needed : how many figures it takes to reach nine tenths
    figures : how many figures weigh anything
    """

    candidate: str
    shares: Mapping[str, float]
    most: tuple[Weighed, ...]
    reached: float
    needed: int
    figures: int


@dataclass(frozen=True)
class Evidence:
    """All candidates in written order; `counting` figures have no hundredth part, `nothing` are nothing: not moved."""

    candidates: tuple[Rests, ...]
    counting: int
    nothing: int

    def of(self, candidate: str) -> Rests:
        """What one candidate rests on."""
        return next(one for one in self.candidates if one.candidate == candidate)


@dataclass(frozen=True)
class _Figure:
    line: Line
    entry: int
    value: float
    limits: Limits

    @property
    def origin(self) -> Origin:
        return self.line.entry_origins[self.entry] if self.line.entry_origins else self.line.origin

    @property
    def name(self) -> str:
        if self.line.shape.axis is None:
            return self.line.id
        return self.line.entry_keys[self.entry] if self.line.entry_keys else f"{self.line.id} [{self.entry + 1}]"

    @property
    def label(self) -> str:
        axis = self.line.shape.axis
        return self.line.label if axis is None else f"{self.line.label}: {axis.labels[self.entry]}"

    @property
    def counts(self) -> bool:
        return self.limits.whole or self.line.id.rsplit(".", maxsplit=1)[-1] in ORDINALS

    @property
    def key(self) -> Key:
        return self.line.id if self.line.shape.axis is None else (self.line.id, self.entry)


def evidence(model: Model, candidates: Sequence[str] | None = None) -> Evidence:
    """Weigh every figure that a present value depends on, all of them in one evaluation.

    Parameters
    ----------
    model : the model
    candidates : those looked at; all when absent
    """
    field = comparison(model, candidates)
    every = [one for one in _figures(model) if field.reads(one.key)]
    counting = sum(one.counts for one in every)
    moved = [one for one in every if not one.counts and one.value]
    own = np.array([one.value for one in moved])
    ends = np.stack([own * (1 - STEP), own * (1 + STEP)], axis=1)
    for place, one in enumerate(moved):
        ends[place] = one.limits.hold(ends[place])
    base: dict[Key, float] = {one.key: one.value for one in moved}
    worth = field.costs(one_at_a_time(base, np.repeat(np.arange(len(moved)), 2), ends.ravel())).worth
    far = np.abs(ends[:, 1] - ends[:, 0]) / np.maximum(np.abs(own), np.finfo(float).tiny) / STEP
    moves = np.zeros((len(moved), len(field.candidates)))
    possible = far > 0  # a share of 100 % can only fall; a limit that leaves no way at all makes no weight
    if moved:
        moves[possible] = np.diff(worth.reshape(len(moved), 2, -1), axis=1)[possible, 0] / far[possible, None]
    rests = tuple(_rests(name, moved, moves[:, place]) for place, name in enumerate(field.candidates))
    return Evidence(rests, counting, len(every) - counting - len(moved))


def _figures(model: Model) -> Iterator[_Figure]:
    for line in model.lines:
        if not line.is_input or line.id == SCALE:
            continue
        assert line.value is not None
        for entry, value in enumerate(line.value[:, 0].tolist()):
            yield _Figure(line, entry, value, limits_of(line.id, line))


def _rests(candidate: str, moved: Sequence[_Figure], moves: Array) -> Rests:
    sizes = np.abs(moves)
    whole = float(sizes.sum())
    parts = sizes / whole if whole > 0 else sizes * 0
    shares = dict.fromkeys(STATUSES, 0.0)
    for one, part in zip(moved, parts.tolist(), strict=True):
        shares[one.origin.status] += part
    order = np.argsort(-parts, kind="stable")
    so_far = np.cumsum(parts[order])
    needed = int(np.searchsorted(so_far, ENOUGH)) + 1 if whole > 0 else 0
    most = tuple(
        Weighed(
            moved[place].name, moved[place].label, moved[place].line.id, moved[place].entry, moved[place].origin.status,
            moved[place].origin.source, moved[place].origin.date, moved[place].value, float(moves[place]),
            float(parts[place]),
        )
        for place in order[: min(needed, MOST)].tolist()
    )  # fmt: skip
    return Rests(candidate, shares, most, float(sum(one.share for one in most)), needed, int((sizes > 0).sum()))

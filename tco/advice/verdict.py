"""Who may be called cheapest, by how much, and when nobody may."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

# A lead below this share of the leader's cost is no lead. The project's own rule.
TOO_CLOSE: Final = 0.02
NOTHING: Final = 1e-6


@dataclass(frozen=True)
class Standing:
    """What the verdict needs of one candidate; None where the model does not tell.

    `unplaced` counts sides that fit nowhere, `uncovered` months without a press; either bars from being called
    cheapest. `saved` and `stay` are the present value under the two policies for people. `low` and `high` are the
    present value with everything that is left unsaid read for and against the candidate. `unsettled` holds the titles
    of open warnings that make it not yet comparable.
    """

    id: str
    cost: float
    level_month: float
    unplaced: float = 0.0
    uncovered: float = 0.0
    at_cash_price: float | None = None
    financing: float | None = None
    saved: float | None = None
    stay: float | None = None
    low: float | None = None
    high: float | None = None
    unsettled: tuple[str, ...] = ()

    @property
    def barred(self) -> bool:
        """True when work is left undone."""
        return self.unplaced > NOTHING or self.uncovered > NOTHING

    @property
    def least(self) -> float:
        """Cost with the open gaps read in its favour."""
        return self.cost if self.low is None else min(self.low, self.cost)

    @property
    def most(self) -> float:
        """Cost with the open gaps read against it."""
        return self.cost if self.high is None else max(self.high, self.cost)


@dataclass(frozen=True)
class Verdict:
    """The answer of the study.

    `order` ranks those who may win, `barred` are the others. `close` names those within reach of the leader, himself
    included, when it is too close to call; otherwise it is empty. `lead` is in today's money, `lead_month` the same
    spread over the horizon. `open_money` is what the open gaps are worth between the leader and the one of `close`
    where they are worth most: 0 when a lead below the least share alone makes it close. `unsettled` holds by candidate,
    barred ones included, why it is not yet comparable. `financing` is the part of the lead that comes from how things
    are paid, None when it cannot be separated; `inseparable` then says because of whom. `cash_order` ranks at cash
    prices when all have one.
    """

    order: tuple[str, ...]
    barred: tuple[str, ...]
    lead: float = 0.0
    lead_month: float = 0.0
    close: tuple[str, ...] = ()
    cheaper_but_barred: tuple[str, ...] = ()
    financing: float | None = None
    inseparable: tuple[str, ...] = ()
    cash_order: tuple[str, ...] = ()
    policies: Mapping[str, tuple[str, ...]] | None = None
    open_money: float = 0.0
    unsettled: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def leader(self) -> str | None:
        """Who costs least among those who may win."""
        return self.order[0] if self.order else None

    @property
    def runner_up(self) -> str | None:
        """Who costs least but one."""
        return self.order[1] if len(self.order) > 1 else None

    @property
    def winner(self) -> str | None:
        """The leader, unless it is too close to call or he is not yet comparable."""
        return None if self.close or self.leader in self.unsettled else self.leader


def _ranked(costs: Mapping[str, float | None]) -> tuple[str, ...]:
    """Ids from the lowest cost up; equal ones in written order."""
    known = [(cost, place, name) for place, (name, cost) in enumerate(costs.items()) if cost is not None]
    return tuple(name for _, _, name in sorted(known))


def judge(standings: Sequence[Standing]) -> Verdict:
    """Name the winner.

    A lead is too close to call when it is below the larger of two sums: 2 % of the leader's cost, and what the open
    gaps are worth between the two, all of them read against the leader and for the other.

    Parameters
    ----------
    standings : one for each candidate, today first
    """
    by_id = {one.id: one for one in standings}
    free = [one for one in standings if not one.barred]
    unsettled = {one.id: one.unsettled for one in standings if one.unsettled}
    order = _ranked({one.id: one.cost for one in free})
    barred = tuple(one.id for one in standings if one.barred)
    if not order:
        return Verdict((), barred, unsettled=unsettled)
    leader = by_id[order[0]]
    share = TOO_CLOSE * abs(leader.cost)
    gaps = {name: leader.most - leader.cost + by_id[name].cost - by_id[name].least for name in order[1:]}
    close = [name for name in order[1:] if by_id[name].cost < leader.cost + max(share, gaps[name])]
    by_gaps = [gaps[name] for name in close if by_id[name].cost >= leader.cost + share]
    pair = [by_id[name] for name in order[:2]]
    inseparable = tuple(one.id for one in pair if one.financing is None)
    second = pair[-1]
    at_cash = _ranked({one.id: one.at_cash_price for one in free})
    policies = {
        "saved": _ranked({one.id: one.saved for one in free}),
        "stay paid": _ranked({one.id: one.stay for one in free}),
    }
    return Verdict(
        order,
        barred,
        second.cost - leader.cost,
        second.level_month - leader.level_month,
        (leader.id, *close) if close else (),
        tuple(one.id for one in standings if one.barred and one.cost < leader.cost),
        None if inseparable else (second.financing or 0.0) - (leader.financing or 0.0),
        inseparable,
        at_cash if len(at_cash) == len(order) else (),
        policies if all(len(names) == len(order) for names in policies.values()) else None,
        max(by_gaps, default=0.0),
        unsettled,
    )

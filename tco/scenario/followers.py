"""Presses that are followed by equal ones whenever they leave before the end of the study."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tco.scenario.schema_press import Press


@dataclass(frozen=True, slots=True)
class Turn:
    """One press in one of its turns: the first is the press as written, each later one an equal press that follows.

    `of` is the id of the press as written, `first` the operating month in which it comes by the figures as they are
    written; the model counts it anew.
    """

    id: str
    of: str
    press: Press
    number: int
    first: int

    @property
    def follows(self) -> bool:
        """True for a press that nobody signs at the start."""
        return self.number > 1


def turns(key: str, press: Press, horizon: int) -> Iterator[Turn]:
    """Yield a press and those that follow it up to the end of the study."""
    turn = Turn(key, key, press, 1, int(press.from_month.number))
    yield turn
    while press.replaced and (last := _last(press, turn.first)) is not None and last < horizon:
        number = turn.number + 1
        turn = Turn(f"{key}_{number}", key, press, number, last + 1)
        yield turn


def _last(press: Press, first: int) -> int | None:
    """Return the month in which a press leaves that comes in `first`; None when it stays to the end."""
    if press.until_month is not None:
        return first + int(press.until_month.number - press.from_month.number)
    lease = press.new_lease
    if lease is None:
        return None
    if lease.is_renewed:
        more = lease.renewal_length
        return None if more is None else first + int(lease.months.number + more.number) - 1
    if lease.at_end != "return":
        return None
    left = int(lease.exit_month.number) if lease.exit_month is not None else 0
    return first + (left or int(lease.months.number)) - 1

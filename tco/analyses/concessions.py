"""What each losing candidate would have to give, one term at a time, and what room the winner has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from tco.analyses.draws import NOBODY, Comparison, comparison, one_at_a_time
from tco.analyses.ranged import Ranged, base_of, figures
from tco.analyses.solve import Solution, many
from tco.model.model import Model

MOST: Final = 5
# Sections of a press or a candidate that a dealer's quote is made of, and single sums a dealer can give away.
SECTIONS: Final = ("service", "lease", "rental", "loan", "cash", "front_end")
SUMS: Final = ("delivery_and_installation", "training")
# Terms that say something about the world and not about the offer, that only tell a press from its payment, or that
# the shop itself decides; and edges of bands, which have neighbours to keep in order.
NO_TERMS: Final = ("sells_for", "cash_price", "down_payment", "from")


@dataclass(frozen=True)
class Offer:
    """The terms of one candidate, each solved for a tie on its own.

    Attributes
    ----------
    candidate, against : ids: a losing candidate against the winner, or the winner against the next
    gap : cost of the candidate less cost of the other in today's money; the winner's is negative: its room
    terms : at most five that can do it, the smallest change as a share of the term first
    more : number of further terms that can
    cannot : terms that cannot do it at any value tried, or only by making the other dearer
    """

    candidate: str
    against: str
    gap: float
    terms: tuple[Solution, ...]
    more: int
    cannot: tuple[Solution, ...]


def concessions(model: Model, winner: str, others: Sequence[str]) -> tuple[Offer, ...]:
    """Return the winner's room first, then what each of the others would have to give, in the order asked for.

    Terms in whole months are left out: a contract of another length is another offer and has to be built anew.

    Parameters
    ----------
    model : the model
    winner : the cheapest candidate
    others : the losing candidates; the winner's room is measured against the cheapest of them that does all the work
    """
    field = comparison(model, [winner, *others])
    costs = field.costs()
    worth = dict(zip(field.candidates, costs.worth[0].tolist(), strict=True))
    ranked = costs.ranked[0, 1:]
    runner_up = others[int(ranked.argmin())] if costs.winner[0] != NOBODY and len(others) else ""
    pairs = [(winner, runner_up)] if runner_up else []
    pairs.extend((one, winner) for one in others)
    found = []
    for candidate, against in pairs:
        gap = worth[candidate] - worth[against]
        terms = tuple(one for one in contract_terms(model, candidate) if field.reads(one.key))
        pair = comparison(model, [candidate, against])
        solved = many(pair, terms, candidate, against, model.columns) if terms else []
        given = _given(pair, terms, solved, giving=gap > 0)
        can = sorted((one for one, gives in zip(solved, given, strict=True) if gives), key=_size)
        cannot = tuple(one for one, gives in zip(solved, given, strict=True) if not gives)
        found.append(Offer(candidate, against, gap, tuple(can[:MOST]), max(0, len(can) - MOST), cannot))
    return tuple(found)


def _given(pair: Comparison, terms: tuple[Ranged, ...], solved: Sequence[Solution], *, giving: bool) -> list[bool]:
    """Whether each term does it by a lower cost of the candidate when it gives, by a higher one when it has room.

    A term that several candidates share may tie the two the wrong way round: by what it does to the other.
    """
    if not terms:
        return []
    values = np.array([one.value if found.nearest is None else found.nearest.value
                       for one, found in zip(terms, solved, strict=True)])  # fmt: skip
    own = pair.costs().worth[0, 0]
    there = pair.costs(one_at_a_time(base_of(terms), np.arange(len(terms)), values)).worth[:, 0]
    moved = np.broadcast_to(there, values.shape) - own
    return [
        found.can and bool(change < 0 if giving else change > 0) for found, change in zip(solved, moved, strict=True)
    ]


def contract_terms(model: Model, candidate: str) -> tuple[Ranged, ...]:
    """Return the figures of a candidate's own quote, whole numbers of months left out."""
    return tuple(one for one in figures(model, candidate) if _is_term(one))


def _is_term(one: Ranged) -> bool:
    words = one.key.split(".")
    if one.limits.whole or words[-1] in NO_TERMS:
        return False
    return words[-1] in SUMS or any(word in SECTIONS for word in words[1:-1])


def _size(one: Solution) -> tuple[float, float]:
    """How large the change is: as a share of the term, or where the term is nothing now behind all others."""
    root = one.nearest
    assert root is not None
    return (abs(root.percent) if root.percent is not None else float("inf"), abs(root.change))

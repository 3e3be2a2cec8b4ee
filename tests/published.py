"""Cases from published sources: each figure with its source, how it was obtained, its tolerance."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

READ = "read"  # in the source itself
SECOND_HAND = "read second-hand"  # in a transcription of the source by others
PARTLY_READ = "partly read"  # inputs or outputs read, the rest from memory
MEMORY = "memory"
DERIVED = "derived"  # by us, from published inputs or a published rule
PRACTICE = "common practice, no source"
READINGS = {READ, SECOND_HAND, PARTLY_READ, MEMORY, DERIVED, PRACTICE}


@dataclass(frozen=True)
class Case:
    """A published figure, or several, and the call of ours that must give them."""

    id: str
    source: str
    reading: str
    ours: Callable[[], object]
    published: object
    tolerance: float

    def check(self):
        assert self.source
        assert self.reading in READINGS
        ours, published = np.asarray(self.ours(), dtype=float), np.asarray(self.published, dtype=float)
        assert ours.shape == published.shape
        assert np.max(np.abs(ours - published)) <= self.tolerance, f"{self.id}: {ours} against {published}"


def named(cases):
    """Arguments for parametrize: the cases under their own ids, each of which may occur once."""
    ids = [case.id for case in cases]
    assert len(set(ids)) == len(ids)
    return {"argvalues": cases, "ids": ids}

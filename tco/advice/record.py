"""One warning: what is unsaid or doubtful, what it may cost, what to ask, what was assumed meanwhile."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Severity = Literal["error", "warn", "inform"]
SEVERITIES: tuple[Severity, ...] = ("error", "warn", "inform")


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read a silence, and the candidate's present value of cost under it."""

    label: str
    cost: float


@dataclass(frozen=True, slots=True)
class QuoteWarning:
    """One thing to settle before the candidates can be compared, or before signing.

    Attributes
    ----------
    code : str
        Short name; with the candidate's id it is the key under `accepted`.
    candidate : str
        Id of the candidate; empty where all are meant.
    severity : {'error', 'warn', 'inform'}
        'error' is *not yet comparable*: computed all the same, at the dearer reading where there is one.
    title : str
        What is unsaid or doubtful, without a full stop.
    question : str
        Whole sentences to put to the dealer; for warnings about the shop's own figures, to oneself.
    assumed : str
        What the model assumed meanwhile.
    path : str
        Key of the scenario it is about; `line` is where that, or what holds it, is written.
    readings : tuple of Reading
        Present values of this candidate under each reading; empty when not computable.
    switch : float or None
        For a figure that nobody knows: the value from which another candidate is the cheapest.
    accepted : str
        The writer's reason for taking it as settled; empty while it is open.
    """

    code: str
    candidate: str
    severity: Severity
    title: str
    question: str
    assumed: str
    path: str
    line: int | None
    readings: tuple[Reading, ...] = ()
    switch: float | None = None
    accepted: str = ""

    @property
    def key(self) -> str:
        """What to write under `accepted` to settle it."""
        return f"{self.candidate}.{self.code}" if self.candidate else self.code

    @property
    def money(self) -> tuple[float, float] | None:
        """Lowest and highest present value of the candidate over the readings."""
        if not self.readings:
            return None
        costs = [one.cost for one in self.readings]
        return min(costs), max(costs)

    @property
    def swing(self) -> float:
        """Money at stake: the distance between the readings, 0 when not computable."""
        return self.money[1] - self.money[0] if self.money else 0.0

    def as_dict(self) -> Mapping[str, object]:
        """Return plain data for programs."""
        return {
            "code": self.code, "candidate": self.candidate, "severity": self.severity, "title": self.title,
            "question": self.question, "assumed": self.assumed, "path": self.path, "line": self.line,
            "readings": [{"label": one.label, "present_value": one.cost} for one in self.readings],
            "money": list(self.money) if self.money else None, "switch": self.switch, "accepted": self.accepted,
        }  # fmt: skip

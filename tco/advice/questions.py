"""What to ask whom: at most five questions a candidate, those that can change the winner first, the rest folded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from tco.advice.record import SEVERITIES, QuoteWarning
from tco.advice.study import Study

MOST_ASKED: Final = 5
# Nobody but the shop can answer these.
OWN: Final = frozenset({"freed-hours", "recommendation", "volume-path", "no-clear-winner", "waste-unset"})


@dataclass(frozen=True)
class Question:
    """One question, with the warning it comes from; `decides` when the answer can change who is cheapest."""

    text: str
    warning: QuoteWarning
    decides: bool


@dataclass(frozen=True)
class Questions:
    """The questions about one candidate, or, with an empty id, those the shop has to answer itself."""

    candidate: str
    name: str
    quote: str
    asked: tuple[Question, ...]
    folded: tuple[Question, ...] = ()

    def text(self) -> str:
        """Return the questions as plain text, ready to be pasted into a letter."""
        head = f"Questions on {self.quote}" if self.quote else f"Questions: {self.name}"
        lines = [head, "", *(f"{place}. {one.text}" for place, one in enumerate(self.asked, 1))]
        if self.folded:
            start = len(self.asked) + 1
            lines += ["", "To settle before signing:", ""]
            lines += [f"{place}. {one.text}" for place, one in enumerate(self.folded, start)]
        return "\n".join(lines) + "\n"


def decides(study: Study, warning: QuoteWarning) -> bool:
    """Tell whether the answer to a warning alone can change who is cheapest."""
    if warning.switch is not None:
        return True
    if warning.money is None or not warning.candidate:
        return False
    return any(study.flips(warning.candidate, cost) for cost in warning.money)


def questions(study: Study, warnings: Sequence[QuoteWarning]) -> tuple[Questions, ...]:
    """Return the open questions of every candidate that has any, as written, the shop's own ones last."""
    out = []
    owners = dict(study.scenario.candidates_all)
    for key in [*owners, ""]:
        ours = [one for one in warnings if not one.accepted and _for_whom(one) == key]
        found = [Question(one.question, one, decides(study, one)) for one in ours]
        found.sort(key=lambda one: (not one.decides, SEVERITIES.index(one.warning.severity), -one.warning.swing))
        once = list({one.text: one for one in reversed(found)}.values())[::-1]
        if once:
            name = owners[key].title if key else "Our own figures"
            quote = (owners[key].quote or "") if key else ""
            out.append(Questions(key, name, quote, tuple(once[:MOST_ASKED]), tuple(once[MOST_ASKED:])))
    return tuple(out)


def _for_whom(warning: QuoteWarning) -> str:
    own = warning.code in OWN or (warning.code == "old-evidence" and warning.candidate == "today")
    return "" if own else warning.candidate

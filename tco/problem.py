"""One record for everything that is wrong, missing or worth a remark."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Literal

Severity = Literal["error", "gap", "note"]


@dataclass(frozen=True, slots=True)
class Problem:
    """Something a person should know about a file.

    Parameters
    ----------
    file : str
        The file as the user named it.
    line : int or None
        Line, counted from 1; None where there is no one line.
    path : str
        Dotted path of the key, or a cell of a workbook; may be empty.
    what, why, instead : str
        What is wrong, why it matters (may be empty), what to write instead (may be empty). No full stop at the end.
    severity : {'error', 'gap', 'note'}
        An error cannot be computed; a gap is computed by an assumption; a note is only a remark.
    """

    file: str
    line: int | None
    path: str
    what: str
    why: str
    instead: str
    severity: Severity = "error"

    def text(self) -> str:
        """Return one line: ``file:line: path: what. why. instead``."""
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        head = f"{place}: {self.path}: " if self.path else f"{place}: "
        return head + ". ".join(part.rstrip(".") for part in (self.what, self.why, self.instead) if part)

    def as_dict(self) -> dict[str, object]:
        """Return the record as plain data for programs."""
        return asdict(self)


class ScenarioError(Exception):
    """A scenario that cannot be computed; carries every problem found, not only the first."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(problem.text() for problem in self.problems))

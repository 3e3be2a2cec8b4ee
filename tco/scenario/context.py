"""What the parsing of one scenario has to remember."""

from __future__ import annotations

from dataclasses import dataclass, field

from tco.problem import Problem
from tco.scenario.figure import Figure, Status
from tco.scenario.tree import Node, Tree


@dataclass(frozen=True, slots=True)
class Unknown:
    """A figure that is needed and not known, and what stands for it meanwhile."""

    path: str
    line: int | None
    stands: Figure
    how: str


@dataclass(slots=True)
class Context:
    """Shared by all validators of one scenario; filled while parsing.

    `quotes` maps a path prefix of the file (`candidates.birch`) to its document, `filled` the paths that the tool
    filled in to what it put there.
    """

    file: str
    start_month: int = 1
    letter: str = "letter"
    ledger: str = "ledger"
    small_size: str = "letter"
    quotes: dict[str, str] = field(default_factory=dict)
    allowances: Node | None = None
    candidates: tuple[str, ...] = ()
    problems: list[Problem] = field(default_factory=list)
    unknowns: dict[str, Unknown] = field(default_factory=dict)
    filled: dict[str, str] = field(default_factory=dict)

    def allowance(self, key: str) -> Tree | None:
        """Return the allowance written for a price of this name, if any."""
        return self.allowances.get(key) if self.allowances is not None else None

    def origin(self, path: str) -> tuple[str, Status]:
        """Return source and status of a figure that carries none of its own."""
        parts = path.split(".")
        for length in (2, 1):
            quote = self.quotes.get(".".join(parts[:length]))
            if quote is not None:
                return quote, "quoted"
        if parts[0] == "allowances":
            return "allowance", "assumed"
        return "", "estimated"

    def problem(self, path: str, line: int | None, what: str, why: str, instead: str) -> None:
        """Remember an error and go on."""
        self.problems.append(Problem(self.file, line, path, what, why, instead))

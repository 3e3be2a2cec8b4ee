"""What a warning may look at: the scenario, its model, its figures, and what any of them would be otherwise."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

import numpy as np

from tco.advice.record import QuoteWarning, Reading, Severity
from tco.assemble import build
from tco.model.evaluate import Key, evaluate
from tco.model.kinds import Array
from tco.model.model import Model
from tco.problem import ScenarioError
from tco.scenario.figure import Figure
from tco.scenario.locales import FIGURES, exactly, percent, spelled
from tco.scenario.schema import Candidate, Lease, Press, Scenario, Service

NOTHING: Final = 1e-6
# The search for a switch value: points of one sweep, sweeps, and how many times the dearest candidate is looked at.
POINTS, SWEEPS, FURTHEST = 65, 7, 100.0

Changes = Mapping[str, object]


@dataclass(frozen=True)
class PlanAt:
    """One service plan: whose it is, its path, the presses it covers, the block of its lines."""

    candidate: str
    path: str
    plan: Service
    presses: tuple[Press, ...]
    block: str
    name: str


@dataclass(frozen=True)
class PressAt:
    """One press of a candidate that is not a present one kept; `block` holds its lines."""

    candidate: str
    owner: Candidate
    path: str
    press: Press
    block: str
    name: str

    @property
    def lease(self) -> Lease | None:
        """The new lease of this press, if it has one."""
        return self.press.new_lease


@dataclass(frozen=True, eq=False)
class Study:
    """A scenario with its model and all lines evaluated once, shape (1, entries, months).

    `present_values` answers every what-if and remembers the answer.
    """

    scenario: Scenario
    model: Model
    values: Mapping[str, Array]
    _known: dict[tuple[tuple[str, str], ...], dict[str, float]] = field(default_factory=dict, repr=False)

    @classmethod
    def of(cls, scenario: Scenario) -> Study:
        """Build and evaluate a scenario."""
        model = build(scenario)
        return cls(scenario, model, evaluate(model))

    # ---- what-if -------------------------------------------------------------------------------------------------

    @cached_property
    def base(self) -> dict[str, float]:
        """Present value of cost of every candidate as the scenario stands, today first."""
        return {key: self.measure(key, "present_value") for key, _ in self.scenario.candidates_all}

    def present_values(self, changes: Changes) -> dict[str, float]:
        """Return every candidate's present value of cost with other values at these paths.

        Figures are replaced in the model; a choice, or a figure the model does not hold, is built anew. ScenarioError
        when the changed scenario is not valid.
        """
        key = tuple(sorted((path, repr(value)) for path, value in changes.items()))
        if key not in self._known:
            self._known[key] = self._computed(changes)
        return self._known[key]

    def _computed(self, changes: Changes) -> dict[str, float]:
        wanted = {key: f"{key}.measures.present_value" for key in self.base}
        figures: dict[Key, Array | float]
        figures = {path: float(value) for path, value in changes.items()
                   if isinstance(value, int | float) and self.holds(path)}  # fmt: skip
        if len(figures) == len(changes):
            found = evaluate(self.model, replace=figures, keep=list(wanted.values()))
            return {key: float(found[line][0, 0, 0]) for key, line in wanted.items()}
        scopes = {path.removeprefix("candidates.").split(".", maxsplit=1)[0] for path in changes}
        others: dict[str, object] = {}
        if len(scopes) == 1 and scopes <= set(self.scenario.candidates):
            # Only this candidate can change: the others need not be built, nor what is settled about them.
            others = {f"candidates.{key}": None for key in self.scenario.candidates if key not in scopes}
            others["accepted"] = None
        model = build(self.scenario.with_changes({**changes, **others}))
        kept = {key: line for key, line in wanted.items() if line in model}
        found = evaluate(model, keep=list(kept.values()))
        return {key: float(found[kept[key]][0, 0, 0]) if key in kept else self.base[key] for key in wanted}

    def holds(self, path: str) -> bool:
        """Tell whether the model has a figure of this key."""
        return path in self.model.entries or (path in self.model and self.model[path].role == "input")

    def sweep(self, path: str, figures: Sequence[float]) -> dict[str, Array]:
        """Return every candidate's present value for each of these figures, shape (figures,)."""
        wanted = {key: f"{key}.measures.present_value" for key in self.base}
        found = evaluate(self.model, replace={path: np.asarray(figures)}, keep=list(wanted.values()))
        return {key: np.broadcast_to(found[line][:, 0, 0], (len(figures),)) for key, line in wanted.items()}

    def readings(self, candidate: str, changes: Mapping[str, Changes]) -> tuple[Reading, ...]:
        """Return the readings by label; empty when one of them is no valid scenario."""
        try:
            return tuple(Reading(label, self.present_values(one)[candidate]) for label, one in changes.items())
        except ScenarioError:
            return ()

    def at(self, candidate: str, figure: Figure, path: str, figures: Mapping[str, float]) -> tuple[Reading, ...]:
        """Return the readings of one figure of a candidate, wherever the figure itself is written."""
        if self.holds(figure.path):
            costs = self.sweep(figure.path, list(figures.values()))[candidate]
            return tuple(Reading(label, float(cost)) for label, cost in zip(figures, costs, strict=True))
        return self.readings(candidate, {label: {path: value} for label, value in figures.items()})

    # ---- who leads -----------------------------------------------------------------------------------------------

    @cached_property
    def barred(self) -> frozenset[str]:
        """Candidates that leave work undone and so cannot be called cheapest."""
        return frozenset(
            key for key in self.base
            if self.measure(key, "unplaced_sides") > NOTHING or self.measure(key, "uncovered_months") > NOTHING
        )  # fmt: skip

    def leader(self, costs: Mapping[str, float]) -> str | None:
        """Return who costs least among those who may win; None when nobody may."""
        free = [key for key in costs if key not in self.barred]
        return min(free, key=lambda key: costs[key]) if free else None

    def flips(self, candidate: str, cost: float) -> bool:
        """Tell whether the leader changes when one candidate costs this much and the others what they do."""
        return self.leader(self.base) != self.leader({**self.base, candidate: cost})

    def switch_value(self, path: str, limit: float | None = None) -> float | None:
        """Return the smallest value of a figure, from 0 up, at which another candidate leads than at 0.

        A section search on sweeps of the model, exact to about 1e-9 of the limit (a hundred times the dearest
        candidate unless given); None when the figure is not in the model or never matters.
        """
        free = [key for key in self.base if key not in self.barred]
        if not self.holds(path) or len(free) < len(("one", "other")):
            return None
        low, high = 0.0, limit or FURTHEST * max(1.0, *(abs(self.base[key]) for key in free))
        first: int | None = None
        for _ in range(SWEEPS):
            grid = np.linspace(low, high, POINTS)
            found = self.sweep(path, [0.0, *grid.tolist()])
            leads = np.argmin([found[key] for key in free], axis=0)
            first = int(leads[0])
            other = np.flatnonzero(leads[1:] != first)
            if len(other) == 0:
                return None
            place = int(other[0])
            if place == 0:
                return float(grid[0])
            low, high = float(grid[place - 1]), float(grid[place])
        return high

    # ---- what is written -----------------------------------------------------------------------------------------

    def measure(self, candidate: str, name: str) -> float:
        """Return one measure of a candidate; 0 when the model does not tell it."""
        line = f"{candidate}.measures.{name}"
        return float(self.values[line][0, 0, 0]) if line in self.values else 0.0

    def row(self, key: str) -> Array:
        """Return a row of months within the horizon, summed over its entries; zeros when there is no such line."""
        if key not in self.values:
            return np.zeros(self.scenario.horizon)
        months = self.values[key][0].sum(axis=0)
        return np.broadcast_to(months, (self.model.columns,))[: self.scenario.horizon]

    @cached_property
    def _lines(self) -> dict[str, int]:
        return self.scenario.document.lines

    @cached_property
    def _filled(self) -> dict[str, str]:
        return self.scenario.filled

    def file_path(self, path: str) -> str:
        """Return the path of the file for a public path."""
        first = path.split(".", maxsplit=1)[0]
        return f"candidates.{path}" if first in self.scenario.candidates else path

    def silent(self, path: str) -> bool:
        """Tell whether the tool filled in this path."""
        return self.file_path(path) in self._filled

    def written(self, path: str) -> bool:
        """Tell whether the file has this path itself."""
        return self.file_path(path) in self._lines

    def line(self, path: str) -> int | None:
        """Return the line where the path, or the nearest section that holds it, is written."""
        keys = self.file_path(path).split(".")
        while keys:
            if ".".join(keys) in self._lines:
                return self._lines[".".join(keys)]
            keys.pop()
        return None

    def name(self, candidate: str) -> str:
        """Return the name of a candidate for people."""
        return dict(self.scenario.candidates_all)[candidate].title

    def told(self, value: float) -> str:
        """A whole number as the scenario's locale writes it."""
        return spelled(value, self.scenario.money.locale)

    def exact(self, value: float, figures: int = FIGURES) -> str:
        """A price or a factor in so many significant figures at most, as the scenario's locale writes it."""
        return exactly(value, self.scenario.money.locale, figures)

    def percent(self, share: float, most: int = 2) -> str:
        """A share as a percentage with at most so many decimals, as the scenario's locale writes it."""
        return percent(share, self.scenario.money.locale, most)

    def warning(
        self, code: str, candidate: str, severity: Severity, path: str, title: str, question: str, assumed: str,
        readings: tuple[Reading, ...] = (), switch: float | None = None,
    ) -> QuoteWarning:  # fmt: skip
        """Make a warning that knows its line."""
        line = self.line(path)
        return QuoteWarning(code, candidate, severity, title, question, assumed, path, line, readings, switch)

    def plans(self) -> Iterator[PlanAt]:
        """Yield every service plan once: not those taken over with a present press that is kept."""
        for key, owner in self.scenario.candidates_all:
            presses = owner.press_items()
            if owner.presses is not None and owner.service is not None:
                covered = tuple(press for _, press, _ in presses if press.service is None)
                yield PlanAt(key, f"{key}.service", owner.service, covered, f"{key}.plan", owner.title)
            for press_id, press, prefix in presses:
                path = f"{prefix}.service"
                if press.service is not None and not (press.is_kept and not self.written(path)):
                    block = f"{key}.plan" if owner.presses is None else f"{key}.{press_id}.plan"
                    name = owner.press_title(press_id, press)
                    yield PlanAt(key, path, press.service, (press,), block, name)

    def presses(self) -> Iterator[PressAt]:
        """Yield every press that somebody offers: not the present ones."""
        for key, owner in self.scenario.candidates_all:
            if key == "today":
                continue
            for press_id, press, prefix in owner.press_items():
                if not press.is_kept:
                    name = owner.press_title(press_id, press)
                    yield PressAt(key, owner, prefix, press, f"{key}.{press_id}", name)

    @cached_property
    def volumes(self) -> list[Figure]:
        """The figures of volume and its change that the model holds."""
        scenario = self.scenario
        found: list[object] = [scenario.change_per_year, scenario.volume_scale]
        if scenario.work is not None:
            found += [scenario.work.colour, scenario.work.black, scenario.work.change_per_year]
        for job in (scenario.jobs or {}).values():
            found += [job.jobs, job.change_per_year]
        return list({one.path: one for one in found if isinstance(one, Figure) and self.holds(one.path)}.values())

    @cached_property
    def work(self) -> WorkFacts:
        """What the work is like."""
        return WorkFacts.of(self.scenario)


@dataclass(frozen=True)
class WorkFacts:
    """What of the work decides whether a silence matters; `large` by colour."""

    large: Mapping[str, bool]
    two_sided: bool
    odd: bool
    heavy: bool
    colours: frozenset[str]
    finishes: frozenset[str]
    coverage: float

    @classmethod
    def of(cls, scenario: Scenario) -> WorkFacts:
        """Look at the work of a scenario."""
        jobs, work = list((scenario.jobs or {}).values()), scenario.work
        colours = {job.colour for job in jobs}
        colours |= {colour for colour in ("colour", "black") if work is not None and getattr(work, colour) is not None}
        share = work.oversize_share if work is not None else None
        large = {
            colour: any(job.is_large and job.colour == colour for job in jobs)
            or (share is not None and colour in colours and getattr(share, colour).number > 0)
            for colour in ("colour", "black")
        }
        finishes = frozenset(job.finish for job in jobs if job.finish)
        coverage = max([job.coverage.number for job in jobs], default=scenario.coverage.number)
        return cls(
            large,
            any(job.two_sided for job in jobs) or (work is not None and work.two_sided_share.number > 0),
            any(job.two_sided and int(job.sides_per_set.number) % 2 for job in jobs),
            any(job.heavy for job in jobs),
            frozenset(colours),
            finishes,
            coverage,
        )


def mentions(candidate: Candidate, *words: str) -> bool:
    """Tell whether what the quote says is covered or not covered names one of these words."""
    said = " ".join((*(candidate.covered or ()), *(candidate.not_covered or ()))).lower()
    return any(word in said for word in words)


def covers(candidate: Candidate, *words: str) -> bool:
    """Tell whether what the quote says is covered names one of these words."""
    said = " ".join(candidate.covered or ()).lower()
    return any(word in said for word in words)


Warner = Callable[[Study], Iterator[QuoteWarning]]

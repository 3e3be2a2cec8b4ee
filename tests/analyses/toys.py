"""Small models made with the kernel: plans of every shape over seasonal months, and the same plans in plain Python."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from tco.model.kinds import Axis
from tco.model.lines import Block, Builder
from tco.model.model import Model, finish
from tco.model.nodes import MONTHS_A_YEAR, Line
from tco.model.vocabulary import (
    across,
    at,
    band,
    before,
    equals,
    excess,
    growth,
    mod,
    present,
    share,
    since,
    smallest,
)

MONTHS = 12
NO_LIMIT = 1e15


@dataclass(frozen=True)
class Plan:
    """Base and click charges of one candidate. `bands` are (lower end, rate) in sides of a settlement period."""

    base: float = 0.0
    included: float = 0.0
    bands: tuple[tuple[float, float], ...] = ((0.0, 0.0),)
    all_units: bool = False
    minimum: float = 0.0
    settled: int = 1
    hours: float = NO_LIMIT
    outside: float = 0.0

    def cost(self, work: np.ndarray) -> np.ndarray:
        """Cost of all months, undiscounted; `work` is sides by volume and month, shape (volumes, months)."""
        done = np.minimum(work, self.hours)
        cost = self.base * work.shape[1] + ((work - done) * self.outside).sum(axis=1)
        for start in range(0, work.shape[1], self.settled):
            made = done[:, start : start + self.settled].sum(axis=1)
            cost = cost + self._period(made)
        return cost

    def _period(self, made: np.ndarray) -> np.ndarray:
        above = np.maximum(made - self.included * self.settled, 0.0)
        charge = np.zeros_like(made)
        ends = [start for start, _ in self.bands[1:]] + [NO_LIMIT]
        for (start, rate), end in zip(self.bands, ends, strict=True):
            if self.all_units:
                charge = np.where((above >= start) & (above < end), above * rate, charge)
            else:
                charge += np.clip(np.minimum(above, end) - start, 0.0, None) * rate
        base = self.base * self.settled
        return charge + np.maximum(self.minimum * self.settled - base - charge, 0.0)


@dataclass
class Toy:
    """Collects plans; `model()` closes it."""

    season: Sequence[float] = field(default_factory=lambda: [1.0] * MONTHS)
    average: float = 10_000.0
    rate: float = 0.0
    plans: dict[str, Plan] = field(default_factory=dict)

    def model(self) -> Model:
        builder = Builder(MONTHS)
        work, factor = _shared(builder, self)
        for name, plan in self.plans.items():
            _candidate(builder, name, plan, work, factor)
        return finish(builder)

    def work(self, volumes: np.ndarray) -> np.ndarray:
        shape = np.array(self.season) / np.mean(self.season)
        return np.outer(volumes, shape)


def _shared(builder: Builder, toy: Toy) -> tuple[Line, Line]:
    block = builder.block("work", "Work")
    months = Axis("calendar month", tuple(str(place) for place in range(1, MONTHS + 1)))
    scale = block.given("volume_scale", "Scale of all work", "1", 1.0, own_key=True)
    season = block.given("season", "Season", "1", list(toy.season), axis=months)
    average = block.given("average_sides", "Sides, average month", "side/month", toy.average)
    count = block.given("entries", "Months of a season", "1", MONTHS, role="constant")
    month = block.declare("month", "Month", "1")
    month.becomes(before(month) + 1)
    mean = block.line("mean", "Mean of the season", "1", across(season) / count)
    index = block.line("index", "Work index", "1", scale * at(season, month) / mean)
    sides = block.flow("sides", "Sides", "side/month", average * index)
    rate = block.given("rate", "Discount rate", "1", toy.rate)
    one = block.given("one", "One month", "month", 1)
    years = block.line("years", "Years gone", "year", month / MONTHS_A_YEAR * one)
    return sides, block.line("factor", "Discount factor", "1", 1 / _grown(block, rate, years))


def _grown(block: Block, rate: Line, years: Line) -> Line:
    return block.line("grown", "Growth", "1", growth(rate, years))


def _candidate(builder: Builder, name: str, plan: Plan, sides: Line, factor: Line) -> None:
    block = builder.block(f"{name}.service", "Service", name)
    month = builder.by_id["work.month"]
    period = block.given("settled", "Months of a period", "1", plan.settled, role="constant")
    opens = block.state("opens", "Opens a period", equals(mod(month - 1, period), 0))
    closes = block.event("closes", "Closes a period", equals(mod(month, period), 0))
    counted = block.given("counted", "Months counted", "month", plan.settled, role="constant")
    hours = block.given("hours", "Most sides a month", "side/month", plan.hours)
    done = block.flow("done", "Sides done", "side/month", smallest(sides, hours))
    left = block.flow("left", "Sides left", "side/month", sides - done)
    made = block.line("made", "Sides of the period", "side", since(done, opens))
    included = block.given("included", "Included", "side/month", plan.included)
    above = block.line("above", "Sides above", "side", excess(made, included * counted))
    axis = Axis("band", tuple(str(place) for place in range(len(plan.bands))))
    start = block.given("from", "From", "side", [low for low, _ in plan.bands], axis=axis)
    rate = block.given("price", "Rate", "money/side", [price for _, price in plan.bands], axis=axis)
    if plan.all_units:
        charge = block.line("charge", "Charge", "money", above * band(rate, start, above))
    else:
        ends = [low for low, _ in plan.bands[1:]] + [NO_LIMIT]
        end = block.given("to", "To", "side", ends, axis=axis)
        inside = block.line("in_band", "In band", "side", excess(smallest(above, end), start))
        charge = block.line("charge", "Charge", "money", across(rate, inside))
    base = block.given("base", "Base", "money/month", plan.base)
    minimum = block.given("minimum", "Minimum", "money/month", plan.minimum)
    least = block.line("true_up", "True-up", "money", excess(minimum * counted - base * counted, charge))
    outside = block.given("outside", "Price outside", "money/side", plan.outside)
    paid = block.line("paid", "Paid", "money/month", base + (charge + least) * closes + left * outside)
    measures = builder.block(f"{name}.measures", "Measures", name)
    cost = measures.line("present_value", "Cost in today's money", "money", present(paid, factor))
    work = measures.line("sides", "Sides in today's terms", "side", present(sides, factor))
    measures.line("cost_per_side", "Cost per side", "money/side", share(cost, work))

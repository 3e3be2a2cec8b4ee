"""The records that rooms hand to each other, so that no room needs to import another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from tco.model.kinds import Axis, Timing
from tco.model.lines import Block
from tco.model.nodes import Line
from tco.scenario.schema import Figure, JobClass, Lease, Press, Service

COLOUR: Final = "colour"
BLACK: Final = "black"
# The parts of a budget: what a press is bought for, what a loan is repaid with, everything else, relief of tax.
Budget: TypeAlias = Literal["capital", "loan payments", "operating", "tax relief"]


@dataclass(frozen=True)
class Clock:
    """Rows of months that all candidates share. Flags that close a period are 0 after the horizon."""

    month: Line
    horizon: Line
    live: Line
    year: Line
    opens_year: Line
    closes_year: Line
    position: Line
    fiscal_year: Line
    fiscal_shift: Line
    opens_fiscal: Line
    closes_fiscal: Line
    price_level: Line
    opening: Line
    close: Line
    calendar: Axis
    years: Axis
    fiscal_years: Axis


@dataclass(frozen=True)
class ClassOfWork:
    """The words that describe a job class: they decide which press takes it and which price applies.

    `sheets` says on which sizes it is printed (True: large); a plain class may be printed on both.
    """

    id: str
    name: str
    colour: str
    size: str
    large_size: str | None
    needs_large: bool
    two_sided: bool
    heavy: bool
    finish: str | None
    paper: str | None
    job: JobClass | None
    coverage: Figure
    sheets: tuple[bool, ...]


@dataclass(frozen=True)
class Work:
    """Asked work. Columns are by job class and for the average month; `index` says how much of it each month brings."""

    classes: tuple[ClassOfWork, ...]
    axis: Axis
    index: Line
    asked_sides: Line
    average_sides: Line
    sides: Line
    sheets: Line
    run_sheets: Line
    passes: Line
    run_blanks: Line | None
    large: Line
    sets: Line | None
    jobs: Line | None
    two_sided_share: Line | None

    def marks(self, colour: str) -> list[float]:
        """1 for the classes printed in this colour."""
        return [float(one.colour == colour) for one in self.classes]


@dataclass(frozen=True)
class Window:
    """The months a press is in service. `starts` and `leaves` are events; `last` is at most the horizon.

    `count` multiplies what is paid for one press, `machines` what one press does and draws. They differ for a press
    that follows another one: what is paid for it is at the prices of its own first month.
    """

    block: Block
    name: str
    first: Line
    last: Line
    present: Line
    starts: Line
    leaves: Line
    count: Line
    machines: Line


@dataclass(frozen=True)
class Placed:
    """What one press does.

    `takes` says by class whether it can print it, `done` is by class and month, in average months of work; hours are
    absent without speeds.
    """

    window: Window
    press: Press
    takes: tuple[bool, ...]
    done: Line
    eligible: Line
    hours: Line | None = None
    overtime: Line | None = None
    needed: Line | None = None
    care: Line | None = None
    open_hours: Line | None = None


@dataclass(frozen=True)
class Placement:
    """Where the asked work goes. `outside` and `unplaced` are by class and month."""

    presses: tuple[Placed, ...]
    outside: Line
    unplaced: Line
    unplaced_sides: Line


@dataclass(frozen=True)
class Charge:
    """A cost line on its way into the statement.

    `heading` is what sales tax asks for, `deducted` says whether income tax relief counts it when it is paid, `budget`
    is the part of a fiscal year's budget that it belongs to.
    """

    line: Line
    heading: str
    deducted: bool = True
    budget: Budget = "operating"


@dataclass(frozen=True)
class Leased:
    """A new lease as its contract has it, also beyond the horizon: what lease accounting asks for.

    `due` are the rents of the term and `option` the price at its end, both by month; `fees` is a single value. All are
    for all presses of the window together.
    """

    terms: Lease
    there: Window
    due: Line
    timing: Timing
    option: Line | None
    fees: Line


@dataclass(frozen=True)
class Minimum:
    """A minimum charge of which a part pays for the press.

    `floor` is the charge a month, `first` the first month of the contract, `period` the months of a settlement.
    """

    terms: Service
    floor: Line
    first: Line
    period: Line


@dataclass(frozen=True)
class Deal:
    """How one press is come by and given up, and what that binds.

    `financing` are the cost rows that belong to the way of paying; `at_cash` is the same press paid at once (a row,
    absent when no cash price is quoted). `depreciable` joins the sum that income tax writes off. `invoiced` bears sales
    tax as equipment at the opening although it is paid by instalments; `taxed_up_front` bears that of rents at signing.
    `contract` are rows of what falls due by contract and cannot be stopped; `still_bound` rows of what is bound after
    each month; `worth` what the press would fetch then, 0 from the month in which it leaves. `stops` are rows that end
    when a public body is granted no money. `interest` is a row that income tax deducts beside the charges, `leased` the
    new lease that lease accounting looks at.
    """

    charges: tuple[Charge, ...]
    bound: tuple[Line, ...] = ()
    beyond: tuple[Line, ...] = ()
    financing: tuple[Line, ...] = ()
    at_cash: Line | None = None
    depreciable: tuple[Line, ...] = ()
    invoiced: Line | None = None
    taxed_up_front: Line | None = None
    sale: Line | None = None
    contract: tuple[Line, ...] = ()
    still_bound: tuple[Line, ...] = ()
    worth: Line | None = None
    stops: tuple[Line, ...] = ()
    interest: Line | None = None
    leased: Leased | None = None


@dataclass(frozen=True)
class Moves:
    """What one more average month of work costs by class, in prices of the first month: columns of money a month.

    `clicks` are those of a service plan with the places (from 0) of the presses it covers; `paper_bought` says for each
    press whether its paper is bought, and not inside the click.
    """

    paper: Line | None
    paper_bought: tuple[bool, ...]
    outside_paper: Line | None
    outside: Line | None
    clicks: tuple[tuple[Line, tuple[int, ...]], ...]
    supplies: tuple[tuple[Line, int], ...]

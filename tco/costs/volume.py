"""Asked work: what customers want, by job class, in sets, sides, sheets and passes."""

from __future__ import annotations

from collections.abc import Sequence

from tco.costs.desk import Desk
from tco.costs.records import BLACK, COLOUR, ClassOfWork, Clock, Work
from tco.model.kinds import Axis, Origin
from tco.model.lines import Block
from tco.model.nodes import MONTHS_A_YEAR, TWELVE, Line, Node
from tco.model.vocabulary import across, at, power, share, stacked, up
from tco.scenario.figure import Figure, FlowFigure, Twelve
from tco.scenario.schema import PlainWork, Scenario, Volume
from tco.units import spell


def volume(desk: Desk, scenario: Scenario, clock: Clock) -> Work:
    """Describe the work asked for, by job class and month."""
    block = desk.builder.block("work", "Work")
    if scenario.jobs:
        return _by_jobs(desk, block, scenario, clock)
    assert scenario.work is not None
    return _by_volume(desk, block, scenario, scenario.work, clock)


def _by_jobs(desk: Desk, block: Block, scenario: Scenario, clock: Clock) -> Work:
    jobs = scenario.jobs
    assert jobs is not None
    classes = tuple(
        ClassOfWork(
            key, one.name, one.colour, one.size, None, False, one.two_sided, one.heavy,
            one.finish, one.paper, one, one.coverage, (one.is_large,),
        )
        for key, one in jobs.items()
    )  # fmt: skip
    axis = Axis("job class", tuple(one.name for one in classes))

    def column(key: str, label: str, measure: str, figures: Sequence[Figure], *, percent: bool = False) -> Line:
        return desk.column(block, key, label, measure, axis, figures, percent=percent)

    all_jobs = list(jobs.values())
    number = _jobs_a_month(desk, block, axis, [one.jobs for one in all_jobs])
    sets_per_job = column("sets_per_job", "Sets per job", "set/job", [one.sets_per_job for one in all_jobs])
    sides_per_set = column("sides_per_set", "Sides per set", "side/set", [one.sides_per_set for one in all_jobs])
    waste = column("waste", "Waste sheets per good sheet", "1", [one.waste for one in all_jobs], percent=True)
    start_up = column(
        "make_ready_sheets", "Make-ready sheets per job", "sheet/job", [one.make_ready_sheets for one in all_jobs]
    )
    on_sheet = desk.fixed(
        block,
        "sides_per_sheet",
        "Sides on one sheet",
        "side/sheet",
        axis,
        [2.0 if one.two_sided else 1.0 for one in classes],
    )
    large = desk.fixed(block, "large", "Printed on large sheets", "1", axis, [float(one.is_large) for one in all_jobs])

    sets = block.line("sets", "Sets", "set/month", number * sets_per_job)
    sides = block.line("sides", "Good printed sides", "side/month", sets * sides_per_set)
    per_set = block.line("sheets_per_set", "Sheets per set", "sheet/set", up(sides_per_set / on_sheet))
    sheets = block.line("sheets", "Good sheets", "sheet/month", sets * per_set)
    run = block.line("run_sheets", "Sheets run", "sheet/month", sheets * (1 + waste) + number * start_up)
    passes = block.line("passes", "Passes", "side/month", run * on_sheet)
    blanks = block.line("blank_backs", "Blank backs of good sheets", "side/month", sheets * on_sheet - sides)
    run_blanks = block.line("run_blanks", "Blank backs of sheets run", "side/month", blanks * share(run, sheets))
    season = [_season(desk, block, clock, one.season or scenario.season) for one in all_jobs]
    trend = [_trend(desk, block, clock, one.change_per_year) for one in all_jobs]
    index, asked, average = _index(desk, block, scenario, clock, axis, sides, season, trend)
    return Work(classes, axis, index, asked, average, sides, sheets, run, passes, run_blanks, large, sets, number, None)


def _by_volume(desk: Desk, block: Block, scenario: Scenario, work: PlainWork, clock: Clock) -> Work:
    wanted = [(colour, given) for colour, given in ((COLOUR, work.colour), (BLACK, work.black)) if given is not None]
    classes = tuple(
        ClassOfWork(
            colour, colour.capitalize(), colour, work.size, work.large_size, _has_large(work, colour), False, False,
            None, None, None, scenario.coverage, _sheets(work, colour),
        )
        for colour, _ in wanted
    )  # fmt: skip
    axis = Axis("job class", tuple(one.name for one in classes))
    amounts, season = [], []
    for colour, given in wanted:
        sides_a_month, factor = _plain_volume(desk, block, clock, scenario, colour, given)
        amounts.append(sides_a_month)
        season.append(factor)
    sides = block.line("sides", "Good printed sides", "side/month", stacked(axis, amounts))
    shares = work.oversize_share
    if shares is None:
        large = desk.fixed(block, "large", "Share on large sheets", "1", axis, [0.0 for _ in classes])
    else:
        figures = [shares.colour if one.colour == COLOUR else shares.black for one in classes]
        large = desk.column(block, "large", "Share on large sheets", "1", axis, figures, percent=True)
    waste = desk.take(block, scenario.waste, "Waste sheets per good sheet", "1", percent=True)
    both = desk.take(block, work.two_sided_share, "Share of sides on two-sided sheets", "1", percent=True)
    one_side, two_sides = desk.constant(block, "one_side"), desk.constant(block, "two_sides")
    sheets = block.line(
        "sheets", "Good sheets", "sheet/month", sides * (1 - both) / one_side + sides * both / two_sides
    )
    run = block.line("run_sheets", "Sheets run", "sheet/month", sheets * (1 + waste))
    passes = block.line("passes", "Passes", "side/month", sides * (1 + waste))
    trend = [_trend(desk, block, clock, work.change_per_year) for _ in classes]
    index, asked, average = _index(desk, block, scenario, clock, axis, sides, season, trend)
    return Work(classes, axis, index, asked, average, sides, sheets, run, passes, None, large, None, None, both)


def _sheets(work: PlainWork, colour: str) -> tuple[bool, ...]:
    """On which sheets a colour is printed: small, large or both."""
    shares = work.oversize_share
    part_large = 0.0 if shares is None else (shares.colour if colour == COLOUR else shares.black).number
    return tuple(large for large, part in ((False, 1 - part_large), (True, part_large)) if part > 0)


def _has_large(work: PlainWork, colour: str) -> bool:
    """Whether any of a colour is on large sheets, which its press must take then."""
    return True in _sheets(work, colour)


def _plain_volume(
    desk: Desk, block: Block, clock: Clock, scenario: Scenario, colour: str, given: Volume
) -> tuple[Line, Line | None]:
    """Sides in an average month, and the season's factor where twelve figures carry their own."""
    label = f"{colour.capitalize()} sides"
    if isinstance(given, Twelve):
        table = desk.twelve(block, given, label, "side/month", clock.calendar)
        mean = _mean(block, f"{colour}_average", f"{label} in an average month", table, clock)
        row = block.line(f"{colour}_season", f"Season of {colour}", "1", at(table, clock.position) / mean)
        return mean, row
    factor = _season(desk, block, clock, scenario.season)
    if isinstance(given, FlowFigure):
        return desk.a_month(block, given, label, "side"), factor
    first = desk.take(block, given.first, f"{label}, first reading", "side")
    last = desk.take(block, given.last, f"{label}, last reading", "side")
    noted = Origin(source="days between the two dates")
    days = block.given(
        f"{colour}_days", f"{label}, days between readings", "day", given.days, role="constant", origin=noted
    )
    a_year = (last - first) / days * desk.constant(block, "days_a_year")
    return block.line(f"{colour}_average", f"{label} in an average month", "side/month", a_year / MONTHS_A_YEAR), factor


def _mean(block: Block, key: str, label: str, table: Line, clock: Clock) -> Line:
    ones = block.builder.by_id.get(f"{block.id}.each_month")
    if ones is None:
        noted = Origin(source="definition: every calendar month counts once")
        ones = block.given(
            "each_month", "Months counted", "1", [1.0] * 12, axis=clock.calendar, role="constant", origin=noted
        )
    return block.line(key, label, spell(table.unit), across(table, ones) / TWELVE)


def _season(desk: Desk, block: Block, clock: Clock, season: Twelve | None) -> Line | None:
    """Factor of the calendar month: its figure over the mean of the twelve, so that the year stays the year."""
    if season is None:
        return None
    key = season.path.replace(".", "_")
    known = block.builder.by_id.get(f"{block.id}.{key}_factor")
    if known is not None:
        return known
    table = desk.twelve(block, season, "Season", "1", clock.calendar)
    mean = _mean(block, f"{key}_mean", "Mean of the season's figures", table, clock)
    return block.line(f"{key}_factor", "Season factor", "1", at(table, clock.position) / mean)


def _trend(desk: Desk, block: Block, clock: Clock, change: Figure) -> Line:
    key = change.path.replace(".", "_")
    known = block.builder.by_id.get(f"{block.id}.{key}_trend")
    if known is not None:
        return known
    rate = desk.take(block, change, "Change of volume a year", "1", percent=True)
    return block.line(f"{key}_trend", "Trend", "1", power(1 + rate, clock.year - 1))


def _jobs_a_month(desk: Desk, block: Block, axis: Axis, figures: Sequence[FlowFigure]) -> Line:
    if all(figure.per == "year" for figure in figures):
        a_year = desk.column(block, "jobs_a_year", "Jobs a year", "job/year", axis, figures)
        return block.line("jobs", "Jobs", "job/month", a_year / MONTHS_A_YEAR)
    parts = [
        desk.a_month(block, figure, f"Jobs: {name}", "job") for figure, name in zip(figures, axis.labels, strict=True)
    ]
    return block.line("jobs", "Jobs", "job/month", stacked(axis, parts))


def _index(
    desk: Desk,
    block: Block,
    scenario: Scenario,
    clock: Clock,
    axis: Axis,
    sides: Line,
    season: Sequence[Line | None],
    trend: Sequence[Line],
) -> tuple[Line, Line, Line]:
    """How many average months of work each month brings, by class; and what that means in sides."""
    scale = desk.take(block, scenario.volume_scale, "Volume scale", "1")
    level = block.line("level", "Volume within the months compared", "1", scale * clock.live)
    parts: list[Node] = [
        level * grows if factor is None else level * factor * grows for factor, grows in zip(season, trend, strict=True)
    ]
    index = block.line("index", "Work index", "1", stacked(axis, parts), total="none")
    asked = block.flow("asked_sides", "Asked sides", "side/month", across(sides, index))
    ones = desk.fixed(block, "each_class", "Classes counted", "1", axis, [1.0 for _ in axis.labels])
    average = block.line("average_sides", "Asked sides, average month at scale 1", "side/month", across(sides, ones))
    return index, asked, average

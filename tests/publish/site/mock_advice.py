"""What the analyses and the advice would say of the hand-made report: invented figures in their own records."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from tco.advice.dates import Due
from tco.advice.questions import Question, Questions
from tco.advice.record import QuoteWarning, Reading
from tco.advice.silence import Bar, Effect, Point, Silence
from tco.analyses.concessions import Offer
from tco.analyses.mishaps import Outage
from tco.analyses.ranged import Limits, Ranged
from tco.analyses.risk import Chance, Driver, NotAssessed, Risk
from tco.analyses.sensitivity import Cross, Map, Sensitivity, Swing, Switch
from tco.analyses.solve import Root, Solution
from tco.analyses.stress import Cell, Stress
from tco.report import Report


def ranged(report: Report, one: str) -> tuple[Ranged, Ranged]:
    own = report.by_key[f"{one}.rent"].values[0][0]
    limits = Limits(0.0, None, False)
    volume = Ranged("work.black", "Black", "side/month", False, 38_000, 42_000, 46_000, "meter", "", limits)
    rent = Ranged(f"{one}.rent", "Rent", "money/month", False, own - 140, own, own + 160, "offer", one, limits)
    return volume, rent


def sensitivity(report: Report, leader: str, second: str) -> Sensitivity:
    volume, rent = ranged(report, leader)
    swings = (
        Swing(rent, 9_000, -1_200, leader, second, None, Switch(1377.4, "tie", second, True), (800, 1700), 10_200),
        Swing(volume, 3_000, 7_500, leader, leader, Switch(31_000.0, "jump", second, False), None, (30e3, 54e3), 4_500),
    )
    names = ((leader, leader, second), (leader, leader, leader), (leader, leader, ""))
    leads = ((3000.0, 2000.0, -900.0), (8000.0, 5000.0, 100.0), (9000.0, 7500.0, 900.0))
    both = Map(
        volume, rent, (38e3, 42e3, 46e3), (rent.low, rent.value, rent.high), names, (*leads[:2], (9.0, 7.5, None))
    )
    return Sensitivity(leader, second, 5_000.0, swings, (Cross(volume, rent, names, leads),), map=both)


def risk(report: Report, leader: str) -> Risk:
    others = [one.id for one in report.candidates if one.id != leader]
    counts = {leader: 71, others[0]: 20, **dict.fromkeys(others[1:], 0), others[-1]: 8}
    chances = []
    for one in report.candidates:
        cost, count = one.measures["present_value"], counts[one.id]
        spread = (cost * 0.94, cost, cost * 1.07)
        chances.append(Chance(one.id, count / 100, count, 0.7, 0.712, 400.0, 5_300.0, 0.01 * one.place, spread))
    drivers = tuple(Driver(one, pull) for one, pull in zip(ranged(report, leader), (0.71, -0.34), strict=True))
    return Risk(4096, "triangular", 7, leader, tuple(chances), 0.01, 1, (900.0, 5_000.0, 9_100.0), drivers)


def stress(report: Report, leader: str, second: str) -> Stress:
    ids = tuple(one.id for one in report.candidates)
    written = Cell("", "As written", leader, second, 5_000.0)
    cells = (
        Cell("volume", "30% less work", second, leader, 2_100.0, changes=(("work.black", None, 29_400.0),)),
        Cell("volume", "15% more work", leader, second, 6_400.0, changes=(("work.black", None, 48_300.0),)),
        Cell("resale", "no press sells for anything", leader, second, 6_000.0, barred=(ids[-1],)),
        Cell("wages", "wages 10% higher", reason="no wages are counted"),
        Cell("future", "work falls by 15% a year", ""),
        Cell("stop", "everything stops after month 24, money as paid", second, leader, 1_250.0, as_paid=True),
    )
    outages = tuple(
        Outage(one, "p" if i else "", 80.0 * i, 9.0, 41_000.0, 700.0 * i, 1_730.0) for i, one in enumerate(ids)
    )
    return Stress(ids, written, cells, outages)


def concessions(report: Report, leader: str, second: str) -> tuple[Offer, ...]:
    _, rent = ranged(report, second)
    root = Root(rent.value - 90, "tie", -90.0, -0.07, 0.0)
    solved = Solution(second, leader, rent, 5_000.0, (root,), (0.0, 9e3), -40e3, 400e3, True)
    given = Offer(second, leader, 5_000.0, (solved,), 1, (replace(solved, roots=()),))
    return (replace(given, candidate=leader, against=second, gap=-5_000.0, terms=()), given)


def advised(report: Report, *, assessed: bool = True) -> Report:
    """The report with everything that analyses and advice add to it."""
    leader = report.verdict.leader or report.candidates[0].id
    second = report.verdict.runner_up or next(one.id for one in report.candidates if one.id != leader)
    name = report.candidate(leader).name
    freight = QuoteWarning(
        "return-terms", leader, "warn", f"{name}: nothing is said on the way back", f"Who pays the freight of {name}?",
        "Nothing is paid", f"{leader}.rent", 17, (), 9_400.0,
    )  # fmt: skip
    readings = (Reading("one", 100_000.0), Reading("two", 104_000.0))
    size = QuoteWarning(
        "oversize-rule", leader, "error", "Large sides", "How do they count?", "Twice", "", None, readings
    )
    done = replace(size, code="blank-backs", accepted="Letter of 3 February")
    asked = tuple(Question(f"{item.question} ({i})", item, i == 0) for i, item in enumerate([freight, *[size] * 4]))
    folded = tuple(Question(f"What of point {i}?", size, False) for i in range(3))
    lists = (
        Questions(leader, name, report.candidate(leader).quote, asked, folded),
        Questions("", "Our own figures", "", asked[:1]),
    )
    bars = []
    for one in report.candidates:
        cost = one.measures["present_value"]
        effects = ()
        if one.id == leader:
            point = Point(f"{leader}.rent", 17, open_ended=True)
            effects = (
                Effect(point, cost, cost, "alone", 9_400.0),
                Effect(replace(point, path="none"), cost, cost, "no"),
            )
        bars.append(Bar(one.id, cost * 0.98, cost, cost * 1.05, effects))
    due = (
        Due(dt.date(2027, 12, 31), "", "", "Fiscal year ends", "What is due after this date belongs to another budget"),
        Due(dt.date(2032, 2, 29), leader, name, "lease ends", "Check"),
    )
    files = {one.id: b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n" for one in report.candidates}
    missing = NotAssessed(("volume", f"any price of {leader}"))
    return replace(
        report, stress=stress(report, leader, second), risk=risk(report, leader) if assessed else missing,
        sensitivity=sensitivity(report, leader, second), silence=Silence(tuple(bars), leader, False),
        warnings=(freight, size, done), questions=lists, dates=due, calendars=files,
        concessions=concessions(report, leader, second),
    )  # fmt: skip

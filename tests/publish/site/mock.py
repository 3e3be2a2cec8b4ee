"""A hand-made report: invented presses, plain arithmetic, every key that the pages look up."""

from __future__ import annotations

import math
from dataclasses import replace

from tco.advice.verdict import Standing, judge
from tco.analyses.breakeven import Pair
from tco.analyses.crossings import Best, Crossing
from tco.problem import Problem
from tco.publish.measure_words import MEASURES
from tco.report import Candidate, ClassCost, Entry, Facts, LastYear, Press, Report, Volumes
from tests.publish.site.mock_advice import advised

MONTHS = 60
SIDES = 69_700.0
RATE = 0.075
AVERAGE = "work.average_sides"
# name, cash up front, rent a month, base a month, cost a page, sale value, people a month, cash price
PRESSES = {
    "today": ("Keep the Alder", 0.0, 0.0, 310.0, 0.0312, 4000.0, 1900.0, 0.0),
    "birch": ("Lease the Birch", 1240.0, 1240.0, 420.0, 0.0151, 0.0, 1450.0, 58_000.0),
    "cedar": ("Buy the Cedar", 60_350.0, 0.0, 390.0, 0.0224, 6000.0, 1500.0, 60_350.0),
}


def factor(month: int) -> float:
    return (1 + RATE) ** (-month / 12)


def candidate(place: int, key: str, *, name: str = "") -> Candidate:
    called, up_front, rent, base, side, sale, people, cash_price = PRESSES[key]
    season = [1 + 0.35 * math.sin(m / 12 * 2 * math.pi) for m in range(1, MONTHS + 1)]
    equipment = [rent] * MONTHS
    equipment[0] = up_front
    equipment[-1] -= sale
    statement = {
        "equipment": tuple(equipment),
        "service": tuple(base + side * SIDES * s * 1.04 ** (m // 12) for m, s in enumerate(season)),
        "people": tuple([people] * MONTHS),
    }
    net = tuple(sum(parts) for parts in zip(*statement.values(), strict=True))
    cumulative = tuple(sum(net[: m + 1]) for m in range(MONTHS))
    kinds = {kind: sum(v * factor(m) for m, v in enumerate(row, 1)) for kind, row in statement.items()}
    cost = sum(kinds.values())
    annuity = sum(factor(m) for m in range(1, MONTHS + 1))
    measures = {
        "present_value": cost,
        "cash_up_front": up_front,
        "level_month": cost / annuity,
        "cost_per_side": cost / (SIDES * annuity),
        "bound": (rent + base) * MONTHS,
        "total": sum(net),
        "average_side": sum(net) / (SIDES * MONTHS),
        "payback_month": 31.0 if place else 0.0,
        "irr_status": 1.0 if place == 2 else 0.0,
        "irr": 0.114 if place == 2 else 0.0,
        "committed_beyond": 0.0,
        "unplaced_sides": 0.0,
        "uncovered_months": 0.0,
        "pv_people_saved": cost - 0.12 * place * kinds["people"],
        "pv_people_stay": cost,
        "saving": 0.0,
    }
    if cash_price or not place:
        measures |= {"financing_effect": (kinds["equipment"] - cash_price) if rent else 0.0, "at_cash_price": cost}
    hours = tuple(0.55 * s + 0.12 * place + (0.25 if place == 1 else 0.0) for s in season)
    return Candidate(
        key,
        name or called,
        place,
        measures,
        kinds,
        statement,
        net,
        cumulative,
        (Press("press", f"{key}.press", called, None if place == 2 else hours),),
        (ClassCost("Flyers", 0.31 + 0.02 * place, 0.12, 310.0, 118.4), ClassCost("Booklets", 2.41, 1.03, 964.0, 402.5)),
        (Problem("shop.yaml", 17, f"{key}.lease.return_freight", "is not stated; 0 is used", "", "Ask for it", "gap"),)
        if place == 1
        else (),
        (f"{key}.rent", f"{key}.plan", "work.black"),
        "Tarnwick, offer 1187" if place == 1 else "",
    )


def entry(key, label, block, scope, role, unit, values, **more):
    """An entry of the block `<scope>.<block>`; one number stands for one value."""
    rows = ((float(values),),) if isinstance(values, int | float) else values
    home = block.lower() if scope == "shared" else f"{scope}.{block.lower()}"
    return Entry(key, label, home, block, scope, role, unit, rows, **more)


def entries(candidates: tuple[Candidate, ...]) -> tuple[Entry, ...]:
    meter = {"source": "meter, March 2026 to February 2027", "status": "measured", "low": 38_000, "high": 46_000}
    average = {"words": "[Colour pages] + [Black pages]", "reads": ("work.black",)}
    made = [
        entry("volume_scale", "Volume scale", "Work", "shared", "input", "1", 1, status="assumed", source="default"),
        entry("work.black", "Black", "Work", "shared", "input", "side/month", 42_000, readers=(AVERAGE,), **meter),
        entry(AVERAGE, "Average pages a month", "Work", "shared", "quantity", "side/month", SIDES, **average),
    ]
    for one in candidates:
        made += of_candidate(one)
    return tuple(made)


def of_candidate(one: Candidate) -> list[Entry]:
    rent = PRESSES.get(one.id, PRESSES["cedar"])[2]
    quote = {"source": "Tarnwick, offer 1187", "status": "quoted", "date": "2027-01-14"}
    used = {"readers": (f"{one.id}.statement.equipment",)}
    made = [
        entry(f"{one.id}.rent", "Rent", "Lease", one.id, "input", "money/month", rent, **quote, **used),
        entry(f"{one.id}.plan", "Settled", "Lease", one.id, "choice", "1", 0, words="quarterly"),
    ]
    for kind, row in [*one.statement.items(), ("net", one.net), ("cumulative", one.cumulative)]:
        flow = kind != "cumulative"
        ways = {"reads": (f"{one.id}.rent",), "readers": (one.key("present_value"),), "words": "[Rent] × [Live]"}
        sums = {"total": (sum(row) if flow else row[-1],), "total_means": "sum" if flow else "closing"}
        key = f"{one.id}.statement.{kind}"
        made.append(
            entry(
                key, kind.capitalize(), "Statement", one.id, "cost", "money/month", (row,), monthly=True, **ways, **sums
            )
        )
    known = [measure for measure in MEASURES if measure.key in one.measures]
    ways = {"reads": (f"{one.id}.statement.net",), "words": "the sum over all months of [Net] × [Factor]"}
    for measure in known:
        unit = "1" if measure.style in ("rate", "month") else "money"
        value, share = one.measures[measure.key], measure.style == "rate"
        key = one.key(measure.key)
        made.append(entry(key, measure.name, "Measures", one.id, "memo", unit, value, percent=share, **ways))
    for kind, value in one.kinds.items():
        key = one.key(f"pv_{kind}")
        made.append(entry(key, f"Today's money, {kind}", "Measures", one.id, "memo", "money", value, words="a sum"))
    axis = {"axis": "job class", "axis_labels": tuple(item.name for item in one.classes), "words": "share of the total"}
    for part in ("set_full", "set_next", "job_full", "job_next") if one.classes else ():
        values = tuple((getattr(item, part),) for item in one.classes)
        key = f"{one.id}.class_cost.{part}"
        made.append(entry(key, part, "Sets", one.id, "memo", "money/set", values, **axis))
    hours = {"monthly": True, "percent": True, "words": "[Hours needed] ÷ [Hours there]"}
    for press in one.presses:
        if press.utilisation:
            key, row = f"{press.key}.utilisation", (press.utilisation,)
            made.append(entry(key, "Hours needed of hours there", "Capacity", one.id, "quantity", "1", row, **hours))
    return made


def volumes() -> Volumes:
    grid = tuple(i * 1000.0 for i in range(151))
    annuity = sum(factor(m) for m in range(1, MONTHS + 1))
    sides = {}
    for key, (_, up, rent, base, side, _, people, _) in PRESSES.items():
        fixed = (up if not rent else 0.0) / annuity + rent + base + people
        sides[key] = tuple(math.nan if v == 0 else fixed / v + side * 1.06 for v in grid)
    tie = Crossing("tie", 54_210.4, 54_210.4, "today", "birch")
    jump = Crossing("jump", 24_000, 24_001, "today", "cedar")
    pairs = (
        Pair("today", "birch", (tie,), "today", "birch"),
        Pair("today", "cedar", (jump,), "today", "cedar"),
        Pair("birch", "cedar", (), "birch", "birch"),
    )
    best = (Best(0.0, 54_210.4, ("today",)), Best(54_210.4, 150_000.0, ("birch",)))
    return Volumes(grid, sides, pairs, best)


FACTS = Facts(
    "Colour press for Wrenlock Quick Print", "shop.yaml", 2027, 3, MONTHS, prepared_by="J. Anselm",
    prepared_for="the owners", date="1 February 2027", left_out=("paper", "energy"), discount_rate=RATE,
    freed_hours="stay paid", fiscal_month=7, average_sides=SIDES,
)  # fmt: skip


def finished(candidates: tuple[Candidate, ...], facts: Facts = FACTS, **more: object) -> Report:
    """Put a report together: savings against the first, verdict, entries."""
    base = candidates[0].measures["present_value"]
    whole = tuple(
        replace(one, measures={**one.measures, "saving": base - one.measures["present_value"]}) for one in candidates
    )
    standings = [
        Standing(
            one.id, one.measures["present_value"], one.measures["level_month"], one.measures["unplaced_sides"],
            one.measures["uncovered_months"], one.measures.get("at_cash_price"), one.measures.get("financing_effect"),
            one.measures["pv_people_saved"], one.measures["pv_people_stay"],
        )
        for one in whole
    ]  # fmt: skip
    gaps = tuple(gap for one in whole for gap in one.gaps)
    given = {
        "years": tuple(m // 12 + 1 for m in range(MONTHS)),
        "fiscal_years": tuple((m + 8) // 12 + 1 for m in range(MONTHS)),
        "calendar_months": tuple((m + 2) % 12 + 1 for m in range(MONTHS)),
        "volumes": volumes(),
    }
    return Report(facts, whole, judge(standings), entries(whole), gaps, **{**given, **more})  # type: ignore[arg-type]


def report() -> Report:
    return advised(finished(tuple(candidate(place, key) for place, key in enumerate(PRESSES))))


def bare() -> Report:
    """Nothing but the model: no analyses, no advice."""
    return finished(tuple(candidate(place, key) for place, key in enumerate(PRESSES)), volumes=None)


def barred() -> Report:
    """The cheapest leaves work undone, the rest are close, and last year was checked."""
    first, second, third = (candidate(place, key) for place, key in enumerate(PRESSES))
    second = replace(second, measures={**second.measures, "unplaced_sides": 118_000.0, "uncovered_months": 3.0})
    near = {**third.measures, "present_value": first.measures["present_value"] * 1.001}
    facts = replace(FACTS, last_year=(LastYear("service", 24_000.0, 23_700.0),), income_tax=True, paper="a4")
    return advised(finished((first, second, replace(third, measures=near)), facts), assessed=False)


def hostile() -> Report:
    """Names that try to become markup, formulas and paths, and one that never ends."""
    names = ("<script>alert(1)</script>", '=HYPERLINK("http://x.invalid","y")', "../../x" + "W" * 10_000)
    facts = replace(
        FACTS, title='"><img src=x onerror=alert(1)>', prepared_by="</style><b>", left_out=("<i>paper</i>",)
    )
    return advised(
        finished(tuple(candidate(place, key, name=names[place]) for place, key in enumerate(PRESSES)), facts)
    )


def many() -> Report:
    """Twenty-four candidates with long names."""
    made = []
    for place in range(24):
        one = candidate(
            min(place, 2), list(PRESSES)[min(place, 2)], name=f"Candidate number {place} with a rather long name"
        )
        made.append(
            replace(one, id="today" if not place else f"c{place}", place=place, terms=(), presses=(), classes=())
        )
    costs = [
        replace(one, measures={**one.measures, "present_value": one.measures["present_value"] + 900 * one.place})
        for one in made
    ]
    return advised(finished(tuple(costs), volumes=None))

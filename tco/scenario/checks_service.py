"""Checks across the keys of a service plan: parts that contradict each other or have nothing to act on."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from tco.problem import Problem
from tco.scenario.checks import View, number_at
from tco.scenario.rules_dated import BASE
from tco.scenario.tree import Items, Leaf, Node, find, node_at, text_at
from tco.scenario.words import nearest

EVERYDAY = ("colour", "black")
# Words that lines of the plan itself begin with.
NO_METER = (BASE, "click", "increase", "minimum", "rebate", "service", "toner", "used")
NEEDS_SINGLE = ("included", "minimum", "bands")
_YES = ("yes", "true")


def plans(view: View) -> list[Node]:
    """Return every plan once, however many presses inherit it."""
    places = {id(node): node for pair in view.presses() for node in pair}.values()
    found = [plan for place in places if (plan := node_at(place, "service")) is not None]
    return list({id(plan): plan for plan in found}.values())


def meters(plan: Node) -> list[tuple[str, Node]]:
    """Return the sections below `meters`."""
    return [(key, child) for key, child in (node_at(plan, "meters") or {}).items() if isinstance(child, Node)]


def share_at(meter: Node, key: str) -> float | None:
    """Return a share written at `key`, as a number or in percent; None when there is none."""
    text = text_at(meter, key) or text_at(meter, key, "value") or ""
    if text.endswith("%") and text[:-1].strip().replace(".", "", 1).isdigit():
        return float(text[:-1]) / 100
    return number_at(meter, key)


def meters_have_prices(view: View) -> Iterator[Problem]:
    """Each meter has one way of pricing, an id of its own, and a range of coverage that holds something."""
    for plan in plans(view):
        for key, meter in meters(plan):
            if key in NO_METER or (key in EVERYDAY and key in plan):
                why = "The plan has this meter already" if key in plan else "The word is the plan's own"
                yield view.problem(meter, "", f"cannot be called `{key}`", why, f"Write for instance `{key}_only`")
            priced = [word for word in ("rate", "bands") if word in meter]
            if len(priced) != 1:
                what = "has neither `rate` nor `bands`" if not priced else "stands beside `rate`"
                yield view.problem(meter, "bands" if priced else "", what, "A click has one price",
                                   "Write `rate: 0.045`, or bands")
            low, high = share_at(meter, "coverage_from"), share_at(meter, "coverage_to")
            if low is not None and high is not None and low >= high:
                yield view.problem(meter, "coverage_to", "is not above coverage_from", "No work would be counted",
                                   "Exchange the two")


def classes_known(view: View) -> Iterator[Problem]:
    """The job classes a meter counts are there."""
    known = list(node_at(view.tree, "jobs") or EVERYDAY)
    for plan in plans(view):
        for _, meter in meters(plan):
            written = meter.get("classes")
            for word in list(written) if isinstance(written, Items) else [written]:
                if isinstance(word, Leaf) and word.text not in known:
                    close = nearest(word.text, known)
                    yield view.problem(meter, "classes", f"`{word.text}` is no class of the work",
                                       "It would count nothing",
                                       f"Did you mean `{close}`?" if close else f"Write some of {', '.join(known)}")


def single_rates(view: View) -> Iterator[Problem]:
    """A size rate stands beside a single rate alone; so does the rate of long runs, which also needs jobs."""
    for plan in plans(view):
        for _, meter in meters(plan):
            beside = [word for word in NEEDS_SINGLE if word in meter]
            if "size_rate" in meter and beside:
                yield view.problem(meter, "size_rate", f"contradicts `{beside[0]}`",
                                   "It is not clear which sides count", "Write two meters, one with `size: large`")
            if "size_rate" in meter and text_at(meter, "size") in ("small", "large"):
                yield view.problem(meter, "size_rate", "stands on a meter of one size", "It would have no effect",
                                   "Write the rate of that size as `rate`")
            if "run_length" in meter and "bands" in meter:
                yield view.problem(meter, "run_length", "contradicts `bands`", "It replaces a single rate",
                                   "Write `rate`, or remove it")
            if "run_length" in meter and "jobs" not in view.tree:
                yield view.problem(meter, "run_length", "needs job classes", "Volumes do not tell copies of one job",
                                   "Describe the work as `jobs`")


def allowances_carry(view: View) -> Iterator[Problem]:
    """Clicks are carried from month to month, and only included ones; a credit is for clicks of a minimum."""
    for plan in plans(view):
        settled = text_at(plan, "settled") or "monthly"
        for _, meter in meters(plan):
            if "carry_forward_months" in meter:
                if settled != "monthly":
                    yield view.problem(meter, "carry_forward_months", f"contradicts `settled: {settled}`",
                                       "Within a longer period the months help each other already",
                                       "Write `settled: monthly`, or remove it")
                if "included" not in meter:
                    yield view.problem(meter, "carry_forward_months", "has no `included` beside it",
                                       "There is nothing to carry forward", "Add `included:` with clicks")
                if "minimum" in meter:
                    yield view.problem(meter, "carry_forward_months", "contradicts `minimum`",
                                       "A click billed though not made cannot be made later",
                                       "Keep one of the two, or use `under_use_credit`")
            if "under_use_credit" in meter and "minimum" not in meter:
                yield view.problem(meter, "under_use_credit", "has no `minimum` beside it", "Nothing is under-used",
                                   "Add `minimum:` with clicks")


def prices_by_date(view: View) -> Iterator[Problem]:
    """Prices of a date replace prices that are there, after the start."""
    start = text_at(view.tree, "start") or ""
    for plan in plans(view):
        named = dict(meters(plan))
        dated, rises = node_at(plan, "rates_from") or Node("", None), node_at(plan, "increases") or Node("", None)
        for when, prices in dated.items():
            if when <= start:
                yield view.problem(dated, when, f"is not after the start {start}",
                                   "The plan's own prices hold from the start", "Write the price at its own key")
            for key in prices if isinstance(prices, Node) else ():
                meter = named.get(key)
                if key not in plan and meter is None:
                    close = nearest(key, [BASE, *EVERYDAY, *named])
                    yield view.problem(prices, key, "has no price before that date", "Nothing is replaced",
                                       f"Did you mean `{close}`?" if close else f"Add `{key}:` to the plan")
                if isinstance(plan.get(key), Items) or (meter is not None and "bands" in meter):
                    yield view.problem(prices, key, "is priced by bands", "Only a single rate is replaced by date",
                                       "Write the bands that hold longest, or two candidates")
        for when in rises:
            if when <= start:
                yield view.problem(rises, when, f"is not after the start {start}",
                                   "Prices are those at the start", "Write prices that contain it, and later increases")
        for key in ("increase", "increase_from", "increase_every"):
            if "increases" in plan and key in plan and plan[key].path == plan.child_path(key):
                yield view.problem(plan, key, "stands beside `increases`", "Prices would rise in two ways",
                                   "Keep the yearly increase or those by date")


def commitment(view: View) -> Iterator[Problem]:
    """Instalments are those of a minimum charge."""
    for plan in plans(view):
        if text_at(plan, "instalments") in _YES and "minimum_charge" not in plan:
            yield view.problem(plan, "instalments", "has no `minimum_charge` beside it",
                               "It is what is paid month by month",
                               "Add `minimum_charge: {per_year: 7200}`")


def financed(view: View) -> Iterator[Problem]:
    """Clicks paid by another payment are counted off single rates, month by month."""
    for plan in plans(view):
        if "financed_clicks" not in plan:
            continue
        settled = text_at(plan, "settled") or "monthly"
        every = [plan, *(meter for _, meter in meters(plan))]
        banded = any("bands" in meter for _, meter in meters(plan)) or any(
            isinstance(plan.get(colour), Items) for colour in EVERYDAY)
        if settled != "monthly":
            yield view.problem(plan, "financed_clicks", f"contradicts `settled: {settled}`",
                               "It must be known in which month they run out", "Write `settled: monthly`")
        if banded:
            yield view.problem(plan, "financed_clicks", "contradicts bands", "It is not clear which clicks are paid",
                               "Write single rates")
        if any(key in one for one in every for key in ("minimum", "minimum_charge")):
            yield view.problem(plan, "financed_clicks", "contradicts a minimum", "Clicks would be paid twice",
                               "Keep one of the two")


def uptime_has_hours(view: View) -> Iterator[Problem]:
    """Hours up are a share of the shop's hours."""
    for plan in plans(view):
        if "uptime" in plan and find(view.tree, "shop", "hours_per_week") is None:
            yield view.problem(plan, "uptime", "needs `shop.hours_per_week`", "It is a share of the shop hours",
                               "Add `shop: {hours_per_week: 40}`")


CHECKS: tuple[Callable[[View], Iterator[Problem]], ...] = (
    meters_have_prices, classes_known, single_rates, allowances_carry, prices_by_date, commitment, financed,
    uptime_has_hours,
)


def check_service(tree: Node, file: str, small: str) -> list[Problem]:
    """Return the problems within the service plans of a completed tree."""
    view = View(tree, file, small)
    return [problem for one in CHECKS for problem in one(view)]

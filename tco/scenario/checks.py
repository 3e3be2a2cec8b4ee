"""Checks across keys; each yields the problems of one kind of mistake and tolerates all other mistakes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tco.problem import Problem
from tco.scenario.schema_press import ACQUISITIONS, Press
from tco.scenario.tree import Items, Leaf, Node, Tree, find, node_at, text_at
from tco.scenario.words import SIZES, nearest

MOST_CANDIDATES, MOST_PRESSES, MOST_CLASSES = 24, 12, 60
_YES = ("yes", "true")
_MONTH = re.compile(r"\d{4}-\d{2}")


@dataclass(frozen=True, slots=True)
class View:
    """The completed tree and a way to say what is wrong in it."""

    tree: Node
    file: str
    small: str

    def problem(self, place: Tree, key: str, what: str, why: str, instead: str) -> Problem:
        """Return an error at `key` below `place` (or at `place` itself)."""
        at: Tree = place
        if key and isinstance(place, Node) and key in place:
            at = place[key]
        path = f"{place.path}.{key}" if key and place.path else key or place.path
        return Problem(self.file, at.line if at.line is not None else place.line, path, what, why, instead)

    def sections(self, *keys: str) -> list[tuple[str, Node]]:
        """Return the named sections below `keys`."""
        below = node_at(self.tree, *keys)
        return [(key, child) for key, child in below.items() if isinstance(child, Node)] if below is not None else []

    def candidates(self) -> list[tuple[str, Node]]:
        """Return today and all candidates."""
        today = node_at(self.tree, "today")
        return ([("today", today)] if today is not None else []) + self.sections("candidates")

    def presses(self) -> list[tuple[Node, Node]]:
        """Return every press with its candidate."""
        out: list[tuple[Node, Node]] = []
        for _, candidate in self.candidates():
            if text_at(candidate, "outside_only") in _YES:
                continue
            inner = node_at(candidate, "presses")
            if inner is None:
                out.append((candidate, candidate))
            else:
                out.extend((candidate, child) for child in inner.values() if isinstance(child, Node))
        return out


def number_at(tree: Tree | None, *keys: str) -> float | None:
    """Return the number written below `keys`, bare or as value; None when there is none."""
    found = find(tree, *keys)
    if isinstance(found, Node):
        found = found.get("value")
    if isinstance(found, Leaf) and isinstance(found.value, int | float) and not isinstance(found.value, bool):
        return float(found.value)
    return None


def work_or_jobs(view: View) -> Iterator[Problem]:
    """Exactly one of `work` and `jobs`; work with at least one colour."""
    has = [key for key in ("work", "jobs") if key in view.tree]
    if len(has) > 1:
        yield view.problem(view.tree, "jobs", "stands beside `work`", "The work would be counted twice",
                           "Keep job classes (`jobs`) or plain volumes (`work`), not both")
    if not has:
        yield view.problem(view.tree, "", "says nothing about the work", "Every cost follows from what is printed",
                           "Add `work` with colour and black, or `jobs`")
    work = node_at(view.tree, "work")
    if work is not None and "colour" not in work and "black" not in work:
        yield view.problem(work, "", "has neither colour nor black", "", "Add `black:` or `colour:` with sides a month")


def one_way_to_pay(view: View) -> Iterator[Problem]:
    """Exactly one of the acquisitions on every press."""
    for _, press in view.presses():
        ways = [key for key in ACQUISITIONS if key in press]
        if len(ways) > 1:
            yield view.problem(press, ways[1], f"stands beside `{ways[0]}`", "One press is paid for in one way",
                               "Keep one of them, or write two candidates")
        elif not ways:
            ways_known = ", ".join(ACQUISITIONS)
            yield view.problem(press, "", f"does not say how the press is paid for: none of {ways_known}", "",
                               "Add for instance `lease: {rent: 1240, months: 60}`, or `outside_only: yes`")


def running_lease_only_today(view: View) -> Iterator[Problem]:
    """Only a present press has a lease with an end date, and no other lease."""
    for candidate, press in view.presses():
        lease = node_at(press, "lease")
        if lease is None:
            continue
        present = candidate.path == "today" or "same_as" in press
        if "ends" in lease and not present:
            yield view.problem(lease, "ends", "belongs to the running lease of a present press",
                               "A new lease has a term in months", "Write `months: 60`")
        if "ends" not in lease and candidate.path == "today":
            yield view.problem(lease, "", "does not say when the running lease ends", "The rents to its end are owed",
                               "Write `ends: 2028-06`, its last month")


def plan_once(view: View) -> Iterator[Problem]:
    """No plan beside that of a pool, no press keys beside `presses`."""
    pooled = {"service", "name"}
    for _, candidate in view.candidates():
        presses = node_at(candidate, "presses")
        if presses is None:
            continue
        for key in candidate:
            if key in Press.model_fields and key not in pooled:
                yield view.problem(candidate, key, "stands beside `presses`", "It is not clear which press is meant",
                                   "Move it into the press it belongs to")
        for press in presses.values():
            if "service" in candidate and isinstance(press, Node) and "service" in press:
                yield view.problem(press, "service", "stands beside the service plan of the candidate",
                                   "The plan on the candidate covers all its presses already",
                                   "Keep the common plan or one plan for each press")


def outside_only_alone(view: View) -> Iterator[Problem]:
    """`outside_only` needs outside prices and no press."""
    for _, candidate in view.candidates():
        if text_at(candidate, "outside_only") not in _YES:
            continue
        for key in (*ACQUISITIONS, "presses", "service"):
            if key in candidate:
                yield view.problem(candidate, key, "stands beside `outside_only`", "Nothing is printed in house then",
                                   "Remove one of the two")
        if "outside" not in view.tree:
            yield view.problem(candidate, "outside_only", "needs outside prices", "",
                               "Add `outside: {black: 0.034, colour: 0.145}`")


def finishes_known(view: View) -> Iterator[Problem]:
    """Every finish named by a class or press is described, unless finishing is left out."""
    if "finishing" in _words(view.tree.get("left_out")):
        return
    known = [*(node_at(view.tree, "shop", "finishing") or {}), *(node_at(view.tree, "outside", "finishing") or {})]
    for _, job in view.sections("jobs"):
        finish = text_at(job, "finish")
        if finish is not None and finish not in known:
            close = nearest(finish, known)
            yield view.problem(job, "finish", f"`{finish}` is described nowhere", "Its cost is not known",
                               f"Did you mean `{close}`?" if close else
                               f"Add `shop: {{finishing: {{{finish}: {{material: 0.02}}}}}}` or `left_out: "
                               f"[finishing]`")


def stock_known(view: View) -> Iterator[Problem]:
    """Every stock named by a class has a price, unless paper is left out."""
    prices = node_at(view.tree, "shop", "paper")
    if "paper" in _words(view.tree.get("left_out")) or prices is None:
        return
    for place, key, stock in stocks(view):
        if stock not in prices:
            close = nearest(stock, prices)
            yield view.problem(place, key, f"`{stock}` has no price under shop.paper", "Paper would cost nothing",
                               f"Did you mean `{close}`?" if close else f"Add `{stock}:` to shop.paper")


def stocks(view: View) -> list[tuple[Node, str, str]]:
    """Return every stock that is printed on, by section, the key that names it, and name."""
    wanted: list[tuple[Node, str, str]] = []
    for _, job in view.sections("jobs"):
        key = "paper" if "paper" in job else "size"
        wanted.append((job, key, text_at(job, key) or ""))
    work = node_at(view.tree, "work")
    if work is not None:
        wanted.append((work, "size", text_at(work, "size") or ""))
        share = node_at(work, "oversize_share")
        if share:
            wanted.append((work, "large_size", text_at(work, "large_size") or ""))
    return wanted


def _words(tree: Tree | None) -> list[str]:
    entries: list[Tree] = list(tree) if isinstance(tree, Items) else [tree] if tree is not None else []
    return [entry.text for entry in entries if isinstance(entry, Leaf)]


def in_order_of_time(view: View) -> Iterator[Problem]:
    """Presses leave after they came, come within the study; running leases end after the start."""
    months = number_at(view.tree, "months")
    start = text_at(view.tree, "start") or ""
    for _, press in view.presses():
        first, last = number_at(press, "from_month") or 1.0, number_at(press, "until_month")
        if last is not None and last < first:
            yield view.problem(press, "until_month", f"ends in month {last:g}, before from_month {first:g}", "",
                               "Write a later month, counted from `start`")
        if months is not None and first > months:
            yield view.problem(press, "from_month", f"lies after the {months:g} months of the study", "",
                               "Write an earlier month or a longer study")
        ends = text_at(press, "lease", "ends")
        if ends is not None and _MONTH.fullmatch(ends) and _MONTH.fullmatch(start) and ends < start:
            yield view.problem(press, "lease.ends", f"`{ends}` lies before the start {start}",
                               "A lease that has ended is not a running lease", "Remove the lease, or correct "
                                                                                "the month")


def lease_adds_up(view: View) -> Iterator[Problem]:
    """Rents fit the term; advance rents agree with their timing; keys of one end do not stand at another."""
    for _, press in view.presses():
        lease = node_at(press, "lease")
        if lease is None or "ends" in lease:
            continue
        months, every = number_at(lease, "months"), number_at(lease, "every_months") or 1.0
        if months is not None and every > 0 and months % every:
            yield view.problem(lease, "every_months", f"{months:g} months are no whole number of rents every "
                                                      f"{every:g} months",
                               "", "Correct the term or the period")
        advance, paid = number_at(lease, "advance_rents"), text_at(lease, "paid")
        if advance and paid == "in arrears":
            yield view.problem(lease, "advance_rents", "contradicts `paid: in arrears`", "",
                               "Write `paid: in advance`, or no advance rents")
        if advance == 0 and (paid or "in advance") == "in advance":
            yield view.problem(lease, "advance_rents", "contradicts `paid: in advance`", "", "Write `paid: in arrears`")
        if advance is not None and months is not None and every > 0 and advance > months / every:
            yield view.problem(lease, "advance_rents", "is more than all rents of the term", "", "Write fewer rents")
        end = text_at(lease, "at_end") or "return"
        for key, needs in (("buy_price", "buy"), ("renewal_rent", "renew"), ("renewal_months", "renew")):
            if key in lease and end != needs:
                yield view.problem(lease, key, f"belongs to `at_end: {needs}`, not to `at_end: {end}`",
                                   "It would have no effect", f"Write `at_end: {needs}` or remove it")


def loan_adds_up(view: View) -> Iterator[Problem]:
    """Down payments are below the price."""
    for _, press in view.presses():
        loan = node_at(press, "loan")
        price, down = number_at(loan, "price"), number_at(loan, "down_payment")
        if loan is not None and price is not None and down is not None and down > price:
            yield view.problem(loan, "down_payment", "is above the price", "", "Write a smaller sum, or `cash`")


def speeds_need_hours(view: View) -> Iterator[Problem]:
    """Speeds without hours a week cannot tell whether the work fits."""
    for _, press in view.presses():
        if "sides_per_minute" in press and find(view.tree, "shop", "hours_per_week") is None:
            yield view.problem(press, "sides_per_minute", "needs `shop.hours_per_week`",
                               "Speed tells the hours needed, the shop the hours there", "Add `shop: "
                                                                                         "{hours_per_week: 40}`")
            return


def speeds_cover_work(view: View) -> Iterator[Problem]:
    """Speeds by size name every size of the work, or the small size that others are derived from."""
    work = node_at(view.tree, "work")
    sizes = {text_at(job, "size") for _, job in view.sections("jobs")}
    if work is not None:
        sizes |= {text_at(work, "size")}
    for _, press in view.presses():
        speeds = node_at(press, "sides_per_minute")
        if speeds is None or not set(speeds) <= set(SIZES):
            continue  # one figure for all, or a misspelt size that is told elsewhere
        missing = sorted(size for size in sizes if size in SIZES and size not in speeds)
        if missing and view.small not in speeds:
            yield view.problem(press, "sides_per_minute", f"gives no speed for {missing[0]}",
                               f"Only {view.small} could stand for other sizes", f"Add `{missing[0]}:`")


def tax_years(view: View) -> Iterator[Problem]:
    """Straight-line depreciation needs its years."""
    tax = node_at(view.tree, "money", "income_tax")
    if tax is not None and (text_at(tax, "depreciation") or "straight line") == "straight line" and "years" not in tax:
        yield view.problem(tax, "years", "is needed for straight-line depreciation", "", "Add `years: 5`")


def one_energy(view: View) -> Iterator[Problem]:
    """Power or energy a week, not both."""
    for _, press in view.presses():
        if "power" in press and "kwh_per_week" in press:
            yield view.problem(press, "kwh_per_week", "stands beside `power`", "Energy would be given twice",
                               "Keep one of the two")


def sells_for_in_place(view: View) -> Iterator[Problem]:
    """Present presses fetch something now; a new press sells under its acquisition."""
    for candidate, press in view.presses():
        if "sells_for" in press and candidate.path != "today" and "same_as" not in press:
            yield view.problem(press, "sells_for", "belongs under cash, loan, lease or owned", "",
                               "Write for instance `cash: {price: 58500, sells_for: 6000}`")


def minimum_has_rate(view: View) -> Iterator[Problem]:
    """Included or minimum clicks of a meter need its rate."""
    for place in {id(node): node for pair in view.presses() for node in pair}.values():
        service = node_at(place, "service")
        for key in ("included", "minimum"):
            for colour in node_at(service, key) or {}:
                if service is not None and colour in ("colour", "black") and colour not in service:
                    yield view.problem(service, f"{key}.{colour}", f"has no `{colour}` rate beside it",
                                       "Clicks beyond it would be free", f"Add `{colour}:` with the rate a click")


def within_limits(view: View) -> Iterator[Problem]:
    """Sizes that engine and workbook can carry."""
    counted = [("candidates", len(node_at(view.tree, "candidates") or {}), MOST_CANDIDATES, "candidates"),
               ("jobs", len(node_at(view.tree, "jobs") or {}), MOST_CLASSES, "job classes")]
    for key, count, most, words in counted:
        if count > most:
            yield view.problem(view.tree, key, f"has {count} {words}, more than {most}", "", "Put alike ones together")
    for _, candidate in view.candidates():
        count = len(node_at(candidate, "presses") or {})
        if count > MOST_PRESSES:
            yield view.problem(candidate, "presses", f"has {count} presses, more than {MOST_PRESSES}", "",
                               "Use `count` for equal presses")


CHECKS: tuple[Callable[[View], Iterator[Problem]], ...] = (
    work_or_jobs, one_way_to_pay, running_lease_only_today, plan_once, outside_only_alone, finishes_known, stock_known,
    in_order_of_time, lease_adds_up, loan_adds_up, speeds_need_hours, speeds_cover_work, tax_years, one_energy,
    sells_for_in_place, minimum_has_rate, within_limits,
)


def check(tree: Node, file: str, small: str) -> list[Problem]:
    """Return the problems that all checks find in a completed tree; `small` is its small sheet size."""
    view = View(tree, file, small)
    return [problem for one in CHECKS for problem in one(view)]

"""Running costs of the oracle, at the close of each month and at the price level of its year."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from tests.oracle import reading as r
from tests.oracle.flows import Book
from tests.oracle.meters import clicks_a_month, meters_of
from tests.oracle.placing import Placed, Press, weeks_of
from tests.oracle.work import Work


@dataclass(frozen=True)
class Shift:
    """All that running costs of one candidate depend on."""

    data: r.Tree
    candidate: r.Tree
    presses: list[Press]
    classes: list[Work]
    placed: Placed
    small: str  # letter or a4
    with_paper: frozenset[str] = frozenset()  # presses whose plan pays the paper
    plans: dict[str, r.Tree | None] = field(default_factory=dict)  # by press

    @property
    def shop(self) -> r.Tree:
        """Give the shop's own rates."""
        return self.data.get("shop") or {}

    @property
    def outside(self) -> r.Tree:
        """Give the outside printer's prices."""
        return self.data.get("outside") or {}

    def counted(self, room: str) -> bool:
        """Say whether a room is not left out."""
        return room not in (self.data.get("left_out") or [])

    def done(self, press: Press, work: Work, month: int) -> float:
        """Give the work index done on a press."""
        return self.placed.done[press.key, work.key][month - 1]


def run(book: Book, shift: Shift) -> dict[str, list[float]]:
    """Enter all running costs but people; give memo lists by month (off-line hours, kWh)."""
    rooms = {"paper": paper, "supplies": supplies, "finishing": finishing, "bought_in": bought_in}
    rooms |= {"outside": outside, "space": space}
    months = range(1, book.clock.months + 1)
    for m in months:
        level = book.clock.price_level(m)
        for name, room in rooms.items():
            if shift.counted("finishing" if name == "bought_in" else name):
                book.add(name, m, "close", room(shift, m) * level)
        if shift.counted("energy"):
            price = r.number(shift.shop.get("electricity")) * (1 + r.number(shift.shop.get("cooling")))
            book.add("energy", m, "close", energy(shift, m) * price * level)
    return {
        "off_line_hours": [off_line_hours(shift, m) for m in months],
        "kwh": [energy(shift, m) for m in months],
    }


def sheet_price(shift: Shift, work: Work) -> float:
    """Give the price of one sheet of a class."""
    prices = shift.shop.get("paper")
    if not isinstance(prices, dict):
        return r.number(prices)
    if work.stock is not None:
        return r.number(prices[str(work.stock)])
    return work.mean_of_sizes(lambda size: r.number(prices.get(size)))


def paper(shift: Shift, month: int) -> float:
    """Run sheets on the presses; good sheets outside when the outside price leaves paper out."""
    total = 0.0
    for work in shift.classes:
        paying = [p for p in shift.presses if p.key not in shift.with_paper]
        sheets = sum(shift.done(p, work, month) for p in paying) * work.run_sheets
        if str(shift.outside.get("paper", "not included")) == "not included":
            sheets += shift.placed.outside[work.key][month - 1] * work.good_sheets
        if sheets:
            total += sheets * sheet_price(shift, work)
    return total


def supplies(shift: Shift, month: int) -> float:
    """Toner, ink, drums, staples: price times use over yield."""
    total = 0.0
    for press in shift.presses:
        for item in (press.raw.get("supplies") or {}).values():
            plan = shift.plans.get(press.key)
            use = sum(shift.done(press, work, month) * use_of(item, work, shift.small, plan) for work in shift.classes)
            total += r.number(item["price"]) * use / r.number(item.get("yields"), 1.0)
    return total


def use_of(item: r.Tree, work: Work, small: str, plan: r.Tree | None) -> float:
    """Give the use of an item in an average month of a class on a press under a plan."""
    per = str(item.get("per", "side"))
    if per == "m2":
        litres = work.passes * square_metres(work, lambda _: 1.0) * r.number(item["ml_per_m2"]) / 1000
        return litres * (work.coverage / r.number(item["at_coverage"]) if "at_coverage" in item else 1.0)
    if per == "click":
        meters = meters_of(plan) if plan is not None else []
        counted = sum(sum(clicks_a_month(plan or {}, meters, meter, work)) for meter in meters)
        return counted / (1 - r.number((plan or {}).get("copy_credit"))) if meters else work.passes
    if per == "colour side" and not work.colour:
        return 0.0
    if "at_coverage" in item:
        area = work.mean_of_sizes(r.area) / r.area(small)
        return work.passes * area * work.coverage / r.number(item["at_coverage"])
    uses = {"sheet": work.run_sheets, "set": work.sets, "job": work.jobs}
    return uses.get(per, work.passes)


def square_metres(work: Work, weight: Callable[[str], float]) -> float:
    """Give the area of a sheet of a class, each size times a weight."""
    return work.mean_of_sizes(lambda size: r.area(size) / 1e6 * weight(size))


def emissions(shift: Shift, month: int) -> float:
    """Give the kilograms of a month: electricity drawn and paper printed on the presses."""
    terms = shift.shop.get("emissions") or {}
    grams = shift.shop.get("paper_weight") or {}
    paper_kg = 0.0
    for work in shift.classes:
        sheets = sum(shift.done(p, work, month) for p in shift.presses) * work.run_sheets
        stock = work.stock
        paper_kg += sheets * square_metres(work, lambda size, of=stock: r.number(grams.get(of or size))) / 1000
    return energy(shift, month) * r.number(terms.get("electricity")) + paper_kg * r.number(terms.get("paper"))


def ways_to_finish(shift: Shift, work: Work, press: Press) -> list[tuple[str, r.Tree]]:
    """Say how each finish of a class is done after this press: in line, off line or bought in."""
    out = []
    for name in work.finishes:
        terms = (shift.shop.get("finishing") or {}).get(name) or {}
        in_line = press.raw.get("in_line") or []
        in_line = [in_line] if isinstance(in_line, str) else in_line
        way = "in line" if name in in_line else "off line" if terms.get("sets_per_hour") else "bought in"
        out.append((way, terms))
    return out


def finishing(shift: Shift, month: int) -> float:
    """Material of finishing in line and off line."""
    return finished(shift, month, ("in line", "off line"), "material")


def bought_in(shift: Shift, month: int) -> float:
    """Finishing bought in."""
    return finished(shift, month, ("bought in",), "bought_in")


def finished(shift: Shift, month: int, counted: tuple[str, ...], price: str) -> float:
    """Sets finished in these ways, at this price a set."""
    total = 0.0
    for press in shift.presses:
        for work in shift.classes:
            sets = shift.done(press, work, month) * work.sets
            for way, terms in ways_to_finish(shift, work, press):
                if way in counted:
                    total += sets * r.number(terms.get(price))
    return total


def off_line_hours(shift: Shift, month: int) -> float:
    """Hours at finishing machines."""
    if not shift.counted("finishing"):
        return 0.0
    total = 0.0
    for press in shift.presses:
        for work in shift.classes:
            for way, terms in ways_to_finish(shift, work, press):
                if way == "off line":
                    total += shift.done(press, work, month) * work.sets / r.number(terms["sets_per_hour"])
    return total


def outside(shift: Shift, month: int) -> float:
    """Pay the outside printer and the delivery of his work."""
    terms = shift.outside
    total = 0.0
    for work in shift.classes:
        out = shift.placed.outside[work.key][month - 1]
        if not out:
            continue
        large = 1 + (r.number(terms.get("oversize_counts"), 2.0) - 1) * work.large
        one = work.sides * r.number(terms["colour" if work.colour else "black"]) * large
        one += work.sets * sum(r.number((terms.get("finishing") or {}).get(name)) for name in work.finishes)
        one += work.jobs * r.number(terms.get("delivery_per_job"))
        total += out * one
    return total


def space(shift: Shift, month: int) -> float:
    """Floor of the presses in service."""
    area = sum(p.count * r.number(p.raw.get("space_m2")) for p in shift.presses if p.in_service(month))
    return area * r.amount(shift.shop.get("space_per_m2"))


def energy(shift: Shift, month: int) -> float:
    """Give kWh: running, ready, asleep and warming up, or by the week."""
    weeks = weeks_of(shift.shop)
    total = 0.0
    for press in shift.presses:
        if not press.in_service(month):
            continue
        if "kwh_per_week" in press.raw:
            total += press.count * r.number(press.raw["kwh_per_week"]) * 52 / 12
            continue
        power: dict[str, Any] = press.raw.get("power") or {}
        open_hours = press.count * r.number(shift.shop.get("hours_per_week")) * weeks / 12
        running = worked(shift, press, month)
        asleep = press.count * 8760 / 12 - max(open_hours, running)
        total += r.number(power.get("running")) * running
        total += r.number(power.get("ready")) * max(0.0, open_hours - running)
        total += r.number(power.get("sleep")) * asleep
        total += r.number(power.get("warm_up")) * 5 * weeks / 12 * press.count
    return total


def worked(shift: Shift, press: Press, month: int) -> float:
    """Give the hours worked by a press, overtime included."""
    placed = shift.placed
    return placed.regular_hours[press.key][month - 1] + placed.overtime_hours[press.key][month - 1]


@dataclass(frozen=True)
class People:
    """Hours, posts and cost by month (1 ... H at position 0 ...) under both policies."""

    attended: list[float]
    overtime: list[float]
    needed_posts: list[float]  # by month, the same through a year
    posts: dict[str, list[float]]
    cost: dict[str, list[float]]
    named: str  # the policy that enters the total


def people(book: Book, shift: Shift, today: r.Tree, hours_off_line: list[float]) -> People:
    """Compute the cost of people; enters nothing."""
    clock = book.clock
    terms = shift.shop.get("labour") or {}
    counted = bool(terms) and shift.counted("labour")
    attended, overtime = attendance(shift, clock.months, hours_off_line)
    plain_hours = [a - o for a, o in zip(attended, overtime, strict=True)]
    wage = r.number(terms.get("wage"))
    loaded = wage * (1 + r.number(terms.get("on_cost")))
    paid_hours = r.number(shift.shop.get("hours_per_week")) * weeks_of(shift.shop) / 12
    productive = paid_hours * r.number(terms.get("productive"), 0.8)
    shop_posts, own = number_of_posts(terms), number_of_posts(shift.candidate)
    timed = not shift.presses or any("sides_per_minute" in p.raw for p in shift.presses)
    present = number_of_posts(today)
    present = shop_posts if present is None else present
    needed, cost = [], {"saved": [0.0] * clock.months, "stay paid": [0.0] * clock.months}
    posts: dict[str, list[float]] = {"saved": [], "stay paid": []}
    for m in range(1, clock.months + 1):
        year = [i for i in range(clock.months) if clock.year(i + 1) == clock.year(m)]
        if timed and productive:
            # A hair is taken off so that exactly full posts are not rounded up by the last bit.
            needed.append(math.ceil(2 * max(plain_hours[i] for i in year) / productive - 1e-9) / 2)
        else:
            needed.append(r.number(present if own is None else own))
        posts["saved"].append(needed[-1] if own is None else own)
        posts["stay paid"].append(max(posts["saved"][-1], r.number(shop_posts)))
        for policy, line in cost.items():
            hours = plain_hours[m - 1] if shop_posts is None else posts[policy][-1] * paid_hours
            extra = overtime[m - 1] * wage * r.number(terms.get("overtime_factor"), 1.5)
            line[m - 1] = (hours * loaded + extra) * clock.price_level(m) * counted
    return People(attended, overtime, needed, posts, cost, str(terms.get("freed_hours", "stay paid")))


def number_of_posts(terms: r.Tree) -> float | None:
    """Read posts, bare or with a number; None when unsaid."""
    raw = terms.get("posts")
    if isinstance(raw, dict):
        raw = raw.get("number")
    return None if raw is None else r.number(raw)


def attendance(shift: Shift, months: int, hours_off_line: list[float]) -> tuple[list[float], list[float]]:
    """Give attended hours, and the overtime part of them, by month."""
    attended, overtime = [], []
    for i in range(months):
        total, extra = hours_off_line[i], 0.0
        for press in shift.presses:
            beside = r.number(press.raw.get("attendance"), 1.0)
            total += (worked(shift, press, i + 1) + shift.placed.care_hours[press.key][i]) * beside
            extra += shift.placed.overtime_hours[press.key][i] * beside
        for work in shift.classes:
            orders = shift.placed.outside[work.key][i] * work.jobs
            total += orders * r.number(shift.outside.get("order_minutes")) / 60
        attended.append(total)
        overtime.append(extra)
    return attended, overtime

"""Checks inside a lease: parts that contradict each other, or need something that is not written."""

from __future__ import annotations

from collections.abc import Iterator

from tco.problem import Problem
from tco.scenario.checks import View, number_at
from tco.scenario.tree import Node, node_at, text_at

RENTS = ("rent", "factor", "quoted_rate")
# Parts, and what they have no meaning without.
NEEDS = (
    ("factor", "cash_price", "The rent is a share of it"),
    ("quoted_rate", "cash_price", "The rents repay it"),
    ("property_tax", "cash_price", "The assessed value is a share of it"),
    ("rolled_in", "cash_price", "Old debt can only be told apart beside the price of the press"),
    ("steps", "rent", "Steps change a rent that is written"),
    ("skip_rent", "skip_months", "It stands in place of the rents skipped"),
    ("admin_fee", "property_tax", "It is charged together with it"),
    ("exit_service_share", "exit_month", "It is claimed when the press leaves early"),
)
ONLY_RETURNED = ("late_return_months", "renews_unless_noticed", "exit_month")


def check_leases(tree: Node, file: str, small: str) -> list[Problem]:
    """Return the problems inside new leases of a completed tree; other mistakes are told elsewhere."""
    view = View(tree, file, small)
    out: list[Problem] = []
    for _, press in view.presses():
        lease = node_at(press, "lease")
        if lease is not None and "ends" not in lease:
            for one in (_rent_once, _ends_at_one_price, _needs, _ends, _in_time, _owes_something):
                out.extend(one(view, press, lease))
    return out


def _rent_once(view: View, _: Node, lease: Node) -> Iterator[Problem]:
    ways = [key for key in RENTS if key in lease]
    if not ways:
        yield view.problem(lease, "", "lacks `rent`", "", "Write for instance `rent: 1240`; `factor` or `quoted_rate` "
                                                          "with `cash_price` say it too")
    if len(ways) > 1:
        yield view.problem(lease, ways[1], f"stands beside `{ways[0]}`", "The rent would be given twice",
                           "Keep the one that the contract names; the other is for checking the quote")


def _ends_at_one_price(view: View, _: Node, lease: Node) -> Iterator[Problem]:
    if "exit_discount" in lease and "exit_at_most" in lease:
        yield view.problem(lease, "exit_at_most", "stands beside `exit_discount`",
                           "What an early end costs would be given twice", "Keep the one that the contract names")


def _needs(view: View, _: Node, lease: Node) -> Iterator[Problem]:
    for key, other, why in NEEDS:
        if key in lease and other not in lease:
            yield view.problem(lease, key, f"needs `{other}`", why, f"Add `{other}:`, or remove `{key}`")
    if text_at(lease, "sales_tax") == "up front":
        if "cash_price" not in lease:
            yield view.problem(lease, "sales_tax", "needs `cash_price`", "The tax at signing is on the price",
                               "Add `cash_price:`, or write `sales_tax: on rents`")
        if node_at(view.tree, "money", "sales_tax") is None:
            yield view.problem(lease, "sales_tax", "has no effect without `money.sales_tax`", "No rate is known",
                               "Add `money: {sales_tax: {rate: 7%}}`, or remove it")


def _ends(view: View, press: Node, lease: Node) -> Iterator[Problem]:
    end = text_at(lease, "at_end") or "return"
    for key in ONLY_RETURNED:
        if key in lease and end != "return":
            yield view.problem(lease, key, f"contradicts `at_end: {end}`", "It is about a press that is given back",
                               f"Write `at_end: return` or remove `{key}`")
    if "exit_month" in lease:
        missed = text_at(lease, "renews_unless_noticed", "noticed") in ("no", "false")
        if missed:
            yield view.problem(lease, "exit_month", "contradicts `noticed: no`",
                               "The press would leave before the term and stay after it", "Keep one of the two")
        if "until_month" in press:
            yield view.problem(lease, "exit_month", "stands beside `until_month`",
                               "The month in which the press leaves would be given twice",
                               "Keep `exit_month`, which ends the lease too")


def _in_time(view: View, _: Node, lease: Node) -> Iterator[Problem]:
    months = number_at(lease, "months")
    for step in node_at(lease, "steps") or {}:
        if months is not None and step.isdigit() and int(step) > months:
            yield view.problem(lease, f"steps.{step}", f"lies after the {months:g} months of the term",
                               "It would have no effect", "Correct the month, counted from signing")
    for key, words in (("deferred_months", "defers every rent"), ("exit_month", "lies at or after the end")):
        number = number_at(lease, key)
        if number is not None and months is not None and number >= months:
            yield view.problem(lease, key, f"{words} of the {months:g} months", "", "Write fewer months")
    until, start = text_at(lease, "subsidy", "until"), text_at(view.tree, "start")
    if until is not None and start is not None and until[:4].isdigit() and until < start:
        yield view.problem(lease, "subsidy.until", f"`{until}` lies before the start {start}",
                           "Nothing would be received", "Correct the month, or remove the subsidy")


def _owes_something(view: View, _: Node, lease: Node) -> Iterator[Problem]:
    """Where all of the price is paid at signing, nothing is lent, and no rate repays it."""
    price, rent = number_at(lease, "cash_price"), number_at(lease, "rent")
    usual = 0.0 if text_at(lease, "paid") == "in arrears" else 1.0
    rents = number_at(lease, "advance_rents") if "advance_rents" in lease else usual
    if price is None or rent is None or not rents or "skip_months" in lease:
        return
    lent = price + (number_at(lease, "rolled_in") or 0.0)
    if rent * rents >= lent:
        yield view.problem(lease, "cash_price", f"is not above the {rent * rents:g} due at signing",
                           "Nothing would be lent, and the rents imply no rate",
                           "Write the price of the press for cash, or remove it if none was quoted")

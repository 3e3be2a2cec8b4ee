"""Checks across keys of tax, books and lease accounting."""

from __future__ import annotations

from collections.abc import Iterator

from tco.problem import Problem
from tco.scenario.checks import View
from tco.scenario.checks_service import plans
from tco.scenario.tree import Node, node_at, text_at

DECLINING = "declining balance"


def check_money(tree: Node, file: str, small: str) -> list[Problem]:
    """Return the problems of tax, books and lease accounting in a completed tree; others are told elsewhere."""
    view = View(tree, file, small)
    return [problem for one in (_declining, _purchases, _lives, _equipment_shares) for problem in one(view)]


def _declining(view: View) -> Iterator[Problem]:
    tax = node_at(view.tree, "money", "income_tax")
    if tax is None:
        return
    method = text_at(tax, "depreciation") or "straight line"
    if method == DECLINING and "depreciation_rate" not in tax:
        yield view.problem(tax, "depreciation", "needs `depreciation_rate`", "The share of the balance is not known",
                           "Add `depreciation_rate: 18%`")
    if method != DECLINING and "depreciation_rate" in tax:
        yield view.problem(tax, "depreciation_rate", f"has no effect with `depreciation: {method}`", "",
                           f"Write `depreciation: {DECLINING}`, or remove it")


def _new_leases(view: View) -> list[Node]:
    leases = [node_at(press, "lease") for _, press in view.presses()]
    return [lease for lease in leases if lease is not None and "ends" not in lease]


def _purchases(view: View) -> Iterator[Problem]:
    for lease in _new_leases(view):
        if text_at(lease, "tax_as") != "purchase":
            continue
        if (text_at(lease, "at_end") or "return") != "buy":
            yield view.problem(lease, "tax_as", "needs `at_end: buy`", "Who gives the press back did not purchase it",
                               "Write `at_end: buy`, or `tax_as: rent`")
        if "unknown" in (text_at(lease, "cash_price") or "unknown", text_at(lease, "cash_price", "value")):
            yield view.problem(lease, "tax_as", "needs `cash_price`", "It is the sum that is written off",
                               "Add `cash_price:`, or write `tax_as: rent`")


def _lives(view: View) -> Iterator[Problem]:
    """A press that is bought in the end is written off over its life, not over the term."""
    money = node_at(view.tree, "money")
    terms = node_at(money, "lease_accounting")
    if terms is None or "life" in terms or node_at(money, "books", "years") or text_at(money, "books", "years"):
        return
    if any(text_at(lease, "at_end") == "buy" for lease in _new_leases(view)):
        yield view.problem(terms, "", "lacks `life`", "A press bought after its lease is written off over its life",
                           "Add `life: 7`, in years")


def _equipment_shares(view: View) -> Iterator[Problem]:
    for plan in plans(view):
        if "equipment_share" not in plan:
            continue
        for key, why in (("minimum_charge", "It is a share of it"), ("months", "It is owed for so many months")):
            if key not in plan:
                yield view.problem(plan, "equipment_share", f"needs `{key}`", why,
                                   f"Add `{key}:`, or remove `equipment_share`")

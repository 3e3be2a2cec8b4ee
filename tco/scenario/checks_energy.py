"""Checks of what is used up and given off: the keys that a way of counting needs, and weights of paper."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from tco.problem import Problem
from tco.scenario.checks import View, stocks
from tco.scenario.tree import Node, node_at, text_at
from tco.scenario.words import nearest

# Ways of counting supplies that coverage has no part in.
WITHOUT_COVERAGE = ("click",)


def supplies_counted(view: View) -> Iterator[Problem]:
    """Ink by area has millilitres and no yield; everything else a yield and no millilitres."""
    for place in {id(press): press for _, press in view.presses()}.values():
        for item in (node_at(place, "supplies") or {}).values():
            if not isinstance(item, Node):
                continue
            per = text_at(item, "per") or "side"
            key, other = ("ml_per_m2", "yields") if per == "m2" else ("yields", "ml_per_m2")
            if key not in item:
                example = "ml_per_m2: 6.5" if per == "m2" else "yields: 25000"
                yield view.problem(item, "", f"lacks `{key}`", f"Its use is counted per {per}", f"Write `{example}`")
            if other in item:
                yield view.problem(item, other, f"has no meaning with `per: {per}`", "Its use would be counted twice",
                                   f"Remove it, or write {'another `per`' if per == 'm2' else '`per: m2`'}")
            if "at_coverage" in item and per in WITHOUT_COVERAGE:
                yield view.problem(item, "at_coverage", f"has no meaning with `per: {per}`",
                                   "A click counts whatever is on it", "Remove it, or write `per: side`")


def weights_known(view: View) -> Iterator[Problem]:
    """Emissions of paper need the weight of every stock that is printed on, and have at least one factor."""
    factors = node_at(view.tree, "shop", "emissions")
    if factors is None:
        return
    if "electricity" not in factors and "paper" not in factors:
        yield view.problem(factors, "", "has neither `electricity` nor `paper`", "Nothing would be counted",
                           "Write for instance `electricity: 0.35`, the published factor of your grid")
    if "paper" not in factors:
        return
    weights = tuple(node_at(view.tree, "shop", "paper_weight") or ())
    for place, key, stock in stocks(view):
        if stock not in weights:
            close = nearest(stock, weights)
            yield view.problem(place, key, f"`{stock}` has no weight under shop.paper_weight",
                               "What its paper gives off is not known",
                               f"Did you mean `{close}`?" if close else f"Add `{stock}:` to shop.paper_weight")


def service_left(view: View) -> Iterator[Problem]:
    """A share of what the plan still binds needs a plan."""
    for candidate, press in view.presses():
        lease = node_at(press, "lease")
        if lease is not None and "exit_service_share" in lease and "service" not in {**candidate, **press}:
            yield view.problem(lease, "exit_service_share", "has no service plan beside it", "Nothing is left to claim",
                               "Add `service`, or remove it")


CHECKS: tuple[Callable[[View], Iterator[Problem]], ...] = (supplies_counted, weights_known, service_left)


def check_energy(tree: Node, file: str, small: str) -> list[Problem]:
    """Return the problems of supplies, emissions and what is claimed of a plan in a completed tree."""
    view = View(tree, file, small)
    return [problem for one in CHECKS for problem in one(view)]

"""Checks of fleets and of work that is sold: classes a press takes, presses that follow, work only some would win."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import ceil

from tco.problem import Problem
from tco.scenario.checks import MOST_PRESSES, View, number_at
from tco.scenario.checks_service import EVERYDAY
from tco.scenario.tree import Items, Leaf, Node, Tree, find, node_at, text_at
from tco.scenario.words import nearest

_YES = ("yes", "true")


def _words(written: Tree | None) -> list[Leaf]:
    """Return the words of a list, or of a single word."""
    entries = list(written) if isinstance(written, Items) else [written]
    return [entry for entry in entries if isinstance(entry, Leaf)]


def takes_known(view: View) -> Iterator[Problem]:
    """The classes that a press takes are there."""
    known = [*(node_at(view.tree, "jobs") or EVERYDAY), *(node_at(view.tree, "new_work") or ())]
    for _, press in view.presses():
        for word in _words(press.get("takes")):
            if word.text not in known:
                close = nearest(word.text, known)
                yield view.problem(press, "takes", f"`{word.text}` is no class of the work",
                                   "It would take nothing of it",
                                   f"Did you mean `{close}`?" if close else f"Write some of {', '.join(known)}")


def followers(view: View) -> Iterator[Problem]:
    """Only a new press is followed by equal ones: not too many, under ids that are free, without old debt."""
    months = number_at(view.tree, "months")
    for candidate, press in view.presses():
        if text_at(press, "replaced") not in _YES:
            continue
        if candidate.path == "today" or "same_as" in press:
            yield view.problem(press, "replaced", "stands on a present press",
                               "The shop has it already; an equal new one has other terms",
                               "Write the press that follows under `presses` with `from_month`")
            continue
        if find(press, "lease", "rolled_in") is not None:
            yield view.problem(press, "replaced", "stands beside `rolled_in`",
                               "The press that follows would repay the same debt again",
                               "Write the press that follows under `presses` with `from_month`")
        others = node_at(candidate, "presses") or Node("", None)
        own = next((key for key, child in others.items() if child is press), "")
        if own and f"{own}_2" in others:
            yield view.problem(press, "replaced", f"would be followed by `{own}_2`, which is a press already",
                               "Two presses would have one id", f"Rename `{own}_2`")
        length = _length(press)
        if length and months and ceil(months / length) > MOST_PRESSES:
            yield view.problem(press, "replaced", f"would be followed more than {MOST_PRESSES} times",
                               f"It stays for {length:g} months only", "Write a longer term, or a rental")


def _length(press: Node) -> float | None:
    """Return how many months a press stays, as far as its keys say so in plain numbers."""
    first, until = number_at(press, "from_month") or 1.0, number_at(press, "until_month")
    if until is not None:
        return until - first + 1
    return number_at(press, "lease", "exit_month") or number_at(press, "lease", "months")


def new_work_fits(view: View) -> Iterator[Problem]:
    """Work to be won is a job class beside those of `jobs`, won by candidates that are there."""
    entries = view.sections("new_work")
    known = [key for key, _ in view.candidates()]
    for key, entry in entries:
        if "jobs" not in view.tree:
            yield view.problem(view.tree, "new_work", "needs job classes", "It is one more of them",
                               "Describe the work as `jobs`")
            return
        if key in (node_at(view.tree, "jobs") or ()):
            yield view.problem(entry, "", "is a job class already", "Its work would be counted twice",
                               f"Write for instance `{key}_new`")
        for word in _words(entry.get("only_with")):
            if word.text not in known:
                close = nearest(word.text, known)
                yield view.problem(entry, "only_with", f"`{word.text}` is no candidate", "Nobody would win the work",
                                   f"Did you mean `{close}`?" if close else f"Write some of {', '.join(known)}")


CHECKS: tuple[Callable[[View], Iterator[Problem]], ...] = (takes_known, followers, new_work_fits)


def check_fleets(tree: Node, file: str, small: str) -> list[Problem]:
    """Return the problems of fleets and of sold work in a completed tree."""
    view = View(tree, file, small)
    return [problem for one in CHECKS for problem in one(view)]

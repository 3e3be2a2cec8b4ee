"""How sure the answer is, in sentences: counts of futures that somebody described, never a bare percentage."""

from __future__ import annotations

from tco.analyses.risk import NotAssessed, Risk
from tco.publish.drawings_risk import of_hundred
from tco.publish.numbers import counted, listed
from tco.publish.parts import Kit


def how_sure(kit: Kit) -> str:
    """One sentence: in how many futures the leader is cheapest, or why nobody can say and what the what-ifs give."""
    risk = kit.report.risk
    if isinstance(risk, Risk):
        chance = risk.chance(risk.leader)
        words = f"{kit.name(risk.leader)} is cheapest in {of_hundred(chance)} of 100 of the futures you described"
        verdict = kit.report.verdict
        # A lead that the gaps of the quotes can turn is not sure because the futures agree.
        is_open = bool(verdict.close and verdict.open_money)
        return words + ("; what the quotes leave unsaid is read alike in all of them" if is_open else "")
    words = "not assessed"
    if isinstance(risk, NotAssessed):
        words += f": no range is written on {listed([_named(kit, item) for item in risk.missing], 'nor on')}"
    what_ifs = _what_ifs(kit)
    return f"{words}. {what_ifs}" if what_ifs else words


def _named(kit: Kit, item: str) -> str:
    """What is missing, with the name of a candidate in place of its id."""
    for one in kit.report.candidates:
        if item == f"any price of {one.id}":
            return f"any price of {kit.name(one.id)}"
    return item


def _what_ifs(kit: Kit) -> str:
    stress, leader = kit.report.stress, kit.report.verdict.leader
    if stress is None or leader is None:
        return ""
    said = [cell for cell in stress.cells if cell.is_said]
    same = sum(cell.winner == leader for cell in said)
    if same == len(said):
        return f"In all {len(said)} what-ifs {kit.name(leader)} stays cheapest"
    others = [kit.name(name) for name in dict.fromkeys(cell.winner for cell in said) if name not in (leader, "")]
    rest = f"; in the rest {listed(others, 'or')}" if others else ""
    return f"{kit.name(leader)} stays cheapest in {_small(same)} of {_small(len(said))} what-ifs{rest}"


def _small(number: int) -> str:
    """A small count in words."""
    return counted(number, "").strip().removesuffix("s").strip()


def regret_words(kit: Kit) -> str:
    """The most one could be sorry by, for the leader and for the candidate that comes next in it."""
    risk, numbers = kit.report.risk, kit.numbers
    if not isinstance(risk, Risk):
        return ""
    best = risk.chance(risk.leader)
    free = [one for one in risk.chances if one.undone == 0] or list(risk.chances)
    least = min(free, key=lambda one: one.worst_regret)
    if best.worst_regret < 0.5:
        words = f"In none of these futures would another candidate have been cheaper than {kit.name(best.candidate)}."
    else:
        most = numbers.about_money(best.worst_regret)
        words = f"With {kit.name(best.candidate)} the most you could be sorry by is {most}"
        usual = numbers.about_money(best.expected_regret) if best.expected_regret >= 0.5 else "next to nothing"
        words += f", on average {usual}."
    if least.candidate != best.candidate and least.worst_regret < best.worst_regret:
        words += (
            f" Least to be sorry by at most: {kit.name(least.candidate)}, {numbers.about_money(least.worst_regret)}."
        )
    return words

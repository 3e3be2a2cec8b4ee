"""What would make it a tie: one term at a time, what each loser would have to give and what room the lowest has."""

from __future__ import annotations

from tco.analyses.concessions import Offer
from tco.analyses.solve import Solution
from tco.publish.drawings_risk import value_told
from tco.publish.numbers import counted
from tco.publish.pages.files import SCENARIO
from tco.publish.parts import Cell, Kit, Row, Table, clipped

DIGITS = 5
COLUMNS = (("Now", ""), ("At a tie", ""), ("Change", ""), ("To compute it again", ""))


def concessions(kit: Kit) -> list[Table]:
    """A table for every offer, the room of the lowest first; the smallest change that does it stands out."""
    return [_offer(kit, one, place) for place, one in enumerate(kit.report.concessions, 1)]


def _offer(kit: Kit, offer: Offer, place: int) -> Table:
    name, other = kit.name(offer.candidate), kit.name(offer.against)
    gap = kit.numbers.about_money(abs(offer.gap))
    rows = tuple(_row(kit, offer, term, first=not i) for i, term in enumerate(offer.terms))
    if offer.gap < 0:
        title = f"Room of {name}: {gap} before {other} costs the same"
        note = "Each term alone, all others as they are: how far it may go until the two cost the same."
    else:
        title = f"What {name} would have to give: it is {gap} dearer than {other}"
        note = "One of these is enough, each alone; the first asks for the smallest change."
    if not offer.terms:
        rows = (Row("None of its terms alone can do it", tuple(Cell("") for _ in COLUMNS)),)
        note = ""
    more, cannot = counted(offer.more, "further term"), counted(len(offer.cannot), "further term")
    if offer.more:
        note += f" {more[:1].upper()}{more[1:]} could do it too."
    if offer.cannot and offer.terms:
        note += f" {cannot[:1].upper()}{cannot[1:]} cannot, whatever the value."
    traced = kit.traced([kit.report.candidate(offer.candidate).key("present_value")])
    return Table(f"t-tie-{place}", title, COLUMNS, rows, "Term", note.strip(), traced)


def _row(kit: Kit, offer: Offer, term: Solution, *, first: bool) -> Row:
    root, figure = term.nearest, term.figure
    assert root is not None
    near = float(f"{root.value:.{DIGITS}g}")
    digits = kit.numbers.percent(root.value, 2) if figure.percent else kit.numbers.exact(near)
    change = "" if root.percent is None else kit.numbers.percent(root.percent, 1)
    change = change if not change or root.change < 0 else f"+{change}"
    cells = (
        Cell(value_told(kit.numbers, figure, figure.value), kit.href(kit.report.home[figure.key])),
        Cell(digits + (" (a jump)" if root.kind == "jump" else ""), css="strong" if first else ""),
        Cell(change),
        Cell(command(kit, offer, term), css="words command"),
    )
    return Row(clipped(figure.label, 70), cells, css="best" if first else "")


def command(kit: Kit, offer: Offer, term: Solution) -> str:
    """What to type to compute it again; nothing for a study whose scenario is not published."""
    if not kit.report.facts.from_file:
        return ""
    key = term.figure.key.removeprefix(f"{offer.candidate}.")
    return f"tco solve {SCENARIO} {offer.candidate} {key} --against {offer.against}"

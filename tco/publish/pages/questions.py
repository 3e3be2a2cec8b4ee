"""What to ask each dealer: one list a candidate, at most five in sight, ready to be pasted into a letter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tco.advice.record import QuoteWarning
from tco.advice.silence import Silence
from tco.publish.numbers import NONE, counted
from tco.publish.pages.concessions import concessions
from tco.publish.parts import Cell, Kit, Page, Row, Table, clipped
from tco.report import Candidate

SEVERITY_WORDS = {"error": "not yet comparable", "warn": "settle before signing", "inform": "good to know"}


@dataclass(frozen=True)
class Asked:
    """One question as it is shown: the text to send, why it is asked, what it moves."""

    text: str
    why: str
    decides: bool


@dataclass(frozen=True)
class Letter:
    """All questions about one candidate; `id` names its section."""

    id: str
    name: str
    quote: str
    place: int | None
    asked: tuple[Asked, ...]
    folded: tuple[Asked, ...]
    count: str


def stake(kit: Kit, warning: QuoteWarning) -> str:
    """What the answer moves, in words; empty when nobody can tell."""
    numbers = kit.numbers
    if warning.switch is not None:
        return f"another candidate is cheapest from {level(kit, warning.path, warning.switch)} on"
    if warning.swing >= 1:
        return f"moves today’s money by up to {numbers.about_money(warning.swing)}"
    return ""


def level(kit: Kit, path: str, value: float) -> str:
    """A value of a figure, short, with its unit."""
    key = kit.report.home.get(path)
    if key is not None and kit.report.by_key[key].percent:
        return kit.numbers.percent(value, 1)
    return kit.numbers.about_money(value)


def letters(kit: Kit) -> tuple[Letter, ...]:
    """Questions of every candidate that has any, the shop's own last."""
    places = {one.id: one.place for one in kit.report.candidates}
    found: list[Letter] = []
    for one in kit.report.questions:
        asked, folded = (
            tuple(Asked(item.text, _why(kit, item.warning, one.name), item.decides) for item in items)
            for items in (one.asked, one.folded)
        )
        name = kit.name(one.candidate) if one.candidate else one.name
        count = counted(len(folded), "further point")
        place = places.get(one.candidate)
        found.append(Letter(f"ask-{len(found) + 1}", name, clipped(one.quote, 120), place, asked, folded, count))
    return tuple(found)


def _why(kit: Kit, warning: QuoteWarning, owner: str) -> str:
    meanwhile = f"meanwhile: {warning.assumed}" if warning.assumed else ""
    parts = [_alone(warning.title, owner), stake(kit, warning), meanwhile]
    return "; ".join(part.rstrip(".") for part in parts if part)


def silence_table(kit: Kit, found: Silence) -> Table:
    """Each candidate from all its silence in its favour to all of it against."""
    numbers = kit.numbers
    rows = []
    for one in kit.report.candidates:
        bar = found.bar(one.id)
        unknown = [effect for effect in bar.open_ended if effect.switch is not None]
        note = ""
        if unknown:
            note = f"{counted(len(unknown), 'sum')} of which nothing is known could still decide"
        elif bar.open_ended:
            note = f"{counted(len(bar.open_ended), 'sum')} of which nothing is known left out"
        cells = (
            Cell(numbers.whole(bar.low)),
            Cell(numbers.whole(bar.base), kit.href(one.key("present_value")), "strong"),
            Cell(numbers.whole(bar.high)),
        )
        best = "best" if one.id == found.leader else ""
        rows.append(Row(kit.name(one.id), cells, kit.pages_of[one.id], one.place, css=best, note=note))
    money = numbers.currency
    columns = (("Silence in its favour", money), ("As computed", money), ("Silence against it", money))
    note = (
        "Cost in today’s money with everything that is unsaid read for the candidate, as computed, and read against it."
    )
    return Table("t-silence", "What the quotes leave unsaid", columns, tuple(rows), "Candidate", note)


def switches(kit: Kit, found: Silence) -> Table | None:
    """Sums that nobody knows, with the value from which another candidate is cheapest."""
    rows = []
    for bar in found.bars:
        for effect in bar.open_ended:
            key = kit.report.home.get(effect.point.path)
            label = kit.report.by_key[key].label if key else effect.point.path
            told = NONE if effect.switch is None else level(kit, effect.point.path, effect.switch)
            words = "decides nothing" if effect.switch is None else "another candidate is cheapest from there on"
            cells = (Cell(told), Cell(words, css="words"))
            head = f"{kit.name(bar.candidate)}: {clipped(label, 60)}"
            rows.append(Row(head, cells, kit.href(key) if key else ""))
    if not rows:
        return None
    columns = (("From", ""), ("Then", ""))
    return Table("t-switch", "Sums that nobody named", columns, tuple(rows), "Figure")


def points(kit: Kit, owner: Candidate, some: Sequence[QuoteWarning]) -> Table | None:
    """Points of one candidate by how much they weigh: what is unsaid, what it may cost, how it is read meanwhile."""
    if not some:
        return None
    rows = []
    is_staked = any(stake(kit, one) for one in some)
    for standing in dict.fromkeys(_standing(one) for one in some):
        rows.append(Row(standing, (), css="group"))
        for one in (one for one in some if _standing(one) == standing):
            parts = [
                f"Settled: {one.accepted}" if one.accepted else "",
                f"Meanwhile: {one.assumed}" if one.assumed else "",
                f"{one.key}, line {one.line}" if one.line else one.key,
            ]
            head = clipped(_alone(one.title, owner.name), 160)
            cells = (Cell(stake(kit, one) or NONE, css="words"),) if is_staked else ()
            rows.append(Row(head, cells, note=". ".join(part.rstrip(".") for part in parts if part)))
    columns = (("At stake", ""),) if is_staked else ()
    return Table("t-points", "Points to settle", columns, tuple(rows), "Point", css="points")


def _alone(title: str, owner: str) -> str:
    """The title of a point where the name of its candidate stands above."""
    words = title.removeprefix(f"{owner}: ")
    return words[:1].upper() + words[1:]


def _standing(one: QuoteWarning) -> str:
    words = "settled" if one.accepted else SEVERITY_WORDS[one.severity]
    return words[0].upper() + words[1:]


def sentence(kit: Kit) -> str:
    """Whether the silence of the quotes can change the winner; empty when that was not computed."""
    found = kit.report.silence
    return found.sentence if found is not None else ""


def build(kit: Kit) -> list[Page]:
    """The page; none when no advice was computed."""
    report = kit.report
    found = report.silence
    if found is None:
        return []
    data = {
        "sentence": sentence(kit),
        "letters": letters(kit),
        "silence": silence_table(kit, found),
        "switches": switches(kit, found),
        "ties": concessions(kit),
    }
    title = "Questions for the dealers"
    return [Page("questions.html", title, "questions.html.j2", data, "Questions", css="questions")]

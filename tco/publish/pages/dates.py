"""The dates that contracts bring, with a calendar file for each candidate."""

from __future__ import annotations

from typing import Final

from tco.advice.dates import Due
from tco.publish.parts import Cell, Kit, Link, Page, Row, Table, clipped

MOST: Final = 140


def calendar_of(kit: Kit, candidate: str) -> str:
    """The file name of a candidate's calendar."""
    return kit.pages_of[candidate].removesuffix(".html") + ".ics"


def build(kit: Kit) -> list[Page]:
    """The page; none when no dates were computed."""
    report = kit.report
    if not report.calendars:
        return []
    tables = []
    for one in report.candidates:
        mine = [due for due in report.dates if due.candidate == one.id]
        if mine:
            tables.append(_table(kit, f"t-dates-{one.place}", one.name, mine))
    common = [due for due in report.dates if not due.candidate]
    if common:
        tables.append(_table(kit, "t-dates-all", "For every candidate", common))
    files = [
        Link(kit.name(one.id), calendar_of(kit, one.id)) for one in report.candidates if one.id in report.calendars
    ]
    return [Page("dates.html", "Dates to keep", "dates.html.j2", {"tables": tables, "files": files}, "Dates")]


def _table(kit: Kit, name: str, title: str, some: list[Due]) -> Table:
    """Dates of one owner; what is to be done about a date stands beside the first one of its kind."""
    rows: list[Row] = []
    said: set[str] = set()
    for due in some:
        cell = Cell(clipped(_under(title, due), MOST), css="words")
        rows.append(Row(kit.numbers.date(due.date), (cell,), note="" if due.caution in said else f"{due.caution}."))
        said.add(due.caution)
    return Table(name, clipped(title), (("What happens", ""),), tuple(rows), "Date", css="dates", notes_last=True)


def _under(title: str, due: Due) -> str:
    """What happens, below a heading that has the owner's name already: ``Lease ends``, ``No. 2: lease ends``."""
    own = "" if due.name == title else due.name.removeprefix(f"{title}, ")
    words = f"{own}: {due.event}" if own else due.event
    return words[:1].upper() + words[1:]

"""The dates that contracts bring, with a calendar file for each candidate."""

from __future__ import annotations

from tco.advice.dates import Due
from tco.publish.parts import Cell, Kit, Link, Page, Row, Table, clipped


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
            tables.append(_table(kit, f"t-dates-{one.place}", kit.name(one.id), mine))
    common = [due for due in report.dates if not due.candidate]
    if common:
        tables.append(_table(kit, "t-dates-all", "For every candidate", common))
    files = [
        Link(kit.name(one.id), calendar_of(kit, one.id)) for one in report.candidates if one.id in report.calendars
    ]
    cautions = tuple(dict.fromkeys(due.caution for due in report.dates))
    data = {"tables": tables, "files": files, "notes": cautions}
    return [Page("dates.html", "Dates to keep", "dates.html.j2", data, "Dates")]


def _table(kit: Kit, name: str, title: str, some: list[Due]) -> Table:
    rows = tuple(
        Row(
            kit.numbers.date(due.date),
            (Cell(clipped(due.what, 140), css="words"),),
        )
        for due in some
    )
    return Table(name, title, (("What happens", ""),), rows, "Date", css="dates")

"""Everything that can be taken along: workbook, data, calendars, figures, the edition for printing."""

from __future__ import annotations

from dataclasses import dataclass

from tco.publish.downloads import names
from tco.publish.pages.dates import calendar_of
from tco.publish.parts import Kit, Link, Page, clipped

PRINT = "print.html"
RESULTS, LEDGER, SCENARIO = "results.json", "ledger.csv", "scenario.yaml"


@dataclass(frozen=True)
class Taken:
    """One line of the page: what it is, what it is for, and its files."""

    name: str
    words: str
    links: tuple[Link, ...]


def build(kit: Kit) -> list[Page]:
    """The page; its figures are those that other pages have drawn, so it comes after them."""
    report = kit.report
    data = []
    if kit.workbook:
        data.append(Taken("Workbook", "every calculation as a live formula", (Link(kit.workbook, kit.workbook),)))
        data.append(Taken("Ledger", "every line by month, comma-separated", (Link(LEDGER, LEDGER),)))
        data.append(Taken("Results", "the answer and its measures, for programs", (Link(RESULTS, RESULTS),)))
    if kit.workbook and report.facts.from_file:
        data.append(Taken("Scenario", "what all of it was computed from", (Link(SCENARIO, SCENARIO),)))
    data.append(Taken("For printing", "all pages in one file, with page numbers", (Link(PRINT, PRINT),)))
    calendars = tuple(
        Link(kit.name(one.id), calendar_of(kit, one.id)) for one in report.candidates if one.id in report.calendars
    )
    if calendars:
        data.append(Taken("Calendars", "dates of each candidate", calendars))
    figures = [
        Taken(
            clipped(files.title, 110),
            "",
            (
                Link("SVG", files.svg),
                *((Link("PNG", files.png),) if kit.workbook else ()),
                Link("Vega-Lite", files.spec),
            ),
        )
        for _, files in names(kit)
    ]
    return [Page("downloads.html", "To take along", "downloads.html.j2", {"files": data, "figures": figures}, "Files")]

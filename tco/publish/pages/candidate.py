"""One page for each candidate: its terms, measures, cost of a set, gaps, schedule."""

from __future__ import annotations

from typing import Any, Final

from tco.publish import sentences
from tco.publish.drawings_more import waterfall
from tco.publish.measure_words import MEASURES, SIX, Measure, told
from tco.publish.pages.clicks import ladder
from tco.publish.pages.costs import kind_key, statement, years_of
from tco.publish.pages.questions import points
from tco.publish.pages.sold import charges, contributions, hourly
from tco.publish.parts import Cell, Kit, Page, Row, Table, clipped
from tco.report import Candidate, Entry

# At once: the six of the first page, and what a public body adds to them; all others a fold away.
FIRST: Final = (*SIX, "bound_if_funds_stop")
SOLD: Final = (hourly, charges, contributions)
RECEIPTS: Final = "Nothing discounted; receipts are negative."
UNWRITTEN: Final = ("assumed", "unknown")


def value_words(kit: Kit, entry: Entry) -> str:
    """The value of an input with its unit: one figure, a word, or a figure for each entry of its axis."""
    if entry.role == "choice":
        return entry.words
    if len(entry.values) > 1 and entry.axis_labels:
        told_ = "; ".join(
            f"{label}: {kit.exact(entry, row[0])}" for label, row in zip(entry.axis_labels, entry.values, strict=True)
        )
        return kit.with_unit(entry, told_)
    return kit.with_unit(entry, kit.exact(entry, entry.values[0][0]))


def terms(kit: Kit, one: Candidate, entries: list[Entry], name: str, title: str) -> Table:
    """Figures and words the candidate rests on, block by block, each with where it comes from."""
    rows = []
    for block in dict.fromkeys(entry.block_label for entry in entries):
        rows.append(Row(clipped(block, 60), (), css="group"))
        # Prices and rates before times, sizes and speeds.
        mine = sorted(
            (entry for entry in entries if entry.block_label == block), key=lambda item: "money" not in item.unit
        )
        rows += [_term(kit, one, entry) for entry in mine]
    return Table(name, title, (("Figure", ""),), tuple(rows), "Term", css="terms")


def _term(kit: Kit, one: Candidate, entry: Entry) -> Row:
    """A figure and where it comes from; the quote of the candidate, named at the top, is not named again."""
    source = ", ".join(part for part in (entry.source, entry.date) if part)
    if one.quote and entry.source == one.quote:
        source = ""
    status = "" if entry.status in ("quoted", "definition") else entry.status
    words = clipped(": ".join(part for part in (status, source) if part), 90)
    css = "assumed" if entry.status in UNWRITTEN else ""
    return Row(clipped(entry.label, 70), (Cell(value_words(kit, entry), kit.href(entry.key), css),), note=words)


def all_terms(kit: Kit, one: Candidate) -> dict[str, Table]:
    """What somebody wrote for this candidate, what it shares with others, and what was taken by default."""
    entries = [kit.report.by_key[key] for key in one.terms]
    written = [entry for entry in entries if entry.status not in UNWRITTEN]
    own, shared = ([entry for entry in written if (entry.scope == one.id) is mine] for mine in (True, False))
    defaults = [entry for entry in entries if entry.status in UNWRITTEN]
    return {
        "terms": terms(kit, one, own, "t-terms", "Its own"),
        "shared": terms(kit, one, shared, "t-shared", "Shared with other candidates"),
        "defaults": terms(kit, one, defaults, "t-defaults", "Taken by default"),
    }


def measures(kit: Kit, one: Candidate, *, first: bool) -> Table:
    """The six measures of the first page, or all others, each with what it means."""
    known = [measure for measure in MEASURES if kit.has(one.key(measure.key)) and (measure.key in FIRST) is first]
    rows = tuple(_measure_row(kit, one, measure) for measure in known)
    name, title = ("t-measures", "Measures") if first else ("t-more-measures", "More measures")
    return Table(name, title, (("Figure", ""),), rows, "Measure", css="measures")


def _measure_row(kit: Kit, one: Candidate, measure: Measure) -> Row:
    words = measure.means[0].upper() + measure.means[1:] + (f". Accountants: {measure.term}" if measure.term else "")
    figure = Cell(told(one, measure, kit.numbers), kit.href(one.key(measure.key)))
    return Row(measure.name, (figure,), note=f"{words}.")


def classes(kit: Kit, one: Candidate) -> Table | None:
    """What a finished set and a job cost, by class; None where no run lengths are known."""
    if not one.classes:
        return None
    numbers = kit.numbers
    keys = [f"{one.id}.class_cost.{part}" for part in ("set_full", "set_next", "job_full", "job_next")]
    rows = []
    for item in one.classes:
        figures = (item.set_full, item.set_next, item.job_full, item.job_next)
        cells = tuple(Cell(numbers.fixed(v, 2), kit.href(key)) for v, key in zip(figures, keys, strict=True))
        rows.append(Row(clipped(item.name, 50), cells))
    unit = numbers.currency
    note = "Full: all cost spread over the work. Next: only what one more costs."
    columns = (("A set, full", unit), ("A set, next", unit), ("A job, full", unit), ("A job, next", unit))
    return Table(
        "t-classes", "Cost of a finished set and of a job", columns, tuple(rows), "Kind of work", note, kit.traced(keys)
    )


def build(kit: Kit) -> list[Page]:
    """One page for each candidate."""
    report = kit.report
    pages = []
    for one in report.candidates:
        mine = [warning for warning in report.warnings if warning.candidate == one.id]
        data: dict[str, Any] = {
            "one": one,
            "name": kit.name(one.id),
            "standing": standing(kit, one),
            **all_terms(kit, one),
            "measures": measures(kit, one, first=True),
            "more": measures(kit, one, first=False),
            "classes": classes(kit, one),
            "clicks": ladder(kit, one),
            "sold": [table for make in SOLD if (table := make(kit, one)) is not None],
            "waterfall": kit.draw(waterfall, one.id),
            "waterfall_traced": kit.traced(one.key(f"pv_{kind_key(kind)}") for kind in one.kinds),
            "gaps": one.gaps,
            "points": points(kit, one, mine),
            "schedule": statement(
                kit, one, report.years, "t-schedule", "Schedule by year of operation", years_of(report), RECEIPTS
            ),
        }
        pages.append(Page(kit.pages_of[one.id], kit.name(one.id), "candidate.html.j2", data, "", one))
    return pages


def standing(kit: Kit, one: Candidate) -> str:
    """Where the candidate stands in the answer, in one sentence."""
    verdict, numbers = kit.report.verdict, kit.numbers
    if one.id in verdict.barred:
        return f"Cannot be called cheapest: it {sentences.barred_reason(one, numbers)}."
    place = verdict.order.index(one.id) + 1
    doubt = " Not yet comparable: see the points to settle below." if one.id in verdict.unsettled else ""
    if one.id in verdict.close:
        return f"Within reach of the lowest cost; the lead is too small to name a winner.{doubt}"
    if place == 1 and doubt:
        return f"Lowest as far as the quotes say.{doubt}"
    if place == 1:
        return "Costs least of all candidates that do all the work."
    assert verdict.leader is not None
    more = sentences.apart(kit, "level_month", verdict.leader, one.id)
    return f"{more[0].upper()}{more[1:]} a month dearer than {kit.name(verdict.leader)}.{doubt}"

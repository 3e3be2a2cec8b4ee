"""What each candidate's cost rests on, for the site: in one sentence, and as tables."""

from __future__ import annotations

from tco.analyses.evidence import ENOUGH, STATUSES, STEP, Rests
from tco.publish.numbers import listed
from tco.publish.parts import Cell, Fact, Kit, Link, Row, Table, clipped

SMALL = 0.005  # a share below half a hundredth is not named


def fact(kit: Kit) -> Fact | None:
    """The evidence behind the candidate that costs least, strongest kind first; None when nothing was weighed."""
    told = kit.report.evidence
    name = kit.report.verdict.leader or kit.report.reference.id
    if told is None or not told.of(name).figures:
        return None
    shares = told.of(name).shares
    parts = [f"{kit.numbers.percent(shares[one])} is {one}" for one in STATUSES if shares[one] >= SMALL]
    words = f"of what moves the cost of {kit.name(name)}, {listed(parts)}"
    return Fact("Evidence", words, Link("Method", "method.html#evidence"))


def shares(kit: Kit) -> Table | None:
    """All candidates and all statuses that any figure has."""
    told = kit.report.evidence
    if told is None:
        return None
    seen = [status for status in STATUSES if any(one.shares[status] for one in told.candidates)]
    rows = []
    for one in told.candidates:
        cells = tuple(Cell(kit.numbers.percent(one.shares[status], 1)) for status in seen)
        needed = Cell(f"{one.needed} of {one.figures}")
        whose = kit.report.candidate(one.candidate)
        rows.append(Row(kit.name(one.candidate), (*cells, needed), kit.pages_of[one.candidate], whose.place))
    columns = (*((status.capitalize(), "") for status in seen), ("Figures", f"for {kit.numbers.percent(ENOUGH)}"))
    note = (
        f"{told.counting} figures that count months, presses or sides are not moved, nor are {told.nothing} that are "
        "nothing; the volume scale is left out."
    )
    return Table("t-evidence", "Where the figures come from", columns, tuple(rows), "Candidate", note)


def heaviest(kit: Kit) -> list[Table]:
    """The heaviest figures of every candidate within reach of the lowest cost."""
    told, verdict = kit.report.evidence, kit.report.verdict
    if told is None:
        return []
    wanted = verdict.close or (verdict.leader or kit.report.reference.id,)
    return [_heaviest(kit, told.of(name), number) for number, name in enumerate(wanted, 1)]


def _heaviest(kit: Kit, one: Rests, number: int) -> Table:
    rows = []
    for each in one.most:
        entry, where = kit.report.by_key[each.line], each.source or "no source"
        value = kit.with_unit(entry, kit.exact(entry, each.value))
        source = clipped(", ".join(part for part in (where, each.date) if part), 80)
        cells = (
            Cell(value, kit.href(each.line)), Cell(kit.numbers.fixed(each.moves, 2)),
            Cell(kit.numbers.percent(each.share, 1)),
        )  # fmt: skip
        rows.append(Row(clipped(each.label, 70), cells, note=f"{each.status}: {source}"))
    currency = kit.numbers.currency
    more = f"{kit.numbers.percent(STEP)} more costs"
    columns = (("Figure", ""), (more, currency), ("Share", ""))
    note = f"Together {kit.numbers.percent(one.reached)} of the weight. All other candidates stand in the workbook."
    title = f"The heaviest figures: {kit.name(one.candidate)}"
    return Table(f"t-heaviest-{number}", title, columns, tuple(rows), "Figure", note, css="terms")

"""Sheets beside each other: every cell that is not as it was exported, told row by row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from tco.audit.align import Aligned, align
from tco.audit.cells import Book, Cell, Sheet
from tco.audit.expected import Expected
from tco.audit.findings import Finding, Kind, cells, finding, shown
from tco.audit.places import Spot, Spots
from tco.audit.results import changed_results
from tco.audit.rows import rows_moved
from tco.audit.tokens import BROKEN, canonical, same_text
from tco.publish.workbook.about import CHANGES
from tco.publish.workbook.breakeven import BREAK_EVEN
from tco.publish.workbook.layout import KEY, LABEL
from tco.publish.workbook.scenario_text import SCENARIO_SHEET
from tco.publish.workbook.stored import STORED_SHEETS

_SMALLEST_SHARE: Final = 0.5  # of the rows of a sheet, to be known under another name
_ABSENT: Final = Cell(None)
_SAME: Final = 1e-12  # relative


@dataclass(frozen=True)
class Compared:
    """Two workbooks beside each other: sheets by their exported name, and what differs but for inputs."""

    sheets: Mapping[str, Aligned]
    findings: tuple[Finding, ...]
    touched: frozenset[tuple[str, int, int]]  # cells as exported whose formula is not what it was
    log: tuple[str, ...]


def compare(expected: Expected, spots: Spots, book: Book) -> Compared:
    """Compare a workbook with its export, cell by cell; inputs are left to `read_inputs`."""
    own = expected.book
    names = _partners(own, book)
    sheets = {name: align(own.sheets[name], book.sheets[there]) for name, there in names.items()}
    found: list[Finding] = []
    for name in own.sheets:
        if name not in names:
            found.append(finding("deleted sheet", name, "", old=name, touches=name not in (CHANGES, *STORED_SHEETS)))
        elif names[name] != name:
            found.append(finding("renamed sheet", names[name], "", old=name, new=names[name]))
    others = [name for name in book.sheets if name not in names.values()]
    found.extend(finding("added sheet", name, "", new=name) for name in others)
    one = _Comparison(spots, sheets, {there: name for name, there in names.items()})
    for name, aligned in sheets.items():
        if name not in (CHANGES, SCENARIO_SHEET, *STORED_SHEETS):
            found.extend(one.sheet(name, aligned))
        if name in (BREAK_EVEN, *STORED_SHEETS):
            found.extend(changed_results(name, aligned, book.properties))
    return Compared(sheets, tuple(found), frozenset(one.touched), _log(sheets.get(CHANGES)))


def _partners(own: Book, book: Book) -> dict[str, str]:
    """Sheets by name; those left over by what they hold."""
    names = {name: name for name in own.sheets if name in book.sheets}
    left = [name for name in book.sheets if name not in names]
    for name in own.sheets:
        if name in names or not left:
            continue
        mine = _rows(own.sheets[name])
        best = max(left, key=lambda other: len(mine & _rows(book.sheets[other])))
        if len(mine & _rows(book.sheets[best])) > _SMALLEST_SHARE * len(mine):
            names[name] = best
            left.remove(best)
    return names


def _rows(sheet: Sheet) -> set[tuple[str, str]]:
    return {(sheet.text(row, KEY), sheet.text(row, LABEL)) for row, _ in sheet.cells}


def _log(changes: Aligned | None) -> tuple[str, ...]:
    """What was noted on the sheet of changes, one text a row."""
    if changes is None:
        return ()
    known = {cell.value for cell in changes.expected.cells.values()}
    rows: dict[int, list[str]] = {}
    for (row, _), cell in sorted(changes.actual.cells.items(), key=lambda item: item[0]):
        if cell.value is not None and cell.value not in known:
            rows.setdefault(row, []).append(shown(cell.value))
    return tuple("; ".join(texts) for texts in rows.values())


@dataclass
class _Difference:
    """A cell that differs, in the workbook as read."""

    kind: Kind
    row: int
    column: int
    old: str
    new: str
    spot: Spot | None
    touches: bool


class _Comparison:
    """Compares sheet by sheet and remembers which formulas were touched."""

    def __init__(self, spots: Spots, sheets: Mapping[str, Aligned], known: Mapping[str, str]) -> None:
        self.spots, self.sheets, self.known = spots, sheets, known
        self.touched: set[tuple[str, int, int]] = set()

    @cached_property
    def plain(self) -> bool:
        """Whether no row or column moved anywhere and no sheet has another name."""
        return all(
            one.rows.is_plain and one.columns.is_plain and one.actual.name == name for name, one in self.sheets.items()
        )

    def sheet(self, name: str, aligned: Aligned) -> Iterator[Finding]:
        """Findings of one sheet, from top to bottom."""
        differences: list[_Difference] = []
        images: set[tuple[int, int]] = set()
        engine = name == BREAK_EVEN
        for place, cell in aligned.expected.cells.items():
            now = aligned.to_actual(*place)
            if now is not None:
                images.add(now)
                self._cell(name, place, cell, now, aligned.actual.cells.get(now, _ABSENT), differences)
        for place, cell in aligned.actual.cells.items():
            if place not in images and (cell.formula or cell.value is not None):
                self._extra(name, aligned, place, cell, differences, engine=engine)
        differences.sort(key=lambda one: (one.row, one.column))
        yield from rows_moved(name, aligned, self.spots, engine=engine)
        yield from _told(aligned, differences)

    def _cell(
        self, name: str, place: tuple[int, int], cell: Cell, now: tuple[int, int], there: Cell, out: list[_Difference]
    ) -> None:
        spot = self.spots.by_cell.get((name, *place))
        old = cell.formula or shown(cell.value)
        new = there.formula or shown(there.value)
        if cell.unlocked:
            if there.formula:
                out.append(_Difference("added formula", *now, old, new, spot, touches=False))
            elif spot is None and cell.value is not None and there.value != cell.value:
                out.append(_Difference("changed input", *now, old, new, None, touches=False))
            return
        kind: Kind
        if not cell.formula:
            if there.formula:
                kind = "added formula"
            elif _same(cell.value, there.value):
                return
            elif spot is not None and spot.line.role == "choice":
                kind = "changed choice"
            else:
                kind = "changed constant" if isinstance(cell.value, float) and spot is not None else "retyped label"
            touches = kind != "retyped label" or isinstance(cell.value, float)
            out.append(_Difference(kind, *now, old, new, spot, touches=touches))
            return
        if there.formula:
            if self._same_formula(name, cell.formula, there.formula):
                return
            kind = "edited formula"
        else:
            kind = "deleted formula" if there.value is None else "overwritten formula"
        self.touched.add((name, *place))
        out.append(_Difference(kind, *now, old, new, spot, touches=True))

    def _same_formula(self, name: str, formula: str, there: str) -> bool:
        """Whether a formula still says the same, wherever its rows have gone."""
        if self.plain and same_text(formula, there):
            return True
        mine = canonical(formula, name, self._gone, lambda sheet: sheet)
        actual = self.sheets[name].actual.name
        return mine == canonical(there, actual, self._back, lambda sheet: self.known.get(sheet, sheet))

    def _gone(self, sheet: str, row: int, column: int) -> tuple[int, int] | None:
        """The place itself, unless its row or column is gone."""
        aligned = self.sheets.get(sheet)
        lost = aligned is not None and (row in aligned.rows.lost or column in aligned.columns.lost)
        return None if lost else (row, column)

    def _back(self, sheet: str, row: int, column: int) -> tuple[int, int] | None:
        """Where a place stood; a new row has no such place, and its own number is no one's."""
        aligned = self.sheets.get(sheet)
        if aligned is None:
            return row, column
        return aligned.to_expected(row, column) or (-row - 2, column)

    def _extra(
        self,
        name: str,
        aligned: Aligned,
        place: tuple[int, int],
        cell: Cell,
        out: list[_Difference],
        *,
        engine: bool,
    ) -> None:
        """A cell where the export has none; cells of a new row are told with the row."""
        row, column = place
        if row in aligned.rows.new or column in aligned.columns.new:
            return
        new = cell.formula or shown(cell.value)
        before = aligned.rows.back.get(row)
        spot = self.spots.by_row.get((name, before)) if before is not None else None
        if cell.formula:
            out.append(_Difference("added formula", row, column, "", new, spot, touches=not engine))
        elif not engine:
            # A figure where there was none may fall into a sum; a text cannot.
            figure = isinstance(cell.value, float) and spot is not None
            out.append(_Difference("added note", row, column, "", new, spot, touches=figure))


def _same(old: object, new: object) -> bool:
    if isinstance(old, float) and isinstance(new, float):
        return abs(old - new) <= _SAME * max(abs(old), abs(new))
    if isinstance(old, str) and isinstance(new, str):
        return old.split() == new.split()
    return old == new or (old in (None, "") and new in (None, ""))


def _told(aligned: Aligned, differences: list[_Difference]) -> Iterator[Finding]:
    """Differences as findings; the same kind in neighbouring cells of a row is one."""
    groups: list[list[_Difference]] = []
    for one in differences:
        last = groups[-1][-1] if groups else None
        beside = last is not None and (last.row, last.column + 1, last.kind) == (one.row, one.column, one.kind)
        if beside and one.kind not in ("retyped label", "added note"):
            groups[-1].append(one)
        else:
            groups.append([one])
    for group in groups:
        first, last = group[0], group[-1]
        spot = first.spot
        note = f"{len(group)} cells; the first is shown" if len(group) > 1 else ""
        if BROKEN in first.new:
            note = f"{note + '; ' if note else ''}it has lost what it reads"
        yield finding(
            first.kind,
            aligned.actual.name,
            cells(first.row, first.column, last.column),
            spot.key if spot is not None else "",
            spot.label if spot is not None else "",
            first.old,
            first.new,
            note,
            touches=any(one.touches for one in group),
        )

"""Which row of an edited sheet is which row of the exported one: by key and words, never by address.

Both sheets are read from top to bottom. Rows with the same words are anchors; what lies between two anchors is paired
by the key in the first column, then by likeness. Columns are paired the same way once rows are.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from itertools import pairwise
from typing import Final, TypeAlias

from tco.audit.cells import Sheet

_LARGEST_TABLE: Final = 250_000
_HEAD_ROWS: Final = 12  # rows looked at for pairing columns: all of the head, and a sample of what is below
_SAMPLE: Final = 60
_BESIDE: Final = 20  # columns to the right of everything that keep their distance
_FEW: Final = 0.25  # share of rows with other words, up to which rows are taken to be in place
_NEAR: Final = 4
Row: TypeAlias = dict[int, str]


@dataclass(frozen=True)
class Pairing:
    """Places of one direction: from expected to actual, and back; and what has no partner."""

    forth: Mapping[int, int]
    back: Mapping[int, int]
    lost: tuple[int, ...]
    new: tuple[int, ...]

    @property
    def is_plain(self) -> bool:
        """Whether nothing moved."""
        return not self.lost and not self.new and all(key == value for key, value in self.forth.items())


@dataclass(frozen=True)
class Aligned:
    """A sheet as exported beside the same sheet as read."""

    expected: Sheet
    actual: Sheet
    rows: Pairing
    columns: Pairing
    blank_rows: tuple[tuple[int, int], ...] = field(default=())  # (row of actual, how many more or fewer than expected)

    def to_expected(self, row: int, column: int) -> tuple[int, int] | None:
        """Where a cell of the actual sheet stood."""
        return _moved(self.rows.back, self.columns.back, row, column)

    def to_actual(self, row: int, column: int) -> tuple[int, int] | None:
        """Where a cell of the exported sheet stands now."""
        return _moved(self.rows.forth, self.columns.forth, row, column)


def _moved(rows: Mapping[int, int], columns: Mapping[int, int], row: int, column: int) -> tuple[int, int] | None:
    to_row, to_column = rows.get(row), columns.get(column)
    return None if to_row is None or to_column is None else (to_row, to_column)


def align(expected: Sheet, actual: Sheet) -> Aligned:
    """Pair rows and columns of two sheets."""
    rows_expected, rows_actual = _by_row(expected), _by_row(actual)
    forth = _pair_rows(rows_expected, rows_actual)
    used = set(forth.values())
    lost = tuple(row for row in rows_expected if row not in forth)
    new = tuple(row for row in rows_actual if row not in used)
    pairs = sorted(forth.items())
    blank = []
    before = (-1, -1)
    for pair in pairs:
        gone = sum(before[0] < row < pair[0] for row in lost)
        come = sum(before[1] < row < pair[1] for row in new)
        more = (pair[1] - before[1] - come) - (pair[0] - before[0] - gone)
        if more:
            blank.append((pair[1], more))
        before = pair
    columns = _pair_columns(expected, actual, pairs)
    paired = Pairing(_filled(forth), _filled({after: before for before, after in pairs}), lost, new)
    return Aligned(expected, actual, paired, columns, tuple(blank))


def _filled(pairs: dict[int, int]) -> dict[int, int]:
    """Give empty rows between two pairs that lie equally far apart their partner as well."""
    made = dict(pairs)
    for (row, other), (following, beyond) in pairwise(sorted(pairs.items())):
        if following - row == beyond - other:
            made.update({row + step: other + step for step in range(1, following - row)})
    return made


def _by_row(sheet: Sheet) -> dict[int, Row]:
    """Cells of each row that holds any, as words: texts as they are, formulas and numbers by kind."""
    made: dict[int, Row] = {}
    for (row, column), cell in sorted(sheet.cells.items(), key=lambda item: item[0]):
        if cell.formula:
            told = "\0f"
        elif isinstance(cell.value, str):
            told = cell.value.strip()
        elif cell.value is None:
            continue
        else:
            told = "\0n"
        made.setdefault(row, {})[column] = told
    return made


def _words(row: Row) -> tuple[str, ...]:
    return tuple(told for told in row.values() if not told.startswith("\0"))


def _pair_rows(expected: Mapping[int, Row], actual: Mapping[int, Row]) -> dict[int, int]:
    first, second = list(expected), list(actual)
    words_first, words_second = [_words(expected[row]) for row in first], [_words(actual[row]) for row in second]
    if _in_place(words_first, words_second):
        return dict(zip(first, second, strict=True))
    forth: dict[int, int] = {}
    matcher = SequenceMatcher(None, words_first, words_second, autojunk=False)
    for tag, start, end, other, until in matcher.get_opcodes():
        if tag == "equal":
            forth.update(zip(first[start:end], second[other:until], strict=True))
        elif tag == "replace":
            forth.update(_pair_run(first[start:end], second[other:until], expected, actual))
    return forth


def _in_place(first: Sequence[tuple[str, ...]], second: Sequence[tuple[str, ...]]) -> bool:
    """Whether rows are where they were: as many, and none that differs has the words of a row close by."""
    if len(first) != len(second):
        return False
    changed = [place for place, (one, other) in enumerate(zip(first, second, strict=True)) if one != other]
    return len(changed) <= _FEW * len(first) and not any(
        second[place] and second[place] in first[max(0, place - _NEAR) : place + _NEAR + 1] for place in changed
    )


def _pair_run(
    first: Sequence[int], second: Sequence[int], expected: Mapping[int, Row], actual: Mapping[int, Row]
) -> dict[int, int]:
    """Pair rows between two anchors: in order, so that likeness is largest in sum."""
    if len(first) * len(second) > _LARGEST_TABLE:
        return dict(zip(first, second, strict=False))
    best = [[0.0] * (len(second) + 1) for _ in range(len(first) + 1)]
    for i in range(len(first) - 1, -1, -1):
        for j in range(len(second) - 1, -1, -1):
            like = _likeness(expected[first[i]], actual[second[j]])
            best[i][j] = max(best[i + 1][j], best[i][j + 1], best[i + 1][j + 1] + like if like > 0 else 0.0)
    made: dict[int, int] = {}
    i = j = 0
    while i < len(first) and j < len(second):
        like = _likeness(expected[first[i]], actual[second[j]])
        if like > 0 and best[i][j] == best[i + 1][j + 1] + like:
            made[first[i]] = second[j]
            i, j = i + 1, j + 1
        elif best[i][j] == best[i + 1][j]:
            i += 1
        else:
            j += 1
    return made


def _likeness(one: Row, other: Row) -> float:
    """How alike two rows are: the key counts most, then shared words, then what kind of cells they hold."""
    shared = sum(told == other.get(column) for column, told in one.items() if not told.startswith("\0"))
    kinds = sum(told == other.get(column) for column, told in one.items() if told.startswith("\0"))
    key = one.get(0)
    if not shared and not (kinds and set(one) == set(other)):
        return 0.1 if set(one) == set(other) and len(one) == 1 else 0.0
    return shared + 0.5 * min(kinds, 4) + (4.0 if key and key == other.get(0) else 0.0)


def _pair_columns(expected: Sheet, actual: Sheet, rows: Sequence[tuple[int, int]]) -> Pairing:
    """Pair columns. Those of months are all alike, so only their number tells that one came or went, and where."""
    rows = [*rows[:_HEAD_ROWS], *rows[_HEAD_ROWS :: max(1, len(rows) // _SAMPLE)]]
    first, second = _by_column(expected, rows, 0), _by_column(actual, rows, 1)
    more = len(second) - len(first)
    split = _split(first, second, more)
    if more >= 0:
        forth = {column: column if column < split else column + more for column in range(len(first))}
    else:
        forth = {column: column if column < split else column + more for column in range(len(first))
                 if column < split or column >= split - more}  # fmt: skip
    back = {after: before for before, after in forth.items()}
    lost = tuple(column for column in range(len(first)) if column not in forth)
    new = tuple(column for column in range(len(second)) if column not in back)
    if split == len(first):  # cells beyond the last column are notes beside the sheet, not a column in it
        new = ()
    last, beside = max(forth.items(), default=(-1, -1))
    for step in range(1, _BESIDE):
        forth.setdefault(last + step, beside + step)
        back.setdefault(beside + step, last + step)
    return Pairing(forth, back, lost, new)


def _split(first: Sequence[tuple[str, ...]], second: Sequence[tuple[str, ...]], more: int) -> int:
    """The column from which all others moved by `more`: the one that makes most cells agree; the last such one."""
    stays = [_agreement(one, other) for one, other in zip(first, second, strict=False)]
    stays += [0] * (len(first) - len(stays))
    moved = [
        _agreement(one, second[column + more]) if 0 <= column + more < len(second) else 0
        for column, one in enumerate(first)
    ]
    gone = -min(more, 0)
    best, place, before = -1, len(first), 0
    after = sum(moved[gone:])
    for column in range(len(first) - gone + 1):
        if before + after >= best:
            best, place = before + after, column
        if column < len(first):
            before += stays[column]
        if column + gone < len(first):
            after -= moved[column + gone]
    return place


def _agreement(one: tuple[str, ...], other: tuple[str, ...]) -> int:
    return sum(a == b for a, b in zip(one, other, strict=True))


def _by_column(sheet: Sheet, rows: Sequence[tuple[int, int]], side: int) -> list[tuple[str, ...]]:
    """Each column of the rows looked at, cell by cell as words, up to the last one that holds anything in them."""
    places = {pair[side] for pair in rows}
    width = max((column for row, column in sheet.cells if row in places and _kind(sheet, row, column)), default=-1) + 1
    return [tuple(_kind(sheet, pair[side], column) for pair in rows) for column in range(width)]


def _kind(sheet: Sheet, row: int, column: int) -> str:
    cell = sheet.cells.get((row, column))
    if cell is None or (cell.value is None and not cell.formula):
        return ""
    return "f" if cell.formula else (cell.value if isinstance(cell.value, str) else "n")

"""Formulas as other programs leave them: spaces dropped, TRUE() for TRUE, sheets quoted or not, rows moved."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final, TypeAlias

from tco.audit.cells import column_index
from tco.publish.workbook.layout import column_name

BROKEN: Final = "#REF!"
Move: TypeAlias = Callable[[str, int, int], "tuple[int, int] | None"]
Corner: TypeAlias = tuple[bool, int, bool, int]  # column fixed; row; row fixed; column
_SHEET: Final = r"(?:'(?P<quoted>(?:[^']|'')+)'|(?P<plain>[^\W\d][\w.]*))!"
_CELL: Final = r"\$?[A-Za-z]{1,3}\$?\d{1,7}"
_TOKEN: Final = re.compile(
    rf"""(?P<text>"(?:[^"]|"")*")
    |(?P<broken>(?:{_SHEET.replace("quoted", "q2").replace("plain", "p2")})?\$?[A-Za-z]{{0,3}}\$?\d*\#REF!(?::\#REF!)?)
    |(?P<area>(?:{_SHEET})?(?P<first>{_CELL})(?::(?P<last>{_CELL}))?(?![\w(!.]))
    |(?P<word>[^\W\d][\w.]*(?:\(\))?)
    |(?P<number>\d+\.?\d*(?:[eE][-+]?\d+)?)
    |(?P<space>\s+)
    |(?P<sign>.)""",
    re.VERBOSE | re.DOTALL,
)
_PARTS: Final = re.compile(r"(\$?)([A-Za-z]{1,3})(\$?)(\d+)")
_BARE: Final = re.compile(r'"[^"]*"|\s+')


def same_text(first: str, second: str) -> bool:
    """Whether two formulas are the same but for spaces outside texts; quick, and right when it says so."""
    return first == second or _bare(first) == _bare(second)


def _bare(formula: str) -> str:
    return _BARE.sub(lambda found: found[0] if found[0].startswith('"') else "", formula)


def canonical(formula: str, sheet: str, move: Move, rename: Callable[[str], str]) -> str:
    """A formula in one spelling, with its references where `move` puts them.

    Parameters
    ----------
    formula : with or without its sign of equality
    sheet : the sheet it stands on, for references without a sheet
    move : gives the new place of (sheet, row, column), or None for a place that is gone
    rename : gives the name under which a sheet is known

    Returns
    -------
    Tokens without spaces, upper case outside texts; every reference with its sheet; a lost one as #REF!.
    """
    made: list[str] = []
    for found in _TOKEN.finditer(formula.removeprefix("=")):
        if found["space"] is not None:
            continue
        if found["text"] is not None:
            made.append(found["text"])
        elif found["broken"] is not None:
            made.append(BROKEN)
        elif found["area"] is not None:
            home = rename((found["quoted"] or "").replace("''", "'") or found["plain"] or sheet)
            made.append(_area(home, found["first"], found["last"], move))
        elif found["number"] is not None:
            made.append(f"{float(found['number']):.15g}")
        else:
            word = found[0].upper()
            made.append(word.removesuffix("()") if word in ("TRUE()", "FALSE()") else word)
    return " ".join(made)


def _area(sheet: str, first: str, last: str | None, move: Move) -> str:
    start = _corner(first)
    end = _corner(last) if last else start
    moved, ended = move(sheet, start[1], start[3]), move(sheet, end[1], end[3])
    row, until = start[1], end[1]
    while last is not None and moved is None and row < until:  # a range shrinks when its ends are gone
        row += 1
        moved = move(sheet, row, start[3])
    while last is not None and ended is None and until > row:
        until -= 1
        ended = move(sheet, until, end[3])
    if moved is None or ended is None:
        return BROKEN
    told = f"{sheet}!{_spelled(start, moved)}"
    return f"{told}:{_spelled(end, ended)}" if last else told


def _corner(text: str) -> Corner:
    match = _PARTS.fullmatch(text)
    assert match is not None
    return bool(match[1]), int(match[4]) - 1, bool(match[3]), column_index(match[2].upper())


def _spelled(corner: Corner, place: tuple[int, int]) -> str:
    row, column = place
    return f"{'$' if corner[0] else ''}{column_name(column)}{'$' if corner[2] else ''}{row + 1}"

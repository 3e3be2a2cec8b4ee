"""ledger.csv: every line of every scope with its value or its months, one row a line or a line's entry."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Final

import numpy as np

from tco.model.kinds import Array
from tco.model.model import Model
from tco.model.nodes import Line
from tco.units import spell

if TYPE_CHECKING:
    import pandas as pd

HEADINGS: Final = ("key", "entry", "scope", "block", "label", "unit", "role", "status", "value")
RISKY: Final = ("=", "+", "-", "@", "\t", "\r")

Cell = str | float


def ledger_rows(model: Model, values: Mapping[str, Array]) -> Iterator[list[Cell]]:
    """Yield key, entry, scope, block, label, unit, role, status, value and one number for every month.

    `value` is the value of a line without months; the sum or the closing value of a line with months where that means
    something, else empty. Choices have their word as value.
    """
    for line in model.lines:
        found = values[line.id]
        axis = line.shape.axis
        for place in range(len(axis) if axis else 1):
            row = found[0, min(place, found.shape[1] - 1), :]
            origin = line.entry_origins[place] if line.entry_origins else line.origin
            key = line.entry_keys[place] if line.entry_keys else line.id
            entry = axis.labels[place] if axis else ""
            status = origin.status if line.expr is None else ""
            block, unit = line.block, spell(line.unit)
            text: list[Cell] = [key, entry, block.scope, block.label, line.label, unit, line.role, status]
            months = np.broadcast_to(row, (model.columns,)) if line.shape.months else row[:0]
            yield [*text, _value(line, row), *(float(value) for value in months)]


def _value(line: Line, row: Array) -> Cell:
    if line.role == "choice":
        return line.text
    if not line.shape.months:
        return float(row[0])
    return {"sum": float(row.sum()), "closing": float(row[-1])}.get(line.total, "")


def ledger_text(model: Model, values: Mapping[str, Array], months: Sequence[str]) -> str:
    """Return the ledger as comma-separated values (RFC 4180).

    Numbers are written so that reading them gives the same number. A text that a spreadsheet would take for a formula
    gets an apostrophe in front.

    Parameters
    ----------
    months : heading of every month, such as 2027-03
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([*HEADINGS, *months])
    for row in ledger_rows(model, values):
        writer.writerow([_cell(cell) for cell in row])
    return out.getvalue()


def _cell(cell: Cell) -> str:
    if isinstance(cell, str):
        return f"'{cell}" if cell.startswith(RISKY) else cell
    return repr(int(cell)) if cell == int(cell) and abs(cell) < 1e15 else repr(cell)


def ledger_frame(model: Model, values: Mapping[str, Array]) -> pd.DataFrame:
    """Return the ledger as a frame: one row a line or entry, months as columns 1, 2, ….

    Cells of months are not a number where a line has none.
    """
    import pandas as pd

    width = len(HEADINGS) + model.columns
    rows = [[*row, *([np.nan] * (width - len(row)))] for row in ledger_rows(model, values)]
    return pd.DataFrame(rows, columns=[*HEADINGS, *range(1, model.columns + 1)])

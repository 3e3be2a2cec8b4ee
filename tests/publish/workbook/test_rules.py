"""Signs and totals; and where the other rules that modellers and accountants expect are held. Common practice.

On formulas, `test_formulas`: one a row and the same on every ledger, numbers on input sheets only, few functions, short
and flat, never a later month, upwards, ranges over all months. On sheets, `test_sheets`: keys, units, colours,
protection, nothing hidden or foreign, names, stored values, checks, About, order, paper. On figures,
`test_recalculation`: the engine's in every cell, recalculated too, dead inputs, the same bytes. Texts: `test_hostile`.
Departures: plain sums may be long, brackets go four deep instead of three, and a label is told apart from its
namesake by its key and the heading above it.
"""

import pytest

from tco.publish.workbook.layout import TOTAL
from tco.report import KINDS

# The only costs that may be receipts; what a press or a present press sells for is never a cost.
RECEIPTS = {"sale", "relief", "rebate", "uptime_credit", "subsidy"}


def test_costs_are_positive_and_only_receipts_are_negative(exported):
    lines = [line for line in exported.model.lines if line.role == "cost"]
    assert lines or not exported.study.fingerprint
    for line in lines:
        lowest, highest = exported.values[line.id].min(), exported.values[line.id].max()
        word = line.id.rpartition(".")[2]
        assert lowest >= -0.005 or word in RECEIPTS, line.id
        assert highest <= 0.005 or word != "sale", line.id


def test_totals_tie_by_month_by_kind_and_by_fiscal_year(exported):
    """From the figures stored in the file: all costs of a candidate, the sum of its kinds, the sum of its years."""
    tied = 0
    for candidate in exported.layout.candidates:
        key = f"{candidate}.fiscal.paid_by_year"
        if key not in exported.model:
            continue
        kinds = [f"{candidate}.statement.{kind.replace(' ', '_')}" for kind in KINDS]
        by_kind = sum(total(exported, kind) for kind in kinds if kind in exported.model)
        home, years = exported.layout.homes[exported.model[key]], exported.model[key].shape.axis
        by_year = sum(
            exported.cells[home.sheet, home.row + 1 + entry, home.column + 1].stored for entry in range(len(years))
        )
        months = total(exported, f"{candidate}.statement.net")
        assert by_kind == pytest.approx(months, abs=0.005)
        assert by_year == pytest.approx(months, abs=0.005)
        tied += 1
    assert tied == len(exported.layout.candidates) or "time.fiscal_year" not in exported.model


def total(exported, key):
    home = exported.layout.homes[exported.model[key]]
    return exported.cells[home.sheet, home.row + 1, TOTAL + 1].stored

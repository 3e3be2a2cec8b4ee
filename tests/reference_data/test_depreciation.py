"""The recovery tables against their own arithmetic: what a misprint or a slip in typing would break."""

from decimal import ROUND_HALF_UP, Decimal

import pytest

from tco.reference_data.depreciation import DATE, TABLES, UNIT, recovery_table

# Share of the first year for which each convention counts the asset as in service.
FIRST_YEAR = {
    "half-year": "0.5",
    "mid-quarter 1": "0.875",
    "mid-quarter 2": "0.625",
    "mid-quarter 3": "0.375",
    "mid-quarter 4": "0.125",
}
EXCEPTION = ("mid-quarter 2", 7)  # the publication prints 17.85 and 3.34 where the rule gives 17.86 and 3.33
IDS = [f"A-{table.table} {table.life}-year" for table in TABLES]


def by_the_rule(convention, life):
    """200 % declining balance, straight line once that is more, each year rounded and that taken off the rest."""
    first = Decimal(FIRST_YEAR[convention])
    basis, elapsed, percents = Decimal(100), Decimal(0), []
    for year in range(life + 1):
        part = first if year == 0 else Decimal(1)
        declining = basis * 2 / life * part
        straight = basis * part / (life - elapsed) if life - elapsed > part else basis
        percents.append(max(declining, straight).quantize(Decimal("0.01"), ROUND_HALF_UP) if year < life else basis)
        basis -= percents[-1]
        elapsed += part
    return tuple(map(float, percents))


@pytest.mark.parametrize("table", TABLES, ids=IDS)
def test_every_column_totals_100(table):
    assert sum(Decimal(str(percent)) for percent in table.percents) == 100
    assert len(table.percents) == table.life + 1


@pytest.mark.parametrize("table", TABLES, ids=IDS)
def test_every_column_but_one_is_what_the_rule_gives(table):
    rule = by_the_rule(table.convention, table.life)
    if (table.convention, table.life) == EXCEPTION:
        assert (rule[0], rule[-1]) == (17.86, 3.33)
        assert (table.percents[0], table.percents[-1]) == (17.85, 3.34)
        assert rule[1:-1] == table.percents[1:-1]
    else:
        assert rule == table.percents


def test_every_table_says_where_it_comes_from():
    assert {(table.table, table.life) for table in TABLES} == {(n, life) for n in range(1, 6) for life in (3, 5, 7)}
    assert all(f"Table A-{table.table}" in table.source and table.reading for table in TABLES)
    assert (DATE, UNIT) == ("2025", "% of unadjusted basis")


def test_look_up():
    assert recovery_table(5).shares == pytest.approx((0.20, 0.32, 0.192, 0.1152, 0.1152, 0.0576), abs=1e-15)
    with pytest.raises(KeyError, match="no recovery table for 6 years"):
        recovery_table(6)

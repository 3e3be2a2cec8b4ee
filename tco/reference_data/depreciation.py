"""Recovery percentages of the US tax tables, as published: they carry their own rounding and are never recomputed."""

from dataclasses import dataclass
from typing import Literal

Convention = Literal["half-year", "mid-quarter 1", "mid-quarter 2", "mid-quarter 3", "mid-quarter 4"]

SOURCE = "US Internal Revenue Service, Publication 946, How To Depreciate Property, Appendix A, Table A-{table}"
DATE = "2025"  # edition of the publication
UNIT = "% of unadjusted basis"


@dataclass(frozen=True)
class RecoveryTable:
    """Percentages of unadjusted basis, recovery year 1 first."""

    table: int
    convention: Convention
    life: int
    percents: tuple[float, ...]
    reading: str

    @property
    def shares(self) -> tuple[float, ...]:
        """The percentages as shares of the basis [unitless]."""
        return tuple(percent / 100 for percent in self.percents)

    @property
    def source(self) -> str:
        """The publication and its table."""
        return SOURCE.format(table=self.table)


_READ = "read in copies of the publication"
_PARTLY = "years 1 to 5 read in copies of the publication, the others second-hand; the column totals 100"

TABLES = (
    RecoveryTable(1, "half-year", 3, (33.33, 44.45, 14.81, 7.41), _READ),
    RecoveryTable(1, "half-year", 5, (20.00, 32.00, 19.20, 11.52, 11.52, 5.76), _READ),
    RecoveryTable(1, "half-year", 7, (14.29, 24.49, 17.49, 12.49, 8.93, 8.92, 8.93, 4.46), _READ),
    RecoveryTable(2, "mid-quarter 1", 3, (58.33, 27.78, 12.35, 1.54), _READ),
    RecoveryTable(2, "mid-quarter 1", 5, (35.00, 26.00, 15.60, 11.01, 11.01, 1.38), _READ),
    RecoveryTable(2, "mid-quarter 1", 7, (25.00, 21.43, 15.31, 10.93, 8.75, 8.74, 8.75, 1.09), _READ),
    RecoveryTable(3, "mid-quarter 2", 3, (41.67, 38.89, 14.14, 5.30), _PARTLY),
    RecoveryTable(3, "mid-quarter 2", 5, (25.00, 30.00, 18.00, 11.37, 11.37, 4.26), _PARTLY),
    RecoveryTable(3, "mid-quarter 2", 7, (17.85, 23.47, 16.76, 11.97, 8.87, 8.87, 8.87, 3.34), _PARTLY),
    RecoveryTable(4, "mid-quarter 3", 3, (25.00, 50.00, 16.67, 8.33), _READ),
    RecoveryTable(4, "mid-quarter 3", 5, (15.00, 34.00, 20.40, 12.24, 11.30, 7.06), _READ),
    RecoveryTable(4, "mid-quarter 3", 7, (10.71, 25.51, 18.22, 13.02, 9.30, 8.85, 8.86, 5.53), _READ),
    RecoveryTable(5, "mid-quarter 4", 3, (8.33, 61.11, 20.37, 10.19), _READ),
    RecoveryTable(5, "mid-quarter 4", 5, (5.00, 38.00, 22.80, 13.68, 10.94, 9.58), _READ),
    RecoveryTable(5, "mid-quarter 4", 7, (3.57, 27.55, 19.68, 14.06, 10.04, 8.73, 8.73, 7.64), _READ),
)


def recovery_table(life: int, convention: Convention = "half-year") -> RecoveryTable:
    """Look up the published percentages of a recovery period of 3, 5 or 7 years.

    Raises
    ------
    KeyError
        for another recovery period or convention

    """
    for table in TABLES:
        if (table.life, table.convention) == (life, convention):
            return table
    raise KeyError(f"no recovery table for {life} years, {convention}; there are 3, 5 and 7 years")

"""Published lease-or-buy studies, levelised costs and depreciation, worked with our functions from their inputs."""

import numpy as np
import pytest

from tco.finance import (
    annuity_factor,
    effective_factor,
    level_payment,
    loan_schedule,
    present_value,
    rent,
    straight_line,
    table_depreciation,
)
from tco.reference_data.depreciation import recovery_table
from tests.published import DERIVED, PARTLY_READ, READ, SECOND_HAND, Case, named

HANDBOOK = "HP, 12c Platinum Solutions Handbook, Lease vs. Purchase, pp. 48-53"
FARM = "extension slide set, Leasing vs. Buying Farm Machinery, tables 1 to 3, its 3-digit depreciation factors"
BUS = "Brealey/Myers/Allen, Principles of Corporate Finance, Table 26.2; six flows of eight read"
PUB_946 = "IRS Publication 946 (2025), chapter 4; seen in a transcription"
PRESS = "OpenStax, Principles of Accounting, Volume 1, 11.3, a printing press"


def calculator_study():
    """F20: leasing less owning after tax of 48 %, discounted at 5 %: (start, years 1-10, credit, end)."""
    kept = 1 - 0.48
    loan = loan_schedule(10_000, 0.12, 10)
    digits = np.arange(10, 0, -1) / 55 * (10_000 - 1_500)
    maintenance = np.array([200] * 4 + [1_500] + [300] * 5)
    owning = loan.payment - 0.48 * (loan.interest + digits) + kept * maintenance
    leasing = kept * np.array([1_700] * 8 + [0, 0])
    yearly = (leasing - owning) * effective_factor(0.05, np.arange(1, 11))
    credit_lost = 1_000 * effective_factor(0.05, 2)
    buy_back = 750 * kept * effective_factor(0.05, 10)
    return 2 * 1_700 * kept, yearly, float(credit_lost), float(buy_back)


def calculator_total():
    start, yearly, credit_lost, buy_back = calculator_study()
    return start + yearly.sum() + credit_lost + buy_back


def bus():
    """F22: cash flows of leasing a bus instead of buying it, times 0 to 7."""
    relief = np.zeros(8)
    relief[1:7] = table_depreciation(100, recovery_table(5).shares) * 0.35
    return np.array([100.0] + [0.0] * 7) - 16.9 * (1 - 0.35) - relief


def farm_machine(digits):
    """F21: book value, then value today of buying and of leasing, at 6 % after tax, factors rounded to `digits`."""
    factors = np.round(effective_factor(0.06, [0, 1, 2, 3]), digits)
    loan = loan_schedule(80_000, 0.01, 84)
    years = [slice(12 * year, 12 * year + 12) for year in range(3)]
    depreciation = table_depreciation(100_000, [0.1071, 0.1913, 0.1503])
    interest = np.array([loan.interest[year].sum() for year in years])
    paid = -12 * loan.payment + 0.28 * (depreciation + interest)
    book = 100_000 - depreciation.sum()
    paid[2] += 67_165 - loan.balance[35] - 0.20 * (67_165 - book)
    buy = -20_000 + present_value(paid, factors[1:])
    rents = np.array([18_665.0] * 3)
    lease = -present_value(rents, factors[:3])
    lease += present_value(0.28 * rents, factors[1:])
    return [float(book), float(buy), float(lease)]


def recovered(cost, life, convention="half-year"):
    return table_depreciation(cost, recovery_table(life, convention).shares)


def capital_cost_per_kwh():
    return level_payment(1_500, 0.08, 10) / (0.22 * 8_760)


def levelised_per_kwh():
    """F39 as cost over output, both discounted at the end of each year."""
    factors = effective_factor(0.08, np.arange(1, 11))
    output = np.full(10, 0.22 * 8_760)
    return (1_500 + present_value(0.04 * output, factors)) / present_value(output, factors)


def undiscounted():
    factors = effective_factor(0.0, np.arange(26))
    return present_value([995_000] + [175_000] * 25, factors) / present_value([0] + [89_500_000 / 25] * 25, factors)


CASES = [
    Case("F20 payment", HANDBOOK, READ, lambda: level_payment(10_000, 0.12, 10), 1_769.84, 0.01),
    Case("F20 year 0", HANDBOOK, READ, lambda: calculator_study()[0], 1_768.00, 0.01),
    Case(
        "F20 years 1 to 10",
        HANDBOOK,
        READ,
        lambda: calculator_study()[1],
        [312.36, 200.43, 95.05, -4.38, -628.09, -226.44, -309.48, -388.81, -1_034.72, -1_080.88],
        0.01,
    ),
    Case("F20 credit", HANDBOOK, READ, lambda: calculator_study()[2], 907.03, 0.01),
    Case("F20 buy-back", HANDBOOK, READ, lambda: calculator_study()[3], 239.43, 0.01),
    Case("F20 lease wins", HANDBOOK + "; the calculator rounds to cents", READ, calculator_total, -150.49, 0.05),
    Case("F21", FARM, READ, lambda: farm_machine(3), [55_130, -38_684, -38_908], 1.5),
    Case("F21 exact factors", FARM, DERIVED, lambda: farm_machine(15)[1:], [-38_688.9, -38_915.6], 0.05),
    Case("F22 flows", BUS, PARTLY_READ, bus, [89.02, -17.99, -22.19, -17.71, -15.02, -15.02, -13.0, -10.98], 0.015),
    Case(
        "F22 value",
        BUS,
        PARTLY_READ,
        lambda: present_value(bus(), effective_factor(0.065, np.arange(8))),
        -0.70,
        0.005,
    ),
    Case(
        "F23",
        "engineering-economy problem, a computer with a colour printer, worked",
        READ,
        lambda: rent(7_520 + 50 * annuity_factor(0.01, 24), 0, 0.01, 24, 1),
        400,
        0.05,
    ),
    Case(
        "F26",
        PUB_946,
        SECOND_HAND,
        lambda: np.round(recovered(10_000, 7), 9),
        [1_429, 2_449, 1_749, 1_249, 893, 892, 893, 446],
        0,
    ),
    Case("F27 machine", PUB_946, SECOND_HAND, lambda: recovered(4_000, 7, "mid-quarter 1")[:2], [1_000, 857], 0.5),
    Case("F27 furniture", PUB_946, SECOND_HAND, lambda: recovered(1_000, 7, "mid-quarter 3")[:2], [107, 255], 0.5),
    Case("F27 computer", PUB_946, SECOND_HAND, lambda: recovered(5_000, 5, "mid-quarter 4")[:2], [250, 1_900], 0.5),
    Case("F28", PRESS, READ, lambda: straight_line(54_000 + 1_500 + 2_500, 10_000, 5), [9_600] * 5, 0),
    Case("F28' per page", PRESS, READ, lambda: straight_line(58_000, 10_000, 5).sum() / 960_000, 0.05, 1e-15),
    Case("F29b", "Microsoft, DAX reference, SLN", READ, lambda: straight_line(30_000, 7_500, 10)[0], 2_250, 1e-8),
    Case("F39 capital", "renewable-energy textbook problem, worked", READ, capital_cost_per_kwh, 0.1159, 1e-4),
    Case("F39 levelised", "renewable-energy textbook problem, worked", READ, levelised_per_kwh, 0.1559, 1e-4),
    Case("F40 undiscounted", "school exercise, many copies", READ, undiscounted, 0.06, 0.00005),
]


@pytest.mark.parametrize("case", **named(CASES))
def test_published(case):
    case.check()

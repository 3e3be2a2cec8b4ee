"""Time value of money: discounting, level payments, rents, depreciation.

Pure functions on NumPy arrays; every argument broadcasts unless its shape is given. Rates are shares (0.075 is 7.5 %).
A *periodic* rate belongs to one period (a month, a quarter, a year), and `periods` counts the same periods. Functions
follow the sign of what they are given: amounts in, amounts out. Nothing is rounded.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Basis = Literal["effective", "nominal"]

MONTHS_A_YEAR = 12


def effective_factor(rate: ArrayLike, years: ArrayLike) -> Floats:
    """Value today of 1 due in `years`, at a rate that is effective a year: (1 + rate) ** -years.

    Parameters
    ----------
    rate : share a year, above -1
    years : time from today [years]; fractions compound

    Returns
    -------
    factor [unitless], in the broadcast shape of both

    Raises
    ------
    ValueError
        when a rate is -1 or less

    """
    growth = 1.0 + _above_minus_one(rate)
    return np.asarray(growth ** -np.asarray(years, dtype=float))


def nominal_factor(rate: ArrayLike, years: ArrayLike) -> Floats:
    """Value today of 1 due in `years`, at a nominal yearly rate compounded monthly: (1 + rate/12) ** (-12 years).

    Parameters
    ----------
    rate : share a year, above -12
    years : time from today [years]

    Returns
    -------
    factor [unitless], in the broadcast shape of both

    Raises
    ------
    ValueError
        when a monthly rate is -1 or less

    """
    growth = 1.0 + _above_minus_one(np.asarray(rate, dtype=float) / MONTHS_A_YEAR)
    return np.asarray(growth ** (-MONTHS_A_YEAR * np.asarray(years, dtype=float)))


def discount_factors(rate: ArrayLike, years: ArrayLike, basis: Basis) -> Floats:
    """`effective_factor` or `nominal_factor`, by the word of the scenario.

    Raises
    ------
    ValueError
        for another word or an impossible rate

    """
    if basis == "effective":
        return effective_factor(rate, years)
    if basis == "nominal":
        return nominal_factor(rate, years)
    raise ValueError(f"the basis of a discount rate is 'effective' or 'nominal', not {basis!r}")


def present_value(flows: ArrayLike, factors: ArrayLike) -> Floats:
    """Sum of `flows` times `factors` along the last axis.

    The product is laid out row by row before it is summed, so that a row of a batch equals that row alone bit for bit.

    Parameters
    ----------
    flows : (..., T) amounts
    factors : (..., T) discount factors [unitless]

    Returns
    -------
    (...) amounts of today

    """
    product = np.multiply(np.asarray(flows, dtype=float), np.asarray(factors, dtype=float), order="C")
    return np.asarray(product.sum(axis=-1))


def bulk_present_value(flows: ArrayLike, factors: ArrayLike) -> Floats:
    """As `present_value` by a matrix product: faster on many rows, and the last bits may depend on the batch.

    Parameters
    ----------
    flows : (n, T) amounts
    factors : (T,) discount factors [unitless]

    Returns
    -------
    (n,) amounts of today

    """
    return np.asarray(np.asarray(flows, dtype=float) @ np.asarray(factors, dtype=float))


def effective_from_nominal(nominal: ArrayLike, periods_a_year: ArrayLike) -> Floats:
    """Effective yearly rate of a nominal one that is compounded `periods_a_year` times: (1 + nominal/m) ** m - 1."""
    periods = np.asarray(periods_a_year, dtype=float)
    return np.asarray(np.expm1(periods * np.log1p(_above_minus_one(np.asarray(nominal, dtype=float) / periods))))


def nominal_from_effective(effective: ArrayLike, periods_a_year: ArrayLike) -> Floats:
    """Nominal yearly rate, compounded `periods_a_year` times, that gives the effective one."""
    periods = np.asarray(periods_a_year, dtype=float)
    return np.asarray(periods * np.expm1(np.log1p(_above_minus_one(effective)) / periods))


def annuity_factor(periodic_rate: ArrayLike, periods: ArrayLike) -> Floats:
    """Value today of 1 at the end of each of `periods` periods: (1 - (1 + i) ** -n) / i, and n when i is 0.

    Computed through log1p and expm1, since the textbook form loses all its digits at small rates.
    """
    rate, count = np.broadcast_arrays(_above_minus_one(periodic_rate), np.asarray(periods, dtype=float))
    safe = np.where(rate == 0, 1.0, rate)
    return np.asarray(np.where(rate == 0, count, -np.expm1(-count * np.log1p(rate)) / safe))


def level_payment(
    principal: ArrayLike, periodic_rate: ArrayLike, periods: ArrayLike, *, in_advance: ArrayLike = False
) -> Floats:
    """Equal payment that repays `principal` with interest over `periods` periods.

    Parameters
    ----------
    principal : amount owed today
    periodic_rate : share a period, above -1; 0 divides the principal evenly
    periods : number of payments
    in_advance : payments fall at the beginning of each period instead of its end

    Returns
    -------
    amount a period

    """
    discount = np.where(in_advance, 1.0 + np.asarray(periodic_rate, dtype=float), 1.0)
    return np.asarray(np.asarray(principal, dtype=float) / (annuity_factor(periodic_rate, periods) * discount))


@dataclass(frozen=True)
class Schedule:
    """A loan period by period: (periods,) amounts; `balance` is owed after the payment of the period."""

    payment: float
    interest: Floats
    principal: Floats
    balance: Floats


def loan_schedule(principal: float, periodic_rate: float, periods: int, *, in_advance: bool = False) -> Schedule:
    """Split each level payment of a loan into interest and principal; in advance, the first one bears no interest."""
    payment = float(level_payment(principal, periodic_rate, periods, in_advance=in_advance))
    interest = np.empty(periods)
    balance = np.empty(periods)
    owed = principal
    for period in range(periods):
        interest[period] = 0.0 if in_advance and period == 0 else owed * periodic_rate
        owed += interest[period] - payment
        balance[period] = owed
    return Schedule(payment, interest, payment - interest, balance)


def rent(
    price: ArrayLike, residual: ArrayLike, periodic_rate: ArrayLike, periods: ArrayLike, advance: ArrayLike
) -> Floats:
    """Level rent that yields `periodic_rate` on `price`: (P - S v^n) / (a + annuity(i, n - a)).

    Parameters
    ----------
    price : cash price of what is leased, today
    residual : its worth, or the option price, after `periods` periods
    periodic_rate : share a period, above -1
    periods : number of rents n
    advance : rents paid at signing a; 0 is in arrears, 1 is in advance. The other n - a end periods 1, 2 …

    Returns
    -------
    amount a period

    Notes
    -----
    The closed form behind the advance-payment lease examples of the HP 12c user's guide, section 14.

    """
    rate = _above_minus_one(periodic_rate)
    count, signing = np.asarray(periods, dtype=float), np.asarray(advance, dtype=float)
    worth = np.asarray(residual, dtype=float) * np.exp(-count * np.log1p(rate))
    return np.asarray((np.asarray(price, dtype=float) - worth) / (signing + annuity_factor(rate, count - signing)))


def equivalent_annual_cost(present_cost: ArrayLike, rate: ArrayLike, years: ArrayLike) -> Floats:
    """Equal cost at the end of each year that is worth `present_cost` today [amount a year]; the rate is effective."""
    return level_payment(present_cost, rate, years)


def straight_line(cost: float, salvage: float, years: int) -> Floats:
    """Depreciation of each year, (years,) amounts: what is lost in worth, in equal parts."""
    return np.full(years, (cost - salvage) / years)


def table_depreciation(cost: ArrayLike, shares: ArrayLike) -> Floats:
    """Depreciation of each recovery year by a published table: (...) costs and (J,) shares give (..., J) amounts."""
    return np.asarray(np.asarray(cost, dtype=float)[..., None] * np.asarray(shares, dtype=float))


def _above_minus_one(rate: ArrayLike) -> Floats:
    values = np.asarray(rate, dtype=float)
    if np.any(values <= -1.0):
        raise ValueError("a rate of -100 % or less a period leaves nothing to discount")
    return values

"""Rates of return: the rate at which flows are worth nothing, and the rate that rents imply.

Rates are shares a period of the flows (0.075 is 7.5 %). Nothing is rounded.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# |ln(1 + rate)| a period beyond which no rate of return is sought: a loss or a gain of more than 10^27 a period.
_FURTHEST = 64.0
# A root counts when its present value is below this share of the sum of the discounted amounts without their signs.
_CONFIRMED = 1e-9
# Newton steps double the digits that are right: after a step below this nothing is left to gain. Twelve steps are twice
# what an ordinary row of 60 months needs.
_NEAR, _STEPS = 1e-10, 12
# After a step below this the slope is known to seven digits and used again.
_STRAIGHT = 1e-7
_BLOCK = 4096


class RateOfReturn(NamedTuple):
    """Rates of return, one for each row of flows.

    `status` is 'one' (the rate stands in `rate`), 'none' or 'several' (NaN stands there). 'several' goes by the sign
    changes of the flows: with more than one of them a single figure would be read as a certainty.
    """

    rate: Floats
    status: NDArray[np.str_]
    sign_changes: NDArray[np.int64]


def irr(flows: ArrayLike) -> RateOfReturn:
    """Rate at which the flows of a row are worth nothing today.

    One sign change means exactly one rate above -1 (Descartes' rule of signs). It is approached by Newton steps on the
    logarithm of receipts over payments, and where these do not arrive it is bracketed and approached by Newton steps
    that fall back to halving. Every root is confirmed by its present value.

    Parameters
    ----------
    flows : (..., T) amounts at times 0, 1, … T - 1

    Returns
    -------
    RateOfReturn
        shares a period, in the shape (...)

    Raises
    ------
    ValueError
        when a flow is not a finite number

    """
    given = np.asarray(flows, dtype=float)
    if not np.all(np.isfinite(given)):
        raise ValueError("a rate of return needs finite amounts")
    rows = given.reshape(-1, given.shape[-1])
    changes = count_sign_changes(rows)
    rates = np.full(len(rows), np.nan)
    single = np.flatnonzero(changes == 1)
    rates[single] = _roots(rows if len(single) == len(rows) else rows[single])
    status = np.where(np.isfinite(rates), "one", np.where(changes > 1, "several", "none"))
    shape = given.shape[:-1]
    return RateOfReturn(rates.reshape(shape), status.reshape(shape), changes.reshape(shape))


def count_sign_changes(flows: ArrayLike) -> NDArray[np.int64]:
    """Count how often the sign turns along the last axis, zeros passed over: (..., T) amounts in, (...) counts out."""
    given = np.asarray(flows, dtype=float)
    if not given.all():
        return _changes_past_zeros(given)
    below = np.signbit(given)
    return np.asarray(np.count_nonzero(below[..., 1:] != below[..., :-1], axis=-1), dtype=np.int64)


def _changes_past_zeros(flows: Floats) -> NDArray[np.int64]:
    """The same where amounts may be 0, several times as slow."""
    signs = np.sign(flows)
    last = np.where(signs != 0, np.arange(signs.shape[-1]), 0)
    held = np.take_along_axis(signs, np.maximum.accumulate(last, axis=-1), axis=-1)
    return np.asarray((held[..., 1:] * held[..., :-1] < 0).sum(axis=-1), dtype=np.int64)


def implied_rate(
    price: ArrayLike, payment: ArrayLike, periods: ArrayLike, *, advance: ArrayLike = 0, residual: ArrayLike = 0.0
) -> RateOfReturn:
    """Periodic rate at which rents and residual are worth `price` today: the inverse of `rent`."""
    cost, each, count, signing, worth = np.broadcast_arrays(
        *(np.asarray(value, dtype=float)[..., None] for value in (price, payment, periods, advance, residual))
    )
    time = np.arange(int(count.max(initial=0)) + 1)
    paid = np.where(time == 0, each * signing, np.where(time <= count - signing, each, 0.0))
    return irr(np.where(time == 0, cost, 0.0) - paid - np.where(time == count, worth, 0.0))


def _value_and_slope(columns: Floats, log_growth: Floats) -> tuple[Floats, Floats]:
    """Scaled present value and its slope in `log_growth`; (T, n) and (n,) in, (n,) out.

    Losses are looked at from the last flow instead of the first, so that no power overflows; the root stays the same.
    """
    step = np.exp(-np.abs(log_growth))
    gains = log_growth >= 0
    ordered = columns if gains.all() else np.where(gains, columns, columns[::-1])
    value, slope = np.zeros_like(step), np.zeros_like(step)
    for amount in ordered[::-1]:
        slope *= step
        slope += value
        value *= step
        value += amount
    return value, np.where(gains, -step, step) * slope


def _roots(rows: Floats) -> Floats:
    """Rates of rows with exactly one sign change, some thousand rows at a time so that they stay near the processor."""
    roots = np.concatenate(
        [_log_roots(rows[start : start + _BLOCK]) for start in range(0, len(rows), _BLOCK)] or [rows[:, 0]]
    )
    hard = np.flatnonzero(~np.isfinite(roots))
    if hard.size:
        roots[hard] = _single_roots(rows[hard])
    return roots


def _log_roots(rows: Floats) -> Floats:
    """Rates by Newton steps on ln(receipts / payments), both discounted; NaN where they do not arrive.

    With one sign change all receipts lie on one side of all payments, so this logarithm falls or rises throughout, and
    it is nearly straight in the logarithm of growth: a few steps do. The first one, from no growth at all, compares the
    sums and their mean times.
    """
    sides = [_Side.of(rows, rows.max(axis=0) > 0, 1.0), _Side.of(rows, rows.min(axis=0) < 0, -1.0)]
    growth = np.zeros(len(rows))
    apart = np.ones(len(rows))
    settled, arrived = np.zeros(len(rows), dtype=np.bool_), np.zeros(len(rows), dtype=np.bool_)
    with np.errstate(all="ignore"):  # rows that run away are looked at by the other search
        for _ in range(_STEPS):
            (received, late), (paid, early) = (side.at(growth, slope=not settled.all()) for side in sides)
            apart = np.where(settled, apart, late - early)
            change = np.where(arrived, 0.0, np.log(received / paid) / apart)
            settled |= np.abs(change) <= _STRAIGHT
            growth += change
            near = (np.abs(change) <= _NEAR) & (np.abs(received - paid) <= _CONFIRMED * (received + paid))
            arrived |= near
            if (arrived | ~np.isfinite(growth)).all():
                break
        return np.where(arrived, np.expm1(growth), np.nan)


class _Side(NamedTuple):
    """The receipts of some rows, or the payments: months by rows, from the first month to the last that has any."""

    first: int
    amounts: Floats

    @classmethod
    def of(cls, rows: Floats, has: NDArray[np.bool_], sign: float) -> "_Side":
        """Take the amounts of this sign, without it, of the months that have any; (n, T) rows, (T,) flags."""
        months = np.flatnonzero(has)
        first, last = int(months[0]), int(months[-1])
        amounts = np.empty((last - first + 1, len(rows)))
        np.multiply(rows[:, first : last + 1].T, sign, out=amounts)
        return cls(first, np.maximum(amounts, 0.0, out=amounts))

    def at(self, growth: Floats, *, slope: bool) -> tuple[Floats, Floats]:
        """Present value and mean time of what it sums up, (n,) each, at these logarithms of growth; the time if wanted.

        Months before the first are gone through like all others, so that a row is worth the same in any company.
        """
        step = np.exp(-growth)
        grows = bool(growth.any())  # at the start nothing does: multiplying by one is left out
        value, rise = self.amounts[-1].copy(), np.zeros_like(growth)
        for place in range(self.first + len(self.amounts) - 2, -1, -1):
            if slope:
                if grows:
                    rise *= step
                rise += value
            if grows:
                value *= step
            if place >= self.first:
                value += self.amounts[place - self.first]
        return value, step * rise / value


def _single_roots(rows: Floats) -> Floats:
    """Rates of rows with exactly one sign change; NaN where none is near enough or its present value is not nothing."""
    first = np.take_along_axis(rows, np.argmax(rows != 0, axis=1)[:, None], axis=1)
    columns = np.ascontiguousarray((rows * np.sign(first)).T)  # now every row starts above zero and ends below
    low, high = np.full(len(rows), -0.125), np.full(len(rows), 0.125)
    # With large gains only the first flows count, with large losses only the last: value(low) <= 0 <= value(high).
    for bound, sign in ((low, -1.0), (high, 1.0)):
        open_rows = np.arange(len(rows))
        while open_rows.size:
            value = _value_and_slope(columns[:, open_rows], bound[open_rows])[0]
            open_rows = open_rows[(value * sign < 0) & (np.abs(bound[open_rows]) < _FURTHEST)]
            bound[open_rows] *= 2
    roots = (low + high) / 2
    open_rows = np.arange(len(rows))
    for _ in range(200):  # halving alone ends within about sixty steps
        part = columns if open_rows.size == len(rows) else columns[:, open_rows]
        at = roots[open_rows]
        value, slope = _value_and_slope(part, at)
        low[open_rows] = np.where(value <= 0, at, low[open_rows])
        high[open_rows] = np.where(value >= 0, at, high[open_rows])
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = at - value / slope
        inside = (newton >= low[open_rows]) & (newton <= high[open_rows])
        following = np.where(inside, newton, (low[open_rows] + high[open_rows]) / 2)
        roots[open_rows] = following
        open_rows = open_rows[np.abs(following - at) > 4e-16 * np.maximum(1.0, np.abs(at))]
        if not open_rows.size:
            break
    value, size = _value_and_slope(columns, roots)[0], _value_and_slope(np.abs(columns), roots)[0]
    return np.asarray(np.where(np.abs(value) <= _CONFIRMED * size, np.expm1(roots), np.nan))

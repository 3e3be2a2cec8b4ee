"""Measures of the oracle: one figure from a stream of flows."""

from __future__ import annotations

import itertools

from tests.oracle.flows import Flow

HALF_A_CENT = 0.005  # less counts as nothing


def by_month(flow: Flow) -> list[float]:
    """Add flows up by month, month m at position m − 1."""
    last = max((month for month, _ in flow), default=0)
    out = [0.0] * last
    for (month, _), amount in flow.items():
        out[month - 1] += amount
    return out


def difference(reference: Flow, other: Flow) -> Flow:
    """Give reference less other: a saving is positive."""
    return {when: reference.get(when, 0.0) - other.get(when, 0.0) for when in sorted(set(reference) | set(other))}


def payback(saving: Flow) -> tuple[int, str]:
    """Give the first month from which the cumulative saving stays above half a cent, and a word for it."""
    running, after = [], 0.0
    for amount in by_month(saving):
        after += amount
        running.append(after)
    month = len(running) + 1
    while month > 1 and running[month - 2] > HALF_A_CENT:
        month -= 1
    if month > len(running):
        return 0, "never"
    return month, "from month 1" if month == 1 else "month"


def by_time(saving: Flow) -> list[float]:
    """Add flows up by months from the start: an opening flow at m − 1, a closing one at m."""
    last = max((month for month, _ in saving), default=0)
    out = [0.0] * (last + 1)
    for (month, timing), amount in saving.items():
        out[month - 1 if timing == "opening" else month] += amount
    return out


def irr(saving: Flow) -> tuple[float | None, str]:
    """Give the effective yearly rate of the saving stream by bisection, and none, one or several."""
    stream = by_time(saving)
    signs = [amount > 0 for amount in stream if abs(amount) > HALF_A_CENT]
    changes = sum(1 for a, b in itertools.pairwise(signs) if a != b)
    if changes != 1:
        return None, "several" if changes else "none"

    def worth(rate: float) -> float:
        end = len(stream) - 1 if rate < 0 else 0  # at a negative rate worth at the end: the same sign, no overflow
        return sum(amount * (1 + rate) ** (end - time) for time, amount in enumerate(stream))

    low, high = -0.999999, 1e6
    if (worth(low) > 0) == (worth(high) > 0):
        return None, "none"
    rising = worth(low) < 0
    for _ in range(120):
        middle = (low + high) / 2
        if (worth(middle) < 0) == rising:
            low = middle
        else:
            high = middle
    return float((1 + (low + high) / 2) ** 12 - 1), "one"

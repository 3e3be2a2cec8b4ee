"""What the oracle's own tests share: a tolerance, a scenario of one candidate, a service plan."""

from __future__ import annotations

from typing import Any

import pytest

from tests.oracle.oracle import Candidate, evaluate


def near(expected: float, tolerance: float = 0.005) -> Any:
    return pytest.approx(expected, rel=0, abs=tolerance)


def one(press: dict[str, Any], *, months: int = 12, colour: Any = 0, **top: Any) -> Candidate:
    """Evaluate a scenario of one candidate that prints colour volumes."""
    data = {"start": "2027-01", "months": months, "work": {"colour": colour}, "money": {"discount_rate": "0%"}}
    return evaluate(data | top | {"candidates": {"it": press}}).candidates["it"]


def plan(**service: Any) -> dict[str, Any]:
    return {"owned": {}, "service": {"increase": "0%", "oversize_counts": 1} | service}

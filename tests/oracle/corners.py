"""Scenarios for corners that random draws seldom meet: exact ends, several presses under rare terms, hours used up."""

from __future__ import annotations

from typing import Any

BASE: dict[str, Any] = {
    "title": "Corner",
    "start": "2027-03",
    "months": 14,
    "money": {"discount_rate": "6%", "paper_sizes": "inch"},
    "work": {"black": 9000, "colour": 4000},
}
RUNNING = {"rent": 70, "return_freight": 40, "buy_out": 300}


def month(number: int) -> str:
    """Give an operating month of the corners as a calendar month."""
    return f"{2027 + (number + 1) // 12}-{(number + 1) % 12 + 1:02d}"


CORNERS: dict[str, dict[str, Any]] = {
    "two present presses whose lease ends with the horizon, or after it": BASE
    | {
        "today": {
            "presses": {
                "at": {"count": 2, "lease": RUNNING | {"ends": month(14), "then": "return"}},
                "after": {"count": 3, "lease": RUNNING | {"ends": month(17), "then": "return"}},
                "monthly": {"count": 2, "lease": RUNNING | {"ends": month(14), "then": "month to month"}},
                "beyond": {"count": 2, "lease": RUNNING | {"ends": month(19), "then": "month to month"}},
            }
        },
        "candidates": {
            "all": {"owned": {}},
            "out": {"owned": {}, "present_lease": "buy out"},
            "some": {
                "presses": {
                    "a": {"same_as": "today.at", "until_month": 9, "sells_for": 20, "removal": 15},
                    "b": {"same_as": "today.monthly", "until_month": 13, "sells_for": 20},
                    "c": {"same_as": "today.beyond", "until_month": 5},
                    "new": {"owned": {}},
                }
            },
        },
    },
    "several leased presses renewed by the quarter, without a rent of their own": BASE
    | {
        "candidates": {
            "open": {"count": 3, "lease": {"rent": 300, "months": 9, "every_months": 3, "at_end": "renew",
                                           "return_freight": 60}},
            "long": {"count": 2, "lease": {"rent": 300, "months": 12, "every_months": 3, "at_end": "renew",
                                           "renewal_months": 7, "return_freight": 60, "paid": "in arrears"}},
            "left": {"count": 2, "until_month": 10, "lease": {"rent": 90, "months": 8, "at_end": "renew",
                                                              "renewal_months": 9, "return_freight": 60}},
            "at": {"count": 2, "lease": {"rent": 90, "months": 6, "at_end": "renew", "renewal_months": 8,
                                         "renewal_rent": 50, "return_freight": 60}},
            "kept": {"count": 2, "until_month": 8, "lease": {"rent": 90, "months": 20, "at_end": "buy", "buy_price": 33,
                                                             "cash_price": 1700, "sells_for": 12}},
        },
    },
    "stops and care take all hours": BASE
    | {
        "shop": {"hours_per_week": 1, "overtime_hours_per_week": 2, "electricity": 0.2,
                 "labour": {"wage": 20, "on_cost": "30%"}},
        "outside": {"black": 0.05},
        "candidates": {
            "stops": {"count": 2, "owned": {}, "sides_per_minute": 30, "service_stop_hours": 9,
                      "power": {"running": 2}},
            "care": {"count": 2, "owned": {}, "sides_per_minute": 30, "warm_up_minutes": 30, "cleaning_minutes": 20,
                     "power": {"running": 2, "ready": 1, "sleep": 0.1}},
        },
    },
}  # fmt: skip

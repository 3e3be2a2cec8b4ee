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
    "leases that outlive the horizon": BASE
    | {
        "candidates": {
            "back": {"count": 2, "lease": {"rent": 90, "months": 20, "return_freight": 60, "advance_rents": 3}},
            "short": {"count": 2, "lease": {"rent": 90, "months": 5, "return_freight": 60}},
            "late": {"count": 2, "lease": {"rent": 90, "months": 24, "every_months": 6, "paid": "in arrears"}},
            "bought": {"count": 2, "lease": {"rent": 90, "months": 20, "at_end": "buy", "buy_price": 33,
                                             "sells_for": 12}},
            "implied": {"count": 2, "lease": {"rent": 90, "months": 20, "at_end": "buy", "buy_price": 33,
                                              "cash_price": 1700, "advance_rents": 2, "document_fee": 5}},
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
    "bands for all units, part periods settled pro rata": BASE
    | {
        "work": {"black": 1000, "size": "legal", "oversize_share": {"black": "30%"}},
        "candidates": {
            "by_year": {"owned": {}, "service": {"settled": "yearly", "stub": "pro rata", "bands": "all units",
                                                 "oversize_counts": 1,
                                                 "black": [{"from": 0, "rate": 0.05}, {"from": 9000, "rate": 0.03}]}},
            "by_quarter": {"owned": {}, "service": {"settled": "quarterly", "stub": "pro rata", "bands": "graduated",
                                                    "black": [{"from": 0, "rate": 0.05}, {"from": 3000, "rate": 0.03}]},
                           "supplies": {"toner": {"price": 60, "yields": 9000, "at_coverage": "6%"}}},
        },
    },
    "two of everything, bought, sold early and written off within the study": BASE
    | {
        "money": {"discount_rate": "6%", "paper_sizes": "inch", "sales_tax": {"rate": "8%"},
                  "income_tax": {"rate": "30%", "depreciation": "straight line", "years": 0.75,
                                 "relief_after_months": 2}},
        "candidates": {
            "cash": {"count": 2, "until_month": 12, "cash": {"price": 900, "sells_for": 80}, "removal": 7,
                     "training": 11, "delivery_and_installation": 13, "site_works": 17,
                     "front_end": {"price": 19, "support_per_year": 36}, "space_m2": 3},
            "loan": {"count": 2, "until_month": 13, "removal": 7,
                     "loan": {"price": 900, "down_payment": 100, "rate": "6%", "months": 20, "fee": 9,
                              "sells_for": 80}},
            "short": {"count": 2, "loan": {"price": 900, "rate": "6%", "months": 6, "fee": 9}},
        },
    },
    "written off by table over two fiscal closes, sold after or kept": BASE
    | {
        "months": 30,
        "money": {"discount_rate": "6%", "paper_sizes": "inch", "fiscal_year_starts": "July",
                  "income_tax": {"rate": "30%", "depreciation": "macrs 5-year", "disposal_share": "40%"}},
        "candidates": {
            "sold": {"count": 2, "from_month": 3, "until_month": 27, "cash": {"price": 900, "sells_for": 80}},
            "kept": {"cash": {"price": 900, "sells_for": 80}},
        },
    },
    "prices of the second year": BASE
    | {
        "work": None,
        "money": {"discount_rate": "6%", "paper_sizes": "inch", "inflation": "10%"},
        "jobs": {
            "thick": {"colour": "colour", "sides_per_set": 7, "two_sided": "yes", "sets_per_job": 400,
                      "finish": "staple", "jobs": {"per_month": 9}, "heavy": "yes", "make_ready_sheets": 6,
                      "size": "ledger"},
            "thin": {"colour": "black", "sides_per_set": 4, "sets_per_job": 30, "finish": "tape",
                     "jobs": {"per_month": 40}},
        },
        "shop": {"hours_per_week": 9, "overtime_hours_per_week": 2, "electricity": 0.2, "cooling": "20%",
                 "space_per_m2": 3, "paper": {"letter": 0.01, "ledger": 0.03},
                 "finishing": {"staple": {"material": 0.02, "sets_per_hour": 90}, "tape": {"bought_in": 0.3}},
                 "labour": {"wage": 20, "on_cost": "30%"}},
        "outside": {"black": 0.05, "colour": 0.2, "order_minutes": 9, "delivery_per_job": 5,
                    "finishing": {"staple": 0.1}},
        "candidates": {
            "hour": {"count": 2, "owned": {}, "sides_per_minute": 40, "power": {"running": 2}, "space_m2": 4,
                     "trays": [{"sheets": 500}], "reload_minutes": 2, "attendance": 0.5, "in_line": ["tape"]},
            "week": {"count": 2, "owned": {}, "kwh_per_week": 20, "space_m2": 4,
                     "service": {"colour": 0.05, "black": 0.01, "blank_backs": "free", "oversize_counts": 1.5}},
            "rent": {"count": 2, "until_month": 13, "rental": {"rent": 90, "notice_months": 3, "increase": "4%"}},
            "out": {"outside_only": "yes"},
        },
    },
    "posts, and the price of keeping them": BASE
    | {
        "money": {"discount_rate": "6%", "paper_sizes": "inch", "inflation": "10%"},
        "shop": {"hours_per_week": 4, "overtime_hours_per_week": 1,
                 "labour": {"wage": 20, "on_cost": "30%", "posts": 1, "productive": "70%", "overtime_factor": 1.25}},
        "candidates": {
            "it": {"owned": {}, "sides_per_minute": 12, "warm_up_minutes": 5, "attendance": 1.5},
            "own": {"owned": {}, "sides_per_minute": 12, "posts": 0.5},
        },
    },
}  # fmt: skip
CORNERS = {name: {key: part for key, part in data.items() if part is not None} for name, data in CORNERS.items()}

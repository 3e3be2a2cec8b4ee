"""Corners of sections 9 to 13 that random draws seldom meet: two of each, hours used up, clicks carried for long."""

from __future__ import annotations

from typing import Any

from tests.oracle.corners import BASE, month

SIGNED = {"cash_price": 2100, "buy_price": 90, "at_end": "buy"}
TWO = {"count": 2, "delivery_and_installation": 13, "site_works": 17, "removal": 7}
OFFICE = {"discount_rate": "6%", "paper_sizes": "inch", "inflation": "10%", "fiscal_year_starts": "July"}

BOOK_CORNERS: dict[str, dict[str, Any]] = {
    "a week in which stops, care and classes leave some presses nothing": BASE
    | {
        "work": None,
        "money": OFFICE | {"charges_rise": "no"},
        "busiest_week": "40%",
        "season": [1, 2, 3, 1, 2, 3, 1, 2, 3, 1, 2, 3],
        "jobs": {
            "cards": {"colour": "colour", "sides_per_set": 2, "sets_per_job": 300, "jobs": {"per_month": 9},
                      "due_hours": 0.2, "charge_per_set": 0.4},
            "plans": {"colour": "black", "sides_per_set": 1, "sets_per_job": 50, "jobs": {"per_month": 20},
                      "size": "ledger"},
            "notes": {"colour": "black", "sides_per_set": 4, "sets_per_job": 90, "jobs": {"per_month": 30},
                      "due_hours": 9, "charge_per_set": 0.1},
        },
        "shop": {"hours_per_week": 5, "weeks_per_year": 48, "space_per_m2": 4},
        "candidates": {
            "one": {"count": 2, "owned": {}, "sides_per_minute": 30, "warm_up_minutes": 9, "cleaning_minutes": 4,
                    "takes": ["cards", "notes"], "space_m2": 3},
            "some": {"presses": {
                "stopped": {"count": 2, "owned": {}, "sides_per_minute": 30, "service_stop_hours": 25},
                "cared": {"count": 2, "owned": {}, "sides_per_minute": 30, "cleaning_minutes": 70, "takes": "notes"},
                "late": {"count": 2, "owned": {}, "sides_per_minute": 9, "from_month": 3, "until_month": 9,
                         "takes": "cards", "cleaning_minutes": 6},
                "plain": {"owned": {}, "from_month": 2, "until_month": 7, "takes": ["plans"]},
            }},
            "late": {"presses": {
                "first": {"owned": {}, "until_month": 5, "sides_per_minute": 20, "takes": "cards"},
                "second": {"owned": {}, "from_month": 4, "until_month": 11, "takes": "notes"},
            }},
        },
    },
    "two presses on each lease that tax sees as bought, and their accounts": BASE
    | {
        "months": 19,
        "money": OFFICE
        | {"income_tax": {"rate": "30%", "depreciation": "declining balance", "depreciation_rate": "40%",
                          "first_year_share": "25%", "first_year_shares": {"2027-04": "10%", "2027-05": "60%"},
                          "relief_after_months": 8},
           "sales_tax": {"rate": "8%"}, "books": {"years": 1, "residual_share": "10%"},
           "lease_accounting": {"framework": "ASC 842", "rate": "7%", "life": 4}},
        "candidates": {
            "beyond": TWO | {"lease": SIGNED | {"rent": 95, "months": 26, "tax_as": "purchase", "rolled_in": 300,
                                                "sells_for": 44, "advance_rents": 2, "service_share": "15%"}},
            "within": TWO | {"from_month": 3, "lease": SIGNED | {"rent": 200, "months": 12, "paid": "in arrears",
                                                                 "tax_as": "purchase", "document_fee": 21}},
            "left": TWO | {"until_month": 11, "lease": SIGNED | {"rent": 300, "months": 24, "every_months": 3,
                                                                 "tax_as": "purchase", "sells_for": 44}},
            "back": TWO | {"from_month": 2, "lease": {"rent": 90, "months": 24, "cash_price": 2500, "document_fee": 5,
                                                      "return_freight": 60, "exit_month": 9, "exit_discount": "20%",
                                                      "exit_service_share": "30%"},
                           "service": {"base": 20, "black": 0.01, "colour": 0.05, "minimum_charge": 90, "months": 17,
                                       "settled": "quarterly", "stub": "pro rata", "equipment_share": "40%",
                                       "rates_from": {month(14): {"base": 30}}}},
            "quoted": TWO | {"lease": {"quoted_rate": "8%", "months": 16, "cash_price": 2000, "rolled_in": 300,
                                       "at_end": "buy", "buy_price": 200, "sells_for": 40, "advance_rents": 2}},
            "free": TWO | {"lease": {"quoted_rate": "0%", "months": 15, "every_months": 3, "cash_price": 2000,
                                     "paid": "in arrears", "return_freight": 60, "late_return_months": 2,
                                     "property_tax": {"rate": "2%", "assessed": ["80%", "50%"]}, "admin_fee": 40}},
            "long": TWO | {"lease": {"rent": 20, "months": 40, "cash_price": 2500, "return_freight": 60}},
            "just": TWO | {"lease": {"rent": 20, "months": 36, "return_freight": 60}},
            "stays": TWO | {"from_month": 3, "lease": {"rent": 20, "months": 9, "return_freight": 60, "exit_month": 0}},
            "near": TWO | {"lease": {"rent": 100, "months": 24, "cash_price": 2300, "return_freight": 60}},
            "far": TWO | {"lease": {"rent": 100, "months": 24, "cash_price": 2800, "return_freight": 60}},
            "owned": TWO | {"from_month": 2, "until_month": 16, "cash": {"price": 900, "sells_for": 80}},
            "lent": TWO | {"loan": {"price": 900, "down_payment": 100, "rate": "6%", "months": 12, "fee": 9}},
        },
    },
    "clicks carried over a rough season, large sides of a meter of their own": BASE
    | {
        "work": {"black": 9000, "oversize_share": {"black": "40%"}},
        "season": [2, 9, 1, 3, 12, 1, 1, 14, 2, 2, 2, 11],
        "candidates": {
            f"months_{months}": {"owned": {}, "service": {
                "increase": 0, "oversize_counts": 2, "months": 12,
                "meters": {"all": {"rate": 0.01, "included": 9000, "carry_forward_months": months}},
            }} for months in (1, 2, 3)
        } | {
            "large": {"owned": {}, "service": {
                "increase": 0, "oversize_counts": 2,
                "meters": {"big": {"size": "large", "rate": 0.03}, "rest": {"rate": 0.01, "size_rate": 0.05}},
            }},
            "short": {"owned": {}, "until_month": 6, "service": {
                "increase": 0, "oversize_counts": 1,
                "meters": {"all": {"rate": 0.01, "included": 4000, "carry_forward_months": 4}},
            }},
        },
    },
    "presses that follow, two of each": BASE
    | {
        "months": 27,
        "work": BASE["work"] | {"oversize_share": {"black": "30%"}},
        "shop": {"electricity": 0.2, "emissions": {"electricity": 0.4, "paper": 1.1, "year": 2025, "scope": "supply"},
                 "paper_weight": {"letter": 80, "ledger": 120}},
        "money": OFFICE | {"books": {"years": 2}, "lease_accounting": {"framework": "IFRS 16", "rate": "7%"}},
        "today": {"count": 2, "owned": {}, "sells_for": 50, "removal": 8},
        "candidates": {
            "lease": TWO | {"replaced": "yes",
                            "lease": {"rent": 90, "months": 8, "return_freight": 60, "insurance_per_month": 3,
                                      "late_return_months": 2, "cash_price": 700, "document_fee": 5,
                                      "subsidy": {"per_month": 4, "until": month(20)}},
                            "front_end": {"price": 19, "support_per_year": 36},
                            "service": {"base": 20, "black": 0.01, "colour": 0.05, "increase": "5%"}},
            "renewed": TWO | {"replaced": "yes", "from_month": 2,
                              "lease": {"rent": 90, "months": 7, "at_end": "renew", "renewal_months": 3,
                                        "return_freight": 60}},
            "bought": TWO | {"replaced": "yes", "until_month": 13, "cash": {"price": 900, "sells_for": 80},
                             "kwh_per_week": 9, "supplies": {"drum": {"price": 90, "per": "click", "yields": 20000}}},
            "lent": TWO | {"replaced": "yes", "from_month": 3, "until_month": 12,
                           "loan": {"price": 900, "down_payment": 100, "rate": "6%", "months": 20, "sells_for": 80}},
            "pool": {"presses": {"a": TWO | {"replaced": "yes", "until_month": 9, "owned": {}},
                                 "b": TWO | {"cash": {"price": 900}}},
                     "service": {"base": 20, "black": 0.01, "colour": 0.05, "increase": "5%", "months": 30}},
        },
    },
}  # fmt: skip
BOOK_CORNERS = {name: {k: part for k, part in data.items() if part is not None} for name, data in BOOK_CORNERS.items()}

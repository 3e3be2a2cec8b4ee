"""Sales tax and income tax of the oracle."""

from __future__ import annotations

import math
from collections.abc import Callable

from tests.oracle import reading as r
from tests.oracle.equipment import Asset, Money
from tests.oracle.flows import HEADINGS, Book

TAXED = {
    "rent": ("lease_rents", "renewal_rents", "rental_rents", "present_rents", "interim_rent", "late_rents"),
    "service": ("service_base", "service_clicks", "service_true_up", "service_instalments", "service_fee",
                "service_toner", "service_rebate", "service_credit", "service_uptime", "support"),
    "supplies": ("supplies", "finishing"),
    "paper": ("paper",),
    "energy": ("energy",),
    "outside": ("outside", "bought_in"),
}  # fmt: skip
# The same, Tables, mid-quarter convention: years down, quarters of the first year across.
MID_QUARTER = {
    3: ((58.33, 41.67, 25.00, 8.33), (27.78, 38.89, 50.00, 61.11), (12.35, 14.14, 16.67, 20.37),
        (1.54, 5.30, 8.33, 10.19)),
    5: ((35.00, 25.00, 15.00, 5.00), (26.00, 30.00, 34.00, 38.00), (15.60, 18.00, 20.40, 22.80),
        (11.01, 11.37, 12.24, 13.68), (11.01, 11.37, 11.30, 10.94), (1.38, 4.26, 7.06, 9.58)),
    7: ((25.00, 17.85, 10.71, 3.57), (21.43, 23.47, 25.51, 27.55), (15.31, 16.76, 18.22, 19.68),
        (10.93, 11.97, 13.02, 14.06), (8.75, 8.87, 9.30, 10.04), (8.74, 8.87, 8.85, 8.73), (8.75, 8.87, 8.86, 8.73),
        (1.09, 3.34, 5.53, 7.64)),
}  # fmt: skip
NOT_DEDUCTED = ("purchase", "down_payment", "loan_principal", "loan_balance", "sale", "present_sale", "income_tax")
# IRS Publication 946, Table A-1, half-year convention, percent of the unadjusted basis
TABLES = {
    "macrs 3-year": (33.33, 44.45, 14.81, 7.41),
    "macrs 5-year": (20.00, 32.00, 19.20, 11.52, 11.52, 5.76),
    "macrs 7-year": (14.29, 24.49, 17.49, 12.49, 8.93, 8.92, 8.93, 4.46),
}


def sales_tax(book: Book, money: Money, terms: r.Tree | str | None) -> None:
    """Enter sales tax with the flows that bear it."""
    if not isinstance(terms, dict):
        return
    rate = r.number(terms.get("rate")) * (1 - r.number(terms.get("recoverable")))
    on = terms.get("on", ["equipment", *TAXED])
    if "equipment" in on:
        for (month, timing), amount in money.taxed_equipment.items():
            book.add("sales_tax", month, timing, rate * amount)
    if "rent" in on:
        for (month, timing), amount in money.taxed_rents.items():
            book.add("sales_tax", month, timing, rate * amount)
    for name, headings in TAXED.items():
        if name in on:
            for heading in headings:
                for (month, timing), amount in book.flows[heading].items():
                    book.add("sales_tax", month, timing, rate * amount)


def income_tax(book: Book, money: Money, terms: r.Tree | str | None) -> dict[str, list[float]]:
    """Enter the relief and give deductions and depreciation by month."""
    clock = book.clock
    deductions = [0.0] * (clock.months + 1)
    written_off = [0.0] * (clock.months + 1)
    if not isinstance(terms, dict):
        return {"deductions": deductions[1:], "depreciation": written_off[1:]}
    for heading in HEADINGS:
        if heading not in NOT_DEDUCTED:
            for (month, _), amount in book.flows[heading].items():
                deductions[month] += amount
    for month, amount in money.capitalised.items():
        deductions[month] -= amount
    for month, amount in money.deducted.items():
        deductions[month] += amount
    for asset in money.assets:
        yearly = depreciation(book, asset, terms)
        for m in range(1, clock.months + 1):
            written_off[m] += yearly[m]
            deductions[m] += yearly[m]
        gain = asset.proceeds - (asset.amount - sum(yearly[: asset.leaves + 1]))
        deductions[asset.leaves] -= gain
    rate, delay = r.number(terms.get("rate")), round(r.number(terms.get("relief_after_months")))
    so_far = 0.0
    for m in range(1, clock.months + 1):
        so_far += deductions[m]
        if clock.closes_fiscal_year(m):
            book.add("income_tax", m + delay, "close", -rate * so_far)
            so_far = 0.0
    return {"deductions": deductions[1:], "depreciation": written_off[1:]}


def depreciation(book: Book, asset: Asset, terms: r.Tree) -> list[float]:
    """Give the depreciation of one asset, month m at position m."""
    clock = book.clock
    out = [0.0] * (clock.months + 1)
    method = str(terms.get("depreciation", "none"))
    at_once = share_at_once(clock.operating_month, asset.first, terms)
    rest = asset.amount * (1 - at_once)
    closes = [m for m in range(asset.first, asset.leaves + 1) if closes_before_leaving(book, asset, m)]
    if closes:
        out[closes[0]] += asset.amount * at_once
    if method == "straight line":
        life = r.number(terms["years"]) * 12
        for m in range(asset.first, asset.leaves + 1):
            if m - asset.first < life:
                out[m] += rest / life
    elif method == "declining balance":
        for m in closes:
            out[m] += rest * r.number(terms["depreciation_rate"])
            rest -= rest * r.number(terms["depreciation_rate"])
    elif method.startswith("macrs"):
        shares = table(method)
        for m in {*closes, asset.leaves}:
            recovery = clock.fiscal_year(m) - clock.fiscal_year(asset.first) + 1
            if recovery <= len(shares):
                kept = 1.0 if m in closes else r.number(terms.get("disposal_share"), 0.5)
                out[m] += rest * shares[recovery - 1] / 100 * kept
    return out


def share_at_once(operating_month: Callable[[str], int], month: int, terms: r.Tree) -> float:
    """Give the share of a purchase that is written off at once, by the month of the purchase."""
    share = r.number(terms.get("first_year_share"))
    latest = -math.inf
    for when, told in (terms.get("first_year_shares") or {}).items():
        if latest < operating_month(when) <= month:
            latest, share = operating_month(when), r.number(told)
    return share


def closes_before_leaving(book: Book, asset: Asset, month: int) -> bool:
    """Say whether a fiscal year ends with this month that is not the one in which the asset leaves."""
    clock = book.clock
    return clock.closes_fiscal_year(month) and clock.fiscal_year(month) < clock.fiscal_year(asset.leaves)


def table(method: str) -> tuple[float, ...]:
    """Give the yearly percentages of a table by its name."""
    if method in TABLES:
        return TABLES[method]
    _, life, _, quarter = method.split()
    return tuple(year[int(quarter) - 1] for year in MID_QUARTER[int(life[0])])

"""Sales tax and income tax of the oracle."""

from __future__ import annotations

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
    if method == "straight line":
        life = r.number(terms["years"]) * 12
        for m in range(asset.first, asset.leaves + 1):
            if m - asset.first < life:
                out[m] = asset.amount / life
    elif method in TABLES:
        shares = TABLES[method]
        first_year, last_year = clock.fiscal_year(asset.first), clock.fiscal_year(asset.leaves)
        for m in range(asset.first, asset.leaves + 1):
            recovery = clock.fiscal_year(m) - first_year + 1
            whole_year = clock.closes_fiscal_year(m) and clock.fiscal_year(m) < last_year
            if recovery > len(shares) or not (whole_year or m == asset.leaves):
                continue
            kept = 1.0 if whole_year else r.number(terms.get("disposal_share"), 0.5)
            out[m] = asset.amount * shares[recovery - 1] / 100 * kept
    return out

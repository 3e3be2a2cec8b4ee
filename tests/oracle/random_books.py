"""Random valid scenarios of fleets, recovery, tax, books, lease accounting, emissions and supplies (sections 11 to 13).

A reference and three candidates: a single press, several, and one that may win further work.
"""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

from tests.oracle.random_contracts import in_time, money, percent, perhaps, worth

Tree = dict[str, Any]
TABLES = ("3-year", "5-year", "7-year")
DEPRECIATION = ("straight line", "declining balance", *(f"macrs {years} mid-quarter {quarter}" for years in TABLES
                                                        for quarter in (1, 2, 3, 4)))  # fmt: skip
PARTS = {
    *(f"depreciation: {name}" for name in DEPRECIATION), "depreciation_rate", "first_year_share", "tax_as: purchase",
    "books", "residual_share", "framework: IFRS 16", "framework: ASC 842", "life", "service_share", "equipment_share",
    "takes", "busiest_week", "due_hours", "replaced: yes", "replaced: with until_month", "replaced: a lease",
    "replaced: beside others", "charge_per_set", "charge_per_side", "charges_rise: no", "new_work", "emissions",
    "paper_weight", "per: m2", "ml_per_m2", "per: click", "exit_service_share", "at_end: buy", "at_end: return",
    "at_end: renew", "paid: in arrears", "steps", "skip_months", "deferred_months", "every_months", "cash", "loan",
    "plan for several", "inflation",
}  # fmt: skip


def scenario(seed: int) -> Tree:
    """Draw a scenario: plain data as a YAML reader would give it, the same for the same seed."""
    rng = Random(seed)  # noqa: S311  draws of a test, no secrets
    year = rng.randint(2026, 2028)
    out: Tree = {
        "title": f"Books {seed}",
        "start": f"{year}-{rng.randint(1, 12):02d}",
        "months": rng.randint(13, 40),
        "money": accounts(rng, DEPRECIATION[seed // 2 % len(DEPRECIATION)] if seed % 2 else None),
        "coverage": percent(rng, 3, 15),
        "shop": shop(rng),
    }
    with_jobs = rng.random() < 0.65
    if with_jobs:
        out["jobs"] = {f"class_{i}": job_class(rng) for i in range(1, rng.randint(2, 3) + 1)}
    else:
        out["work"] = {"colour": rng.randint(2000, 30000), "black": rng.randint(5000, 60000)}
        perhaps(rng, out["work"], "oversize_share", {"colour": percent(rng, 0, 100), "black": "30%"})
        perhaps(rng, out["work"], "charge_per_side", {"colour": 0.2, "black": money(rng, 0.02, 0.09)}, 0.7)
    perhaps(rng, out, "season", [rng.randint(1, 20) for _ in range(12)])
    perhaps(rng, out, "waste", percent(rng, 0, 6), 0.4)
    perhaps(rng, out, "busiest_week", percent(rng, 20, 60), 0.6)
    if rng.random() < 0.5:
        out["outside"] = {"colour": {"value": 0.11, "low": 0.1, "high": 0.12}, "black": 0.03}
        perhaps(rng, out["outside"], "paper", "included")
    perhaps(rng, out, "today", {"owned": {}, "sells_for": 900, "sides_per_minute": 60}, 0.6)
    perhaps(rng, out, "volume_scale", {"value": 1.1, "low": 0.7, "high": 1.3})
    perhaps(rng, out, "change_per_year", {"value": "2%", "low": "-6%", "high": "3%"})
    classes = list(out.get("jobs") or ("colour", "black"))
    some = {"alder": single(rng, out, classes), "birch": several(rng, out, classes), "cedar": single(rng, out, classes)}
    out["candidates"] = some
    if with_jobs and rng.random() < 0.4:
        won = job_class(rng) | {"charge_per_set": money(rng, 0.5, 3), "only_with": ["cedar"]}
        out["new_work"] = {"won": won}
    return out


def accounts(rng: Random, method: str | None) -> Tree:
    """Draw rates, taxes, books and lease accounting; with a method of depreciation there is income tax."""
    out: Tree = {"discount_rate": percent(rng, 0, 12), "fiscal_year_starts": rng.choice(("January", "April", "July"))}
    perhaps(rng, out, "inflation", percent(rng, 1, 6), 0.6)
    perhaps(rng, out, "discount_basis", "nominal", 0.3)
    perhaps(rng, out, "charges_rise", rng.choice(("yes", "no")))
    perhaps(rng, out, "sales_tax", {"rate": percent(rng, 3, 20)}, 0.4)
    if method or rng.random() < 0.7:
        method = method or rng.choice(DEPRECIATION[:2])
        out["income_tax"] = {"rate": percent(rng, 10, 35), "depreciation": method}
        if method == "straight line":
            out["income_tax"]["years"] = rng.choice((1, 1.5, 3))
        if method == "declining balance":
            out["income_tax"]["depreciation_rate"] = percent(rng, 10, 40)
        perhaps(rng, out["income_tax"], "first_year_share", percent(rng, 20, 100), 0.6)
        perhaps(rng, out["income_tax"], "relief_after_months", rng.randint(1, 15))
    if rng.random() < 0.8:
        out["books"] = {"years": rng.choice((1, 1.5, 3, 5))}
        perhaps(rng, out["books"], "residual_share", percent(rng, 5, 30))
    if rng.random() < 0.8:
        framework = rng.choice(("IFRS 16", "ASC 842"))
        out["lease_accounting"] = {"framework": framework, "rate": percent(rng, 2, 11)}
        # Without a life of its own, a lease that is bought in the end needs that of the books.
        perhaps(rng, out["lease_accounting"], "life", rng.choice((1, 2.5, 4)), 0.6 if "books" in out else 1.0)
    return out


def shop(rng: Random) -> Tree:
    """Draw the shop's own prices, hours and factors of emission."""
    out: Tree = {"hours_per_week": rng.choice((30, 40)), "paper": {"letter": 0.01, "ledger": 0.023}}
    perhaps(rng, out, "weeks_per_year", 50)
    perhaps(rng, out, "electricity", {"value": 0.2, "low": 0.15, "high": 0.4}, 0.6)
    perhaps(rng, out, "space_per_m2", 6)
    perhaps(rng, out, "overtime_hours_per_week", 4)
    perhaps(rng, out, "labour", {"wage": 20, "on_cost": "30%"}, 0.4)
    if rng.random() < 0.7:
        out["emissions"] = {"electricity": money(rng, 0.1, 0.5), "paper": money(rng, 0.8, 1.5), "year": 2025,
                            "scope": "generation"}  # fmt: skip
        out["paper_weight"] = {"letter": rng.randint(70, 120), "ledger": rng.randint(90, 200)}
    return out


def job_class(rng: Random) -> Tree:
    """Draw a class of jobs."""
    out: Tree = {
        "colour": rng.choice(("colour", "black")),
        "sides_per_set": rng.randint(1, 9),
        "sets_per_job": rng.choice((1, 20, 150, 400)),
        "jobs": {"per_month": rng.randint(3, 40)},
        "size": rng.choice(("letter", "ledger")),
        "two_sided": rng.choice(("yes", "no")),
    }
    perhaps(rng, out, "coverage", percent(rng, 2, 40))
    perhaps(rng, out, "due_hours", rng.choice((0.05, 2, 9)))
    perhaps(rng, out, "charge_per_set", money(rng, 0.1, 2), 0.7)
    perhaps(rng, out, "make_ready_sheets", rng.randint(1, 9))
    return out


def single(rng: Random, data: Tree, classes: list[str]) -> Tree:
    """Draw a candidate of one press."""
    out = press(rng, data, classes)
    perhaps(rng, out, "service", plan(rng), 0.8)
    without_plan(out)
    return out


def without_plan(press_: Tree) -> None:
    """Take off what needs a plan of the press alone, where it has none."""
    if "service" not in press_ and "lease" in press_:
        press_["lease"].pop("exit_service_share", None)


def several(rng: Random, data: Tree, classes: list[str]) -> Tree:
    """Draw a candidate of two presses, with a plan each or one for both."""
    presses = {key: press(rng, data, classes) for key in ("one", "two")}
    out: Tree = {"presses": presses}
    perhaps(rng, out, "service", plan(rng))
    for one in presses.values():
        perhaps(rng, one, "service", plan(rng), 0.0 if "service" in out else 0.7)
        without_plan(one)
    return out


def press(rng: Random, data: Tree, classes: list[str]) -> Tree:
    """Draw one press."""
    months = data["months"]
    first = rng.choice((1, 1, rng.randint(2, 8)))
    out: Tree = {"from_month": first}
    perhaps(rng, out, "count", 2, 0.3)
    perhaps(rng, out, "takes", rng.sample(classes, rng.randint(1, len(classes))), 0.3)
    if rng.random() < 0.8:
        out["sides_per_minute"] = rng.choice((5, 20, 90))
        perhaps(rng, out, "make_ready_minutes", rng.randint(1, 9))
        perhaps(rng, out, "service_stop_hours", rng.randint(2, 30))
        perhaps(rng, out, "warm_up_minutes", rng.randint(2, 30))
        perhaps(rng, out, "cleaning_minutes", rng.randint(2, 30))
    perhaps(rng, out, "kwh_per_week", rng.randint(10, 90))
    perhaps(rng, out, "space_m2", 12, 0.4)
    for key in ("delivery_and_installation", "training", "site_works", "removal"):
        perhaps(rng, out, key, money(rng, 100, 2500), 0.4)
    perhaps(rng, out, "front_end", {"price": 700, "support_per_year": 150}, 0.3)
    perhaps(rng, out, "supplies", {"ink": ink(rng), "drum": {"price": 90, "per": "click", "yields": 20000}}, 0.5)
    out |= paid(rng, data, months - first + 1)
    if rng.random() < 0.35:
        out["replaced"] = "yes"
        if "exit_month" not in out.get("lease", {}) and ("lease" not in out or rng.random() < 0.2):
            out["until_month"] = rng.randint(first + 4, months)
    elif "exit_month" not in out.get("lease", {}):
        perhaps(rng, out, "until_month", rng.randint(first, months + 3), 0.25)
    return out


def ink(rng: Random) -> Tree:
    """Draw ink by the area printed."""
    out: Tree = {"price": money(rng, 20, 90), "per": "m2", "ml_per_m2": money(rng, 2, 9)}
    perhaps(rng, out, "at_coverage", percent(rng, 3, 10))
    return out


def paid(rng: Random, data: Tree, left: int) -> Tree:
    """Draw how a press is paid for; `left` is the number of months to the horizon."""
    form = rng.choice(("cash", "loan", "lease", "lease", "lease"))
    if form == "lease":
        return {"lease": lease(rng, data, left)}
    terms: Tree = {"price": money(rng, 8000, 40000)}
    perhaps(rng, terms, "sells_for", {"value": 1200, "low": 300, "high": 1900}, 0.7)
    if form == "loan":
        terms |= {"rate": percent(rng, 1, 12), "months": rng.randint(6, left + 12)}
        perhaps(rng, terms, "down_payment", 2000)
        perhaps(rng, terms, "fee", 150)
    return {form: terms}


def lease(rng: Random, data: Tree, left: int) -> Tree:
    """Draw a lease that is returned, renewed or bought."""
    every = rng.choice((1, 1, 1, 3))
    months = every * rng.randint(max(2, 9 // every), max(2, 9 // every, (left + 8) // every))
    out: Tree = {"rent": money(rng, 200, 900) * every, "months": months, "return_freight": money(rng, 100, 500)}
    perhaps(rng, out, "every_months", every, 1.0 if every > 1 else 0.0)
    perhaps(rng, out, "paid", "in arrears", 0.4)
    if "paid" not in out:
        perhaps(rng, out, "advance_rents", rng.randint(1, 2), 0.4)
    out["at_end"] = rng.choice(("return", "return", "buy", "buy", "renew"))
    if rng.random() < 0.25:
        starts = sorted(rng.sample(range(2, months + 1), min(2, months - 1)))
        out["steps"] = {str(start): round(out["rent"] * rng.uniform(0.9, 1.2), 2) for start in starts}
    perhaps(rng, out, "skip_months", ["Jul", "Aug"], 0.2)
    perhaps(rng, out, "deferred_months", rng.randint(1, 3), 0.2)
    perhaps(rng, out, "document_fee", money(rng, 50, 400))
    perhaps(rng, out, "service_share", percent(rng, 5, 40))
    if out["at_end"] == "buy":
        out.pop("return_freight")
        out["buy_price"] = money(rng, 1, 900)
        out["cash_price"] = worth(rng, out, out["buy_price"])
        perhaps(rng, out, "sells_for", money(rng, 100, 3000))
        if "income_tax" in data["money"]:
            perhaps(rng, out, "tax_as", rng.choice(("purchase", "purchase", "rent")), 0.8)
        return out
    perhaps(rng, out, "cash_price", worth(rng, out, 0), 0.6)
    if out["at_end"] == "renew":
        perhaps(rng, out, "renewal_months", rng.randint(1, 9), 0.7)
    elif rng.random() < 0.4:
        out["exit_month"] = rng.randint(4, months - 1)
        perhaps(rng, out, "exit_service_share", percent(rng, 10, 100), 0.8)
        perhaps(rng, out, "exit_discount", percent(rng, 1, 60))
    return out


def plan(rng: Random) -> Tree:
    """Draw a service plan."""
    out: Tree = {"colour": 0.05, "black": 0.01, "oversize_counts": rng.choice((1, 2)), "increase": percent(rng, 0, 6)}
    perhaps(rng, out, "base", in_time(rng, money(rng, 50, 300)), 0.6)
    perhaps(rng, out, "settled", rng.choice(("quarterly", "yearly")))
    perhaps(rng, out, "stub", "pro rata", 0.4)
    perhaps(rng, out, "copy_credit", percent(rng, 1, 9), 0.3)
    perhaps(rng, out, "blank_backs", "free", 0.3)
    perhaps(rng, out, "minimum", {"black": 9000}, 0.3)
    if rng.random() < 0.6:
        out["minimum_charge"] = in_time(rng, money(rng, 100, 900))
        out["months"] = rng.randint(6, 44)
        perhaps(rng, out, "equipment_share", percent(rng, 10, 60), 0.7)
        perhaps(rng, out, "instalments", "yes", 0.3)
    return out


def parts_of(data: Tree) -> set[str]:
    """Name the parts of the three sections that a scenario uses."""
    out = set(_words(data))
    for one in data["candidates"].values():
        if "presses" in one and "service" in one:
            out.add("plan for several")
        presses = list((one.get("presses") or {"": one}).values())
        for press_ in (press_ for press_ in presses if press_.get("replaced")):
            out.add("replaced: a lease" if "lease" in press_ else "replaced: bought")
            out.update({"replaced: with until_month"} if "until_month" in press_ else ())
            out.update({"replaced: beside others"} if len(presses) > 1 else ())
    return out


def _words(tree: Any) -> Iterator[str]:
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield key
            if isinstance(value, str):
                yield f"{key}: {value}"
            yield from _words(value)

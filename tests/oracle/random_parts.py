"""Random valid scenarios of service plans in parts and leases in parts (sections 9 and 10), two candidates each."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

from tests.oracle.random_contracts import in_time, money, percent, perhaps

Tree = dict[str, Any]
MONTH_NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LEASE_PARTS = (
    "steps", "skip_months", "skip_rent", "deferred_months", "interim_rent", "insurance_per_month", "property_tax",
    "admin_fee", "factor", "quoted_rate", "rolled_in", "late_return_months", "renews_unless_noticed: yes",
    "renews_unless_noticed: no", "exit_month", "exit_discount", "exit_at_most", "subsidy",
    "sales_tax: up front", "sales_tax: on rents",
    "at_end: buy", "at_end: renew", "at_end: return", "paid: in arrears", "advance_rents", "every_months",
)  # fmt: skip
PLAN_PARTS = (
    "colour", "size", "classes", "coverage_from", "coverage_to", "rate", "bands", "bands_read", "included", "minimum",
    "separations", "size_rate", "run_length", "carry_forward_months", "under_use_credit", "copy_credit",
    "included_in: large", "coverage_cap: letter", "coverage_cap: sheet", "rates_from", "increases", "increase_cap",
    "instalments", "minimum_charge", "fee_per_month", "rebate", "financed_clicks", "financed beside included",
    "paper_included", "uptime",
    "ends_with_service", "pooled", "everyday beside meters", "settled: quarterly", "settled: yearly",
)  # fmt: skip


def scenario(seed: int) -> Tree:
    """Draw a scenario: plain data as a YAML reader would give it, the same for the same seed."""
    rng = Random(seed)  # noqa: S311  draws of a test, no secrets
    year = rng.randint(2026, 2028)
    out: Tree = {
        "title": f"Parts {seed}",
        "start": f"{year}-{rng.randint(1, 12):02d}",
        "months": rng.randint(12, 24),
        "money": {"discount_rate": percent(rng, 0, 12), "fiscal_year_starts": rng.choice(("January", "July"))},
        "coverage": percent(rng, 3, 15),
        "shop": {"hours_per_week": 40, "paper": {"letter": 0.01, "ledger": 0.023}},
    }
    perhaps(rng, out["money"], "inflation", percent(rng, 0, 5))
    if rng.random() < 0.6:
        out["money"]["sales_tax"] = {"rate": percent(rng, 3, 20)}
        perhaps(rng, out["money"]["sales_tax"], "on", rng.sample(["equipment", "rent", "service"], 2), 0.4)
    if rng.random() < 0.5:
        out["money"]["income_tax"] = {"rate": percent(rng, 10, 35), "depreciation": "straight line", "years": 3}
    if rng.random() < 0.65:
        out["jobs"] = {f"class_{i}": job_class(rng) for i in range(1, rng.randint(2, 3) + 1)}
    else:
        out["work"] = {"colour": rng.randint(2000, 30000), "black": rng.randint(5000, 60000)}
        perhaps(rng, out["work"], "oversize_share", {"colour": percent(rng, 0, 100), "black": "30%"}, 0.8)
    perhaps(rng, out, "season", [rng.randint(1, 20) for _ in range(12)], 0.7)
    perhaps(rng, out, "waste", percent(rng, 0, 6), 0.4)
    if rng.random() < 0.4:
        out["outside"] = {"colour": 0.11, "black": 0.03}
    out["candidates"] = {key: candidate(rng, out) for key in ("alder", "birch")}
    out["candidates"]["birch"]["may_stop_without_funds"] = "yes"
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
    perhaps(rng, out, "coverage", percent(rng, 2, 40), 0.7)
    return out


def month_after(rng: Random, data: Tree) -> str:
    """Draw a calendar month after the start, perhaps beyond the horizon."""
    month = int(data["start"][:4]) * 12 + int(data["start"][5:]) - 1 + rng.randint(1, data["months"] + 3)
    return f"{month // 12}-{month % 12 + 1:02d}"


def candidate(rng: Random, data: Tree) -> Tree:
    """Draw a candidate of one press, or of two with a plan for both."""
    if rng.random() < 0.6:
        return press(rng, data) | {"service": plan(rng, data)}
    return {"presses": {"one": press(rng, data), "two": press(rng, data)}, "service": plan(rng, data)}


def press(rng: Random, data: Tree) -> Tree:
    """Draw a press on a lease."""
    first = rng.choice((1, 1, rng.randint(2, 6)))
    out: Tree = {"from_month": first, "lease": lease(rng, data, data["months"] - first + 1)}
    perhaps(rng, out, "count", 2, 0.3)
    perhaps(rng, out, "service_stop_hours", rng.randint(2, 30), 0.6)
    perhaps(rng, out, "sides_per_minute", rng.choice((5, 20, 90)), 0.4)
    if "exit_month" not in out["lease"]:
        perhaps(rng, out, "until_month", rng.randint(first, data["months"] + 3), 0.12)
    return out


def lease(rng: Random, data: Tree, left: int) -> Tree:
    """Draw a lease in parts; `left` is the number of months to the horizon."""
    every = rng.choice((1, 1, 1, 3))
    months = every * rng.randint(max(1, 9 // every), (left + 8) // every)
    out: Tree = {"months": months, "return_freight": money(rng, 100, 900), "cash_price": money(rng, 9000, 40000)}
    perhaps(rng, out, "every_months", every, 1.0 if every > 1 else 0.0)
    perhaps(rng, out, "paid", "in arrears", 0.4)
    if "paid" not in out:
        perhaps(rng, out, "advance_rents", rng.randint(1, 3), 0.4)
    end = rng.choice(("return", "return", "return", "buy", "renew"))
    out["at_end"] = end
    perhaps(rng, out, "rolled_in", money(rng, 500, 6000), 0.3)
    way = rng.choice(("rent", "rent", "rent", "factor", "quoted_rate"))
    repaid = (out["cash_price"] + out.get("rolled_in", 0)) / months * every
    out[way] = {"rent": round(repaid * 1.1, 2), "factor": round(every * 1.15 / months, 5)}.get(way, percent(rng, 1, 14))
    if way == "rent":
        starts = sorted(rng.sample(range(2, months + 1), min(2, months - 1)))
        steps = {str(start): round(repaid * rng.uniform(0.9, 1.5), 2) for start in starts}
        perhaps(rng, out, "steps", steps, 0.5)
    rents(rng, out, months)
    beside(rng, out, data)
    if end == "return":
        returned(rng, out, months)
    elif end == "buy":
        out["buy_price"] = money(rng, 100, 3000)
        perhaps(rng, out, "sells_for", money(rng, 100, 3000))
    else:
        perhaps(rng, out, "renewal_rent", money(rng, 100, 900))
        perhaps(rng, out, "renewal_months", rng.randint(1, 9), 0.6)
    return out


def rents(rng: Random, out: Tree, months: int) -> None:
    """Draw what changes the rents of the term."""
    if rng.random() < 0.3:
        out["skip_months"] = rng.sample(MONTH_NAMES, rng.randint(1, 3))
        perhaps(rng, out, "skip_rent", money(rng, 10, 200))
    perhaps(rng, out, "deferred_months", rng.randint(1, min(6, months - 1)), 0.25)
    perhaps(rng, out, "interim_rent", {"days": rng.randint(1, 40)}, 0.35)
    perhaps(rng, out, "document_fee", money(rng, 50, 400), 0.3)


def beside(rng: Random, out: Tree, data: Tree) -> None:
    """Draw what is paid beside the rents."""
    perhaps(rng, out, "insurance_per_month", money(rng, 5, 60), 0.35)
    if rng.random() < 0.4:
        shares = [percent(rng, 20, 90) for _ in range(rng.randint(1, 3))]
        out["property_tax"] = {"rate": percent(rng, 1, 3), "assessed": shares}
        perhaps(rng, out, "admin_fee", money(rng, 20, 90), 0.6)
    perhaps(rng, out, "subsidy", {"per_month": money(rng, 20, 300), "until": month_after(rng, data)}, 0.3)
    if "sales_tax" in data["money"]:
        perhaps(rng, out, "sales_tax", rng.choice(("up front", "up front", "on rents")), 0.6)


def returned(rng: Random, out: Tree, months: int) -> None:
    """Draw how a lease ends that is given back."""
    perhaps(rng, out, "late_return_months", rng.randint(1, 4), 0.35)
    noticed = rng.choice(("yes", "no", "no"))
    renewal = {"months": rng.randint(1, 9), "notice_days": [180, 90], "noticed": noticed}
    perhaps(rng, out, "renews_unless_noticed", renewal, 0.4)
    if out.get("renews_unless_noticed", {}).get("noticed") != "no" and rng.random() < 0.5:
        out["exit_month"] = rng.randint(0, months - 1)
        part = percent(rng, 1, 60)
        if rng.random() < 0.5:
            out["exit_discount"] = part
        else:
            out["exit_at_most"] = [part, "35%", "12.5%"][: 1 + months % 3]


def plan(rng: Random, data: Tree) -> Tree:
    """Draw a service plan in parts."""
    out: Tree = {"settled": rng.choice(("monthly", "monthly", "monthly", "quarterly", "yearly"))}
    financed = out["settled"] == "monthly" and rng.random() < 0.2
    perhaps(rng, out, "base", in_time(rng, money(rng, 50, 600)), 0.6)
    perhaps(rng, out, "stub", "pro rata", 0.4)
    out["oversize_counts"] = rng.choice((1, 1.5, 2))
    perhaps(rng, out, "included_in", rng.choice(("small", "large")), 0.4)
    perhaps(rng, out, "blank_backs", "free", 0.4)
    perhaps(rng, out, "copy_credit", percent(rng, 1, 9), 0.3)
    written = meters(rng, data, out, financed)
    if rng.random() < 0.5:
        everyday(rng, out, financed)
    else:
        written |= {"all": meter(rng, data, out, financed)}
    if written:
        out["meters"] = written
    if not financed and rng.random() < 0.4:
        out["minimum_charge"] = in_time(rng, money(rng, 100, 2500))
        perhaps(rng, out, "instalments", "yes", 0.6)
    extras(rng, out)
    if financed:
        out["financed_clicks"] = rng.randint(1000, 200000)
    prices(rng, data, out)
    perhaps(rng, out, "months", rng.randint(6, data["months"] + 9), 0.4)
    return out


def meters(rng: Random, data: Tree, plan: Tree, financed: bool) -> Tree:
    """Draw up to two meters that count some of the work."""
    out: Tree = {}
    for key in ("narrow", "wide")[: rng.randint(0, 2)]:
        one = meter(rng, data, plan, financed)
        perhaps(rng, one, "colour", rng.choice(("colour", "black")), 0.6)
        if "size_rate" not in one:
            perhaps(rng, one, "size", rng.choice(("small", "large")), 0.5)
        perhaps(rng, one, "classes", rng.sample(list(data.get("jobs") or ("colour", "black")), 2), 0.3)
        perhaps(rng, one, "coverage_from", percent(rng, 0, 10), 0.25)
        perhaps(rng, one, "coverage_to", percent(rng, 11, 30), 0.25)
        out[key] = one
    return out


def meter(rng: Random, data: Tree, plan: Tree, financed: bool) -> Tree:
    """Draw the prices of one meter."""
    level = round(rng.uniform(0.005, 0.07), 5)
    if not financed and rng.random() < 0.25:
        out: Tree = {"bands": [{"from": 0, "rate": level}, {"from": 9000, "rate": round(level * 0.8, 5)}]}
        perhaps(rng, out, "bands_read", rng.choice(("all units", "graduated")))
    else:
        out = {"rate": level}
    perhaps(rng, out, "separations", rng.choice((2, 4, 1.5)), 0.25)
    if "rate" in out and "jobs" in data:
        perhaps(rng, out, "run_length", {"above": rng.choice((10, 100)), "rate": round(level * 0.6, 5)}, 0.4)
    if "rate" in out and rng.random() < 0.25:
        out["size_rate"] = round(level * 1.7, 5)
        return out
    if not financed and rng.random() < 0.3:
        out["minimum"] = in_time(rng, rng.randint(1000, 30000))
        perhaps(rng, out, "under_use_credit", round(level * 0.3, 5), 0.6)
    if rng.random() < 0.6:
        out["included"] = in_time(rng, rng.randint(500, 20000))
        if "minimum" not in out and plan["settled"] == "monthly":
            perhaps(rng, out, "carry_forward_months", rng.randint(1, 4), 0.7)
    return out


def everyday(rng: Random, out: Tree, financed: bool) -> None:
    """Draw rates of colour and black."""
    for colour, level in (("colour", 0.05), ("black", 0.008)):
        out[colour] = level
        if not financed and rng.random() < 0.25:
            out[colour] = [{"from": 0, "rate": level}, {"from": 8000, "rate": level / 2}]
        for key in ("included", "minimum"):
            if not (financed and key == "minimum") and rng.random() < 0.25:
                out.setdefault(key, {})[colour] = rng.randint(1000, 20000)


def extras(rng: Random, out: Tree) -> None:
    """Draw what a plan has beside clicks."""
    cap = {"cap": percent(rng, 3, 8), "price": 0.006, "per": rng.choice(("letter", "sheet"))}
    perhaps(rng, out, "coverage_cap", cap, 0.35)
    perhaps(rng, out, "fee_per_month", money(rng, 5, 40), 0.3)
    perhaps(rng, out, "rebate", {"above": in_time(rng, rng.randint(2000, 40000)), "rate": 0.002}, 0.3)
    perhaps(rng, out, "paper_included", "yes", 0.25)
    perhaps(rng, out, "ends_with_service", "40%", 0.2)
    promised: Tree = {"share": percent(rng, 92, 99), "credit_per_hour": money(rng, 10, 60)}
    perhaps(rng, promised, "at_most", money(rng, 20, 400), 0.6)
    perhaps(rng, out, "uptime", promised, 0.4)


def prices(rng: Random, data: Tree, out: Tree) -> None:
    """Draw how prices change."""
    single = [key for key in ("base", "colour", "black") if key in out and not isinstance(out[key], list)]
    single += [key for key, one in (out.get("meters") or {}).items() if "rate" in one]
    if single and rng.random() < 0.4:
        dated = {}
        for when in sorted({month_after(rng, data) for _ in range(2)}):
            chosen = rng.sample(single, rng.randint(1, len(single)))
            dated[when] = {key: 333 if key == "base" else round(rng.uniform(0.005, 0.07), 5) for key in chosen}
        out["rates_from"] = dated
    if rng.random() < 0.4:
        out["increases"] = {month_after(rng, data): percent(rng, 1, 9) for _ in range(2)}
    else:
        out["increase"] = percent(rng, 0, 9)
        perhaps(rng, out, "increase_from", rng.randint(2, 14))
    perhaps(rng, out, "increase_cap", percent(rng, 1, 6), 0.4)
    on = [key for key in ("base", "rates", "minimum_charge") if rng.random() < 0.6] or ["rates"]
    perhaps(rng, out, "increase_on", on)


def parts_of(data: Tree) -> set[str]:
    """Name the parts of the two sections that a scenario uses."""
    out: set[str] = set()
    for one in data["candidates"].values():
        for press in (one.get("presses") or {"": one}).values():
            out.update(f"lease: {name}" for name in lease_words(press["lease"]))
        out.update(f"plan: {name}" for name in plan_words(one["service"]))
        if "presses" in one:
            out.add("plan: pooled")
    return out


def all_parts() -> set[str]:
    """Name every part that must occur."""
    return {*(f"lease: {name}" for name in LEASE_PARTS), *(f"plan: {name}" for name in PLAN_PARTS)}


def lease_words(lease: Tree) -> Iterator[str]:
    """Name the parts of one lease."""
    for key, value in lease.items():
        yield key
        if isinstance(value, str):
            yield f"{key}: {value}"
    if "renews_unless_noticed" in lease:
        yield f"renews_unless_noticed: {lease['renews_unless_noticed']['noticed']}"


def plan_words(plan: Tree) -> Iterator[str]:
    """Name the parts of one plan and of its meters."""
    for key, value in plan.items():
        if key not in ("colour", "black", "bands", "included", "minimum"):
            yield key
        if isinstance(value, str):
            yield f"{key}: {value}"
    if "coverage_cap" in plan:
        yield f"coverage_cap: {plan['coverage_cap']['per']}"
    if "meters" in plan and ("colour" in plan or "black" in plan):
        yield "everyday beside meters"
    frees = [plan, *(plan.get("meters") or {}).values()]
    if "financed_clicks" in plan and any("included" in one for one in frees):
        yield "financed beside included"
    for meter in (plan.get("meters") or {}).values():
        yield from meter

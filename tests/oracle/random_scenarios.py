"""Random valid scenarios that cover the whole grammar of DEFINITIONS.md, small enough for many of them."""

from __future__ import annotations

from random import Random
from typing import Any

from tests.oracle.random_contracts import in_time, money, percent, perhaps, service, way_of_paying

Tree = dict[str, Any]
MONTH_NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LONG_NAMES = ("January", "March", "April", "July", "October", "December")
FINISHES = ("staple", "booklet", "tape")


def scenario(seed: int) -> Tree:
    """Draw a scenario: plain data as a YAML reader would give it, the same for the same seed."""
    rng = Random(seed)  # noqa: S311  draws of a test, no secrets
    year = rng.randint(2026, 2028)
    out: Tree = {
        "title": f"Draw {seed}",
        "start": f"{year}-{rng.randint(1, 12):02d}",
        "months": rng.randint(5, 24),
        "money": money_section(rng),
    }
    with_jobs = rng.random() < 0.6
    finishes = [name for name in FINISHES if rng.random() < 0.6] or ["staple"]
    sizes = ("letter", "legal", "ledger", "12x18") if out["money"]["paper_sizes"] == "inch" else ("a4", "a3", "sra3")
    if with_jobs:
        out["jobs"] = {f"class_{i}": job_class(rng, sizes, finishes) for i in range(1, rng.randint(1, 4) + 1)}
    else:
        out["work"] = plain_work(rng, year)
    perhaps(rng, out, "season", season(rng))
    perhaps(rng, out, "change_per_year", percent(rng, -10, 12))
    perhaps(rng, out, "volume_scale", round(rng.uniform(0.6, 1.5), 3), 0.4)
    perhaps(rng, out, "waste", percent(rng, 0, 6))
    perhaps(rng, out, "coverage", percent(rng, 3, 15))
    out["shop"] = shop(rng, sizes, finishes if with_jobs else [])
    if rng.random() < 0.6:
        out["outside"] = outside(rng, finishes if with_jobs else [])
    perhaps(rng, out, "allowances", {"increase": percent(rng, 1, 7), "return_freight": money(rng, 50, 900)}, 0.3)
    if rng.random() < 0.3:
        out["every_quote"] = {"increase": percent(rng, 1, 8), "settled": rng.choice(("monthly", "quarterly"))}
    rooms = ("paper", "labour", "energy", "space", "supplies", "finishing")
    perhaps(rng, out, "left_out", rng.sample(rooms, rng.randint(1, 2)), 0.2)
    volumes = sides_a_month(out)
    if rng.random() < 0.75:
        out["today"] = today(rng, out, year, volumes)
    out["candidates"] = {
        key: candidate(rng, out, year, volumes) for key in ("alder", "birch", "cedar")[: rng.randint(1, 3)]
    }
    return out


def money_section(rng: Random) -> Tree:
    """Draw rates, fiscal year and taxes."""
    out: Tree = {
        "discount_rate": rng.choice((percent(rng, 1, 12), "0%")) if rng.random() < 0.3 else percent(rng, 2, 12),
        "paper_sizes": rng.choice(("inch", "metric")),
    }
    perhaps(rng, out, "discount_basis", rng.choice(("effective", "nominal")), 0.7)
    perhaps(rng, out, "inflation", percent(rng, 0, 6), 0.6)
    perhaps(rng, out, "fiscal_year_starts", rng.choice(LONG_NAMES))
    if rng.random() < 0.45:
        on = ["equipment", "rent", "service", "supplies", "paper", "energy", "outside"]
        out["sales_tax"] = {"rate": percent(rng, 3, 20)}
        perhaps(rng, out["sales_tax"], "recoverable", percent(rng, 0, 100), 0.4)
        perhaps(rng, out["sales_tax"], "on", rng.sample(on, rng.randint(1, 6)), 0.6)
    if rng.random() < 0.55:
        method = rng.choice(("straight line", "macrs 3-year", "macrs 5-year", "macrs 7-year"))
        out["income_tax"] = {"rate": percent(rng, 10, 35), "depreciation": method}
        if method == "straight line":
            out["income_tax"]["years"] = rng.choice((1, 1.5, 3, 5))
        perhaps(rng, out["income_tax"], "relief_after_months", rng.randint(0, 9), 0.6)
        perhaps(rng, out["income_tax"], "disposal_share", percent(rng, 0, 100), 0.3)
    return out


def season(rng: Random) -> Any:
    """Draw twelve figures from the month of the start, or by month name."""
    figures = [round(rng.uniform(0.1, 2.0), 2) for _ in range(12)]
    return figures if rng.random() < 0.5 else dict(zip(MONTH_NAMES, figures, strict=True))


def job_class(rng: Random, sizes: tuple[str, ...], finishes: list[str]) -> Tree:
    """Draw a class of jobs."""
    out: Tree = {
        "colour": rng.choice(("colour", "black")),
        "sides_per_set": rng.randint(1, 25),
        "sets_per_job": rng.choice((1, 20, 150, 400.5)),
        "jobs": rng.randint(20, 900) if rng.random() < 0.6 else in_time(rng, rng.randint(3, 70)),
    }
    perhaps(rng, out, "size", rng.choice(sizes), 0.7)
    perhaps(rng, out, "two_sided", rng.choice(("yes", "no")), 0.8)
    perhaps(rng, out, "heavy", rng.choice(("yes", "no")), 0.4)
    perhaps(rng, out, "finish", rng.choice(finishes), 0.6)
    perhaps(rng, out, "paper", "card", 0.2)
    perhaps(rng, out, "coverage", percent(rng, 2, 40), 0.4)
    perhaps(rng, out, "season", season(rng), 0.25)
    perhaps(rng, out, "change_per_year", percent(rng, -8, 15), 0.3)
    perhaps(rng, out, "waste", percent(rng, 0, 8), 0.3)
    perhaps(rng, out, "make_ready_sheets", rng.randint(0, 12))
    return out


def plain_work(rng: Random, year: int) -> Tree:
    """Draw plain volumes."""
    out: Tree = {}
    for colour in rng.choice((("colour", "black"), ("colour",), ("black",), ("colour", "black"))):
        a_month = rng.randint(2000, 90000)
        way = rng.choice(("amount", "twelve", "readings"))
        if way == "amount":
            out[colour] = in_time(rng, a_month)
        elif way == "twelve":
            out[colour] = [round(a_month * rng.uniform(0.2, 1.8)) for _ in range(12)]
        else:
            out[colour] = {"readings": {f"{year - 1}-01-{rng.randint(1, 28):02d}": 104311,
                                        f"{year}-02-{rng.randint(1, 28):02d}": 104311 + 13 * a_month}}  # fmt: skip
    shares = {colour: percent(rng, 0, 60) for colour in ("colour", "black") if colour in out and rng.random() < 0.8}
    perhaps(rng, out, "oversize_share", shares, 0.6 if shares else 0.0)
    perhaps(rng, out, "two_sided_share", percent(rng, 0, 100), 0.6)
    perhaps(rng, out, "change_per_year", percent(rng, -6, 9), 0.3)
    return out


def shop(rng: Random, sizes: tuple[str, ...], finishes: list[str]) -> Tree:
    """Draw the shop's own prices and hours."""
    out: Tree = {"hours_per_week": rng.choice((20, 37.5, 40, 80))}
    perhaps(rng, out, "weeks_per_year", rng.choice((46, 50, 52)), 0.4)
    perhaps(rng, out, "overtime_hours_per_week", rng.choice((3, 8, 16)))
    perhaps(rng, out, "electricity", money(rng, 0.05, 0.4), 0.8)
    perhaps(rng, out, "cooling", percent(rng, 5, 40))
    perhaps(rng, out, "space_per_m2", in_time(rng, money(rng, 4, 25)), 0.7)
    if rng.random() < 0.7:
        out["paper"] = {size: round(rng.uniform(0.005, 0.06), 4) for size in (*sizes, "card")}
    if finishes:
        out["finishing"] = {name: finish(rng) for name in finishes}
    if rng.random() < 0.8:
        out["labour"] = {"wage": money(rng, 12, 35)}
        perhaps(rng, out["labour"], "on_cost", percent(rng, 10, 60), 0.7)
        perhaps(rng, out["labour"], "posts", rng.choice((0.5, 1, 2, 3.5)), 0.6)
        perhaps(rng, out["labour"], "productive", percent(rng, 60, 95))
        perhaps(rng, out["labour"], "overtime_factor", rng.choice((1.25, 1.5, 2)))
        perhaps(rng, out["labour"], "freed_hours", rng.choice(("saved", "stay paid")), 0.7)
    return out


def finish(rng: Random) -> Tree:
    """Draw one finish: in line only, at a bench, or bought in."""
    out: Tree = {}
    perhaps(rng, out, "material", money(rng, 0.01, 0.2), 0.7)
    perhaps(rng, out, "sets_per_hour", rng.choice((60, 180, 450)))
    perhaps(rng, out, "bought_in", money(rng, 0.2, 1.2), 0.6)
    return out


def outside(rng: Random, finishes: list[str]) -> Tree:
    """Draw the outside printer's prices."""
    out: Tree = {colour: money(rng, 0.03, 0.3) for colour in ("colour", "black") if rng.random() < 0.8}
    if not out:
        out = {"black": 0.04}
    perhaps(rng, out, "oversize_counts", rng.choice((1, 1.8, 2.5)))
    perhaps(rng, out, "paper", rng.choice(("included", "not included")), 0.7)
    perhaps(rng, out, "order_minutes", rng.randint(2, 20))
    perhaps(rng, out, "delivery_per_job", money(rng, 1, 9))
    prices = {name: money(rng, 0.1, 0.9) for name in finishes if rng.random() < 0.7}
    perhaps(rng, out, "finishing", prices, 1.0 if prices else 0.0)
    return out


def sides_a_month(data: Tree) -> dict[str, float]:
    """Estimate the sides a month by colour, to draw plans of a fitting size."""
    out: dict[str, float] = {}
    for job in (data.get("jobs") or {}).values():
        jobs = job["jobs"]
        a_month = 30.0 if isinstance(jobs, dict) else jobs / 12
        sides = a_month * job["sets_per_job"] * job["sides_per_set"]
        out[job["colour"]] = out.get(job["colour"], 0.0) + sides
    for colour in ("colour", "black"):
        if colour in (data.get("work") or {}):
            out[colour] = 30000.0
    return out


def press(rng: Random, data: Tree, year: int, volumes: dict[str, float], *, pays: bool = True) -> Tree:
    """Draw the keys of one press."""
    horizon = data["months"]
    first = rng.randint(1, max(1, horizon // 2)) if pays and rng.random() < 0.25 else 1
    out: Tree = {}
    perhaps(rng, out, "from_month", first, 1.0 if first > 1 else 0.1)
    perhaps(rng, out, "count", 2, 0.15)
    perhaps(rng, out, "until_month", rng.randint(first, horizon + 3), 0.15)
    perhaps(rng, out, "colour", rng.choice(("yes", "no")), 0.3)
    small = "letter" if data["money"]["paper_sizes"] == "inch" else "a4"
    large = "ledger" if small == "letter" else "a3"
    perhaps(rng, out, "largest", rng.choice((small, large)), 0.2)
    if rng.random() < 0.7:
        capabilities(rng, out, small, large, volumes)
    perhaps(rng, out, "in_line", [name for name in FINISHES if rng.random() < 0.5] or ["staple"], 0.4)
    perhaps(rng, out, "space_m2", rng.randint(4, 25))
    if rng.random() < 0.4:
        out["power"] = {"running": money(rng, 1, 9)}
        for key, most in (("ready", 2), ("sleep", 0.2), ("warm_up", 3)):
            perhaps(rng, out["power"], key, money(rng, 0.01, most), 0.7)
    elif rng.random() < 0.4:
        out["kwh_per_week"] = rng.randint(10, 90)
    for key in ("delivery_and_installation", "training", "site_works", "removal"):
        perhaps(rng, out, key, money(rng, 100, 2500), 0.35)
    if rng.random() < 0.25:
        out["front_end"] = {"price": money(rng, 500, 9000)}
        perhaps(rng, out["front_end"], "support_per_year", money(rng, 100, 1500), 0.7)
    if rng.random() < 0.4:
        out["supplies"] = {f"item_{i}": supply(rng, bool(data.get("jobs"))) for i in range(1, rng.randint(1, 3) + 1)}
    if pays:
        out |= way_of_paying(rng, horizon, first)
    perhaps(rng, out, "service", service(rng, horizon, year, volumes), 0.65)
    return out


def capabilities(rng: Random, out: Tree, small: str, large: str, volumes: dict[str, float]) -> None:
    """Draw speeds around what the work needs, trays and stops."""
    pace = max(20, min(300, round(sum(volumes.values()) / 173 / 60 * rng.uniform(0.3, 4))))
    out["sides_per_minute"] = rng.choice((pace, {small: pace}, {small: pace, large: round(pace * 0.55, 1)}))
    for key, value in (("two_sided_factor", 0.85), ("heavy_factor", 0.6), ("running_allowance", "10%"),
                       ("make_ready_minutes", rng.randint(1, 9)), ("reload_minutes", rng.randint(1, 4)),
                       ("warm_up_minutes", rng.randint(2, 15)), ("cleaning_minutes", rng.randint(2, 20)),
                       ("service_stop_hours", rng.randint(1, 12)),
                       ("attendance", rng.choice((0.25, 0.5, 1.5)))):  # fmt: skip
        perhaps(rng, out, key, value)
    if rng.random() < 0.6:
        choices = ("any", [small], [large], [small, large], small)
        out["trays"] = [{"sheets": rng.choice((500, 1500, 4600))} for _ in range(rng.randint(1, 3))]
        for tray in out["trays"]:
            perhaps(rng, tray, "sizes", rng.choice(choices), 0.7)
    if rng.random() < 0.5:
        out |= {"output_sheets": rng.choice((500, 3000)), "unload_minutes": rng.randint(1, 4)}


def supply(rng: Random, with_jobs: bool) -> Tree:
    """Draw one thing that is used up."""
    per = ("side", "colour side", "sheet", "set", "job") if with_jobs else ("side", "colour side", "sheet")
    out: Tree = {"price": money(rng, 20, 400), "yields": rng.randint(500, 60000)}
    perhaps(rng, out, "per", rng.choice(per), 0.7)
    if out.get("per", "side") in ("side", "colour side"):
        perhaps(rng, out, "at_coverage", percent(rng, 3, 10))
    return out


def today(rng: Random, data: Tree, year: int, volumes: dict[str, float]) -> Tree:
    """Draw the present position: one or two presses, owned or on a running lease."""
    if rng.random() < 0.1 and "outside" in data:
        return {"outside_only": "yes"}
    out: Tree = {}
    perhaps(rng, out, "posts", rng.choice((0.5, 1, 2)), 0.2)
    if rng.random() < 0.3:
        out["presses"] = {key: present(rng, data, year, volumes) for key in ("old_one", "old_two")}
        return out
    return out | present(rng, data, year, volumes)


def present(rng: Random, data: Tree, year: int, volumes: dict[str, float]) -> Tree:
    """Draw one present press."""
    out = press(rng, data, year, volumes, pays=False)
    perhaps(rng, out, "sells_for", money(rng, 100, 6000), 0.7)
    if rng.random() < 0.55:
        start = int(data["start"][:4]) * 12 + int(data["start"][5:]) - 1
        end = start + rng.randint(0, data["months"] + 5)
        running: Tree = {"rent": money(rng, 100, 1500), "ends": f"{end // 12}-{end % 12 + 1:02d}"}
        perhaps(rng, running, "then", rng.choice(("return", "month to month")), 0.7)
        perhaps(rng, running, "return_freight", money(rng, 100, 900), 0.7)
        perhaps(rng, running, "buy_out", money(rng, 500, 9000), 0.7)
        out["lease"] = running
    elif rng.random() < 0.4:
        out["owned"] = {"sells_for": money(rng, 100, 2500)}
    return out


def candidate(rng: Random, data: Tree, year: int, volumes: dict[str, float]) -> Tree:
    """Draw one candidate."""
    out: Tree = {}
    perhaps(rng, out, "present_lease", rng.choice(("finish", "buy out", "rolled in")), 0.6)
    perhaps(rng, out, "posts", rng.choice((0.5, 1.5, 2)), 0.25)
    if rng.random() < 0.1 and "outside" in data:
        return out | {"outside_only": "yes"}
    if rng.random() < 0.5:
        return out | press(rng, data, year, volumes)
    presses = {f"press_{i}": press(rng, data, year, volumes) for i in range(1, rng.randint(1, 2) + 1)}
    old = data.get("today") or {}
    if old and "outside_only" not in old and rng.random() < 0.6:
        presses = presses | {"kept": kept(rng, data)} if rng.random() < 0.5 else {"kept": kept(rng, data)} | presses
    out["presses"] = presses
    if rng.random() < 0.45:
        out["service"] = service(rng, data["months"], year, volumes)
        for one in presses.values():
            one.pop("service", None)
    return out


def kept(rng: Random, data: Tree) -> Tree:
    """Draw a present press that stays, for a while or to the end."""
    old = data["today"]
    out: Tree = {"same_as": f"today.{rng.choice(list(old['presses']))}" if "presses" in old else "today"}
    perhaps(rng, out, "until_month", rng.randint(1, data["months"] + 2), 0.7)
    perhaps(rng, out, "sells_for", money(rng, 100, 2500))
    perhaps(rng, out, "removal", money(rng, 100, 900), 0.4)
    return out

"""Which parts of the grammar a scenario uses, and which kinds of node a model."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tco.model.model import Model
from tco.model.nodes import Apply, Node, Over, Table

Tree = dict[str, Any]

WORDS = {  # keys whose words are choices: each word must occur
    "discount_basis": ("effective", "nominal"),
    "paper_sizes": ("inch", "metric"),
    "depreciation": ("straight line", "macrs 3-year", "macrs 5-year", "macrs 7-year"),
    "present_lease": ("finish", "buy out", "rolled in"),
    "then": ("return", "month to month"),
    "settled": ("monthly", "quarterly", "yearly"),
    "stub": ("full", "pro rata"),
    "bands": ("graduated", "all units"),
    "blank_backs": ("count", "free"),
    "freed_hours": ("saved", "stay paid"),
    "per": ("side", "colour side", "sheet", "set", "job"),
    "paper": ("included", "not included"),
    "two_sided": ("yes", "no"),
    "heavy": ("yes", "no"),
}
KEYS = (
    "jobs", "work", "readings", "season", "change_per_year", "volume_scale", "waste", "coverage", "make_ready_sheets",
    "finish", "oversize_share", "two_sided_share", "size", "overtime_hours_per_week", "weeks_per_year", "electricity",
    "cooling", "space_per_m2", "material", "sets_per_hour", "bought_in", "posts", "on_cost", "productive",
    "overtime_factor", "outside", "order_minutes", "delivery_per_job", "allowances", "every_quote", "left_out",
    "outside_only", "presses", "same_as", "from_month", "until_month", "count", "largest", "sides_per_minute",
    "two_sided_factor", "heavy_factor", "running_allowance", "make_ready_minutes", "reload_minutes", "trays",
    "output_sheets", "warm_up_minutes", "cleaning_minutes", "service_stop_hours", "in_line", "attendance", "power",
    "kwh_per_week", "space_m2", "delivery_and_installation", "training", "site_works", "removal", "front_end",
    "support_per_year", "supplies", "at_coverage", "sells_for", "cash", "loan", "rental", "owned", "down_payment",
    "fee", "notice_months", "increase_every", "base", "included", "minimum", "minimum_charge", "oversize_counts",
    "increase", "increase_from", "increase_cap", "increase_on", "months", "sales_tax", "recoverable", "income_tax",
    "relief_after_months", "disposal_share", "inflation", "fiscal_year_starts", "cash_price", "renewal_rent",
    "renewal_months", "document_fee", "buy_out", "return_freight",
)  # fmt: skip
FORMS = {
    f"lease: {end}, ends {when} the horizon, {paid}"
    for end in ("return", "buy", "renew")
    for when in ("before", "at", "after")
    for paid in ("advance", "arrears")
}
OTHERS = {
    "lease: several in advance", "lease: every 3 months", "lease: every 12 months", "lease: buy without cash price",
    "lease: buy with cash price", "lease: renewed without months", "loan: outlives the horizon", "plan: pooled",
    "plan: shorter than its use", "plan: outlives the horizon", "plan: without rates", "plan: dated increase",
    "twelve figures", "season by name", "season by list", "own season", "odd sides on two-sided sheets",
    "several presses", "several present presses", "no speeds", "per_month", "per_quarter", "per_year",
    "relief beyond the horizon", "no reference", "leaves before its lease ends",
}  # fmt: skip


def parts_of(data: Tree) -> set[str]:
    """Name everything of the grammar that this scenario uses."""
    return {*_keys(data), *_work(data), *_contracts(data)}


def all_parts() -> set[str]:
    """Name everything that must occur in enough draws."""
    words = {f"{key}: {word}" for key, known in WORDS.items() for word in known}
    return {*words, *KEYS, *FORMS, *OTHERS}


def _keys(tree: Any) -> Iterator[str]:
    if isinstance(tree, list):
        for entry in tree:
            yield from _keys(entry)
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield key
            if key in WORDS and isinstance(value, str):
                yield f"{key}: {value}"
            yield from _keys(value)


def _work(data: Tree) -> Iterator[str]:
    for colour in ("colour", "black"):
        if isinstance((data.get("work") or {}).get(colour), list):
            yield "twelve figures"
    for job in (data.get("jobs") or {}).values():
        if "season" in job:
            yield "own season"
        if job.get("two_sided") == "yes" and job["sides_per_set"] % 2:
            yield "odd sides on two-sided sheets"
    if "season" in data:
        yield "season by list" if isinstance(data["season"], list) else "season by name"
    delay = (data["money"].get("income_tax") or {}).get("relief_after_months")
    if delay:
        yield "relief beyond the horizon"
    if "today" not in data:
        yield "no reference"


def _contracts(data: Tree) -> Iterator[str]:
    everyone = [*data["candidates"].values(), *([data["today"]] if "today" in data else [])]
    for candidate in everyone:
        presses = candidate.get("presses")
        if presses and len(presses) > 1:
            yield "several presses" if candidate is not data.get("today") else "several present presses"
        if presses and "service" in candidate:
            yield "plan: pooled"
        for press in presses.values() if presses else (candidate,):
            if "outside_only" not in press and "sides_per_minute" not in press:
                yield "no speeds"
            yield from _plan(data, press)
            yield from _lease(data, press)
            if "loan" in press and press.get("from_month", 1) + press["loan"]["months"] - 1 > data["months"]:
                yield "loan: outlives the horizon"


def _plan(data: Tree, press: Tree) -> Iterator[str]:
    plan = press.get("service")
    if not plan:
        return
    first, last = press.get("from_month", 1), min(press.get("until_month", data["months"]), data["months"])
    if first + plan.get("months", 1) - 1 > data["months"]:
        yield "plan: outlives the horizon"
    if plan.get("months", 999) < last - first + 1:
        yield "plan: shorter than its use"
    if "colour" not in plan and "black" not in plan:
        yield "plan: without rates"
    if isinstance(plan.get("increase_from"), str):
        yield "plan: dated increase"


def _lease(data: Tree, press: Tree) -> Iterator[str]:
    lease = press.get("lease")
    if not lease or "ends" in lease:
        return
    end = press.get("from_month", 1) + lease["months"] - 1
    when = "before" if end < data["months"] else "at" if end == data["months"] else "after"
    at_end = lease.get("at_end", "return")
    yield f"lease: {at_end}, ends {when} the horizon, {lease.get('paid', 'in advance').removeprefix('in ')}"
    if lease.get("advance_rents", 0) > 1:
        yield "lease: several in advance"
    if lease.get("every_months", 1) > 1:
        yield f"lease: every {lease['every_months']} months"
    if at_end == "buy":
        yield f"lease: buy {'with' if 'cash_price' in lease else 'without'} cash price"
    if at_end == "renew" and "renewal_months" not in lease:
        yield "lease: renewed without months"
    if press.get("until_month", 999) < end:
        yield "leaves before its lease ends"


def kinds_of(model: Model) -> set[str]:
    """Name the kinds of node, and the operations, that a model's lines are written with."""
    found: set[str] = set()

    def look(node: Node) -> None:
        if isinstance(node, Apply):
            found.add(node.op)
        elif isinstance(node, Over | Table):
            found.add(f"{type(node).__name__}: {node.how}")
        else:
            found.add(type(node).__name__)
        for part in node.parts:
            look(part)

    for line in model.lines:
        for node in (line.expr, line.opening):
            if node is not None:
                look(node)
    return found

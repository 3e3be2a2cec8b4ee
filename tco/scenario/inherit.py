"""Completion of the tree before it is validated: what one section takes from another, with its origin kept."""

from __future__ import annotations

import contextlib

from pydantic_core import PydanticCustomError

from tco.scenario.context import Context
from tco.scenario.part import when_absent
from tco.scenario.rules_many import year_month
from tco.scenario.schema import EveryQuote, Scenario
from tco.scenario.schema_press import ACQUISITIONS, Press
from tco.scenario.schema_service import Service
from tco.scenario.tree import Items, Leaf, Node, find, node_at, text_at
from tco.scenario.words import SIZES

_INCH_CURRENCIES = frozenset({"USD", "CAD", "MXN"})
_SERVICE_TERMS = tuple(key for key in EveryQuote.model_fields if key in Service.model_fields)
_CANDIDATE_TERMS = ("covered", "not_covered", "present_lease")
# Not taken over with a press that is kept: the first is money of today, the others say who and when.
_NOT_KEPT = ("sells_for", "same_as", "name", "from_month", "until_month")


def copy(node: Node) -> Node:
    """Return a copy of a tree whose mappings can be changed without touching the original."""
    return Node(node.path, node.line, {key: copy(child) if isinstance(child, Node) else child
                                       for key, child in node.items()})


def context_for(file: str, data: Node) -> Context:
    """Return the context of a scenario: sizes, month of start, quotes, allowances."""
    sizes = text_at(data, "money", "paper_sizes") or default_paper_sizes(data)
    ctx = Context(file, allowances=node_at(data, "allowances"))
    if sizes == "metric":
        ctx.letter, ctx.ledger = "a4", "a3"
    small = text_at(data, "work", "size")
    ctx.small_size = small if small in SIZES else ctx.letter
    start = find(data, "start")
    if start is not None:
        # A wrong month is reported by the field itself.
        with contextlib.suppress(PydanticCustomError):
            ctx.start_month = year_month(start).month
    for prefix, node in _quoting(data):
        if quote := text_at(node, "quote"):
            ctx.quotes[prefix] = quote
    ctx.candidates = (*(("today",) if "today" in data else ()), *(node_at(data, "candidates") or {}))
    ctx.quotes["every_quote"] = "terms of every quote"
    return ctx


def _quoting(data: Node) -> list[tuple[str, Node]]:
    out = [(f"candidates.{key}", child) for key, child in (node_at(data, "candidates") or Node("", None)).items()
           if isinstance(child, Node)]
    return out + [(key, child) for key in ("today", "outside") if isinstance(child := data.get(key), Node)]


def default_paper_sizes(data: Node) -> str:
    """Return inch or metric by currency."""
    return "inch" if (text_at(data, "money", "currency") or "USD").upper() in _INCH_CURRENCIES else "metric"


def completed(data: Node, ctx: Context) -> Node:
    """Return the tree with everything that sections take from each other."""
    tree = copy(data)
    for key, info in Scenario.keys().items():
        default = when_absent(info)
        if default is not None:
            tree.setdefault(key, default.tree(key))
    tree.setdefault("shop", Node("shop", None))
    _money(tree)
    _work(tree, ctx)
    _jobs(tree, ctx)
    _today(tree)
    _candidates(tree, ctx)
    _finishing(tree)
    return tree


def _word(node: Node, key: str, value: str) -> None:
    node.setdefault(key, Leaf(value, value, node.child_path(key), None, "default"))


def _take(node: Node, key: str, tree: Node, *, name: str | None = None) -> None:
    """Let `node` inherit the top-level value itself, so that it stays one input."""
    source = name or key
    if key not in node and source in tree:
        node[key] = tree[source]


def _money(tree: Node) -> None:
    money = tree.get("money")
    if not isinstance(money, Node):
        return
    _word(money, "paper_sizes", default_paper_sizes(tree))
    for key in ("income_tax", "sales_tax"):
        if text_at(money, key) in ("none", "exempt", "no"):
            del money[key]


def _work(tree: Node, ctx: Context) -> None:
    work = tree.get("work")
    if not isinstance(work, Node):
        return
    _word(work, "size", ctx.letter)
    _word(work, "large_size", ctx.ledger)
    _take(work, "change_per_year", tree)
    work.setdefault("oversize_share", Node("work.oversize_share", None))


def _jobs(tree: Node, ctx: Context) -> None:
    sections = [node_at(tree, "jobs") or Node("", None), node_at(tree, "new_work") or Node("", None)]
    classes = [item for section in sections for item in section.items()]
    for key, job in classes:
        if not isinstance(job, Node):
            continue
        _word(job, "name", key.replace("_", " ").capitalize())
        _word(job, "size", ctx.letter)
        for name in ("coverage", "waste", "change_per_year", "season"):
            _take(job, name, tree)


def _finishing(tree: Node) -> None:
    """Mark the price of bought-in finishing as unknown where a class needs it and no price is written."""
    finishes = node_at(tree, "shop", "finishing") or Node("", None)
    used = {text_at(job, "finish") for job in (node_at(tree, "jobs") or Node("", None)).values()}
    for key, finish in finishes.items():
        if not isinstance(finish, Node) or "sets_per_hour" in finish or "bought_in" in finish or key not in used:
            continue
        if not all(key in in_line for in_line in _in_line(tree)):
            finish["bought_in"] = Leaf("unknown", "unknown", finish.child_path("bought_in"), finish.line)


def _in_line(tree: Node) -> list[list[str]]:
    """Return the in-line finishes of every press."""
    tops = [*(node_at(tree, "candidates") or Node("", None)).values(), *([tree["today"]] if "today" in tree else [])]
    out: list[list[str]] = []
    for top in tops:
        inner = node_at(top, "presses")
        presses = list(inner.values()) if inner is not None else [top]
        for press in presses:
            if isinstance(press, Node) and text_at(press, "outside_only") not in ("yes", "true"):
                written = press.get("in_line")
                entries = list(written) if isinstance(written, Items) else [written]
                out.append([entry.text for entry in entries if isinstance(entry, Leaf)])
    return out


def _today(tree: Node) -> None:
    today = tree.get("today")
    if not isinstance(today, Node):
        return
    presses = today.get("presses")
    nodes = [child for child in presses.values() if isinstance(child, Node)] if isinstance(presses, Node) else [today]
    for node in nodes:
        if text_at(today, "outside_only") not in ("yes", "true") and not any(key in node for key in ACQUISITIONS):
            node["owned"] = Node(node.child_path("owned"), None)


def _candidates(tree: Node, ctx: Context) -> None:
    shared = node_at(tree, "every_quote")
    for candidate in (node_at(tree, "candidates") or Node("", None)).values():
        if not isinstance(candidate, Node):
            continue
        if shared is not None:
            for key in _CANDIDATE_TERMS:
                _take(candidate, key, shared)
        _keep_present(candidate, tree, ctx, pooled=False)
        presses = node_at(candidate, "presses")
        for press in (presses or Node("", None)).values():
            if isinstance(press, Node):
                _keep_present(press, tree, ctx, pooled="service" in candidate)
                _quoted_terms(press, shared)
        _quoted_terms(candidate, shared)


def _quoted_terms(node: Node, shared: Node | None) -> None:
    """Let a quoted plan inherit the shared terms; a plan taken over from today keeps today's."""
    service = node.get("service")
    if shared is None or not isinstance(service, Node) or service.path.startswith("today"):
        return
    for key in _SERVICE_TERMS:
        _take(service, key, shared)


def _keep_present(node: Node, tree: Node, ctx: Context, *, pooled: bool) -> None:
    """Complete a press that is `same_as: today`: today's keys hold unless written."""
    word = text_at(node, "same_as")
    if word is None:
        return
    present = _present(word, tree)
    if present is None:
        place = node["same_as"]
        ctx.problem(place.path, place.line, f"`{word}` names no press of today", "The present press would be kept",
                    "Write `today`, or `today.<press>` when today has several presses")
        return
    if "sells_for" in node and "lease" not in present and not any(key in node for key in ACQUISITIONS):
        # A kept press is sold when it leaves: its own price belongs to that month.
        own = node.pop("sells_for")
        node["owned"] = Node(node.child_path("owned"), own.line, {"sells_for": own})
    own_money = any(key in node for key in ACQUISITIONS)
    for key, child in present.items():
        if key not in Press.model_fields or key in _NOT_KEPT or (key == "service" and pooled):
            continue
        if key in ACQUISITIONS and own_money:
            continue
        if key in ("power", "kwh_per_week") and ("power" in node or "kwh_per_week" in node):
            continue
        node.setdefault(key, child)


def _present(word: str, tree: Node) -> Node | None:
    today = node_at(tree, "today")
    if today is None:
        return None
    if word == "today":
        return today if "presses" not in today else None
    return node_at(today, "presses", word.removeprefix("today.")) if word.startswith("today.") else None

"""Warnings that the writer has settled: which one, and why."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, ValidationInfo, WithJsonSchema

from tco.scenario.numbers import refuse, text_of
from tco.scenario.rules import context_of
from tco.scenario.tree import Node
from tco.scenario.words import nearest

# The short codes of all warnings that advice can give. A code is for ever: `accepted` in somebody's file names it.
WARNING_CODES: tuple[str, ...] = (
    "bands-inverted", "bands-unread", "blank-backs", "busiest-week", "cap-scope", "carry-forward", "cash-price",
    "click-basis", "colour-class", "contribution-may-stop", "coverage-cap", "coverage-tiers", "dear-money", "due-hours",
    "early-exit", "extras-unsaid", "financed-clicks", "freed-hours", "front-end", "funding-clause", "hours-short",
    "included-size", "increase-open", "increase-unstated", "labour-run-only", "lease-end", "minimum-high",
    "minimum-per-press", "no-clear-winner", "notice-early", "old-evidence", "outside-effort", "overage-rate",
    "oversize-rule", "paper-uneven", "parts-unpriced", "rated-speed", "recommendation", "recommended-volume",
    "renewal-unstated", "rent-timing", "residual-high", "return-terms", "rolled-in", "scope", "service-hours",
    "service-length", "settlement", "site-unknown", "start-up", "sundries", "tax-uneven", "term-fiscal", "terms-differ",
    "uptime-credit", "volume-fit", "volume-path", "waste-unset", "yield-coverage",
)  # fmt: skip


def _accepted(raw: Any, info: ValidationInfo) -> dict[str, str]:
    """Return reasons by `<candidate>.<code>` or `<code>`."""
    if not isinstance(raw, Node) or not raw:
        refuse(raw, "must be codes of warnings with reasons", "", "Write {birch.rent-timing: Confirmed by telephone}")
    ctx = context_of(info)
    out: dict[str, str] = {}
    for key, child in raw.items():
        candidate, _, code = key.rpartition(".")
        if code not in WARNING_CODES:
            close = nearest(code, WARNING_CODES)
            before = f"{candidate}." if candidate else ""
            ctx.problem(raw.child_path(key), child.line, f"`{code}` is no code of a warning", "It would settle nothing",
                        f"Did you mean `{before}{close}`?" if close else "Copy the code that `tco check` shows")
        elif candidate and candidate not in ctx.candidates:
            close = nearest(candidate, ctx.candidates)
            ctx.problem(raw.child_path(key), child.line, f"`{candidate}` is no candidate", "It would settle nothing",
                        f"Did you mean `{close}.{code}`?" if close else f"Write `{code}` to settle it for all")
        out[key] = text_of(child)
    return out


Accepted = Annotated[dict[str, str], BeforeValidator(_accepted), WithJsonSchema(
    {"type": "object", "minProperties": 1, "additionalProperties": {"type": "string", "minLength": 1},
     "propertyNames": {"pattern": rf"^([a-z][a-z0-9_]*\.)?({'|'.join(WARNING_CODES)})$"}})]

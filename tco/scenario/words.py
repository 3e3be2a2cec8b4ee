"""Words: sizes, reserved ids, the nearest known key, keys that people try first."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from typing import Literal

from tco.reference_data import paper

Size = Literal["letter", "legal", "ledger", "12x18", "13x19", "a4", "a3", "sra3", "b4", "ra3"]
SIZES: tuple[Size, ...] = ("letter", "legal", "ledger", "12x18", "13x19", "a4", "a3", "sra3", "b4", "ra3")
LARGE_SIZES: frozenset[str] = frozenset(size.name for size in paper.SIZES if size.is_large)

NAME_PATTERN = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}")
ID_PATTERN = re.compile(r"[a-z][a-z0-9_]{0,29}")
RESERVED: frozenset[str] = frozenset({
    "today", "shared", "comparison", "money", "shop", "outside", "every_quote", "jobs", "work", "season", "candidates",
    "allowances", "start", "months", "title", "prepared", "introduction", "recommendation", "busiest_week",
    "change_per_year", "volume_scale", "waste", "coverage", "left_out", "accepted", "constants", "press", "presses",
    "last_year", "new_work", "futures",
})
# Parts of a candidate that stand beside its presses in keys.
RESERVED_BESIDE_PRESSES: frozenset[str] = frozenset({
    "books", "busiest_week", "class_cost", "due", "emissions", "energy", "finishing", "fiscal", "hourly_rate",
    "last_year", "lease_accounting", "measures", "outside", "paper", "people", "people_tax", "placing", "plan",
    "present", "press", "presses", "recovery", "space", "statement", "supplies", "tax", "terms",
})

# What people write first, and the key that means it.
INSTEAD_OF: dict[str, str] = {
    "borrowing_rate": "discount_rate", "interest": "discount_rate", "reconciled": "settled", "reconcile": "settled",
    "reconciliation": "settled", "included_per_month": "included", "included_clicks": "included", "mono": "black",
    "bw": "black", "color": "colour", "duplex": "two_sided", "term": "months", "horizon": "months",
    "escalator": "increase", "payment": "rent", "residual": "sells_for", "salvage": "sells_for", "buyout": "buy_price",
    "speed": "sides_per_minute", "ppm": "sides_per_minute", "options": "candidates", "quotes": "candidates",
    "equipment": "presses", "maintenance": "service", "clicks": "service", "deposit": "down_payment",
    "tax": "income_tax", "vat": "sales_tax", "label": "name", "quantity": "count",
}


def meant(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that only spelling or habit keeps from `word`, or None."""
    names = list(known)
    lowered = word.strip().lower().replace("-", "_").replace(" ", "_")
    if lowered in names:
        return lowered
    return INSTEAD_OF[lowered] if INSTEAD_OF.get(lowered) in names else None


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that is most likely meant, or None."""
    names = list(known)
    same = meant(word, names)
    if same is not None:
        return same
    close = difflib.get_close_matches(word.strip().lower(), names, n=1, cutoff=0.6)
    return close[0] if close else None

"""Draws of replaced figures: the same new numbers for the engine (arrays) and for the oracle (one by one)."""

from __future__ import annotations

from random import Random
from typing import Any

from tco.model.model import Model

Tree = dict[str, Any]

WHOLE = {  # figures that count months or things: from ... to, relative to the figure written
    "from_month": (1, 0), "count": (1, 2), "renewal_months": (1, 0), "notice_months": (0, 3),
    "relief_after_months": (0, 0), "sides_per_set": (1, 6), "increase_every": (1, 6), "increase_from": (1, 9),
    "exit_month": (1, 0), "deferred_months": (1, 0),
}  # fmt: skip
SHARES = {"two_sided_share", "recoverable", "disposal_share", "productive"}
# Rents, prices and dates of one lease hang together; so do bands, readings and years of a table.
LEFT_ALONE = {"every_months", "advance_rents", "until_month", "years", "readings"}


def replaceable(model: Model, data: Tree) -> dict[str, float]:
    """Give figures that have a path in the file, with the value written."""
    # A default of a present press is one figure for itself and another for a candidate that keeps it: not replaced.
    found = {}
    for line in model.lines:
        if line.role == "input" and line.value is not None and line.shape.axis is None:
            made_here = line.id.startswith(f"{line.block.id}.") and not reaches(data, line.id)
            unwritten = line.id.startswith("today.") and not reaches(data, f"{line.id}.")
            if not made_here and not unwritten and not LEFT_ALONE & set(line.id.split(".")):
                found[line.id] = float(line.value[0, 0])
    for key, (line, place) in model.entries.items():
        assert line.value is not None
        found[key] = float(line.value[place, 0])
    return found


def reaches(data: Tree, key: str) -> bool:
    """Say whether the section that holds a key is written in the file; a key that ends in a dot: the key itself."""
    tree: Any = data
    *above, last = key.split(".")
    for word in above:
        place = int(word) - 1 if isinstance(tree, list) else word
        if not isinstance(tree, list) and (not isinstance(tree, dict) or word not in tree):
            return False
        tree = tree[place]
    return not last or isinstance(tree, dict)


def another(rng: Random, key: str, value: float) -> float:
    """Draw a new number for a figure."""
    words = key.split(".")
    if key == "months":
        return float(rng.randint(max(1, int(value) - 3), int(value)))
    if words[-1] == "months":  # a contract; leases stay, their other figures hang on it
        return value if "lease" in words else float(rng.randint(1, int(value)))
    if words[-1] in WHOLE:
        low, more = WHOLE[words[-1]]
        return float(rng.randint(low, max(low, int(value) + more)))
    if words[-1] == "from":
        return value * rng.uniform(0.98, 1.02)
    new = value * (rng.uniform(0.98, 1.06) if "lease" in words else rng.uniform(0.7, 1.35))
    return min(1.0, new) if words[-1] in SHARES or "oversize_share" in words else new


def draws(rng: Random, model: Model, data: Tree, number: int, figures: int) -> list[dict[str, float]]:
    """Draw new numbers for some figures, by key of the engine, `number` times."""
    known = replaceable(model, data)
    keys = rng.sample(sorted(known), min(figures, len(known)))
    return [{key: another(rng, key, known[key]) for key in keys} for _ in range(number)]


def path_of(key: str) -> str:
    """Turn the engine's key into the oracle's path: lists are counted from 0 there; a step is named by its month."""
    words = key.split(".")
    return ".".join(
        str(int(word) - 1) if word.isdigit() and above != "steps" else word
        for above, word in zip(["", *words], words, strict=False)
    )

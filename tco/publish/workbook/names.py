"""Names that a spreadsheet program accepts: of cells and of sheets."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections.abc import Iterable
from typing import Final

from tco.model.nodes import Line

NAME_PATTERN: Final = re.compile(r"^in_[a-z][a-z0-9_]*$")
LONGEST_NAME: Final = 60
SHORTEST_NAME: Final = 5
LONGEST_TITLE: Final = 24
_KEPT: Final = " -_."


def names_of(lines: Iterable[Line]) -> dict[Line, str]:
    """One name for every figure, from its key; a hash of the key ends names that were too long or already taken."""
    taken: dict[str, Line] = {}
    for line in lines:
        name = "in_" + re.sub(r"[^a-z0-9_]", "_", line.id.lower())
        if not NAME_PATTERN.match(name):
            name = "in_k_" + name.removeprefix("in_")
        if not SHORTEST_NAME <= len(name) <= LONGEST_NAME or name in taken:
            mark = hashlib.sha256(line.id.encode()).hexdigest()[:8]
            name = f"{name[: LONGEST_NAME - 9]}_{mark}"
        taken[name] = line
    return {line: name for name, line in taken.items()}


def sheet_title(prefix: str, name: str) -> str:
    """A sheet name from a candidate's: its letters and figures behind a prefix that keeps it unique.

    The full name stands in a cell of the sheet. The limit of a sheet name counts 16-bit units, so rarer letters go.
    """
    composed = unicodedata.normalize("NFC", name)
    plain = "".join(
        c if unicodedata.category(c)[0] in "LN" or c in _KEPT else " " for c in composed if ord(c) <= 0xFFFF
    )
    plain = " ".join(plain.split())
    return f"{prefix} {plain}"[:LONGEST_TITLE].rstrip()

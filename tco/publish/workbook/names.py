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
_FORBIDDEN: Final = re.compile(r"[\[\]:*?/\\'\"{}<>|]")


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
    """A sheet name from a candidate's: the prefix keeps it unique, the full name stands in a cell of the sheet."""
    plain = "".join(c for c in unicodedata.normalize("NFC", name) if unicodedata.category(c)[0] in "LNPSZ")
    plain = " ".join(_FORBIDDEN.sub(" ", plain).split())
    plain = "".join(c for c in plain if ord(c) <= 0xFFFF)  # the limit of 31 counts 16-bit units
    return f"{prefix} {plain}"[:LONGEST_TITLE].rstrip()

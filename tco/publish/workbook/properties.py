"""Texts among the properties of a workbook: each holds 255 characters, so longer ones go on in further properties."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

LONGEST: Final = 248


def pieces(name: str, text: str) -> Iterator[tuple[str, str]]:
    """Yield properties, name and text, that hold a text; one empty one for no text."""
    for number, start in enumerate(range(0, max(len(text), 1), LONGEST), 1):
        yield name if number == 1 else f"{name}_{number}", text[start : start + LONGEST]


def whole(properties: Mapping[str, str], name: str) -> str:
    """The text that these properties hold; empty when there are none."""
    found, number = properties.get(name, ""), 2
    while f"{name}_{number}" in properties:
        found += properties[f"{name}_{number}"]
        number += 1
    return found

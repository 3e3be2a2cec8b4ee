"""Every key that a scenario may hold, for the one who writes or checks one; no study in it."""

from __future__ import annotations

from tco.publish.parts import Kit, Page, safe
from tco.scenario.reference import sections

FILE = "reference.html"


def build(kit: Kit) -> list[Page]:  # noqa: ARG001  every page is built from the kit; this one is the same in every study
    """The page."""
    data = {"sections": [(f"k-{place}-{safe(one.path)}", one) for place, one in enumerate(sections(), 1)]}
    return [Page(FILE, "Keys of a scenario", "reference.html.j2", data)]

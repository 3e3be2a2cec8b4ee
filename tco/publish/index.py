"""The page over several studies: what each of them answers, and where it lies."""

from __future__ import annotations

import os
import secrets
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from markupsafe import Markup

from tco.problem import Problem
from tco.publish.files import PublishError, reason
from tco.publish.publish import Published
from tco.publish.site import content_policy, environment, style_sheet

NAME: Final = "index.html"
# By this line the page is known as ours when it is written again.
MARK: Final = '<meta name="generator" content="tco, page over several studies">'


def write_index(output: Path, studies: Sequence[Published]) -> Path:
    """Write the page into the folder that holds the studies, whole or not at all.

    Raises
    ------
    PublishError
        An index.html stands there that this program did not write, or the disk refuses.
    """
    place = output / NAME
    try:
        if place.is_symlink() or (place.exists() and MARK not in place.read_text(encoding="utf-8", errors="replace")):
            what = "stands where the page over all studies belongs"
            raise PublishError([Problem(str(place), None, "", what, "It was not made by this program", "Move it")])
        new = output / f".{NAME}.{secrets.token_hex(4)}"
        new.write_bytes(index_page(output, studies))
        os.replace(new, place)  # noqa: PTH105 the one call of the system that is atomic
    except OSError as error:
        what = f"cannot be written: {reason(error)}"
        raise PublishError([Problem(str(place), None, "", what, "", "Choose another folder")]) from None
    return place


def index_page(output: Path, studies: Sequence[Published]) -> bytes:
    """The page itself."""
    style = style_sheet("letter")
    shown = [(one.title, one.answer, one.site.relative_to(output).as_posix()) for one in studies]
    template = environment().get_template("index.html.j2")
    ours = {"style": Markup(style), "mark": Markup(MARK)}  # noqa: S704 -- nothing of a scenario in them
    return template.render(**ours, policy=content_policy(style), studies=shown).encode("utf-8")

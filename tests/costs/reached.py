"""Which lines of the rooms a set of scenarios reaches: what is not reached cannot be noticed there."""

import sys
from collections import defaultdict
from functools import cache
from pathlib import Path

ROOM_FOLDERS = ("costs", "measures")


@cache
def is_room(name):
    folders = Path(name).parts
    return "tco" in folders and any(folder in folders for folder in ROOM_FOLDERS)


def lines_reached(call):
    """Run something and give the lines of room files that were executed: {file: {line, ...}}."""
    found = defaultdict(set)

    def line(frame, _event, _arg):
        found[frame.f_code.co_filename].add(frame.f_lineno)
        return line

    def function(frame, _event, _arg):
        return line if is_room(frame.f_code.co_filename) else None

    before = sys.gettrace()
    sys.settrace(function)
    try:
        call()
    finally:
        sys.settrace(before)
    return {str(Path(name).resolve()): lines for name, lines in found.items()}

"""Publish a folder whole or not at all, and never delete what this program did not make.

A folder is built beside its place and then takes it by renaming. A manifest says which files are ours and what was in
them; a file that is not ours, or that somebody changed, stops the publishing before anything is touched.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import secrets
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Final

from tco.problem import Problem

MANIFEST: Final = "manifest.json"
NAMED: Final = 5
LONGEST_NAME: Final = 80
_DEVICES: Final = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?", re.IGNORECASE)


class PublishError(Exception):
    """The folder could not be published; the old one is untouched. Carries every reason."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(problem.text() for problem in problems))


def safe_name(text: str) -> str:
    """Return a name of one file or folder made of letters, digits, dot, dash and underscore.

    Whatever could leave a folder, hide a file or trouble a file system is replaced or dropped; never empty.
    """
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", text)
    tidy = re.sub(r"\.{2,}", ".", re.sub(r"-{2,}", "-", plain)).strip(".-")[:LONGEST_NAME].rstrip(".-")
    if not tidy:
        return "scenario"
    return f"{tidy}-" if _DEVICES.fullmatch(tidy) else tidy


def publish_folder(folder: Path, build: Callable[[Path], None]) -> None:
    """Build a folder and put it in the place of the old one.

    Parameters
    ----------
    folder : where it shall stand; absent, empty, or published before
    build : writes all files into the empty folder that it is given

    Raises
    ------
    PublishError
        The place holds files that are foreign or were edited, or is a link or a file; or the disk refuses. The old
        folder is then as it was. What `build` raises is passed on after the unfinished folder is gone.
    """
    refuse_foreign(folder)
    new = old = None
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        new = _sibling(folder, "new")
        new.mkdir()
        build(new)
        _write_manifest(new)
        refuse_foreign(folder)  # building takes seconds, in which somebody may have saved something there
        if folder.exists():
            old = _sibling(folder, "old")
            os.rename(folder, old)  # noqa: PTH104 the one call of the system that is atomic
        _take_place(new, folder, old)
    except OSError as error:
        where = str(error.filename or folder)
        what = f"cannot be written: {reason(error)}"
        raise PublishError([_problem(where, what, "", "Choose another folder")]) from None
    finally:
        if new is not None and new.exists():
            _remove_own(new, set(_files(new)))
    if old is not None:
        _remove_own(old, {*_manifest_of(old), MANIFEST})
        if old.exists():
            what, why = "holds a file that appeared while publishing", "The new folder stands in its place"
            raise PublishError([_problem(str(old), what, why, "Move the file and remove this folder")])


def _take_place(new: Path, folder: Path, old: Path | None) -> None:
    try:
        os.rename(new, folder)  # noqa: PTH104
    except OSError:
        if old is not None:
            os.rename(old, folder)  # noqa: PTH104
        raise


def refuse_foreign(folder: Path) -> None:
    """Raise PublishError when a folder is a link or a file, or holds anything that is foreign or was edited."""
    if folder.is_symlink():
        raise PublishError([_problem(str(folder), "is a link", "What it points to would be replaced", "Name a folder")])
    if not folder.exists():
        return
    if not folder.is_dir():
        raise PublishError([_problem(str(folder), "is a file, not a folder", "", "Name a folder")])
    try:
        found = sorted(_files(folder))
        if not found:
            return
        known = _manifest_of(folder)
        wrong = [_judged(folder, name, known) for name in found if name != MANIFEST]
    except OSError as error:
        where = str(error.filename or folder)
        raise PublishError([_problem(where, f"cannot be read: {reason(error)}", "", "")]) from None
    problems = [problem for problem in wrong if problem is not None]
    if len(problems) > NAMED:
        more = f"holds {len(problems) - NAMED} more such files"
        problems = [*problems[:NAMED], _problem(str(folder), more, "", "")]
    if problems:
        raise PublishError(problems)


def _judged(folder: Path, name: str, known: dict[str, str]) -> Problem | None:
    place = folder / name
    if place.is_symlink() or name not in known:
        why = "It was not made by this program, and publishing would replace the folder"
        return _problem(str(place), "stands in the folder to publish into", why, "Move it, or choose another folder")
    if _hash(place) != known[name]:
        why = "Publishing would lose the change"
        return _problem(str(place), "was changed after it was published", why, "Move it, or choose another folder")
    return None


def reason(error: OSError) -> str:
    """Return what the system said, in lower case, without number and path."""
    return (error.strerror or "the system refuses").lower()


def _problem(file: str, what: str, why: str, instead: str) -> Problem:
    return Problem(file, None, "", what, why, instead)


def _sibling(folder: Path, kind: str) -> Path:
    return folder.with_name(f".{folder.name}.{kind}-{secrets.token_hex(4)}")


def _files(folder: Path) -> Iterator[str]:
    """Yield every file and link below a folder, by relative path with forward slashes; links are not followed."""
    for parent, folders, names in os.walk(folder, onerror=_raise):
        here = Path(parent)
        links = [name for name in folders if (here / name).is_symlink()]
        yield from ((here / name).relative_to(folder).as_posix() for name in (*names, *links))


def _raise(error: OSError) -> None:
    raise error


def _hash(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()


def _write_manifest(folder: Path) -> None:
    hashes = {name: _hash(folder / name) for name in sorted(_files(folder))}
    (folder / MANIFEST).write_text(json.dumps(hashes, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def _manifest_of(folder: Path) -> dict[str, str]:
    """Return what the manifest of a folder lists; nothing when there is none or it is not ours."""
    place = folder / MANIFEST
    if not place.is_file() or place.is_symlink():
        return {}
    try:
        found = json.loads(place.read_text(encoding="utf-8"))
    except ValueError:
        return {}
    is_ours = isinstance(found, dict) and all(isinstance(value, str) for value in found.values())
    return found if is_ours else {}


def _remove_own(folder: Path, own: set[str]) -> None:
    """Remove the files named, then empty folders; only what the walk finds, so that nothing outside is reached."""
    for name in list(_files(folder)):
        if name in own:
            (folder / name).unlink()
    for parent, _, _ in os.walk(folder, topdown=False):
        if not os.listdir(parent):  # noqa: PTH208
            Path(parent).rmdir()

"""Whether a file may be opened at all: looked at from outside, before any part of it is understood.

A workbook that comes back by mail is a stranger's file. Everything here reads bounded pieces and stops at the first
thing that a workbook of this program never has.
"""

from __future__ import annotations

import re
import zipfile
import zlib
from pathlib import Path
from typing import Final, NoReturn

from tco.problem import Problem, ScenarioError

LARGEST_FILE: Final = 20_000_000
MOST_PARTS: Final = 200
LARGEST_WHOLE: Final = 200_000_000
LARGEST_RATIO: Final = 200
SMALL_PART: Final = 1_000_000  # a small part may be as regular as it likes
LARGEST_PART: Final = 12_000_000  # of what is kept in memory as a whole, which is everything but the sheets
_CHUNK: Final = 1 << 20
_OVERLAP: Final = 32
_OLE: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ENCRYPTED: Final = "EncryptedPackage".encode("utf-16-le")
_UTF16: Final = (b"\xff\xfe", b"\xfe\xff")
_FORBIDDEN: Final = {
    "vbaproject": "holds a macro",
    "macrosheets": "holds a macro",
    "externallinks": "holds links to other files",
    "oleobject": "holds an embedded object",
    "embeddings": "holds an embedded object",
    "activex": "holds an embedded control",
    "connections.xml": "holds a connection to other data",
    "querytables": "holds a connection to other data",
}
_TYPES: Final = (b"macroenabled", b"vbaproject", b"oleobject", b"externallink", b"activex")
_ENTITY: Final = re.compile(rb"<!(doctype|entity)", re.IGNORECASE)


def refuse(file: str, what: str, why: str = "", instead: str = "", cell: str = "") -> NoReturn:
    """Raise the error about a workbook, or about one cell of it."""
    raise ScenarioError([Problem(file, None, cell, what, why, instead)])


def check_package(path: Path) -> None:
    """Refuse a file that is no plain workbook, or too large to be one.

    Raises
    ------
    ScenarioError
        It is absent, too large, of another kind, damaged, protected by a password, or holds macros, links, objects or
        declarations of entities.
    """
    file = str(path)
    try:
        size = path.stat().st_size
        if path.is_dir():
            refuse(file, "is a folder", "", "Name the workbook in it")
        if size > LARGEST_FILE:
            refuse(file, "is larger than 20 MB", "A workbook of this program has a few", "Give the workbook itself")
        with path.open("rb") as opened:
            start = opened.read(8)
            if start == _OLE:
                _refuse_old(file, start + opened.read())
    except OSError as error:
        refuse(file, f"cannot be read: {(error.strerror or 'the system refuses').lower()}", "", "Check the name")
    try:
        with zipfile.ZipFile(path) as package:
            _check_parts(file, package)
            _check_contents(file, package)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, ValueError, OSError):
        refuse(file, "is no workbook, or a damaged one", "It cannot be unpacked", "Save it again as .xlsx")


def _refuse_old(file: str, content: bytes) -> NoReturn:
    if _ENCRYPTED in content:
        refuse(file, "is protected by a password", "", "Open it, remove the password, and save it again")
    refuse(file, "is a workbook of an old format", "Only .xlsx can be read safely", "Save it as .xlsx")


def _check_parts(file: str, package: zipfile.ZipFile) -> None:
    parts = package.infolist()
    names = [part.filename for part in parts]
    if len(parts) > MOST_PARTS:
        refuse(file, f"has {len(parts):,} parts", f"At most {MOST_PARTS} are read", "Save it again without extras")
    if len({name.lower() for name in names}) != len(names):
        refuse(file, "holds a part twice", "Programs would disagree on which one counts", "Save it again as .xlsx")
    if sum(part.file_size for part in parts) > LARGEST_WHOLE:
        refuse(file, "is larger than 200 MB when unpacked", "", "Give the workbook itself")
    for part in parts:
        _check_part(file, part)
    if "xl/workbook.xml" not in names:
        if "mimetype" in names or "content.xml" in names:
            refuse(file, "is a spreadsheet of another format", "Only .xlsx is read", "Save it as .xlsx")
        refuse(file, "holds no workbook", "", "Give a workbook that this program wrote")


def _check_part(file: str, part: zipfile.ZipInfo) -> None:
    name = part.filename
    if name.startswith("/") or "\\" in name or ":" in name or ".." in name.split("/"):
        refuse(file, "holds a part that points out of the file", "", "Save it again as .xlsx")
    if part.flag_bits & 0x1:
        refuse(file, "is protected by a password", "", "Save it again without one")
    if part.file_size > SMALL_PART and part.file_size > LARGEST_RATIO * max(part.compress_size, 1):
        refuse(file, "unpacks to more than 200 times its size", "No workbook does", "Give the workbook itself")
    if part.file_size > LARGEST_PART and not name.startswith("xl/worksheets/sheet"):
        refuse(file, f"has a part of more than 12 MB ({name[:60]})", "", "Save it again without extras")
    wrong = next((why for word, why in _FORBIDDEN.items() if word in name.lower()), None)
    if wrong is not None:
        refuse(file, wrong, "None is needed, and none is opened", "Save it as .xlsx without it")


def _check_contents(file: str, package: zipfile.ZipFile) -> None:
    """Read every part once, piece by piece: whole, of the size it says, without declarations of its own."""
    for part in package.infolist():
        is_text = part.filename.lower().endswith((".xml", ".rels", ".vml"))
        is_types = part.filename == "[Content_Types].xml"
        read, last = 0, b""
        with package.open(part) as stream:
            while piece := stream.read(_CHUNK):
                read += len(piece)
                if read > part.file_size:
                    refuse(file, "is larger than it says", "", "Save it again as .xlsx")
                if not is_text:
                    continue
                if not last and piece.startswith(_UTF16):
                    refuse(file, "is written in an unusual encoding", "", "Save it again as .xlsx")
                seen = last + piece
                if b"<!" in seen and _ENTITY.search(seen):
                    refuse(file, "declares entities or a document type", "No workbook needs them", "Save it as .xlsx")
                if is_types and any(word in seen.lower() for word in _TYPES):
                    refuse(file, "holds macros, links or objects", "None is opened", "Save it as .xlsx without them")
                last = seen[-_OVERLAP:]

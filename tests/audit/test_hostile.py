"""Files that are no workbook of this program, or mean harm: refused in words, quickly and in little memory."""

import hashlib
import subprocess
import sys
import zipfile

import openpyxl.xml
import pytest

from tco.audit.cells import read_book
from tco.problem import ScenarioError

MOST_SECONDS, MOST_KIB = 2.0, 300_000
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
# Reads one file in a process of its own, and tells what it cost beyond starting.
PROBE = """
import re, sys, time
from pathlib import Path
from tco.audit.cells import read_book
from tco.problem import ScenarioError
import openpyxl
began = time.process_time()
try:
    read_book(Path(sys.argv[1]))
except ScenarioError as error:
    most = re.search(r"VmHWM:\\s+(\\d+) kB", Path("/proc/self/status").read_text())[1]
    print(time.process_time() - began, most, str(error), sep="|")
"""


def rewritten(source, target, changes=(), extra=()):
    """A copy of a workbook with parts changed by a function, and parts added."""
    changes = dict(changes)
    with zipfile.ZipFile(source) as parts, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as copy:
        for name in parts.namelist():
            content = parts.read(name)
            copy.writestr(name, changes[name](content) if name in changes else content)
        for name, content in extra:
            copy.writestr(name, content)
    return target


def unlike(size):
    """Letters without much likeness, so that packing them does not make them suspicious."""
    return b"".join(hashlib.sha256(number.to_bytes(4, "big")).hexdigest().encode() for number in range(size // 64))


def after_head(text):
    """Put text behind the declaration of XML."""
    return lambda content: content.replace(b"?>", b"?>" + text, 1)


def entities(good, folder):
    lol = b'<!DOCTYPE lolz [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    return rewritten(good, folder / "entities.xlsx", {"xl/sharedStrings.xml": after_head(lol)})


def late_entities(good, folder):
    """The declaration stands far down, across two pieces of reading."""
    pad = b"<!--" + unlike(1 << 20)[: (1 << 20) - 60] + b"-->"
    return rewritten(good, folder / "late.xlsx", {"xl/workbook.xml": after_head(pad + b'<!DOCTYPE x SYSTEM "f">')})


def bomb(good, folder):
    return rewritten(good, folder / "bomb.xlsx", extra=[("xl/worksheets/sheet99.xml", b" " * 150_000_000)])


def many_bombs(good, folder):
    extra = [(f"xl/worksheets/sheet{number}.xml", b"<a/>" * 12_000_000) for number in range(90, 96)]
    return rewritten(good, folder / "bombs.xlsx", extra=extra)


def many_parts(good, folder):
    return rewritten(good, folder / "parts.xlsx", extra=[(f"xl/media/{number}.txt", b"x") for number in range(250)])


def rows(good, folder):
    body = "".join(f'<row r="{row}"/>' for row in range(1, 1_000_001)).encode()
    sheet = f"<worksheet {MAIN}><sheetData>".encode() + body + b"</sheetData></worksheet>"
    return rewritten(good, folder / "rows.xlsx", {"xl/worksheets/sheet2.xml": lambda _: sheet})


def wide(good, folder):
    sheet = f'<worksheet {MAIN}><sheetData><row r="1"><c r="XFD1"><v>1</v></c></row></sheetData></worksheet>'
    return rewritten(good, folder / "wide.xlsx", {"xl/worksheets/sheet2.xml": lambda _: sheet.encode()})


def strings(good, folder):
    body = f"<sst {MAIN}><si><t>".encode() + unlike(13_000_000) + b"</t></si></sst>"
    return rewritten(good, folder / "strings.xlsx", {"xl/sharedStrings.xml": lambda _: body})


def truncated(good, folder):
    made = folder / "truncated.xlsx"
    made.write_bytes(good.read_bytes()[:-2000])
    return made


def flipped(good, folder):
    """One byte of one packed part is another one."""
    content = bytearray(good.read_bytes())
    content[2000] ^= 0xFF
    made = folder / "flipped.xlsx"
    made.write_bytes(bytes(content))
    return made


def wrong_type(_, folder):
    made = folder / "text.xlsx"
    made.write_text("title: no workbook\n", encoding="utf-8")
    return made


def old_format(_, folder):
    made = folder / "old.xlsx"
    made.write_bytes(OLE + b"\0" * 5000)
    return made


def password(_, folder):
    made = folder / "secret.xlsx"
    made.write_bytes(OLE + b"\0" * 1000 + "EncryptedPackage".encode("utf-16-le") + b"\0" * 1000)
    return made


def locked_zip(good, folder):
    content = bytearray(good.read_bytes())
    at = content.find(b"PK\x01\x02")
    content[at + 8] |= 1
    made = folder / "locked.xlsx"
    made.write_bytes(bytes(content))
    return made


def macro(good, folder):
    return rewritten(good, folder / "macro.xlsm", extra=[("xl/vbaProject.bin", OLE)])


def macro_type(good, folder):
    kind = {"[Content_Types].xml": lambda text: text.replace(b"sheet.main+xml", b"sheet.macroEnabled.main+xml")}
    return rewritten(good, folder / "type.xlsx", kind)


def links(good, folder):
    return rewritten(good, folder / "links.xlsx", extra=[("xl/externalLinks/externalLink1.xml", b"<a/>")])


def escaping(good, folder):
    return rewritten(good, folder / "escaping.xlsx", extra=[("xl/../../evil.xml", b"<a/>")])


def other_format(_, folder):
    made = folder / "other.xlsx"
    with zipfile.ZipFile(made, "w") as parts:
        parts.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        parts.writestr("content.xml", "<a/>")
    return made


def broken_xml(good, folder):
    return rewritten(good, folder / "broken.xlsx", {"xl/worksheets/sheet3.xml": lambda text: text[:-40]})


def missing_link(good, folder):
    change = {"xl/_rels/workbook.xml.rels": lambda text: text.replace(b"sheet2.xml", b"sheet222.xml")}
    return rewritten(good, folder / "missing.xlsx", change)


def large(_, folder):
    made = folder / "large.xlsx"
    with made.open("wb") as target:
        target.write(b"PK\x03\x04")
        target.truncate(21_000_000)
    return made


HOSTILE = {
    entities: "declares entities", late_entities: "declares entities", bomb: "more than 200 times",
    many_bombs: "larger than 200 MB", many_parts: "parts", rows: "rows on", wide: "columns on",
    strings: "more than 12 MB", truncated: "damaged", flipped: "damaged", wrong_type: "no workbook",
    old_format: "old format", password: "password", locked_zip: "password", macro: "macro", macro_type: "macros",
    links: "links to other files", escaping: "points out of the file", other_format: "another format",
    broken_xml: "cannot be understood", missing_link: "cannot be understood", large: "larger than 20 MB",
}  # fmt: skip


@pytest.mark.parametrize("make", HOSTILE, ids=lambda make: make.__name__)
def test_a_hostile_file_is_refused_in_words_quickly_and_in_little_memory(make, small, tmp_path):
    made = make(small.path, tmp_path)
    done = subprocess.run([sys.executable, "-c", PROBE, str(made)], capture_output=True, text=True, check=False)
    assert done.stderr == ""
    seconds, kib, words = done.stdout.strip().split("|", 2)
    assert HOSTILE[make] in words
    assert words.startswith(str(made))
    assert float(seconds) < MOST_SECONDS
    assert int(kib) < MOST_KIB


def test_a_workbook_of_somebody_else_is_refused(tmp_path):
    from tco.audit.audit import audit

    book = openpyxl.Workbook()
    path = tmp_path / "mine.xlsx"
    book.save(path)
    with pytest.raises(ScenarioError, match="was not written by this program"):
        audit(path)


def test_an_absent_file_is_told(tmp_path):
    with pytest.raises(ScenarioError, match="cannot be read"):
        read_book(tmp_path / "absent.xlsx")


def test_the_guard_against_entities_is_installed_and_used():
    assert openpyxl.xml.DEFUSEDXML is True

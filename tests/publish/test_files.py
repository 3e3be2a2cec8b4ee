"""A folder is published whole or not at all; nothing foreign is ever lost."""

from __future__ import annotations

import json
import os

import pytest

from tco.publish.files import MANIFEST, PublishError, publish_folder, safe_name


def build(text: str = "one"):
    def write(folder):
        (folder / "index.html").write_text(text, encoding="utf-8")
        (folder / "figures").mkdir()
        (folder / "figures" / "a.svg").write_text(f"<svg>{text}</svg>", encoding="utf-8")

    return write


def everything(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def litter(folder):
    return [path.name for path in folder.parent.iterdir() if path != folder]


def test_published_twice_the_second_takes_the_place(tmp_path):
    folder = tmp_path / "out" / "study"
    publish_folder(folder, build("one"))
    publish_folder(folder, build("two"))
    assert (folder / "index.html").read_text(encoding="utf-8") == "two"
    assert sorted(json.loads((folder / MANIFEST).read_text(encoding="utf-8"))) == ["figures/a.svg", "index.html"]
    assert litter(folder) == []


def test_same_content_gives_the_same_bytes(tmp_path):
    publish_folder(tmp_path / "a", build())
    publish_folder(tmp_path / "b", build())
    assert everything(tmp_path / "a") == everything(tmp_path / "b")


def test_a_file_that_is_gone_from_the_new_one_is_gone(tmp_path):
    folder = tmp_path / "study"
    publish_folder(folder, build())
    publish_folder(folder, lambda place: (place / "other.txt").write_text("x", encoding="utf-8"))
    assert sorted(everything(folder)) == [MANIFEST, "other.txt"]


def test_a_foreign_file_stops_it_and_stays(tmp_path):
    folder = tmp_path / "study"
    publish_folder(folder, build())
    (folder / "figures" / "notes.txt").write_text("mine", encoding="utf-8")
    before = everything(folder)
    with pytest.raises(PublishError, match=r"notes.txt.*not made by this program"):
        publish_folder(folder, build("two"))
    assert everything(folder) == before
    assert litter(folder) == []


def test_an_edited_file_stops_it_and_stays(tmp_path):
    folder = tmp_path / "study"
    publish_folder(folder, build())
    (folder / "index.html").write_text("edited", encoding="utf-8")
    with pytest.raises(PublishError, match=r"index.html: was changed"):
        publish_folder(folder, build("two"))
    assert (folder / "index.html").read_text(encoding="utf-8") == "edited"


def test_a_folder_with_files_and_no_manifest_is_not_ours(tmp_path):
    folder = tmp_path / "study"
    folder.mkdir()
    for number in range(8):
        (folder / f"{number}.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(PublishError) as caught:
        publish_folder(folder, build())
    assert len(caught.value.problems) == 6
    assert "3 more such files" in caught.value.problems[-1].text()
    assert len(everything(folder)) == 8


@pytest.mark.parametrize("text", ["no json", "[]", '{"index.html": 3}'])
def test_a_spoilt_manifest_makes_every_file_foreign(tmp_path, text):
    folder = tmp_path / "study"
    publish_folder(folder, build())
    (folder / MANIFEST).write_text(text, encoding="utf-8")
    with pytest.raises(PublishError, match=r"index.html"):
        publish_folder(folder, build("two"))


def test_a_manifest_that_names_files_outside_reaches_nothing_outside(tmp_path):
    outside = tmp_path / "keep.txt"
    outside.write_text("keep", encoding="utf-8")
    folder = tmp_path / "study"
    publish_folder(folder, build())
    manifest = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    (folder / MANIFEST).write_text(json.dumps({**manifest, "../keep.txt": "0"}), encoding="utf-8")
    publish_folder(folder, build("two"))
    assert outside.read_text(encoding="utf-8") == "keep"
    assert (folder / "index.html").read_text(encoding="utf-8") == "two"


def test_a_link_is_refused_and_its_target_untouched(tmp_path):
    target = tmp_path / "target"
    publish_folder(target, build())
    before = everything(target)
    (tmp_path / "study").symlink_to(target)
    with pytest.raises(PublishError, match="is a link"):
        publish_folder(tmp_path / "study", build("two"))
    assert everything(target) == before


def test_a_link_inside_is_foreign_and_not_followed(tmp_path):
    aside = tmp_path / "aside"
    aside.mkdir()
    (aside / "mine.txt").write_text("mine", encoding="utf-8")
    folder = tmp_path / "study"
    publish_folder(folder, build())
    (folder / "elsewhere").symlink_to(aside)
    with pytest.raises(PublishError, match="elsewhere"):
        publish_folder(folder, build("two"))
    assert (aside / "mine.txt").exists()


def test_a_file_in_the_place_is_refused(tmp_path):
    (tmp_path / "study").write_text("mine", encoding="utf-8")
    with pytest.raises(PublishError, match="is a file"):
        publish_folder(tmp_path / "study", build())
    assert (tmp_path / "study").read_text(encoding="utf-8") == "mine"


def test_a_failure_while_building_leaves_the_old_one_and_no_litter(tmp_path):
    folder = tmp_path / "study"
    publish_folder(folder, build())
    before = everything(folder)

    def fails(place):
        build("two")(place)
        raise RuntimeError("in the middle")

    with pytest.raises(RuntimeError, match="in the middle"):
        publish_folder(folder, fails)
    assert everything(folder) == before
    assert litter(folder) == []


def test_a_failure_of_the_second_rename_brings_the_old_one_back(tmp_path, monkeypatch):
    folder = tmp_path / "study"
    publish_folder(folder, build())
    before = everything(folder)
    rename = os.rename

    def refuses(source, target):
        if ".new-" in str(source):
            raise PermissionError(13, "Permission denied", str(target))
        rename(source, target)

    monkeypatch.setattr(os, "rename", refuses)
    with pytest.raises(PublishError, match="permission denied"):
        publish_folder(folder, build("two"))
    assert everything(folder) == before
    assert litter(folder) == []


def test_a_file_saved_while_building_stops_it(tmp_path):
    folder = tmp_path / "study"
    publish_folder(folder, build())

    def slow(place):
        build("two")(place)
        (folder / "saved.txt").write_text("mine", encoding="utf-8")

    with pytest.raises(PublishError, match=r"saved.txt"):
        publish_folder(folder, slow)
    assert (folder / "saved.txt").exists()
    assert (folder / "index.html").read_text(encoding="utf-8") == "one"


def test_a_place_below_a_file_is_told_and_no_traceback(tmp_path):
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(PublishError, match="cannot be written"):
        publish_folder(tmp_path / "file" / "study", build())


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("../../x", "x"),
        ("..", "scenario"),
        ("", "scenario"),
        ("/etc/passwd", "etc-passwd"),
        (".hidden", "hidden"),
        ("a\x00b\nc", "a-b-c"),
        ("Große Presse", "Gro-e-Presse"),
        ("nul", "nul-"),
        ("com1.yaml", "com1.yaml-"),
        ("two  words", "two-words"),
        ("=1+1", "1-1"),
        ("a" * 300, "a" * 80),
        ("two_quotes", "two_quotes"),
    ],
)
def test_names_stay_inside(text, name):
    assert safe_name(text) == name

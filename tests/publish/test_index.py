"""The page over several studies: every answer with a way to it, written whole, never over somebody else's page."""

from pathlib import Path

import pytest

from tco.publish.files import PublishError
from tco.publish.index import NAME, write_index
from tco.publish.publish import Published
from tests.publish.site.pages import Read


def studies(output, *titles):
    folders = [output / f"s{place}" for place in range(len(titles))]
    return [
        Published(title, f"Lease {place} costs least", folder, folder / NAME, Path("x.xlsx"))
        for place, (title, folder) in enumerate(zip(titles, folders, strict=True))
    ]


def test_each_study_is_listed_with_its_answer(tmp_path):
    place = write_index(tmp_path, studies(tmp_path, "First", "<script>alert(1)</script>"))
    page = Read(place.read_text(encoding="utf-8"))
    words = "".join(page.words)
    assert page.wrong == []
    assert [link for link in page.links if not link.startswith("#")] == ["s0/index.html", "s1/index.html"]
    assert "Lease 1 costs least." in words
    assert "<script>alert(1)</script>" in words
    assert "script" not in {tag for tag, _ in page.tags}


def test_it_takes_the_place_of_its_own_page_and_leaves_all_else(tmp_path):
    (tmp_path / "letter.txt").write_text("mine", encoding="utf-8")
    write_index(tmp_path, studies(tmp_path, "First", "Second"))
    write_index(tmp_path, studies(tmp_path, "Third", "Fourth"))
    assert "Third" in (tmp_path / NAME).read_text(encoding="utf-8")
    assert sorted(path.name for path in tmp_path.iterdir()) == [NAME, "letter.txt"]


def test_a_page_of_somebody_else_stays(tmp_path):
    (tmp_path / NAME).write_text("<p>mine</p>", encoding="utf-8")
    with pytest.raises(PublishError, match="not made by this program"):
        write_index(tmp_path, studies(tmp_path, "First", "Second"))
    assert (tmp_path / NAME).read_text(encoding="utf-8") == "<p>mine</p>"

"""Pages against the Nu HTML checker, an implementation of the HTML standard that is not ours."""

import json
import shutil
import subprocess

import pytest

from tests.house.tree import ROOT
from tests.publish.site import built

JAR = ROOT / ".venv" / "vnu.jar"
# A block of data is no script and needs no leave of the content policy; the checker takes it for one.
FALSE = ("Inline script violates Content Security Policy",)


def messages(folder):
    """Everything the checker says of the pages of a folder; `sh .ci/setup campaign` brings it."""
    pages = sorted(map(str, folder.glob("*.html")))
    told = subprocess.run(
        [shutil.which("java"), "-jar", str(JAR), "--also-check-svg", "--format", "json", *pages],
        capture_output=True, text=True, check=False,
    ).stderr  # fmt: skip
    return [one for one in json.loads(told)["messages"] if not one["message"].startswith(FALSE)]


@pytest.mark.campaign
@pytest.mark.parametrize("study", ["report", "barred", "hostile", "crowded"])
def test_every_page_conforms(study, tmp_path):
    for name, content in built.site(study).items():
        if name.endswith(".html"):
            (tmp_path / name).write_bytes(content)
    assert [(one["url"], one.get("lastLine"), one["message"]) for one in messages(tmp_path)] == []


@pytest.mark.campaign
def test_the_checker_sees_damage(tmp_path):
    text = built.site("report")["index.html"].decode().replace("<main", '<main id="find" id="find"', 1)
    (tmp_path / "index.html").write_text(text.replace("</ul>", "", 1), encoding="utf-8")
    assert len(messages(tmp_path)) >= 2

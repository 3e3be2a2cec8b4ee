"""The commands as a person uses them: what they print, their exit codes, and never a traceback."""

from __future__ import annotations

import json
import subprocess
import sys
from importlib.metadata import version

import pytest

import tco as package
from tco.scenario.starting import starting_scenario

HEAVY = ("scipy", "pandas", "xlsxwriter", "openpyxl", "vl_convert", "jinja2", "altair", "icalendar")


def tco(*arguments, cwd=None):
    """Run the command; whatever it is, there must be no traceback."""
    command = [sys.executable, "-c", "from tco.cli import main; main()", *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, cwd=cwd, check=False, timeout=120)
    assert "Traceback" not in done.stdout + done.stderr, done.stderr
    return done


@pytest.fixture(scope="module")
def scenario(tmp_path_factory):
    file = tmp_path_factory.mktemp("scenario") / "two_quotes.yaml"
    file.write_text(starting_scenario(), encoding="utf-8")
    return file


MONTHS = starting_scenario().splitlines().index("months: 60") + 1


def variant(tmp_path, old, new, name="variant.yaml"):
    text = starting_scenario()
    assert old in text
    file = tmp_path / name
    file.write_text(text.replace(old, new), encoding="utf-8")
    return file


def test_check_folds_gaps_by_candidate(scenario):
    done = tco("check", scenario)
    assert done.returncode == 0
    gaps, _, _ = done.stdout.partition(f"{scenario}: 31 warnings\n")
    assert gaps != done.stdout
    lines = gaps.splitlines()
    assert lines[0] == f"{scenario}: 5 gaps"
    assert [line.strip() for line in lines if line.startswith("  ") and not line.startswith("   ")] == [
        "Keep the present press: 1",
        "Lease the Birch: 3",
        "Buy the Cedar: 1",
    ]
    assert sum(line.startswith("    ") for line in lines) == 5


def test_check_strict_refuses_gaps(scenario):
    assert tco("check", "--strict", scenario).returncode == 1


def test_check_strict_refuses_work_that_fits_nowhere(tmp_path):
    text = starting_scenario()
    for old, new in (
        ("return_freight: unknown", "return_freight: 900"),
        ("increase: unknown", "increase: 3%"),
        ("left_out:", "shop: {hours_per_week: 1}\nleft_out:"),
    ):
        assert old in text
        text = text.replace(old, new)
    for press in ("  name: Keep the present press", "    name: Lease the Birch", "    name: Buy the Cedar"):
        indent = press[: len(press) - len(press.lstrip())]
        text = text.replace(press, f"{press}\n{indent}sides_per_minute: {{letter: 60, ledger: 30}}")
    file = tmp_path / "small.yaml"
    file.write_text(text, encoding="utf-8")
    assert tco("check", file).stdout.startswith(f"{file}: no gaps")
    done = tco("check", "--strict", file)
    assert done.returncode == 1
    assert "Lease the Birch leaves" in done.stdout
    assert "of 60 months undone" in done.stdout


def test_check_prints_every_mistake_of_every_file(scenario, tmp_path):
    wrong = variant(tmp_path, "months: 60\n", "months: sixty\nhorizonn: 3\n")
    done = tco("check", scenario, wrong, tmp_path / "absent.yaml")
    assert done.returncode == 1
    assert f"{wrong}:{MONTHS}: months" in done.stdout
    assert "horizonn" in done.stdout
    assert "absent.yaml: cannot be read: no such file" in done.stdout
    assert f"{scenario}: 5 gaps" in done.stdout


def test_check_json_is_for_programs(scenario, tmp_path):
    wrong = variant(tmp_path, "months: 60\n", "months: sixty\n")
    done = tco("check", "--json", scenario, wrong)
    found = json.loads(done.stdout)
    assert done.returncode == 1
    assert [one["severity"] for one in found].count("gap") == 5
    (error,) = [one for one in found if one["severity"] == "error"]
    assert set(error) == {"file", "line", "path", "what", "why", "instead", "severity"}
    assert (error["path"], error["line"]) == ("months", MONTHS)


def unsized(tmp_path, more=""):
    """Neither the size rule nor blank backs of the Birch are told."""
    text = starting_scenario()
    old = "      oversize_counts: 2\n      increase: unknown\n"
    assert old in text
    text = text.replace(old, "      increase: 3%\n").replace("return_freight: unknown", "return_freight: 900")
    for name in ("  name: Keep the present press", "    name: Lease the Birch", "    name: Buy the Cedar"):
        indent = name[: len(name) - len(name.lstrip())]
        text = text.replace(name, f"{name}\n{indent}sides_per_minute: {{letter: 60, ledger: 30}}")
    file = tmp_path / "unsized.yaml"
    file.write_text(text.replace("left_out:", f"shop: {{hours_per_week: 40}}\n{more}left_out:"), encoding="utf-8")
    return file


def test_check_folds_warnings_by_candidate_and_says_whether_silence_decides(scenario):
    done = tco("check", scenario)
    _, _, text = done.stdout.partition(" warnings\n")
    heads = [line for line in text.splitlines() if line.startswith("  ") and not line.startswith("   ")]
    assert [head.split(":")[0].strip() for head in heads] == [
        "Keep the present press", "Lease the Birch", "Buy the Cedar", "Every candidate",
    ]  # fmt: skip
    assert "[birch.return-terms]" in text
    assert "    and 12 more: --all" in text
    assert "      Ask: " not in text
    assert text.splitlines()[-1] == "What the quotes leave unsaid can change the winner."
    everything = tco("check", "--all", scenario).stdout
    assert everything.count("      Ask: ") == everything.count("      Meanwhile: ") == 31
    assert "more: --all" not in everything


def test_check_json_holds_warnings_with_question_and_money(scenario):
    found = [one for one in json.loads(tco("check", "--json", scenario).stdout) if "code" in one]
    (freight,) = [one for one in found if one["code"] == "return-terms"]
    assert freight["candidate"] == "birch"
    assert freight["file"] == str(scenario)
    assert freight["can_change_the_cheapest"] is True
    assert freight["switch"] > 1000
    assert freight["money"] is None
    (rise,) = [one for one in found if one["code"] == "increase-unstated"]
    assert rise["money"][0] < rise["money"][1]
    assert rise["question"].endswith("?")


def test_check_strict_refuses_what_is_not_comparable_until_it_is_settled(tmp_path):
    file = unsized(tmp_path)
    assert tco("check", file).returncode == 0
    assert "not yet comparable" in tco("check", file).stdout
    done = tco("check", "--strict", file)
    assert done.returncode == 1
    assert "accepted: {birch.oversize-rule: the reason}" in done.stdout


def test_an_accepted_warning_is_not_shown_and_one_that_settles_nothing_is_told(tmp_path):
    file = unsized(tmp_path, "accepted: {birch.oversize-rule: meter read, birch.bands-unread: no bands}\n")
    done = tco("check", file)
    assert done.returncode == 0
    assert ", 1 accepted" in done.stdout
    assert "[birch.oversize-rule]" not in done.stdout
    assert "accepted.birch.bands-unread: settles nothing any more" in done.stdout


@pytest.mark.parametrize("command", ["check", "explain", "build"])
@pytest.mark.parametrize("kind", ["absent", "folder", "binary", "empty", "too large"])
def test_a_file_that_is_no_scenario_is_a_mistake_told_in_one_line(command, kind, tmp_path):
    file = tmp_path / "file.yaml"
    if kind == "folder":
        file.mkdir()
    elif kind != "absent":
        file.write_bytes({"binary": b"\x7fELF\xff\xfe\x00", "empty": b"", "too large": b"a: 1\n" * 300_000}[kind])
    more = ["today.measures.total"] if command == "explain" else []
    done = tco(command, file, *more, cwd=tmp_path)
    assert done.returncode == 1
    assert len((done.stdout + done.stderr).strip().splitlines()) == 1
    assert "file.yaml" in done.stdout + done.stderr


@pytest.mark.parametrize(
    "arguments", [["chekc", "x"], ["check"], ["explain", "x"], ["check", "--loud", "x"], ["start"], []]
)
def test_a_command_that_is_not_understood_is_2(arguments):
    assert tco(*arguments).returncode == 2


def test_explain_tells_formula_inputs_and_sources(scenario):
    done = tco("explain", scenario, "birch.plan.click_charge", "--month", "15")
    assert done.returncode == 0
    assert "[Clicks at list rates] × [Price factor]" in done.stdout
    assert "month 15 (2028-05)" in done.stdout
    assert "[birch.service.colour]" in done.stdout
    line = next(i for i, text in enumerate(starting_scenario().splitlines(), 1) if "colour: 0.049" in text)
    assert f"0.049 money/click; quoted, Tarnwick, offer 1187; {scenario}:{line}" in done.stdout
    assert "5%; assumed" in done.stdout


def test_explain_of_a_figure_says_where_it_is_written(scenario):
    done = tco("explain", scenario, "cedar.cash.price")
    assert done.returncode == 0
    assert "58,500 money" in done.stdout
    assert "Osgrove, quotation of 20 January" in done.stdout


def test_explain_names_near_keys(scenario):
    done = tco("explain", scenario, "birch.measures.presentvalue")
    assert done.returncode == 2
    assert "birch.measures.present_value" in done.stderr


@pytest.mark.parametrize("month", ["0", "-1", "4000", "two"])
def test_explain_refuses_months_that_are_not_there(scenario, month):
    assert tco("explain", scenario, "birch.statement.net", "--month", month).returncode == 2


@pytest.mark.parametrize(("option", "title"), [([], "scenario"), (["--results"], "Results")])
def test_schema_prints_json(option, title):
    found = json.loads(tco("schema", *option).stdout)
    assert found["$schema"].startswith("https://json-schema.org/")
    assert title.lower() in found["title"].lower()


def test_schema_tells_a_key_in_words():
    done = tco("schema", "--text", "birch.lease.at_end")
    assert done.returncode == 0
    assert "Word: return, buy, renew. Default: return." in done.stdout
    wrong = tco("schema", "--text", "birch.service.setled")
    assert (wrong.returncode, wrong.stdout) == (2, "")
    assert wrong.stderr == "no key of a scenario is called birch.service.setled; did you mean settled?\n"


def test_start_writes_once_and_what_it_writes_is_right(tmp_path):
    file = tmp_path / "mine.yaml"
    assert tco("start", file).returncode == 0
    assert tco("check", file).returncode == 0
    file.write_text("mine", encoding="utf-8")
    done = tco("start", file)
    assert done.returncode == 3
    assert "is there already" in done.stderr
    assert file.read_text(encoding="utf-8") == "mine"
    done = tco("start", tmp_path / "no" / "where.yaml")
    assert done.returncode == 3
    assert "cannot be written: no such file" in done.stderr


def test_a_name_that_steers_the_terminal_does_not(tmp_path):
    wrong = variant(tmp_path, "months: 60\n", 'months: 60\n"\\e[2Jhidden": 1\n')
    done = tco("check", wrong)
    assert done.returncode == 1
    assert "\x1b" not in done.stdout + done.stderr
    assert "hidden" in done.stdout


@pytest.mark.parametrize("start", [["check"], ["explain", "today.measures.total"]])
def test_light_commands_load_no_heavy_library(scenario, start):
    arguments = [start[0], str(scenario), *start[1:]]
    program = (
        "import sys; from tco.cli import app\n"
        f"try: app({arguments!r})\nexcept SystemExit as end: assert not end.code\n"
        f"print('loaded:', [name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "loaded: []"


def test_importing_the_package_loads_nothing():
    heavy = ("tco.", "numpy", "pydantic")
    program = f"import sys; import tco; print([name for name in sys.modules if name.startswith({heavy!r})])"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_facade_computes(scenario):
    model = package.build(package.load(scenario))
    assert package.evaluate(model)["cedar.measures.present_value"][0, 0, 0] > 0
    with pytest.raises(AttributeError, match="nothing"):
        _ = package.nothing


def test_the_version_is_that_of_the_package():
    assert package.__version__ == version("tco")

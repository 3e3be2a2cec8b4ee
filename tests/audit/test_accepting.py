"""From a scenario to a workbook, a figure typed over there, and back: one line of the scenario differs."""

import difflib
import json
import subprocess
import sys
from dataclasses import replace

import pytest

from tco.assemble import build
from tco.audit.accept import accept_inputs
from tco.audit.audit import audit, audit_book
from tco.audit.cells import read_book
from tco.audit.compare_cells import compare
from tco.audit.effects import answer, answer_to
from tco.audit.places import Spots
from tco.audit.read_back import read_inputs
from tco.audit.rounds import compare_rounds, from_workbook
from tco.audit.show import audit_page
from tco.audit.yaml_edit import Change, EditError, edited, spelled
from tco.problem import ScenarioError
from tco.scenario.load import load, load_text
from tco.scenario.starting import starting_scenario
from tests.audit.books import edit, export, told
from tests.scenario.samples import RICH, SMALL

LEASE = (
    '+     lease: {rent: {value: 1290, source: "workbook, edited", date: 2027-03-01}, months: 60, paid: in advance, '
    "at_end: return, return_freight: unknown}"
)


def tco(*arguments, cwd):
    command = [sys.executable, "-c", "from tco.cli import main; main()", *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, cwd=cwd, check=False, timeout=300)
    assert "Traceback" not in done.stdout + done.stderr, done.stderr
    return done


def lines_changed(old, new):
    return [line for line in difflib.ndiff(old.splitlines(), new.splitlines()) if line[0] in "-+"]


def test_the_ring_is_closed(start, tmp_path):
    """Export, type the term over, audit and accept: one line differs, comments stay, and it means the same."""
    path = edit(start.path, tmp_path, {start.input_cell("birch.lease.rent"): 1290})
    done = tco("audit", path, "--accept", tmp_path / "new.yaml", "--page", tmp_path / "page.html", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "changed input: Quotes!" in done.stdout
    new = (tmp_path / "new.yaml").read_text(encoding="utf-8")
    assert lines_changed(starting_scenario(), new) == [
        "-     lease: {rent: 1240, months: 60, paid: in advance, at_end: return, return_freight: unknown}",
        LEASE,
    ]
    accepted = load(tmp_path / "new.yaml")
    assert accepted.candidates["birch"].lease.rent.source == "workbook, edited"
    live = answer(start.expected.model, {"birch.lease.rent": 1290.0})
    assert answer_to(accepted).worth == pytest.approx(dict(live.worth))
    assert answer_to(from_workbook(path)) == answer_to(accepted)
    page = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert "birch.lease.rent" in page
    assert "<script" not in page
    again = tco("audit", path, "--accept", tmp_path / "new.yaml", cwd=tmp_path)
    assert again.returncode == 3
    assert "is there already" in again.stderr


def test_a_page_lets_no_text_become_markup(small, tmp_path):
    found = audit_book(read_book(edit(small.path, tmp_path, {("Summary", 5, 4): "<b>&"})), small.expected)
    page = audit_page(found)
    assert "&lt;b&gt;&amp;" in page
    assert "<b>" not in page


def test_touched_formulas_are_not_accepted_unless_told_so(start, tmp_path):
    home = start.expected.layout.homes[start.expected.model["birch.press.rent"]]
    changes = {(home.sheet, home.row + 1, home.column + 2): 1.0, start.input_cell("months"): 48}
    path = edit(start.path, tmp_path, changes)
    refused = tco("audit", path, "--accept", tmp_path / "new.yaml", cwd=tmp_path)
    assert refused.returncode == 1
    assert "overwritten formula [birch.press.rent]" in refused.stderr
    assert not (tmp_path / "new.yaml").exists()
    with pytest.raises(ScenarioError, match="overwritten formula"):
        from_workbook(path)
    assert tco("build", path, cwd=tmp_path).returncode == 1
    allowed = tco("audit", path, "--accept", tmp_path / "new.yaml", "--despite-formulas", "--json", cwd=tmp_path)
    assert allowed.returncode == 0
    assert json.loads(allowed.stdout)["formulas_touched"] is True
    assert load(tmp_path / "new.yaml").horizon == 48


@pytest.mark.parametrize("name", ["small", "start", "rich"])
def test_every_figure_that_can_be_accepted_means_the_same_in_the_scenario(name, request):
    """Each figure in turn, in memory: the new text gives what the model gives with that figure replaced."""
    made = request.getfixturevalue(name)
    found = audit_inputs(made)
    step = 1 if name == "small" else 7
    accepted = refused = 0
    for one in found.found[::step]:
        whole = one.old == int(one.old) and not one.spot.line.percent
        changed = change(one, one.old + 1 if whole else one.old * 0.9 + (0.01 if one.old == 0 else 0))
        told, problems = accept_inputs(made.expected, only(found, changed), "x.xlsx")
        if told is None:
            refused += 1
            assert problems
            assert all(problem.path for problem in problems)
            continue
        accepted += 1
        assert changed.key in load_keys(told.scenario)
        again = next(value for key, value in load_keys(told.scenario).items() if key == changed.key)
        assert again == pytest.approx(changed.new, rel=1e-12)
    assert accepted > 3 * refused


def audit_inputs(made):
    book = read_book(made.path)
    return read_inputs(made.expected, book, compare(made.expected, Spots(made.expected), book).sheets)


def change(one, new):
    return replace(one, new=new)


def only(found, changed):
    """All inputs, one of them changed wherever it stands."""
    same = [replace(one, new=changed.new) if one.key == changed.key else one for one in found.found]
    return replace(found, found=tuple(same))


def load_keys(scenario):
    keys = {}
    for line in build(scenario).lines:
        if line.value is not None:
            for entry, value in enumerate(line.value[:, 0]):
                name = line.entry_keys[entry] if line.entry_keys else line.id
                keys[name if line.shape.axis is None or line.entry_keys else f"{name} [{entry + 1}]"] = float(value)
    return keys


def test_a_start_with_a_workbook_ends_in_a_build_from_it(tmp_path):
    path = tmp_path / "ours.xlsx"
    assert tco("start", "--workbook", path, cwd=tmp_path).returncode == 0
    assert tco("start", "--workbook", path, cwd=tmp_path).returncode == 3
    assert audit(path).findings == ()
    made = export(starting_scenario(), tmp_path, "plain")
    filled = edit(path, tmp_path, {made.input_cell("cedar.cash.price"): 61000}, "filled.xlsx")
    done = tco("build", filled, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    accepted = audit(filled).accepted
    (tmp_path / "filled.yaml").write_text(accepted.text, encoding="utf-8")
    assert tco("build", "filled.yaml", "--output", "other", cwd=tmp_path).returncode == 0
    one, other = (json.loads((tmp_path / folder / "filled/results.json").read_text()) for folder in ("output", "other"))
    assert one["candidates"] == other["candidates"]
    assert (tmp_path / "output/filled/scenario.yaml").read_text(encoding="utf-8") == accepted.text
    published = audit(tmp_path / "output/filled/filled.xlsx")
    assert (published.findings, published.checked) == ((), True)
    wrong = edit(path, tmp_path, {made.input_cell("cedar.cash.price"): "dear"}, "wrong.xlsx")
    refused = tco("check", wrong, cwd=tmp_path)
    assert refused.returncode == 1
    assert "wrong.xlsx: Quotes!" in refused.stdout
    assert "(cedar.cash.price): must be a number, not `dear`" in refused.stdout


def test_two_rounds_are_told_one_at_a_time_and_together():
    new = (
        SMALL.replace("rent: 1240", "rent: 1190")
        .replace("colour: 0.049", "colour: {value: 0.052, source: a letter}")
        .replace("today: {service: {base: 310,", "today: {service: {base: {value: 310, note: the same},")
    )
    old, later = load_text(SMALL), load_text(new)
    found = compare_rounds(old, later)
    assert [step.paths for step in found.steps] == [("birch.lease.rent",), ("birch.service.colour",)]
    for step, piece in zip(found.steps, (("rent: 1240", "rent: 1190"), ("0.049", "0.052")), strict=True):
        alone = answer_to(load_text(SMALL.replace(*piece, 1)))
        assert step.effect.change == pytest.approx(
            {key: worth - found.old.worth[key] for key, worth in alone.worth.items()}
        )
    assert (found.old, found.new) == (answer_to(old), answer_to(later))
    assert found.together.change["birch"] == found.new.worth["birch"] - found.old.worth["birch"]


def test_another_form_of_finance_is_one_step():
    lease = "lease: {rent: 1240, months: 60, paid: in advance, return_freight: 900}"
    assert lease in SMALL
    bought = load_text(SMALL.replace(lease, "cash: {price: 58000, sells_for: 5000}"))
    found = compare_rounds(load_text(SMALL), bought)
    (step,) = found.steps
    assert set(step.paths) == {"birch.lease", "birch.cash"}
    assert found.new.worth["birch"] - found.old.worth["birch"] == pytest.approx(step.effect.change["birch"])


def test_rounds_from_a_workbook_and_a_scenario(small, tmp_path):
    (tmp_path / "old.yaml").write_text(SMALL, encoding="utf-8")
    path = edit(small.path, tmp_path, {small.input_cell("birch.lease.rent"): 1300})
    done = tco("compare", "old.yaml", path, "--json", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    (step,) = json.loads(done.stdout)["steps"]
    assert (step["paths"], step["old"], step["new"]) == (["birch.lease.rent"], "1240", "1300")


TEXT = """\
# head
work:
  colour: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]   # twelve
season: {Jan: 1, Feb: 2}
birch:
  rate: 5%          # a share
  price:
    value: 100
    low: 90
    source: an offer
  flow: {per_year: 1200, high: 1300}
  bands: [{from: 0, rate: 0.5}, {from: 9, rate: 0.4}]
"""
RATE = "  rate: 5%          # a share"
NOTE = 'source: "workbook, edited", date: 2027-01-01'


@pytest.mark.parametrize(
    ("change", "old", "new"),
    [
        (Change(("birch", "rate"), 0.06), [RATE], [f"  rate: {{value: 6%, {NOTE}}}  # a share"]),
        (Change(("birch", "rate"), 0.06, bare=True), [RATE], ["  rate: 6%          # a share"]),
        (
            Change(("birch", "price"), 80.0),
            ["    value: 100", "    low: 90", "    source: an offer"],
            ["    value: 80", "    date: 2027-01-01", '    source: "workbook, edited"'],
        ),
        (
            Change(("birch", "flow"), 1400.0),
            ["  flow: {per_year: 1200, high: 1300}"],
            [f"  flow: {{per_year: 1400, {NOTE}}}"],
        ),
        (
            Change(("birch", "bands", "2", "rate"), 0.3, bare=True),
            ["  bands: [{from: 0, rate: 0.5}, {from: 9, rate: 0.4}]"],
            ["  bands: [{from: 0, rate: 0.5}, {from: 9, rate: 0.3}]"],
        ),
        (
            Change(("work", "colour"), 33.0, place=2),
            ["  colour: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]   # twelve"],
            ["  colour: [1, 2, 33, 4, 5, 6, 7, 8, 9, 10, 11, 12]   # twelve"],
        ),
        (Change(("season",), 4.0, place=1), ["season: {Jan: 1, Feb: 2}"], ["season: {Jan: 1, Feb: 4}"]),
        (Change(("birch", "waste"), 0.03, percent=True), [], [f"  waste: {{value: 3%, {NOTE}}}"]),
        (Change(("birch", "lease", "fee"), 5.0, bare=True), [], ["  lease: {fee: 5}"]),
        (Change(("birch", "rate"), None), [RATE], ["  rate: unknown     # a share"]),
    ],
)
def test_a_number_is_changed_in_its_place(change, old, new):
    told = lines_changed(TEXT, edited(TEXT, [change], "2027-01-01", 1))
    assert [line[2:] for line in told if line[0] == "-"] == old
    assert sorted(line[2:] for line in told if line[0] == "+") == sorted(new)


@pytest.mark.parametrize(
    "keys", [("birch",), ("birch", "bands"), ("birch", "bands", "3", "rate"), ("birch", "rate", "x")]
)
def test_what_is_no_number_is_not_changed(keys):
    with pytest.raises(EditError):
        edited(TEXT, [Change(keys, 1.0)], "2027-01-01", 1)


@pytest.mark.parametrize(
    ("value", "percent", "text"),
    [(1240.0, False, "1240"), (0.0052, False, "0.0052"), (0.075, True, "7.5%"), (1e-7, False, "0.0000001"),
     (1e15, False, "1000000000000000"), (-2.5, False, "-2.5"), (None, True, "unknown")],
)  # fmt: skip
def test_numbers_are_spelled_as_people_write_them(value, percent, text):
    assert spelled(value, percent=percent) == text


def test_a_rich_workbook_keeps_its_scenario_word_for_word(rich):
    found = audit(rich.path)
    assert told(found) == []
    assert found.scenario.document.text == RICH

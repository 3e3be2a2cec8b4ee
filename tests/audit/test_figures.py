"""Changed figures: read as typed, judged by cell, told with what each does alone."""

import pytest

from tco.assemble import build
from tco.audit.audit import audit, audit_book
from tco.audit.cells import read_book
from tco.audit.effects import answer
from tco.audit.touched import held
from tco.model.evaluate import evaluate
from tco.problem import ScenarioError
from tco.scenario.load import load_text
from tests import recalc
from tests.audit.books import edit, patch, place_of, told
from tests.scenario.samples import SMALL


def audited(made, tmp_path, changes):
    return audit_book(read_book(edit(made.path, tmp_path, changes)), made.expected)


def test_an_untouched_workbook_has_no_findings_with_or_without_its_scenario(small, tmp_path):
    file = tmp_path / "small.yaml"
    file.write_text(SMALL, encoding="utf-8")
    for found in (audit(small.path), audit(small.path, file)):
        assert (found.findings, found.problems, found.touched) == ((), (), False)
        assert found.before == found.after


def test_a_copy_saved_by_a_program_that_keeps_no_values_has_no_findings(rich, tmp_path):
    found = audited(rich, tmp_path, {})
    assert told(found) == []
    assert found.stored == {}


@pytest.mark.parametrize(
    ("key", "typed", "new"),
    [
        ("birch.lease.rent", 1300, 1300.0),
        ("money.discount_rate", 0.08, 0.08),
        ("money.discount_rate", "8%", 0.08),
        ("months", 48, 48.0),
        ("birch.lease.return_freight", "unknown", None),
    ],
)
def test_a_changed_figure_is_told_with_its_effect(small, tmp_path, key, typed, new):
    found = audited(small, tmp_path, {small.input_cell(key): typed})
    assert [(one.kind, one.key) for one in found.findings] == [("changed input", key)]
    effect = found.findings[0].effect
    if new is not None:
        if key == "months":
            after = answer(build(load_text(SMALL.replace("months: 60\nmoney", "months: 48\nmoney"))))
        else:
            after = answer(small.expected.model, {key: new})
        assert effect.change == pytest.approx(
            {one: worth - found.before.worth[one] for one, worth in after.worth.items()}
        )
        assert found.after.worth == pytest.approx(dict(after.worth))
    else:
        assert found.findings[0].new == "unknown"
        assert "return_freight: unknown" in found.accepted.text
    assert any(abs(change) > 1 for change in effect.change.values()) or new is None


def test_a_change_that_turns_the_answer_says_so(small, tmp_path):
    cheaper = "birch" if answer(small.expected.model).cheapest == "birch" else "today"
    key, value = ("birch.lease.rent", 5000) if cheaper == "birch" else ("today.service.colour", 0.5)
    found = audited(small, tmp_path, {small.input_cell(key): value})
    assert found.findings[0].effect.turns
    assert (found.before.cheapest, found.after.cheapest) == (cheaper, "today" if cheaper == "birch" else "birch")


@pytest.mark.parametrize(
    ("typed", "what"),
    [
        (None, "is empty"),
        ("about 1200", "must be a number"),
        ("1,240.50", "has a thousands separator"),
        ("12,5", "decimal comma"),
        (True, "must be a number, not `true`"),
        ("=1200+40", "holds a formula without a number"),
        (-5, "negative"),
    ],
)
def test_a_figure_that_cannot_be_is_refused_by_its_cell(small, tmp_path, typed, what):
    sheet, row, column = small.input_cell("birch.lease.rent")
    found = audited(small, tmp_path, {(sheet, row, column): typed})
    assert len(found.problems) == 1
    problem = found.problems[0]
    assert problem.path == f"{sheet}!{chr(64 + column)}{row} (birch.lease.rent)"
    assert what in problem.text()
    assert problem.line is None
    assert found.accepted is None


def test_one_figure_in_two_cells_must_be_changed_in_both(rich, tmp_path):
    lines = [line for line in rich.expected.model.lines if "coverage" in line.entry_keys]
    assert lines
    homes = [rich.expected.layout.homes[line] for line in lines]
    place = (homes[0].sheet, homes[0].row + 1 + lines[0].entry_keys.index("coverage"), homes[0].column + 1)
    found = audited(rich, tmp_path, {place: 0.07})
    if len(lines) > 1:
        assert "Both are one figure" in found.problems[0].text()
    else:
        assert "coverage: {value: 7%" in found.accepted.text


def test_stored_values_of_another_figure_are_told_as_stale(small, tmp_path):
    """An input typed into the file by a program that calculates nothing: the old answers are still stored."""
    sheet, row, column = small.input_cell("birch.lease.rent")
    found = audit(patch(small.path, tmp_path, {(sheet, f"{chr(64 + column)}{row}"): 1300.0}))
    kinds = {one.kind for one in found.findings}
    assert kinds == {"changed input", "stale value"}
    stale = [one for one in found.findings if one.kind == "stale value"]
    assert "birch.lease.rent" in {one.key for one in stale}
    told = [one.old for one in stale if one.sheet == "Summary"]
    assert f"{float(small.expected.values['birch.measures.present_value'].item()):.15g}" in told
    assert not found.touched


def test_one_stored_value_that_is_none_of_its_formula_is_told(small, tmp_path):
    home = small.expected.layout.homes[small.expected.model["birch.measures.present_value"]]
    found = audit(patch(small.path, tmp_path, {(home.sheet, f"D{home.row + 1}"): 1.0}))
    assert [(one.kind, one.key, one.old) for one in found.findings] == [
        ("stale value", "birch.measures.present_value", "1")
    ]


@pytest.mark.parametrize("key", ["birch.plan.black_clicks_1", "birch.press.rent", "birch.press.regular_done"])
def test_the_effect_of_an_overwritten_formula_is_that_of_the_recalculated_workbook(small, tmp_path, key):
    """A program that knows nothing of the model calculates the file with that one cell typed over."""
    model, layout = small.expected.model, small.expected.layout
    home = layout.homes[model[key]]
    place = (home.sheet, home.row + 1, home.column + 4)
    found = audited(small, tmp_path, {place: 777.0})
    (one,) = [one for one in found.findings if one.kind == "overwritten formula"]
    ids = list(found.before.worth)
    worths = {one: layout.homes[model[f"{one}.measures.present_value"]] for one in ids}
    cells = {name: (home.sheet, home.row + 1, home.column + 1) for name, home in worths.items()}
    poisoned = recalc.poison(small.path, tmp_path)
    calculated = recalc.recalc_ironcalc(poisoned, cells.values(), {place: 777.0})
    right = {name: calculated[cell] - found.before.worth[name] for name, cell in cells.items()}
    assert one.effect.change == pytest.approx(right, abs=0.01)
    assert any(abs(change) > 1 for change in right.values())


def test_what_cannot_be_told_is_said(small, tmp_path):
    home = small.expected.layout.homes[small.expected.model["birch.statement.net"]]
    found = audited(small, tmp_path, {(home.sheet, home.row + 1, home.column + 4): "=1+1"})
    assert "no number is stored" in found.findings[0].note
    assert found.findings[0].effect is None


def test_the_log_of_changes_is_told_and_is_no_finding(small, tmp_path):
    log = {("Changes", 5, 1): "2027-03-04", ("Changes", 5, 2): "K. Ames", ("Changes", 5, 6): "New offer"}
    found = audited(small, tmp_path, log)
    assert found.log == ("2027-03-04; K. Ames; New offer",)
    assert found.findings == ()


def test_a_scenario_of_another_study_is_refused(small, tmp_path):
    file = tmp_path / "other.yaml"
    file.write_text(SMALL.replace("1240", "1250"), encoding="utf-8")
    with pytest.raises(ScenarioError, match="was not made from"):
        audit(small.path, file)


def test_a_carried_scenario_that_was_retyped_is_refused_unless_the_scenario_is_given(small, tmp_path):
    row = SMALL.splitlines().index("months: 60") + 5
    path = edit(small.path, tmp_path, {("Scenario", row, 2): "months: 72"})
    with pytest.raises(ScenarioError, match="carries a scenario that was changed"):
        audit(path)
    file = tmp_path / "small.yaml"
    file.write_text(SMALL, encoding="utf-8")
    assert audit(path, file).findings == ()


def test_the_model_held_in_one_month_is_the_model_elsewhere(small):
    base = small.expected.values["birch.statement.net"][0, 0]
    model = held(build(small.expected.scenario), "birch.statement.net", {(0, 2): 5.0})
    net = evaluate(model, keep=["birch.statement.net"])["birch.statement.net"][0, 0]
    assert net[2] == 5.0
    assert [*net[:2], *net[3:]] == [*base[:2], *base[3:]]


def test_places_read_as_written():
    assert place_of("Quotes", "AB12") == ("Quotes", 12, 28)

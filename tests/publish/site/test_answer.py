"""What the first page says: winner, margin, runner-up, condition; and when it must not name one."""

import re
from dataclasses import replace

import pytest

from tco.advice.verdict import Standing, judge
from tco.analyses.fitting import Fit
from tco.publish import sentences
from tco.publish.certainty import how_sure
from tco.publish.drawings_risk import of_hundred
from tco.publish.numbers import Numbers
from tco.publish.pages import answer, fit, volume
from tco.publish.parts import Kit
from tests.publish.site import built, mock
from tests.publish.site.pages import Read


def kit(report):
    return Kit(report, Numbers(report.facts.locale, report.facts.currency))


def plain(text):
    return text.replace("\u00a0", " ")


def page(study, name="index.html"):
    return plain(" ".join("".join(Read(built.site(study)[name].decode()).words).split()))


def test_the_headline_has_winner_margin_runner_up_and_condition():
    found = sentences.headline(kit(mock.report()))
    assert found.main == "Lease the Birch: about $260 a month less than Keep the Alder"
    assert found.condition == "as long as you print more than 54,200 pages a month (below: Keep the Alder)"


def test_the_answer_has_six_measures_for_each_candidate():
    table = answer.side_by_side(kit(mock.report()))
    assert len(table.columns) == 6
    assert [row.head for row in table.rows] == ["Lease the Birch", "Keep the Alder", "Buy the Cedar"]
    assert [row.mark for row in table.rows] == ["costs least", "the present", ""]
    assert [plain(row.cells[-1].text) for row in table.rows] == ["saves 13,000", "—", "costs 9,200 more"]
    assert all(cell.href or cell.text == "—" for row in table.rows for cell in row.cells)


def number(text):
    return float(re.sub(r"[^0-9]", "", text))


@pytest.mark.parametrize("more", [0.0, 4_960.0, 12_449.0, 12_951.0])
def test_the_reader_can_subtract_what_is_printed(more):
    """Savings and the lead are the differences of the printed sums, however near the candidates are."""
    report = mock.report()
    costs = {one.id: one.measures["present_value"] + more * (one.id == "birch") for one in report.candidates}
    told = {name: {"present_value": cost, "level_month": cost / 50} for name, cost in costs.items()}
    near = mock.finished(tuple(replace(one, measures={**one.measures, **told[one.id]}) for one in report.candidates))
    rows = {row.head: [plain(cell.text) for cell in row.cells] for row in answer.side_by_side(kit(near)).rows}
    today = number(rows["Keep the Alder"][2])
    for name in ("Lease the Birch", "Buy the Cedar"):
        words = rows[name][-1]
        saved = 0.0 if words == "the same" else number(words) if words.startswith("saves") else -number(words)
        assert saved == today - number(rows[name][2])
    first, second = (near.candidate(name).name for name in near.verdict.order[:2])
    found = sentences.headline(kit(near))
    word, gap = re.search(r"(about|less than) (\S+) a month", f"{found.main} {found.condition}").groups()
    printed = number(rows[second][1]) - number(rows[first][1])
    assert printed == (number(gap) if word == "about" else 0)


def test_a_long_group_is_named_by_its_first_two():
    report = mock.report()
    close = tuple(one.id for one in report.candidates)
    found = sentences.headline(kit(replace(report, verdict=replace(report.verdict, close=close))))
    assert found.main == "Too close to call: Keep the Alder, Lease the Birch and one\u00a0other"


def test_the_first_page_says_how_sure_it_is_and_whether_silence_can_change_it():
    words = page("report")
    assert "Lease the Birch is cheapest in 71 of 100 of the futures you described." in words
    assert "what the quotes leave unsaid can change the winner; six questions to send" in words
    unknown = page("barred")
    assert "Not assessed: no range is written on volume nor on any price of Keep the Alder." in unknown
    assert "Keep the Alder stays cheapest in two of five what-ifs" in unknown


def test_the_first_page_says_what_it_rests_on():
    words = page("bare")
    for expected in (
        "paper and energy, for every candidate",
        "capacity not checked",
        "not checked against what was paid",
        "not assessed",
        "one gap in the quotes",
        "Lease the Birch costs least whether freed hours are saved or people stay paid.",
    ):
        assert expected in words


def test_no_jargon_on_the_first_page():
    words = page("report").lower()
    for word in ("npv", "tco", "levelised", "eac", "net present", "quantile", "option"):
        assert word not in words.split()


def test_last_year_is_told_with_its_difference():
    assert "the model gives $23,700; you paid $24,000 (−1.3%)" in page("barred")


def test_a_candidate_that_leaves_work_undone_is_never_the_winner():
    report = mock.barred()
    assert report.candidate("birch").measures["present_value"] < report.candidate("today").measures["present_value"]
    assert "birch" not in report.verdict.order
    found = sentences.headline(kit(report))
    assert found.main == "Too close to call: Keep the Alder and Buy the Cedar"
    words = page("barred")
    assert "leaves 118,000 pages that fit nowhere and has three months without cover" in words
    assert "Lease the Birch (cannot win) costs least above 54,200 pages a month" in words


def test_nobody_is_named_when_all_leave_work_undone():
    report = mock.report()
    left = tuple(replace(one, measures={**one.measures, "unplaced_sides": 5_000.0}) for one in report.candidates)
    found = sentences.headline(kit(mock.finished(left)))
    assert found.main == "No candidate does all the work"


def standing(name, cost, **more):
    return Standing(name, cost, cost / 50, **more)


@pytest.mark.parametrize(("second", "close"), [(101.99, ("a", "b")), (102.0, ()), (102.01, ())])
def test_a_lead_below_two_percent_is_too_close(second, close):
    verdict = judge([standing("a", 100.0), standing("b", second)])
    assert verdict.close == close
    assert verdict.leader == "a"
    assert verdict.winner == (None if close else "a")


def test_the_part_of_the_lead_that_comes_from_paying_later():
    first = standing("a", 90.0, financing=-8.0, at_cash_price=98.0)
    second = standing("b", 97.0, financing=0.0, at_cash_price=97.0)
    verdict = judge([first, second])
    assert verdict.financing == pytest.approx(8.0)
    assert verdict.cash_order == ("b", "a")
    unknown = judge([first, standing("c", 97.0)])
    assert unknown.financing is None
    assert unknown.inseparable == ("c",)
    assert unknown.cash_order == ()


def test_a_lead_smaller_than_what_paying_later_is_worth_comes_from_it_wholly():
    report = mock.report()
    part = replace(report.verdict, financing=20_600.0, cash_order=())
    told = sentences.financing(kit(replace(report, verdict=part)))
    assert told == "The whole lead of $13,000 in today’s money comes from paying later: that is worth $20,600."


def test_more_in_a_month_than_is_recommended_is_said_where_the_hours_are():
    report = mock.report()
    own = report.facts.average_sides
    grid = (0.5 * own, 0.9 * own, 1.1 * own)
    for beyond, said in (((False, True, True), True), ((True, True, False), False)):
        fit_ = Fit(grid, {}, {report.verdict.leader: beyond})
        near = replace(report, volumes=replace(report.volumes, fit=fit_))
        assert sentences.capacity_words(kit(near)).endswith("more in a month than is recommended") is said


def test_neither_all_nor_none_of_the_futures_where_a_few_are_otherwise():
    best = mock.report().risk.chances[0]
    some = ((1.0, 100), (0.997, 100), (0.003, 0), (0.0, 0))
    told = [of_hundred(replace(best, probability=share, count=count)) for share, count in some]
    assert told == ["100", "more than 99", "fewer than 1", "0"]


def test_futures_that_agree_do_not_hide_what_the_quotes_leave_open():
    report = mock.report()
    said = []
    for money in (0.0, 9_000.0):
        verdict = replace(report.verdict, close=report.verdict.order[:2], open_money=money)
        said.append(how_sure(kit(replace(report, verdict=verdict))))
    assert said[1] == f"{said[0]}; what the quotes leave unsaid is read alike in all of them"


def test_candidates_open_for_the_same_reason_are_named_together():
    report = mock.report()
    open_points = {one.id: (f"{one.name}: Nothing says what a click is",) for one in report.candidates}
    open_points["cedar"] = ("Paper is unsaid", "another")
    asked = kit(replace(report, verdict=replace(report.verdict, unsettled=open_points)))
    assert sentences.not_yet(asked, open_points) == (
        "not yet comparable: Keep the Alder and Lease the Birch (nothing says what a click is) and Buy the Cedar "
        "(paper is unsaid and one\u00a0more point)"
    )


def test_the_policy_for_people_is_told_when_it_changes_the_winner():
    verdict = judge([standing("a", 90.0, saved=90.0, stay=95.0), standing("b", 93.0, saved=96.0, stay=93.0)])
    assert verdict.policies == {"saved": ("a", "b"), "stay paid": ("b", "a")}


def test_only_work_without_a_place_bars():
    assert standing("a", 1.0, unplaced=1.0).barred
    assert standing("a", 1.0, uncovered=1.0).barred
    assert not standing("a", 1.0).barred


def test_the_volume_page_tells_ties_jumps_and_never():
    rows = {row.head: row.cells[1].text for row in volume.pairs(kit(mock.report()))[0].rows}
    assert rows == {
        "Keep the Alder and Lease the Birch": "tie at 54,210",
        "Keep the Alder and Buy the Cedar": "jump between 24,000 and 24,001",
        "Lease the Birch and Buy the Cedar": "never",
    }


def test_more_hours_than_there_are_stand_out():
    assert fit.shade(1.004) == "full"
    assert fit.shade(1.0) == fit.shade(0.99) == "h4"
    assert fit.shade(0.0) == "h0"
    table = volume.utilisation(kit(mock.report()))
    assert any(cell.css == "full" for row in table.rows for cell in row.cells)
    told = [cell.text for cell in fit.by_calendar_month(kit(mock.report()), "volume_scale", (1.004, 1.0, 1.03, 0.996))]
    assert told[:4] == [">100%", "100%", "103%", "100%"]


def test_of_many_pairs_those_of_the_leader_come_first(monkeypatch):
    monkeypatch.setattr(volume, "MOST_PAIRS", 2)
    report = mock.report()
    first, rest = volume.pairs(kit(report))
    leader = report.candidate(report.verdict.leader).name
    assert len(report.volumes.pairs) == len(first.rows) + len(rest.rows) > len(first.rows) > 0
    assert all(leader in row.head for row in first.rows)
    assert not any(leader in row.head for row in rest.rows)


def test_tax_cautions_only_where_tax_is_computed():
    assert "Income tax." not in page("report", "costs.html")
    assert "Income tax." in page("barred", "costs.html")

# ruff: noqa: E501  one scenario piece is one line of YAML
"""The silence bar against every combination of readings, and the questions that follow from it."""

from itertools import product

import pytest

from tco.advice.questions import MOST_ASKED, questions
from tco.advice.silence import CAN, CANNOT, points, silence
from tco.advice.warnings import find_warnings
from tests.advice.quotes import BIRCH_PLAN, ODD, cost, study, swap

# What the readings are, in the words of the file, so that each combination is a text of its own.
PLAN = "    service: {base: 420, included: {colour: 8400}, colour: 0.05, black: 0.009, months: 60%s}"
SILENT = (*ODD, *swap(BIRCH_PLAN, PLAN.replace("%s", "")), *swap("paid: in advance, ", ""))
SIZES, BACKS, PERIODS, INCREASES, PAID = (
    ("oversize_counts: 1", "oversize_counts: 2"), ("blank_backs: free", "blank_backs: count"),
    ("settled: monthly", "settled: quarterly", "settled: yearly"),
    ("increase: 0%", "increase: 3%", "increase: 5%", "increase: 10%"), ("in advance", "in arrears"),
)  # fmt: skip
DEAR_TODAY = swap("service: {base: 310", "service: {base: 9000")


def every_cost():
    """Present value of the silent candidate for every way of filling its silences in."""
    for paid in PAID:
        for words in product(SIZES, BACKS, PERIODS, INCREASES):
            plan = PLAN.replace("%s", ", " + ", ".join(words))
            yield cost("birch", *ODD, *swap(BIRCH_PLAN, plan), *swap("paid: in advance", f"paid: {paid}"))


def test_a_bar_reaches_the_ends_of_all_combinations():
    here = study(*SILENT)
    assert {point.path for point in points(here) if point.path.startswith("birch.")} == {
        "birch.lease.paid", "birch.service.oversize_counts", "birch.service.blank_backs", "birch.service.settled",
        "birch.service.increase",
    }  # fmt: skip
    bar = silence(here).bar("birch")
    costs = list(every_cost())
    assert len(costs) == 96
    assert (bar.low, bar.high) == pytest.approx((min(costs), max(costs)), rel=1e-10)
    assert bar.low < bar.base <= bar.high


def test_enumeration_and_improvement_agree(monkeypatch):
    here = study(*SILENT)
    improved = silence(here).bar("birch")
    monkeypatch.setattr("tco.advice.silence.MOST_COMBINATIONS", 10_000)
    everything = silence(here).bar("birch")
    assert (improved.low, improved.high) == pytest.approx((everything.low, everything.high), rel=1e-12)


TWO = (  # Both quotes leave the size rule and the increase unsaid
    *swap("oversize_counts: 2, increase: 3%, increase_cap: 3%", "oversize_counts: 2, increase: unknown"),
    *swap("oversize_counts: 1, increase: 3%, increase_cap: 4%", "increase: unknown"),
)


@pytest.mark.parametrize("price", [20000, 58500, 90000, 300000])
def test_the_sentence_holds_exactly_when_no_combination_changes_the_winner(price):
    priced = swap("price: 58500", f"price: {price}")
    winners = set()
    for birch, cedar, size in product(INCREASES, INCREASES, SIZES):
        filled = (*swap("oversize_counts: 2, increase: 3%, increase_cap: 3%", f"oversize_counts: 2, {birch}"),
                  *swap("oversize_counts: 1, increase: 3%, increase_cap: 4%", f"{size}, {cedar}"))  # fmt: skip
        costs = {key: cost(key, *priced, *filled) for key in ("birch", "cedar")}
        winners.add(min(costs, key=costs.get))
    here = silence(study(*priced, *TWO, *DEAR_TODAY))
    assert here.decided == (len(winners) == 1)
    assert here.sentence == (CANNOT if len(winners) == 1 else CAN)


def test_the_cases_above_hold_both_answers():
    said = {silence(study(*swap("price: 58500", f"price: {price}"), *TWO, *DEAR_TODAY)).sentence for price in (58500, 90000)}
    assert said == {CAN, CANNOT}


def test_a_sum_without_end_is_no_figure_but_a_switch_value():
    unknown = (*DEAR_TODAY, ("return_freight: 900", "return_freight: unknown"), ("price: 58500", "price: 90000"))
    found = silence(study(*unknown))
    bar = found.bar("birch")
    assert (bar.low, bar.high) == (bar.base, bar.base)
    (one,) = bar.open_ended
    assert one.flip == "alone"
    assert one.switch > 0
    assert found.sentence == CAN
    allowed = silence(study(*unknown, *swap("candidates:\n", "allowances: {return_freight: 1500}\ncandidates:\n")))
    assert allowed.bar("birch").open_ended == ()
    assert allowed.bar("birch").low < allowed.bar("birch").high
    assert allowed.sentence == CANNOT


def test_nobody_can_be_cheapest_when_all_leave_work_undone():
    hours = swap("waste: 3%", "waste: 3%\nshop: {hours_per_week: 1}")
    slow = ("sides_per_minute: 1\n    ", "sides_per_minute: 1, ")
    found = silence(study(*hours, ("    cash:", f"    {slow[0]}cash:"), ("    lease:", f"    {slow[0]}lease:"),
                          ("today: {", "today: {" + slow[1])))  # fmt: skip
    assert (found.leader, found.sentence) == (None, "")


def test_at_most_five_are_asked_and_those_that_decide_come_first():
    here = study(*SILENT)
    warnings = find_warnings(here)
    asked = {one.candidate: one for one in questions(here, warnings)}
    birch = asked["birch"]
    assert len(birch.asked) == MOST_ASKED == 5
    everything = [*birch.asked, *birch.folded]
    assert [one.decides for one in everything] == sorted((one.decides for one in everything), reverse=True)
    assert len({one.text for one in everything}) == len(everything)
    open_ones = {one.question for one in warnings if one.candidate == "birch"}
    assert {one.text for one in everything} == open_ones
    assert all(len(one.asked) <= MOST_ASKED for one in asked.values())
    text = birch.text()
    assert text.startswith("Questions on Tarnwick, offer 1187\n\n1. ")
    assert f"\n{len(everything)}. {everything[-1].text}" in text


def test_what_decides_really_does():
    here = study(*SILENT, *swap("price: 58500", "price: 90000"))
    (birch,) = [one for one in questions(here, find_warnings(here)) if one.candidate == "birch"]
    leader = here.leader(here.base)
    for one in [*birch.asked, *birch.folded]:
        if one.warning.money is not None:
            ends = {here.leader({**here.base, "birch": end}) for end in one.warning.money}
            assert one.decides == (ends != {leader})


def test_a_settled_warning_is_not_asked():
    line = swap("start:", "accepted: {birch.settlement: yearly by letter}\nstart:")
    for more, expected in (((), True), (line, False)):
        here = study(*SILENT, *more)
        (birch,) = [one for one in questions(here, find_warnings(here)) if one.candidate == "birch"]
        assert any("settled by month" in one.text for one in (*birch.asked, *birch.folded)) is expected


def test_questions_nobody_else_can_answer_go_to_the_shop():
    asked = questions(study(), find_warnings(study(*swap("waste: 3%", "waste: 0%"))))
    assert asked[-1].candidate == ""
    assert any("spoilt" in one.text for one in asked[-1].asked)

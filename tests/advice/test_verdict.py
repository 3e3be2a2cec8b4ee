"""Nobody is called cheapest whose quote is not yet comparable, or whose lead is smaller than what is left unsaid."""

import pytest

from tco.advice.silence import settled, silence
from tco.advice.verdict import Standing, judge
from tco.advice.warnings import find_warnings
from tco.publish.numbers import Numbers
from tco.publish.parts import Kit
from tco.publish.publish import compute
from tco.publish.sentences import headline
from tco.publish.terminal_advice import refusals
from tests.advice.quotes import UNSIZED, study, swap

# Birch leads clearly, and does not say how large sides count.
CHEAP = (*UNSIZED, ("price: 58500", "price: 90000"), ("base: 310", "base: 900"))
READ = swap("start:", "accepted: {click-basis: read from the meter, oversize-rule: the same}\nstart:")


def kit(report):
    return Kit(report, Numbers("en_US", "USD"))


def standing(name, cost, low=None, high=None, **more):
    return Standing(name, cost, cost / 50, low=low, high=high, **more)


@pytest.mark.parametrize(
    ("first", "second", "close", "money"),
    [
        ((100.0, 100.0, 100.0), (105.0, 105.0, 105.0), False, 0.0),
        ((100.0, 100.0, 103.0), (105.0, 105.0, 105.0), False, 0.0),
        ((100.0, 100.0, 103.0), (105.0, 102.9, 105.0), True, 5.1),
        ((100.0, 100.0, 100.0), (105.0, 99.0, 105.0), True, 6.0),
        ((100.0, 90.0, 100.0), (105.0, 105.0, 130.0), False, 0.0),
        ((100.0, 100.0, 150.0), (101.0, 101.0, 101.0), True, 0.0),
    ],
)
def test_the_larger_of_two_percent_and_the_money_in_open_gaps_decides(first, second, close, money):
    verdict = judge([standing("a", *first), standing("b", *second)])
    assert bool(verdict.close) is close
    assert verdict.open_money == pytest.approx(money)
    assert verdict.winner == (None if close else "a")


def test_only_those_whom_the_gaps_reach_are_within_reach():
    verdict = judge([standing("a", 100.0, 100.0, 104.0), standing("b", 105.0), standing("c", 110.0, 103.5, 110.0)])
    assert verdict.close == ("a", "c")
    assert verdict.open_money == pytest.approx(10.5)


def test_a_leader_that_is_not_yet_comparable_is_no_winner_and_his_rival_still_can_be():
    open_one = judge([standing("a", 100.0, unsettled=("how large sides count",)), standing("b", 120.0)])
    assert (open_one.leader, open_one.winner) == ("a", None)
    rival = judge([standing("a", 100.0), standing("b", 120.0, unsettled=("how large sides count",))])
    assert rival.winner == "a"
    assert rival.unsettled == {"b": ("how large sides count",)}


def test_the_headline_says_what_is_not_yet_comparable_and_an_acceptance_settles_it():
    report = compute(study(*CHEAP).scenario).report
    told = headline(kit(report))
    assert told.main.startswith("Birch: lowest as far as the quotes say, about ")
    assert told.condition.startswith("not yet comparable: Birch (the plan has rates but does not say what one click is")
    assert told.mark == "lowest so far"
    done = compute(study(*CHEAP, *READ).scenario).report
    assert done.verdict.winner == "birch"
    assert headline(kit(done)).main.startswith("Birch: about ")
    assert "not yet comparable" not in headline(kit(done)).condition
    assert refusals(study(*CHEAP), report.warnings)
    assert refusals(study(*CHEAP, *READ), done.warnings) == []


def test_a_silence_that_is_settled_weighs_nothing():
    line = "accepted: {birch.click-basis: by letter, birch.oversize-rule: by letter, birch.blank-backs: by letter}"
    here = study(*CHEAP, *swap("start:", f"{line}\nstart:"))
    warnings = find_warnings(here)
    bar = silence(here, warnings).bar("birch")
    assert bar.low == bar.base == bar.high
    assert silence(here).bar("birch").low < bar.low
    assert settled("birch.service.oversize_counts", warnings)
    half = study(*CHEAP, *swap("start:", "accepted: {birch.click-basis: by letter}\nstart:"))
    assert not settled("birch.service.oversize_counts", find_warnings(half))

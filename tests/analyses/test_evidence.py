"""What an answer rests on: weights by hand, against scenarios built anew, and what carries nothing."""

import pytest

from tco.analyses.evidence import ENOUGH, MOST, STATUSES, evidence
from tco.assemble import build
from tests.analyses.studies import PLANS, cost, study

BY_HAND = """\
title: Two sums and a rate
start: 2027-01
months: 12
money: {discount_rate: 0%, inflation: 0%}
work: {black: {per_year: 120000, status: measured}}
left_out: [paper, labour, energy, space]
today: {service: {black: {value: 0.02, status: invoiced}}}
candidates:
  alder:
    quote: Tarnwick, offer 12
    cash: {price: 9000, sells_for: {value: 1000, status: estimated}}
    service: {base: {per_year: 600, status: contracted}, black: 0.01, colour: unknown}
"""


def test_weights_by_hand():
    """Today: 120,000 x 0.02 = 2,400, all of it carried by either factor. Alder: 9,000 - 1,000 + 600 + 1,200 x 2."""
    _, model = study(BY_HAND)
    found = evidence(model)
    today, alder = found.of("today"), found.of("alder")
    assert {one.key: one.moves for one in today.most} == pytest.approx(
        {"today.service.black": 24.0, "work.black": 24.0}
    )
    assert today.shares == pytest.approx(dict.fromkeys(STATUSES, 0.0) | {"measured": 0.5, "invoiced": 0.5})
    weights = {"alder.cash.price": 90, "work.black": 12, "alder.service.black": 12, "alder.cash.sells_for": -10}
    assert {one.key: one.moves for one in alder.most} == pytest.approx(weights)
    whole = 90 + 12 + 12 + 10 + 6
    told = {"quoted": 102, "measured": 12, "estimated": 10, "contracted": 6}
    assert {status: share * whole for status, share in alder.shares.items() if share} == pytest.approx(told)
    assert (alder.needed, alder.figures) == (4, 5)
    assert alder.reached == pytest.approx((whole - 6) / whole)
    assert found.counting >= 1  # how many presses there are
    assert found.nothing >= 1  # the colour rate that nobody knows, and the discount rate of nothing


def test_a_weight_is_half_the_way_between_two_scenarios_built_anew():
    scenario, model = study(PLANS)
    found = evidence(model).of("birch")
    assert len(found.most) == MOST
    for one in found.most[:4]:
        ends = [build(scenario.with_changes({one.key: one.value * part})) for part in (0.99, 1.01)]
        low, high = (cost(model_, "birch") for model_ in ends)
        assert one.moves == pytest.approx((high - low) / 2, rel=1e-6)


def test_shares_add_up_and_the_heaviest_come_first():
    _, model = study(PLANS)
    for one in evidence(model).candidates:
        assert sum(one.shares.values()) == pytest.approx(1)
        assert [each.share for each in one.most] == sorted((each.share for each in one.most), reverse=True)
        assert one.reached == pytest.approx(sum(each.share for each in one.most))
        assert (one.reached >= ENOUGH) == (one.needed <= MOST)


def test_a_share_of_everything_can_only_fall_and_weighs_the_same():
    """Where a limit bars half of the way the other half tells: no more than all can be printed on both sides."""
    text = BY_HAND.replace("black: {per_year: 120000, status: measured}",
                           "black: 120000, two_sided_share: {value: 100%, status: measured}")  # fmt: skip
    text = text.replace("left_out: [paper, ", "shop: {paper: {letter: 0.04}}\nleft_out: [")
    scenario, model = study(text)
    (found,) = [one for one in evidence(model).of("today").most if one.key == "work.two_sided_share"]
    less = cost(build(scenario.with_changes({"work.two_sided_share": 0.99})), "today")
    assert found.moves == pytest.approx(cost(model, "today") - less, rel=1e-6)
    assert found.moves < 0

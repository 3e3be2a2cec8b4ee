"""Warnings read every meter of a plan, not only those of colour and black."""

import pytest

from tests.advice.quotes import BIRCH_PLAN, cost, found, swap

PLAN = ("    service: {base: 420, meters: {large: {size: large, rate: 0.1, included: 9000}, "
        "rest: {bands: [{from: 0, rate: 0.04}, {from: 20000, rate: 0.03}], minimum: 90000}}, settled: monthly, "
        "increase: 3%, increase_cap: 3%, months: 60%s}")  # fmt: skip


def told(code, *more):
    return {one.path: one for one in found(code, *swap(BIRCH_PLAN, PLAN.replace("%s", "")), *more)
            if one.candidate == "birch"}  # fmt: skip


@pytest.mark.parametrize(("code", "paths"), [
    ("click-basis", {"birch.service"}),
    ("oversize-rule", {"birch.service.oversize_counts"}),
    ("included-size", {"birch.service.meters.large.included"}),
    ("overage-rate", {"birch.service.meters.large.rate"}),
    ("bands-unread", {"birch.service.meters.rest.bands_read"}),
    ("minimum-high", {"birch.service.meters.large.included", "birch.service.meters.rest.minimum"}),
    ("carry-forward", {"birch.service.settled"}),
])  # fmt: skip
def test_a_meter_is_asked_what_a_colour_is_asked(code, paths):
    found_there = told(code)
    assert set(found_there) == paths
    assert all(one.line for one in found_there.values())


def test_bands_of_a_meter_that_fall_are_told():
    read = ("minimum: 90000", "bands_read: all units")
    assert set(told("bands-inverted", read)) == {"birch.service.meters.rest.bands"}
    assert told("bands-unread", read) == {}


def test_what_is_carried_forward_or_credited_is_not_lost():
    kept = (("included: 9000", "included: 9000, carry_forward_months: 3"),
            ("minimum: 90000", "minimum: 90000, under_use_credit: 0.01"))  # fmt: skip
    assert told("carry-forward", *kept) == {}
    assert told("minimum-high", *kept) == {}


def test_coverage_above_the_cap_is_told_with_what_it_costs():
    cap = swap("increase: 3%, increase_cap: 3%, months: 60",
               "increase: 3%, increase_cap: 3%, months: 60, coverage_cap: {cap: 4%, price: 0.006, per: letter}")
    (one,) = [one for one in found("coverage-cap", *cap) if one.candidate == "birch"]
    assert one.path == "birch.service.coverage_cap"
    free = cost("birch", *cap, ("price: 0.006", "price: 0"))
    assert one.money == pytest.approx((free, cost("birch", *cap)), rel=1e-10)
    assert found("coverage-cap", *cap, ("cap: 4%", "cap: 5%")) == []

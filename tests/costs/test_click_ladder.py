"""What the rate of a click means for a large side and for a good side printed, by hand, and how the page tells it."""

import pytest

from tests.costs.test_service_parts import jobs, plan

LEDGERS = jobs(one="colour: colour, sides_per_set: 3, two_sided: yes, sets_per_job: 100, jobs: {per_month: 10}, "
                   "size: ledger, waste: 2%, make_ready_sheets: 5",
               two="colour: colour, sides_per_set: 1, sets_per_job: 500, jobs: {per_month: 2}")


def test_what_a_click_means_for_a_good_side():
    """By hand: 0.032 a click, large sides twice. 1,000 sets of 3 sides are 2,000 sheets, with 2 % and 10 x 5 sheets
    2,090 and 4,180 passes, so 8,360 clicks; 1,000 small clicks beside them; 4,000 good sides."""
    paid = plan("colour: 0.032\noversize_counts: 2", work=LEDGERS)
    assert paid.row("plan.colour_a_click")[0] == pytest.approx(0.032)
    assert paid.row("plan.colour_a_large_side")[0] == pytest.approx(0.064)
    assert paid.row("plan.colour_a_good_side")[0] == pytest.approx(0.032 * (8360 + 1000) / 4000)
    blank = plan("colour: 0.032\nblank_backs: free\ncopy_credit: 1%", work=LEDGERS)
    unspoilt = 4180 - 1000 * 2090 / 2000
    assert blank.row("plan.colour_a_good_side")[0] == pytest.approx(0.032 * 0.99 * (2 * unspoilt + 1000) / 4000)


def test_a_meter_with_a_rate_for_large_sides_and_separations():
    """Each meter has its own good sides; a press that cannot print a class takes none of it."""
    meters = "meters: {wet: {colour: colour, rate: 0.01, size_rate: 0.015, separations: 4}, rest: {rate: 0.004}}"
    paid = plan(meters, work="work: {colour: 9000, black: 1000, oversize_share: {colour: 25%}}")
    assert paid.row("plan.wet_a_large_side")[0] == pytest.approx(4 * 0.015)
    assert paid.row("plan.wet_a_good_side")[0] == pytest.approx(4 * (0.75 * 0.01 + 0.25 * 0.015))
    assert paid.row("plan.rest_a_good_side")[0] == pytest.approx(0.004)
    assert not paid.has("plan.rest_a_large_side")
    small = plan("colour: 0.032", work=LEDGERS, press="largest: letter")
    assert small.row("plan.colour_a_good_side")[0] == pytest.approx(0.032)

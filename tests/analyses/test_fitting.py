"""Where the work does not fit any more: by hours, by what is recommended, and what the pages say of it."""

import pytest

from tco.analyses.fitting import fitting
from tco.publish.numbers import Numbers
from tco.publish.pages.volume import ranges
from tco.publish.parts import Kit
from tco.publish.publish import compute
from tests.analyses.studies import study

# 173 1/3 hours a month at 3,600 sides an hour: 624,000 sides, in a busiest month of 1.25 times the average.
TEXT = """\
title: What fits
start: 2027-01
months: 12
money: {discount_rate: 0%}
work: {black: 400000}
season: [1, 1, 1, 1.25, 1, 1, 0.75, 1, 1, 1, 1, 1]
shop: {hours_per_week: 40}
left_out: [paper, labour, energy, space]
today: {sides_per_minute: 60, service: {black: 0.02, increase: 0%}}
candidates:
  alder: {cash: {price: 6000}, sides_per_minute: 120, recommended_volume: 300000, service: {black: 0.01, increase: 0%}}
  birch: {cash: {price: 9000}, count: 2, sides_per_minute: 120, recommended_volume: 300000, service: {black: 0.012}}
"""
VOLUMES = [0.0, 200_000.0, 300_000.0, 450_000.0, 499_000.0, 500_000.0, 800_000.0]


def test_hours_and_recommendations_end_at_their_busiest_month():
    scenario, model = study(TEXT)
    fit = fitting(model, scenario, ("today", "alder", "birch"), VOLUMES)
    # 624,000 / 1.25 = 499,200 sides on average; 300,000 / 1.25 = 240,000; twice that for two presses.
    assert fit.undone["today"] == (False, False, False, False, False, True, True)
    assert fit.undone["alder"] == fit.undone["birch"] == (False,) * 7
    assert fit.beyond["today"] == (False,) * 7
    assert fit.beyond["alder"] == (False, False, True, True, True, True, True)
    assert fit.beyond["birch"] == (False, False, False, False, True, True, True)
    assert fit.stretches(fit.doubtful("today")) == [(500_000.0, 800_000.0)]
    assert fit.stretches((True, True, False, True, True, True, False)) == [(0.0, 200_000.0), (450_000.0, 500_000.0)]


def test_the_volume_page_marks_where_the_cheapest_does_not_fit():
    scenario, _ = study(TEXT)
    report = compute(scenario).report
    kit = Kit(report, Numbers("en_US", "USD"))
    (row,) = [row for row in ranges(kit).rows if row.cells[0].text == "Alder"]
    assert row.css == "barred"
    assert row.note.startswith("prints more in a month than is recommended from about 24")
    assert report.volumes.fit.volumes == pytest.approx(report.volumes.volumes)

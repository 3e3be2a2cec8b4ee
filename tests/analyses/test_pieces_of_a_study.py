"""The straight pieces of a whole model: presses that fill up, bands for all units, unlike work passed on."""

from __future__ import annotations

import numpy as np
import pytest

from tco.analyses.piecewise import trace
from tco.analyses.switches import over_volume
from tco.assemble import build
from tco.scenario.load import load_text

HIGHEST = 900_000.0
SCENARIO = """\
title: Two presses that share unlike work
start: 2027-07
months: 24
money: {currency: USD, discount_rate: 4%, inflation: 2.5%}
jobs:
  tests: {size: letter, colour: black, sides_per_set: 12, two_sided: yes, sets_per_job: 30, jobs: 5200}
  posters: {size: ledger, colour: colour, sides_per_set: 4, two_sided: yes, sets_per_job: 350, jobs: 160}
  books: {size: letter, colour: colour, sides_per_set: 40, two_sided: yes, sets_per_job: 500, jobs: 9}
season: [0.2, 2.2, 1.7, 1.1, 0.9, 0.6, 1.3, 0.9, 0.9, 0.9, 1.0, 0.3]
change_per_year: -5%
shop:
  hours_per_week: 40
  overtime_hours_per_week: 10
  labour: {wage: 23.40, on_cost: 42%}
  paper: {letter: 0.0078, ledger: 0.0210}
outside: {black: 0.034, colour: 0.145, paper: included}
candidates:
  pair:
    presses:
      mono:
        colour: no
        largest: letter
        rental: {rent: 900, notice_months: 3}
        sides_per_minute: {letter: 100}
        make_ready_minutes: 4
      both:
        rental: {rent: 1990, notice_months: 3}
        sides_per_minute: {letter: 90, ledger: 40}
        make_ready_minutes: 2
    service:
      black: [{from: 0, rate: 0.0046}, {from: 100000, rate: 0.0040}, {from: 400000, rate: 0.0035}]
      bands: all units
      settled: quarterly
      colour: 0.043
      minimum_charge: 1500
  out: {outside_only: yes}
"""


@pytest.mark.parametrize("candidate", ["pair", "out"])
def test_pieces_are_what_the_model_says(candidate):
    model = build(load_text(SCENARIO))
    figure = over_volume(model, f"{candidate}.measures.present_value", {})
    pieces = trace(figure, 0.0, HIGHEST)
    assert pieces.complete
    volumes = np.random.default_rng(7).uniform(0.0, HIGHEST, 3000)
    near_jump = (np.abs(volumes[:, None] - pieces.low[None, 1:]) < 0.01).any(axis=1)
    kept = volumes[~near_jump]
    wanted, _ = figure.at(kept)
    assert len(kept) > 2900
    # A press that fills up before another one bends the curve a little; chords of it may be off a little too.
    assert np.abs(pieces.at(kept) - wanted).max() <= 2e-8 * wanted.max()
    jumps = int((pieces.low[1:] > pieces.high[:-1]).sum())
    assert (jumps > 4) == (candidate == "pair")

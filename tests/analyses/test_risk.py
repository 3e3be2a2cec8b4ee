"""Drawn futures against closed forms and brute force; when nothing is said about how sure the answer is."""

import math
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import spearmanr

from tco.analyses.ranged import ranged
from tco.analyses.risk import NotAssessed, Risk, assess, futures, is_volume, simulate
from tco.analyses.shapes import BEYOND, of_a_hundred, spread
from tco.assemble import build
from tests.analyses.studies import FIRST_DAY, PLANS, cost, first_day, study

LOW, VALUE, HIGH = 40.0, 52.0, 90.0
# Mean and variance of each shape over (low, value, high), by its textbook formula.
MOMENTS = {
    "uniform": ((LOW + HIGH) / 2, (HIGH - LOW) ** 2 / 12),
    "triangular": (
        (LOW + VALUE + HIGH) / 3,
        (LOW**2 + VALUE**2 + HIGH**2 - LOW * VALUE - LOW * HIGH - VALUE * HIGH) / 18,
    ),
    "pert": (
        (LOW + 4 * VALUE + HIGH) / 6,
        ((LOW + 4 * VALUE + HIGH) / 6 - LOW) * (HIGH - (LOW + 4 * VALUE + HIGH) / 6) / 7,
    ),
}


@pytest.mark.parametrize("shape", list(MOMENTS))
def test_shapes_have_their_mean_and_variance(shape):
    points = (np.arange(200_000) + 0.5) / 200_000
    values = spread(shape, LOW, VALUE, HIGH, points)
    mean, variance = MOMENTS[shape]
    assert values.mean() == pytest.approx(mean, rel=1e-6)
    assert values.var() == pytest.approx(variance, rel=1e-4)
    assert LOW <= values.min() <= values.max() <= HIGH
    assert (np.diff(values) > 0).all()


def test_shapes_without_ends_have_one_in_ten_beyond_either():
    """Textbook moments: the 90 % point of a normal lies 1.2815515655 deviations above its mean; and its exponential."""
    points = (np.arange(200_000) + 0.5) / 200_000
    scores = 1.2815515655446004
    plain, grown = (spread(shape, LOW, VALUE, HIGH, points) for shape in BEYOND)
    deviation = (HIGH - LOW) / 2 / scores
    assert (plain < LOW).mean() == (plain > HIGH).mean() == pytest.approx(0.1)
    assert plain.mean() == pytest.approx((LOW + HIGH) / 2, rel=1e-9)
    assert plain.var() == pytest.approx(deviation**2, rel=1e-4)
    middle, width = math.log(LOW * HIGH) / 2, math.log(HIGH / LOW) / 2 / scores
    assert (grown < LOW).mean() == (grown > HIGH).mean() == pytest.approx(0.1)
    assert grown.mean() == pytest.approx(math.exp(middle + width**2 / 2), rel=1e-5)
    assert grown.var() == pytest.approx(math.exp(2 * middle + width**2) * math.expm1(width**2), rel=1e-3)
    assert np.isfinite(spread("normal", LOW, VALUE, HIGH, np.array([0.0, 1.0]))).all()
    with pytest.raises(ValueError, match="lies above 0"):
        spread("lognormal", 0.0, 1.0, 2.0, points)


def test_a_sum_of_normals_is_normal():
    """Three independent prices: within half the standard error that 4,096 plain random draws would have there.

    For the 1 in 10 points of a normal of deviation s that error is sqrt(0.1 * 0.9 / 4096) * s / 0.1755.
    """
    text = f"{{value: {VALUE}, low: {LOW}, high: {HIGH}}}"
    _, model = first_day(ash=text, elm=500, delivery=text, training=text)
    told = simulate(model, shape="normal").chance("ash")
    mean, spread_of_three = 3 * (LOW + HIGH) / 2, math.sqrt(3) * (HIGH - LOW) / 2
    error = math.sqrt(0.09 / 4096) * spread_of_three / 1.2815515655446004 / 0.1755
    assert told.cost == pytest.approx((mean - spread_of_three, mean, mean + spread_of_three), abs=error / 2)
    # Together they are one figure three times as large.
    keys = ["ash.cash.price", "ash.delivery_and_installation", "ash.training"]
    one = simulate(model, shape="normal", together={"all": keys})
    assert one.chance("ash").cost == pytest.approx((3 * LOW, mean, 3 * HIGH), rel=5e-4)
    assert one.together == {"all": tuple(keys)}


def test_a_product_of_lognormals_is_lognormal():
    """Volume times rate of a plan, no discounting: logarithms add, so their deviations add in squares.

    The standard error of 4,096 plain random draws would be 1.3 % at the 1 in 10 points; half of it is allowed.
    """
    work, rate = (900.0, 1600.0), (0.01, 0.03)
    text = FIRST_DAY.format(ash=0, elm=500, delivery="0", training="0",
                            black=f"{{value: 1000, low: {work[0]}, high: {work[1]}}}")  # fmt: skip
    plan = f"service: {{black: {{value: 0.02, low: {rate[0]}, high: {rate[1]}}}, increase: 0%}}"
    _, model = study(text.replace("service: {black: 0}", plan, 1))
    told = simulate(model, shape="lognormal").chance("ash")
    middle = 12 * math.sqrt(work[0] * work[1] * rate[0] * rate[1])
    width = math.hypot(math.log(work[1] / work[0]), math.log(rate[1] / rate[0])) / 2
    assert told.cost == pytest.approx((middle * math.exp(-width), middle, middle * math.exp(width)), rel=6.5e-3)
    drawn = futures(model, shape="lognormal")
    costs = drawn.costs.worth[:, drawn.costs.candidates.index("ash")]
    assert costs.mean() == pytest.approx(middle * math.exp((width / 1.2815515655446004) ** 2 / 2), rel=1e-3)


FUTURES = """\
futures:
  shape: pert
  shapes: {normal: [work.colour], lognormal: [birch.service.colour]}
  together: {prices: [birch.service.colour, shop.paper.letter]}
"""


def test_a_scenario_says_how_its_ranges_spread_and_what_moves_together():
    scenario, model = study(PLANS + FUTURES)
    told = assess(model, scenario)
    assert isinstance(told, Risk)
    assert told.shape == "pert"
    assert told.shapes == {"work.colour": "normal", "birch.service.colour": "lognormal"}
    assert told.together == {"prices": ("birch.service.colour", "shop.paper.letter")}
    drawn = futures(model, shape=told.shape, shapes=told.shapes, together=told.together)
    own = {one.key: values for one, values in zip(drawn.figures, drawn.values, strict=True)}
    assert (own["work.colour"] < 15000).mean() == pytest.approx(0.1, abs=1e-3)
    assert own["cedar.cash.sells_for"].max() <= 12000
    assert np.argsort(own["birch.service.colour"]).tolist() == np.argsort(own["shop.paper.letter"]).tolist()
    assert told != assess(*reversed(study(PLANS)))


@pytest.mark.parametrize("shape", list(MOMENTS))
@pytest.mark.parametrize("value", [LOW, HIGH])
def test_a_figure_may_stand_at_an_end_of_its_range(shape, value):
    values = spread(shape, LOW, value, HIGH, np.array([0.0, 0.25, 0.75, 1.0]))
    assert values[0] == LOW
    assert values[-1] == pytest.approx(HIGH)
    assert np.isfinite(values).all()


@pytest.mark.parametrize("shape", list(MOMENTS))
def test_a_sum_of_figures_has_the_sum_of_means_and_variances(shape):
    """Three independent figures of one candidate; with 4,096 Sobol points the error is far below a part in 500."""
    text = f"{{value: {VALUE}, low: {LOW}, high: {HIGH}}}"
    _, model = first_day(ash=text, elm=500, delivery=text, training=text)
    drawn = futures(model, shape=shape)
    costs = drawn.costs.worth[:, drawn.costs.candidates.index("ash")]
    mean, variance = MOMENTS[shape]
    assert costs.mean() == pytest.approx(3 * mean, rel=1e-4)
    assert costs.var() == pytest.approx(3 * variance, rel=2e-3)


def test_the_chance_of_winning_is_the_closed_form():
    """One uniform price of 50 to 70 thousand against 62: cheaper in 12 of 20. Two: 1 - 10**2 / (2 * 20**2) = 0.875."""
    one = "{value: 60000, low: 50000, high: 70000}"
    two = "{value: 70000, low: 60000, high: 80000}"
    _, model = first_day(ash=one, elm=62000)
    sure = simulate(model, shape="uniform")
    assert sure.chance("ash").probability == pytest.approx(0.6, abs=1e-3)
    assert sure.chance("ash").cost == pytest.approx((52000, 60000, 68000), abs=20)
    assert sure.lead == pytest.approx((62000 - 68000, 2000, 62000 - 52000), abs=20)
    # Expected regret: integral of what it costs more, over the uniform density of 1/20.
    assert sure.chance("ash").expected_regret == pytest.approx(8000**2 / 2 / 20000, rel=5e-3)
    assert sure.chance("elm").expected_regret == pytest.approx(12000**2 / 2 / 20000, rel=5e-3)
    assert sure.chance("elm").worst_regret == pytest.approx(12000, abs=20)

    _, model = first_day(ash=one, elm=two)
    assert simulate(model, shape="uniform").chance("ash").probability == pytest.approx(0.875, abs=2e-3)


def test_a_triangular_price_wins_by_its_distribution():
    """Value 60, low 50, high 90: below 58 lies (58 - 50)**2 / (40 * 10) = 0.16 of it."""
    _, model = first_day(ash="{value: 60000, low: 50000, high: 90000}", elm=58000)
    assert simulate(model).chance("ash").probability == pytest.approx(0.16, abs=1e-3)


def test_regret_counts_and_convergence_by_brute_force():
    _, model = study(PLANS)
    drawn, told = futures(model, draws=256), simulate(model, draws=256)
    worth = drawn.costs.worth
    names = drawn.costs.candidates
    for place, name in enumerate(names):
        wins = [min(row) == row[place] for row in worth.tolist()]
        regrets = [row[place] - min(row) for row in worth.tolist()]
        chance = told.chance(name)
        assert chance.probability == sum(wins) / 256
        assert (chance.at_quarter, chance.at_half) == (sum(wins[:64]) / 64, sum(wins[:128]) / 128)
        assert chance.expected_regret == pytest.approx(sum(regrets) / 256)
        assert chance.worst_regret == max(regrets)
        assert chance.cost == tuple(sorted(worth[:, place])[rank] for rank in (25, 127, 230))
    assert sum(one.count for one in told.chances) + told.nobody_count == 100
    assert told.leader == min(names, key=lambda one: cost(model, one))


def test_drivers_are_rank_correlations_with_the_lead():
    _, model = study(PLANS)
    drawn, told = futures(model, draws=256), simulate(model, draws=256)
    lead = drawn.costs.lead(told.leader)
    for driver in told.drivers:
        place = [one.key for one in drawn.figures].index(driver.figure.key)
        assert driver.correlation == pytest.approx(spearmanr(drawn.values[place], lead).statistic, abs=1e-12)
    sizes = [abs(one.correlation) for one in told.drivers]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > 0.4


def test_the_same_seed_gives_the_same_futures_and_another_seed_others():
    _, model = study(PLANS)
    assert simulate(model, draws=64) == simulate(model, draws=64)
    assert simulate(model, draws=64) != simulate(model, draws=64, seed=8)


def test_figures_that_move_together_have_the_same_rank():
    _, model = study(PLANS)
    group = ("birch.service.colour", "cedar.cash.sells_for")
    drawn = futures(model, draws=64, together={"prices": group})
    own = {one.key: values for one, values in zip(drawn.figures, drawn.values, strict=True)}
    assert np.argsort(own[group[0]]).tolist() == np.argsort(own[group[1]]).tolist()
    apart = futures(model, draws=64)
    own = {one.key: values for one, values in zip(apart.figures, apart.values, strict=True)}
    assert np.argsort(own[group[0]]).tolist() != np.argsort(own[group[1]]).tolist()


def test_every_draw_stays_within_its_range():
    _, model = study(PLANS)
    drawn = futures(model, draws=64)
    assert [one.key for one in drawn.figures] == [one.key for one in ranged(model)]
    for one, values in zip(drawn.figures, drawn.values, strict=True):
        assert one.low <= values.min() <= values.max() <= one.high


def test_futures_in_which_nobody_does_all_the_work_are_counted():
    text = PLANS
    for speed, slow in ((60, 10), (70, 10.5), (75, 11)):
        text = text.replace(f"sides_per_minute: {speed}", f"sides_per_minute: {slow}")
    _, model = study(text)
    told = simulate(model, draws=64, shape="uniform")
    assert 0 < told.nobody < 1
    assert told.nobody == pytest.approx(1 - sum(one.probability for one in told.chances))
    assert sum(one.count for one in told.chances) + told.nobody_count == 100
    assert told.chance("today").undone >= told.chance("cedar").undone > 0


@given(st.lists(st.floats(0, 1), min_size=1, max_size=12).filter(lambda shares: sum(shares) > 1e-3))
def test_counts_add_up_to_a_hundred_and_are_never_off_by_one_or_more(shares):
    counts = of_a_hundred(np.array(shares))
    assert sum(counts) == 100
    for count, share in zip(counts, shares, strict=True):
        assert abs(count - 100 * share / sum(shares)) < 1 + 1e-6


def test_counts_by_largest_remainder():
    assert of_a_hundred(np.array([1.0, 1.0, 1.0])) == (34, 33, 33)
    assert of_a_hundred(np.array([0.996, 0.004, 0.0])) == (100, 0, 0)
    assert of_a_hundred(np.array([0.003, 0.504, 0.493])) == (0, 51, 49)


@pytest.mark.parametrize(
    ("changes", "missing"),
    [
        ({}, None),
        ({"change_per_year": {"value": -0.03}, "work.colour": {"value": 22000}}, ("volume",)),
        ({"change_per_year": {"value": -0.03}}, None),
        ({"work.colour": {"value": 22000}}, None),
        ({"cedar.cash.sells_for": {"value": 6000}}, ("any price of cedar",)),
        ({"birch.service.colour": {"value": 0.049}}, None),
        (
            {"birch.service.colour": {"value": 0.049}, "birch.service.increase": {"value": 0.03}},
            ("any price of birch",),
        ),
    ],
)
def test_without_ranges_nothing_is_assessed(changes, missing):
    scenario, _ = study(PLANS)
    changed = scenario.with_changes(changes)
    told = assess(build(changed), changed)
    if missing is None:
        assert isinstance(told, Risk)
    else:
        assert isinstance(told, NotAssessed)
        assert set(told.missing) == set(missing)
        assert all(one in told.reason for one in missing)


def test_paper_is_nobodys_price_and_nobodys_volume():
    _, model = study(PLANS)
    paper = next(one for one in ranged(model) if one.key == "shop.paper.letter")
    assert not is_volume(paper)
    assert paper.candidate == ""


def test_what_cannot_be_drawn_is_said():
    _, model = study(PLANS)
    with pytest.raises(ValueError, match="power of two"):
        simulate(model, draws=1000)
    with pytest.raises(ValueError, match="is no shape"):
        simulate(model, draws=64, shape="flat")
    _, sure = first_day(ash=1, elm=2, black="1000")
    with pytest.raises(ValueError, match="no figure has a range"):
        simulate(sure)


def test_nothing_heavy_is_loaded_before_futures_are_drawn():
    names = "draws, ranged, sensitivity, stress, risk, solve, concessions"
    program = f"import sys\nfrom tco.analyses import {names}\nprint(sorted({{'scipy', 'pandas'}} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"

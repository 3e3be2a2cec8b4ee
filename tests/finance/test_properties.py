"""What must hold for any amounts and rates."""

from itertools import pairwise

import numpy as np
import numpy_financial as npf
import pytest
import pyxirr
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from tco import rates_of_return
from tco.finance import (
    annuity_factor,
    effective_factor,
    effective_from_nominal,
    equivalent_annual_cost,
    level_payment,
    loan_schedule,
    nominal_factor,
    nominal_from_effective,
    present_value,
    rent,
    table_depreciation,
)
from tco.rates_of_return import count_sign_changes, implied_rate, irr

AMOUNTS = st.floats(-1e6, 1e6).map(lambda amount: round(amount, 2))
RATES = st.floats(-0.5, 2.0)
LENGTHS = st.integers(2, 80)


def streams(length):
    return arrays(float, length, elements=AMOUNTS)


@st.composite
def investments(draw):
    """Outlays first, then receipts, with months of nothing between: exactly one sign change."""
    outlays = draw(st.lists(st.floats(0, 1e5), min_size=1, max_size=12))
    receipts = draw(st.lists(st.floats(0, 1e5), min_size=1, max_size=60))
    flows = np.array([-amount for amount in outlays] + receipts).round(2)
    assume(flows[: len(outlays)].sum() <= -1)
    assume(flows[len(outlays) :].sum() >= 1)
    return flows


@given(LENGTHS.flatmap(lambda n: st.tuples(streams(n), streams(n))), st.floats(-5, 5), RATES)
def test_present_value_is_linear(pair, factor, rate):
    one, other = pair
    factors = effective_factor(rate, np.arange(len(one)) / 12)
    size = (np.abs(one) * (1 + abs(factor)) + np.abs(other)) @ factors
    together = present_value(factor * one + other, factors)
    assert abs(together - (factor * present_value(one, factors) + present_value(other, factors))) <= 1e-12 * size


@given(investments())
def test_at_the_rate_of_return_nothing_is_left(flows):
    found = irr(flows)
    assert found.sign_changes == 1
    assert found.status == "one"
    weights = np.exp(-np.log1p(found.rate) * (np.arange(len(flows)) - np.argmax(np.abs(flows))))
    assert abs(flows @ weights) <= 1e-8 * (np.abs(flows) @ weights)


@given(investments())
def test_the_rate_of_return_agrees_with_an_independent_program(flows):
    theirs = pyxirr.irr(flows.tolist())
    assume(theirs is not None and -0.9 < theirs < 10)
    assert float(irr(flows).rate) == pytest.approx(theirs, abs=1e-7)


@given(st.lists(investments(), min_size=1, max_size=6), st.data())
def test_a_batch_of_rates_equals_each_alone(rows, data):
    width = max(map(len, rows))
    batch = np.zeros((len(rows), width))
    for line, row in zip(batch, rows, strict=True):
        line[: len(row)] = row
    order = data.draw(st.permutations(range(len(rows))))
    together = irr(batch[order])
    assert together.rate.tolist() == [float(irr(batch[index]).rate) for index in order]


@given(arrays(float, st.integers(2, 30), elements=st.floats(0, 1e6)))
def test_amounts_of_one_sign_have_no_rate_of_return(flows):
    assert irr(flows).status == "none"
    assert irr(-flows).status == "none"
    assert np.isnan(irr(flows).rate)


@given(st.lists(st.integers(-2, 2), min_size=2, max_size=12))
def test_sign_changes_are_those_counted_by_hand(flows):
    signs = [amount > 0 for amount in flows if amount]
    assert count_sign_changes(flows) == sum(a != b for a, b in pairwise(signs))


@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1.0), st.integers(1, 60))
def test_the_equivalent_annual_cost_is_worth_what_it_replaces(cost, rate, years):
    annual = equivalent_annual_cost(cost, rate, years)
    back = present_value(np.full(years, annual), effective_factor(rate, np.arange(1, years + 1)))
    assert float(back) == pytest.approx(cost, rel=1e-11, abs=1e-9)


@given(st.floats(1, 1e7), st.one_of(st.just(0.0), st.floats(1e-12, 0.2)), st.integers(1, 240), st.booleans())
def test_a_loan_is_repaid(principal, rate, periods, in_advance):
    schedule = loan_schedule(principal, rate, periods, in_advance=in_advance)
    assert schedule.balance[-1] == pytest.approx(0, abs=1e-8 * schedule.payment * periods * (1 + rate) ** periods)
    assert schedule.principal.sum() == pytest.approx(principal - schedule.balance[-1])
    theirs = npf.pmt(rate, periods, -principal, when="begin" if in_advance else "end")
    assert schedule.payment == pytest.approx(float(theirs), rel=1e-4 if 0 < rate < 1e-8 else 1e-6)


@given(
    st.floats(100, 1e6),
    st.floats(0, 0.9),
    st.floats(-0.005, 0.05),
    st.integers(6, 120),
    st.integers(0, 5),
)
def test_the_implied_rate_gives_back_the_rate_of_the_rent(price, worth, rate, periods, advance):
    each = rent(price, worth * price, rate, periods, advance)
    assume(each > 1e-3 * price / periods)
    assume(price - advance * each > 0.01 * price)
    found = implied_rate(price, each, periods, advance=advance, residual=worth * price)
    assert found.status == "one"
    assert float(found.rate) == pytest.approx(rate, abs=1e-9)


@given(st.floats(-0.5, 3), st.sampled_from([1, 2, 4, 12, 52]))
def test_effective_and_nominal_rates_undo_each_other(rate, periods):
    back = effective_from_nominal(nominal_from_effective(rate, periods), periods)
    assert float(back) == pytest.approx(rate, abs=1e-12)


@given(st.floats(-0.5, 1), st.integers(0, 240))
def test_the_two_discountings_meet_at_the_matching_rates(rate, months):
    nominal = nominal_from_effective(rate, 12)
    assert float(nominal_factor(nominal, months / 12)) == pytest.approx(float(effective_factor(rate, months / 12)))


@given(st.floats(0.001, 1), st.integers(1, 240))
def test_the_annuity_factor_is_the_sum_of_its_discount_factors(rate, periods):
    summed = effective_factor(rate, np.arange(1, periods + 1)).sum()
    assert float(annuity_factor(rate, periods)) == pytest.approx(float(summed), rel=1e-12)


def test_small_rates_lose_no_digits():
    # (1 - (1 + i) ** -n) / i = n - n (n + 1) i / 2 + …
    assert float(annuity_factor(1e-12, 60)) == pytest.approx(60 - 60 * 61 / 2 * 1e-12, rel=1e-15)
    assert float(level_payment(6_000, 0.0, 60)) == 100


@pytest.mark.parametrize(
    ("flows", "rate"),
    [
        ((-1, 1e12), 1e12 - 1),
        ((-1e12, 1), 1e-12 - 1),
        ((0, 0, -100, 0, 110, 0), 1.1**0.5 - 1),
        ((-100, 100), 0.0),
        ((-1, *[0] * 239, 1e6), 1e6 ** (1 / 240) - 1),
    ],
    ids=["huge gain", "huge loss", "zeros around", "nothing gained", "far away"],
)
def test_rates_of_return_at_the_edges(flows, rate):
    assert float(irr(flows).rate) == pytest.approx(rate, rel=1e-12, abs=1e-15)


def test_a_rate_beyond_reach_is_none_and_a_missing_amount_is_refused():
    assert irr((-1e-200, 1e200)).status == "none"
    with pytest.raises(ValueError, match="finite"):
        irr((-1, np.nan))


def test_depreciation_of_several_presses_at_once():
    together = table_depreciation([1_000, 2_000], [0.5, 0.3, 0.2])
    assert together.tolist() == [[500, 300, 200], [1_000, 600, 400]]


def test_many_rows_with_their_change_of_sign_anywhere_have_the_rate_that_halving_finds():
    """Easy rows, steep losses and gains, and amounts of very unlike size, all at once and one by one."""
    draw = np.random.default_rng(3)
    rows = draw.uniform(0, 1, (3_000, 24)) * 10.0 ** draw.integers(-4, 5, (3_000, 1))
    turns = draw.integers(1, 24, 3_000)
    rows[np.arange(24) < turns[:, None]] *= -1
    rows[::5] *= -1
    rows[::7, 1:] *= draw.uniform(1e-9, 1e3, (len(rows[::7]), 23))
    rows[::11][draw.uniform(0, 1, rows[::11].shape) < 0.3] = 0
    found = irr(rows)
    single = found.sign_changes == 1
    assert single.mean() > 0.99
    assert (found.status[single] == "one").all()
    time = np.arange(24.0)
    for row, rate in zip(rows[single][::40], found.rate[single][::40], strict=True):
        worth = row * (1 + rate) ** -time
        assert abs(worth.sum()) <= 1e-9 * np.abs(worth).sum()
    halved = rates_of_return._single_roots(rows[single])
    assert np.log1p(found.rate[single]) == pytest.approx(np.log1p(halved), abs=1e-11)

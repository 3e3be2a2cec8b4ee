"""Break-even volumes against brute force, worked cases of the trade and published problems."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from tco.analyses.breakeven import BreakEven, break_even, months_alike
from tco.analyses.piecewise import trace
from tco.analyses.switches import over_volume
from tests.analyses.toys import MONTHS, Plan, Toy

HIGHEST = 100_000.0
SEASONS = ([1.0] * 12, [40.0] * 6 + [12.0] * 6, [3, 2, 1, 1, 1, 4, 2, 1, 1, 1, 1, 6], [0.0] * 3 + [2.0] * 9)


def random_plan(draw: np.random.Generator) -> Plan:
    shape = draw.choice(["flat", "included", "graduated", "all units", "limited"])
    base = float(draw.choice([0, 200, 450, 1450]))
    rates = [float(rate) / 1000 for rate in np.sort(draw.integers(4, 80, 3))[::-1]]
    settled = int(draw.choice([1, 3, 12]))
    minimum = float(draw.choice([0, 0, 900, 2000]))
    edges = np.sort(draw.choice(np.arange(1, 12), 2, replace=False)) * 5000.0 * settled
    bands = ((0.0, rates[0]), (float(edges[0]), rates[1]), (float(edges[1]), rates[2]))
    if shape == "flat":
        return Plan(base=base, bands=bands[:1], settled=settled, minimum=minimum)
    if shape == "included":
        included = float(draw.choice([6000, 30000]))
        return Plan(base=base, included=included, bands=bands[:1], settled=settled, minimum=minimum)
    if shape == "limited":
        return Plan(base=base, bands=bands[:1], hours=float(draw.choice([20000, 60000])), outside=0.11, minimum=minimum)
    return Plan(base=base, bands=bands, all_units=shape == "all units", settled=settled, minimum=minimum)


def plan_at(toy: Toy, name: str, volumes: np.ndarray) -> np.ndarray:
    return toy.plans[name].cost(toy.work(volumes))


MANY = [*range(50), *(pytest.param(seed, marks=pytest.mark.campaign) for seed in range(50, 500))]


@pytest.mark.parametrize("seed", MANY)
def test_no_crossing_is_missed_and_none_is_invented(seed: int) -> None:
    draw = np.random.default_rng(seed)
    toy = Toy(season=SEASONS[seed % len(SEASONS)], plans={"a": random_plan(draw), "b": random_plan(draw)})
    found = break_even(toy.model(), ["a", "b"], 0.0, HIGHEST)
    pair = found.pair("a", "b")
    assert found.complete

    volumes = np.linspace(0.0, HIGHEST, 200_000)
    difference = plan_at(toy, "a", volumes) - plan_at(toy, "b", volumes)
    sign = np.where(np.abs(difference) < 1e-6, 0, np.sign(difference)).astype(int)
    told = np.flatnonzero(sign)
    changes = [(volumes[i], volumes[j]) for i, j in pairwise(told) if sign[i] != sign[j]]
    changing = [one for one in pair.crossings if one.changes]
    for before, after in changes:
        assert any(one.low <= after + 1e-6 and one.high >= before - 1e-6 for one in changing), (before, after)

    side = 0.005
    for one in pair.crossings:
        ends = np.array([max(one.low - side, 0.0), one.high + side, one.low, one.high, (one.low + one.high) / 2])
        below, above, *at = plan_at(toy, "a", ends) - plan_at(toy, "b", ends)
        if one.cheaper_below and one.low - side > 0:
            assert (below < 0) == (one.cheaper_below == "a"), one
        if one.cheaper_above and one.high + side < HIGHEST:
            assert (above < 0) == (one.cheaper_above == "a"), one
        if one.kind == "jump":
            assert one.high - one.low <= 1e-3
            assert abs(below - above) > 1e-3
        else:
            assert np.abs(at).max() < 1e-6, one

    cheapest = np.where(difference < 0, "a", "b")
    for best in found.best:
        inside = (volumes > best.low) & (volumes < best.high)
        if len(best.candidates) == 2:
            assert np.abs(difference[inside]).max(initial=0.0) < 1e-6
        else:
            assert (cheapest[inside & (sign != 0)] == best.candidates[0]).all()


@pytest.mark.parametrize("seed", [*range(8), *(pytest.param(s, marks=pytest.mark.campaign) for s in range(8, 200))])
def test_the_envelope_is_who_costs_least_of_several(seed: int) -> None:
    draw = np.random.default_rng(2000 + seed)
    names = "abcdef"[: 3 + seed % 4]
    toy = Toy(season=SEASONS[seed % len(SEASONS)], plans={name: random_plan(draw) for name in names})
    found = break_even(toy.model(), list(names), 0.0, HIGHEST)
    volumes = np.linspace(0.0, HIGHEST, 50_000)
    costs = np.array([plan_at(toy, name, volumes) for name in names])
    least = costs.min(axis=0)
    assert found.best[0].low == 0
    assert found.best[-1].high == pytest.approx(HIGHEST, abs=1e-3)  # a jump at the very end has its width too
    for before, after in pairwise(found.best):
        assert 0 <= after.low - before.high <= 1e-3  # the ranges leave out nothing but the width of a jump
        assert before.candidates != after.candidates
    for best in found.best:
        inside = (volumes > best.low) & (volumes < best.high)
        if not inside.any():
            continue
        mine = [names.index(name) for name in best.candidates]
        assert np.abs(costs[mine][:, inside] - least[inside]).max(initial=0.0) < 1e-6
        others = np.delete(costs, mine, axis=0)[:, inside]
        # Somebody outside of the range is as cheap at single volumes at most.
        assert (others < least[inside] + 1e-9).mean(axis=1).max(initial=0.0) < 0.01


@pytest.mark.parametrize("seed", range(12))
def test_pieces_are_the_figure_itself(seed: int) -> None:
    draw = np.random.default_rng(1000 + seed)
    toy = Toy(season=SEASONS[seed % len(SEASONS)], plans={"a": random_plan(draw)})
    pieces = trace(over_volume(toy.model(), "a.measures.present_value", {}), 0.0, HIGHEST)
    volumes = draw.uniform(0.0, HIGHEST, 5000)
    near_jump = (np.abs(volumes[:, None] - pieces.low[None, 1:]) < 0.01).any(axis=1)
    kept = volumes[~near_jump]
    assert np.allclose(pieces.at(kept), plan_at(toy, "a", kept), rtol=1e-10, atol=1e-7)


def ties(found: BreakEven, first: str, second: str) -> list[float]:
    return [one.low for one in found.pair(first, second).crossings if one.kind == "tie" and one.changes]


def test_base_plan_against_flat_rate_with_and_without_season() -> None:
    """Case C01 (worked case, common practice): 25,000 when months are alike, 37,222 with its season."""
    base = Plan(base=1450, included=30_000, bands=((0, 0.052),))
    toy = Toy(season=[40_000] * 6 + [12_000] * 6, average=26_000, plans={"a": base, "b": Plan(bands=((0, 0.058),))})
    model = toy.model()
    seasonal = break_even(model, ["a", "b"], 0, 100_000)
    alike = break_even(model, ["a", "b"], 0, 100_000, replace=months_alike(model))
    assert ties(seasonal, "a", "b") == [pytest.approx(37_222.2, abs=0.1)]
    assert ties(alike, "a", "b") == [pytest.approx(25_000, abs=1e-6)]
    assert [best.candidates for best in alike.best] == [("b",), ("a",)]
    assert seasonal.average == pytest.approx(26_000)


def test_yearly_settlement_moves_the_break_even_of_a_seasonal_shop() -> None:
    """Case C01 (worked case, common practice): settled yearly the slack of low months helps, so 25,000 again."""
    base = Plan(base=1450, included=30_000, bands=((0, 0.052),), settled=12)
    toy = Toy(season=[40_000] * 6 + [12_000] * 6, average=26_000, plans={"a": base, "b": Plan(bands=((0, 0.058),))})
    assert ties(break_even(toy.model(), ["a", "b"], 0, 100_000), "a", "b") == [pytest.approx(25_000, abs=1e-6)]


def test_three_small_offers() -> None:
    """Case C23 (worked case, common practice): 90,000 between B and C; A is never best."""
    plans = {
        "a": Plan(base=420, bands=((0, 0.0145),)),
        "b": Plan(base=408, included=6_000, bands=((0, 0.008),)),
        "c": Plan(base=180, bands=((0, 0.010),)),
    }
    found = break_even(Toy(average=20_000, plans=plans).model(), ["a", "b", "c"], 0, 200_000)
    assert ties(found, "b", "c") == [pytest.approx(90_000, abs=1e-6)]
    assert [best.candidates for best in found.best] == [("c",), ("b",)]
    assert found.pair("a", "c").never
    assert found.pair("a", "c").cheaper_at_high == "c"


def test_oversize_share_as_the_thing_that_varies() -> None:
    """Case C08 (worked case, common practice): 0.032, double for oversize, against 0.049 for any size: 53.125 %.

    One million sides a month are the scale here, so the oversize sides at the tie are the share.
    """
    plans = {"a": Plan(base=32_000, bands=((0, 0.032),)), "b": Plan(base=49_000)}
    found = break_even(Toy(average=500_000, plans=plans).model(), ["a", "b"], 0, 1_000_000)
    assert ties(found, "a", "b") == [pytest.approx(531_250, abs=1e-4)]


@pytest.mark.parametrize(("inkjet", "tie"), [(0.0055, 1_250_000), (0.0089, 2_100_000)])
def test_toner_fleet_or_inkjet(inkjet: float, tie: float) -> None:
    """Case C18 (worked case, common practice): coverage moves the break-even by 850,000 pages a month."""
    plans = {"toner": Plan(base=11_500, bands=((0, 0.0139),)), "inkjet": Plan(base=22_000, bands=((0, inkjet),))}
    found = break_even(Toy(average=1e6, plans=plans).model(), ["toner", "inkjet"], 0, 4e6)
    assert ties(found, "toner", "inkjet") == [pytest.approx(tie, abs=1e-3)]
    assert [best.candidates for best in found.best] == [("toner",), ("inkjet",)]


@pytest.mark.parametrize(
    ("a", "b", "tie", "cost"),
    [((78_000, 14), (57_000, 18), 5_250, 151_500), ((50_000, 50), (150_000, 10), 2_500, 175_000)],
)
def test_published_indifference_points(a: tuple[int, int], b: tuple[int, int], tie: float, cost: float) -> None:
    """F43, an operations-management problem, worked; F43b, a cost-indifference sheet (175,000 each); both read.

    The cost of the first at its tie is derived from its inputs: 78,000 + 14 x 5,250.
    """
    plans = {"a": Plan(base=a[0], bands=((0, a[1]),)), "b": Plan(base=b[0], bands=((0, b[1]),))}
    found = break_even(Toy(average=1_000, plans=plans).model(), ["a", "b"], 0, 10_000)
    assert ties(found, "a", "b") == [pytest.approx(tie, abs=1e-8)]
    assert found.best[0].candidates == (("b",) if a[0] > b[0] else ("a",))
    at_tie = found.costs["a"][np.searchsorted(found.volumes, tie)] / MONTHS
    assert at_tie == pytest.approx(cost)


@pytest.mark.parametrize(("target", "units"), [(0, 225), (16_000, 425), (24_000 / (1 - 0.4), 725)])
def test_units_for_a_target(target: float, units: float) -> None:
    """F45: OpenStax, Principles of Accounting Vol. 2, 3.2, read: fixed 18,000, price 100, variable 20.

    Owned against bought at the selling price; a target is one more fixed sum, one after tax of 40 % its sum before tax.
    """
    plans = {"own": Plan(base=18_000 + target, bands=((0, 20.0),)), "at the price": Plan(bands=((0, 100.0),))}
    found = break_even(Toy(average=100, plans=plans).model(), ["own", "at the price"], 0, 2_000)
    assert ties(found, "own", "at the price") == [pytest.approx(units, abs=1e-9)]
    assert [best.candidates for best in found.best] == [("at the price",), ("own",)]


@pytest.mark.parametrize(("fixed", "made", "cheapest"), [(0.0, 201_600, "make"), (0.12, 216_000, "buy")])
def test_make_or_buy_of_lids(fixed: float, made: float, cheapest: str) -> None:
    """F46: OpenStax, Principles of Accounting Vol. 2, 10.3, read: 120,000 lids at 1.68 made, 1.75 bought.

    An avoidable fixed cost of 0.12 each turns the decision; a twelfth of everything is a month here.
    """
    month = 120_000 / MONTHS
    plans = {"make": Plan(base=fixed * month, bands=((0, 1.68),)), "buy": Plan(bands=((0, 1.75),))}
    found = break_even(Toy(average=month, plans=plans).model(), ["make", "buy"], 0, 2 * month)
    at = int(np.searchsorted(found.volumes, month))
    assert found.costs["make"][at] == pytest.approx(made)
    assert found.costs["buy"][at] == pytest.approx(210_000)
    assert next(best for best in found.best if best.low < month < best.high).candidates == (cheapest,)


def test_bands_for_all_units_are_cheaper_beyond_a_cliff() -> None:
    """Case C44 (worked case, common practice): 7,000,000 clicks a quarter cost 63,000; 7,000,001 to 7,411,764 less."""
    bands = ((0, 0.0100), (5_000_001, 0.0095), (6_000_001, 0.0090), (7_000_001, 0.0085))
    plans = {"bands": Plan(settled=3, bands=bands, all_units=True), "sum": Plan(base=21_000)}
    found = break_even(Toy(average=2_400_000, plans=plans).model(), ["bands", "sum"], 0, 3_000_000)
    first, jump, last = found.pair("bands", "sum").crossings
    assert (first.kind, jump.kind, last.kind) == ("tie", "jump", "tie")
    assert first.low * 3 == pytest.approx(7_000_000, abs=1e-3)
    assert jump.low * 3 < 7_000_001 <= jump.high * 3 + 1e-6
    assert (jump.cheaper_below, jump.cheaper_above) == ("sum", "bands")
    assert int(last.low * 3) == 7_411_764


def test_same_plan_twice_is_equal_throughout() -> None:
    plans = {"a": Plan(base=100, bands=((0, 0.02),)), "b": Plan(base=100, bands=((0, 0.02),))}
    found = break_even(Toy(plans=plans).model(), ["a", "b"], 0, 50_000)
    (crossing,) = found.pair("a", "b").crossings
    assert (crossing.kind, crossing.low, crossing.high) == ("equal", 0, 50_000)
    assert found.best[0].candidates == ("a", "b")
    assert found.pair("a", "b").cheaper_at_low == ""


def test_same_minimum_is_an_equal_range_that_begins_at_zero() -> None:
    plans = {"a": Plan(minimum=500, bands=((0, 0.05),)), "b": Plan(minimum=500, bands=((0, 0.04),))}
    found = break_even(Toy(plans=plans).model(), ["a", "b"], 0, 50_000)
    (crossing,) = found.pair("a", "b").crossings
    assert (crossing.kind, crossing.low) == ("equal", 0)
    assert crossing.high == pytest.approx(10_000, abs=1e-6)
    assert (crossing.cheaper_below, crossing.cheaper_above) == ("", "b")


def test_a_crossing_beyond_the_range_is_none() -> None:
    plans = {"a": Plan(base=300), "b": Plan(bands=((0, 0.03),))}
    model = Toy(plans=plans).model()
    assert ties(break_even(model, ["a", "b"], 0, 50_000), "a", "b") == [pytest.approx(10_000)]
    found = break_even(model, ["a", "b"], 0, 9_999).pair("a", "b")
    assert found.never
    assert found.cheaper_at_high == "b"


def test_touch_at_a_bend_is_told_and_changes_nothing() -> None:
    """b is dearer on both sides of 10,000 and equal there: 0.03 a side against 0.01 up to the bend and 0.05 beyond."""
    plans = {"a": Plan(bands=((0, 0.03),)), "b": Plan(base=200, bands=((0, 0.01), (10_000, 0.05)))}
    found = break_even(Toy(plans=plans).model(), ["a", "b"], 0, 50_000)
    (crossing,) = found.pair("a", "b").crossings
    assert (crossing.kind, crossing.changes, crossing.cheaper_below) == ("tie", False, "a")
    assert crossing.low == pytest.approx(10_000)
    assert found.pair("a", "b").never
    assert [best.candidates for best in found.best] == [("a",)]


def test_discounting_does_not_move_a_tie_of_monthly_plans() -> None:
    """Both plans cost the same in every month at the tie, so no rate can part them."""
    plans = {"a": Plan(base=1000), "b": Plan(bands=((0, 0.05),))}
    found = break_even(Toy(rate=0.09, plans=plans).model(), ["a", "b"], 0, 50_000)
    assert ties(found, "a", "b") == [pytest.approx(20_000)]
    assert np.isnan(found.per_side["b"][0])
    assert found.per_side["b"][1:] == pytest.approx(np.full(200, 0.05))


@pytest.mark.parametrize(("low", "high"), [(-1.0, 5.0), (5.0, 5.0), (0.0, float("inf"))])
def test_an_empty_range_is_refused(low: float, high: float) -> None:
    model = Toy(plans={"a": Plan(), "b": Plan()}).model()
    with pytest.raises(ValueError, match="rise"):
        break_even(model, ["a", "b"], low, high)


def test_without_work_there_is_nothing_to_scale() -> None:
    with pytest.raises(ValueError, match="no work"):
        break_even(Toy(average=0.0, plans={"a": Plan(), "b": Plan()}).model(), ["a", "b"], 0, 10)

"""Solved terms put back into a scenario that is built anew; worked cases of the trade."""

import numpy as np
import pytest

from tco.analyses.concessions import concessions, contract_terms
from tco.analyses.draws import comparison
from tco.analyses.solve import solve
from tco.publish.numbers import Numbers
from tco.publish.terminal_solve import solution_lines
from tests.analyses.studies import PLANS, first_day, gap, study

TERMS = (
    ("birch", "birch.lease.rent", "cedar"),
    ("birch", "birch.service.base", "cedar"),
    ("birch", "birch.service.colour", "cedar"),
    ("birch", "birch.service.increase", "cedar"),
    ("birch", "birch.service.included.colour", "cedar"),
    ("cedar", "cedar.cash.price", "birch"),
    ("cedar", "cedar.service.black", "birch"),
    ("cedar", "cedar.cash.sells_for", "birch"),
    ("today", "today.service.colour", "birch"),
    ("today", "work.colour", "birch"),
    ("today", "volume_scale", "cedar"),
    ("cedar", "money.discount_rate", "birch"),
    ("cedar", "shop.labour.wage", "birch"),
)


@pytest.mark.parametrize(("candidate", "key", "against"), TERMS)
def test_a_solved_term_put_back_is_a_tie_to_the_cent(candidate, key, against):
    scenario, model = study(PLANS)
    solution = solve(model, candidate, key, against)
    assert solution.now == pytest.approx(gap(scenario, {}, candidate, against), abs=1e-6)
    assert solution.can
    for root in solution.roots:
        assert root.kind == "tie"
        assert abs(gap(scenario, {key: root.value}, candidate, against)) < 0.005
        assert root.change == pytest.approx(root.value - solution.figure.value)
        assert root.percent == pytest.approx(root.change / solution.figure.value)


@pytest.mark.parametrize(("candidate", "key", "against"), TERMS[:9])
def test_no_sign_change_is_missed_that_twenty_thousand_values_find(candidate, key, against):
    _, model = study(PLANS)
    solution = solve(model, candidate, key, against)
    values = np.linspace(0, 4 * solution.figure.value, 20_000)
    worth = comparison(model, [candidate, against]).costs({key: values}).worth
    difference = worth[:, 0] - worth[:, 1]
    changes = values[:-1][difference[:-1] * difference[1:] < 0]
    found = [root.value for root in solution.roots if 0 < root.value < values[-1]]
    assert len(found) == len(changes)
    assert np.allclose(found, changes, atol=values[1])


def test_several_solutions_are_all_told():
    """A plan with an allowance is cheaper only between two volumes."""
    text = """\
title: Dear at both ends
start: 2027-01
months: 12
money: {discount_rate: 0%}
work: {black: 10000}
left_out: [paper, labour, energy, space]
candidates:
  flat: {rental: {rent: 0, increase: 0}, service: {black: 0.02, increase: 0}}
  base: {rental: {rent: 0, increase: 0}, service: {base: 100, included: {black: 20000}, black: 0.04, increase: 0}}
"""
    scenario, model = study(text)
    solution = solve(model, "base", "work.black", "flat")
    # 100 = 0.02 v at 5,000; 100 + 0.04 (v - 20,000) = 0.02 v at 35,000.
    assert [root.value for root in solution.roots] == pytest.approx([5_000, 35_000])
    assert all(abs(gap(scenario, {"work.black": root.value}, "base", "flat")) < 0.005 for root in solution.roots)
    assert solution.nearest.value == pytest.approx(5_000)
    # Only touching: with a base of 400 the two meet where the allowance ends, and nowhere else.
    _, touching = study(text.replace("base: 100", "base: 400").replace("black: 0.04", "black: 0.021"))
    solution = solve(touching, "base", "work.black", "flat")
    assert [root.value for root in solution.roots] == pytest.approx([20_000], rel=1e-3)


def test_a_tie_where_work_is_left_undone_is_said_so():
    """By hand: flat prints 60 an hour for 2,080/12 hours, 10,400 sides, 208 a month; 100 + 0.04 (v - 20,000)."""
    text = """\
title: Too slow for much
start: 2027-01
months: 12
money: {discount_rate: 0%}
shop: {hours_per_week: 40}
work: {black: 10000}
left_out: [paper, labour, energy, space]
candidates:
  flat: {rental: {rent: 0, increase: 0}, sides_per_minute: 1, service: {black: 0.02, increase: 0}}
  base: {rental: {rent: 0, increase: 0}, service: {base: 100, included: {black: 20000}, black: 0.04, increase: 0}}
"""
    scenario, model = study(text)
    solution = solve(model, "base", "work.black", "flat")
    assert [root.value for root in solution.roots] == pytest.approx([5_000, 22_700])
    assert [root.undone for root in solution.roots] == [(), ("flat",)]
    assert solution.undone == ()
    names = {key: one.title for key, one in scenario.candidates_all}
    numbers = Numbers(scenario.money.locale, scenario.money.currency)
    *_, first, second = solution_lines(solution, names, numbers)
    assert first.startswith("Equal at 5,000 ")
    assert "undone" not in first
    assert second.startswith("Equal at 22,700 ")
    assert second.endswith("; Flat leaves work undone there, which nobody is paid for")
    crowded = solve(study(text.replace("black: 10000", "black: 11000"))[1], "base", "base.service.base", "flat")
    assert [root.value for root in crowded.roots] == pytest.approx([208])
    assert crowded.undone == crowded.roots[0].undone == ("flat",)


def test_two_solutions_close_together_are_found():
    """Cheaper only between 19,500 and 20,500 sides, much less than a step of the search."""
    text = """\
title: A narrow window
start: 2027-01
months: 12
money: {discount_rate: 0%}
work: {black: 100000}
left_out: [paper, labour, energy, space]
candidates:
  flat: {rental: {rent: 0, increase: 0}, service: {black: 0.02, increase: 0}}
  base: {rental: {rent: 0, increase: 0}, service: {base: 390, included: {black: 20000}, black: 0.04, increase: 0}}
"""
    _, model = study(text)
    roots = solve(model, "base", "work.black", "flat").roots
    assert [root.value for root in roots] == pytest.approx([19_500, 20_500])


def test_what_cannot_be_done_is_said_with_what_is_reached():
    scenario, model = study(PLANS)
    solution = solve(model, "today", "today.service.black", "birch")
    assert not solution.can
    assert solution.nearest is None
    assert solution.moves
    assert solution.searched[0] == 0
    assert solution.at_low == pytest.approx(gap(scenario, {"today.service.black": 0}, "today", "birch"), abs=1e-6)
    assert solution.at_low > 0
    still = solve(model, "today", "cedar.cash.price", "birch")
    assert (still.can, still.moves) == (False, False)
    assert still.at_low == still.at_high == still.now


def test_a_jump_is_told_as_one():
    bands = "colour: [{from: 0, rate: 0.09}, {from: 21000, rate: 0.03}], bands: all units"
    text = PLANS.replace("colour: 0.056", bands)
    scenario, model = study(text.replace("change_per_year: {value: -3%, low: -12%, high: 2%}", "change_per_year: 0%"))
    solution = solve(model, "cedar", "cedar.service.colour.2.from", "birch")
    assert solution.roots
    assert {root.kind for root in solution.roots} == {"jump"}
    for root in solution.roots:
        near = 1e-6 * root.value
        gaps = [comparison(model, ["cedar", "birch"]).costs({"cedar.service.colour.2.from": at}).worth[0]
                for at in (root.value - near, root.value + near)]  # fmt: skip
        below, above = (one[0] - one[1] for one in gaps)
        assert below * above < 0
        assert abs(root.difference) > 0.005
    assert scenario.title


def test_whole_months_are_tried_one_by_one():
    _, model = study(PLANS)
    solution = solve(model, "birch", "birch.service.increase_every", "cedar")
    assert solution.searched == (1.0, float(model.columns))
    assert all(root.value == int(root.value) for root in solution.roots)
    field = comparison(model, ["birch", "cedar"])
    every = np.arange(1.0, model.columns + 1)
    worth = field.costs({"birch.service.increase_every": every}).worth
    sign = np.sign(worth[:, 0] - worth[:, 1])
    assert [root.value for root in solution.roots] == every[1:][sign[1:] != sign[:-1]].tolist()
    assert solution.roots


def test_ranges_and_mixes_that_make_no_sense_are_refused():
    _, model = study(PLANS)
    with pytest.raises(ValueError, match="is in"):
        solve(model, "birch", "work.colour", "cedar", out_of="birch.lease.rent")
    with pytest.raises(ValueError, match="range to search is empty"):
        solve(model, "birch", "birch.lease.rent", "cedar", low=5, high=4)
    with pytest.raises(ValueError, match="no candidate"):
        solve(model, "oak", "birch.lease.rent", "cedar")


def test_a_concession_put_back_is_a_tie():
    scenario, model = study(PLANS)
    room, *others = concessions(model, "birch", ["cedar", "today"])
    assert (room.candidate, room.against) == ("birch", "cedar")
    assert room.gap < 0
    assert [(one.candidate, one.against) for one in others] == [("cedar", "birch"), ("today", "birch")]
    for offer in (room, *others):
        assert offer.gap == pytest.approx(gap(scenario, {}, offer.candidate, offer.against), abs=1e-6)
        assert offer.terms
        assert len(offer.terms) <= 5
        sizes = [abs(one.nearest.percent) for one in offer.terms if one.nearest.percent is not None]
        assert sizes == sorted(sizes)
        for term in offer.terms:
            assert abs(gap(scenario, {term.figure.key: term.nearest.value}, offer.candidate, offer.against)) < 0.005
        told = {one.figure.key for one in (*offer.terms, *offer.cannot)}
        assert offer.more == len({one.key for one in contract_terms(model, offer.candidate)} - told)


def test_terms_that_cannot_do_it_are_said_so():
    scenario, model = study(PLANS)
    _, today = concessions(model, "birch", ["today"])
    keys = {one.figure.key for one in today.cannot}
    assert "today.service.black" in keys
    for one in today.cannot:
        assert one.at_low * one.at_high >= 0
        at_nothing = gap(scenario, {one.figure.key: 0}, "today", "birch")
        assert at_nothing > 0


def test_only_figures_of_the_quote_are_terms():
    _, model = study(PLANS)
    keys = {one.key for one in contract_terms(model, "cedar")}
    assert {"cedar.cash.price", "cedar.service.base", "cedar.service.minimum.colour"} <= keys
    assert not keys & {"cedar.cash.sells_for", "cedar.sides_per_minute.letter", "cedar.attendance", "cedar.count"}
    assert not any("month" in key.rsplit(".", 1)[-1] for key in keys)


def test_a_price_gives_what_it_lacks():
    _, model = first_day(ash=70000, elm=64000, delivery=2500)
    room, offer = concessions(model, "elm", ["ash"])
    assert (room.gap, offer.gap) == (-8500, 8500)
    best = offer.terms[0]
    assert (best.figure.key, best.nearest.value) == ("ash.cash.price", pytest.approx(61500, abs=1e-6))
    assert best.nearest.percent == pytest.approx(-8500 / 70000)
    assert "ash.delivery_and_installation" in {one.figure.key for one in offer.cannot}
    assert room.terms[0].nearest.change == pytest.approx(8500)


def test_price_at_the_end_at_which_a_fair_value_lease_ties():
    """Case C05 (worked case, common practice): 16 a month less is worth 1,088.10 at month 60, besides the nominal 5."""
    text = """\
title: Fair value or nominal purchase
start: 2027-01
months: 60
money: {discount_rate: 5%, discount_basis: nominal}
work: {black: 1000}
left_out: [paper, labour, energy, space]
candidates:
  fair: {lease: {rent: 960, months: 60, paid: in arrears, at_end: buy, buy_price: 15000}, service: {black: 0}}
  nominal: {lease: {rent: 976, months: 60, paid: in arrears, at_end: buy, buy_price: 5}, service: {black: 0}}
"""
    scenario, model = study(text)
    (root,) = solve(model, "fair", "fair.lease.buy_price", "nominal").roots
    assert root.value - 5 == pytest.approx(1088.10, abs=0.005)
    assert abs(gap(scenario, {"fair.lease.buy_price": root.value}, "fair", "nominal")) < 0.005
    saved = gap(scenario, {"fair.lease.buy_price": 5}, "nominal", "fair")
    assert saved == pytest.approx(847.85, abs=0.005)


def plans(work, first, second):
    """Two plans over one year, nothing else counted."""
    return study(f"""\
title: Two plans
start: 2027-01
months: 12
money: {{discount_rate: 0%}}
work: {work}
left_out: [paper, labour, energy, space]
candidates:
  a: {{rental: {{rent: 0, increase: 0}}, service: {{{first}, increase: 0}}}}
  b: {{rental: {{rent: 0, increase: 0}}, service: {{{second}, increase: 0}}}}
""")


def test_share_of_large_sides_at_which_any_size_clicks_win():
    """Case C08 (worked case, common practice): 0.032 with double clicks against 0.049 of any size tie at 53.125 %."""
    work = "{colour: 30000, oversize_share: {colour: 66.66%}}"
    _, model = plans(work, "colour: 0.032, oversize_counts: 2", "colour: 0.049, oversize_counts: 1")
    solution = solve(model, "a", "work.oversize_share.colour", "b")
    assert [root.value for root in solution.roots] == pytest.approx([0.53125], abs=1e-9)
    assert solution.searched == (0.0, 1.0)


def test_colour_share_at_which_page_prices_cross():
    """Case C25 (worked case, common practice): B is better from 9.8361 % colour on; the sum of sides stays."""
    work = "{colour: 20000, black: 80000}"
    _, model = plans(work, "black: 0.006, colour: 0.055", "black: 0.0072, colour: 0.044")
    (root,) = solve(model, "b", "work.colour", "a", out_of="work.black").roots
    assert root.value / 100_000 == pytest.approx(0.098361, abs=5e-7)
    solution = solve(model, "b", "work.colour", "a", out_of="work.black")
    assert solution.now == pytest.approx(-0.00124 * 100_000 * 12)
    assert solution.searched == (0.0, 100_000.0)


def test_share_of_cheap_clicks_at_which_tiers_beat_one_rate():
    """Case C10 (worked case, common practice): tiers of 5 and 10 cents against 8.5 tie at 30 % low coverage.

    A plan has no coverage tiers of its own; its two meters stand for the two tiers.
    """
    _, model = plans("{black: 5000, colour: 5000}", "black: 0.05, colour: 0.10", "black: 0.085, colour: 0.085")
    solution = solve(model, "a", "work.black", "b", out_of="work.colour")
    assert [root.value / 10_000 for root in solution.roots] == pytest.approx([0.30], abs=1e-9)
    assert solution.now == pytest.approx(-100 * 12)

"""Charges against cost, and the hourly rate of the machines: worked by hand, common practice, no source."""

import pytest

from tco.analyses.new_work import new_work
from tco.analyses.same_scope import same_scope
from tests.costs.say import say


def near(value, tolerance=1e-9):
    return pytest.approx(value, rel=1e-12, abs=tolerance)


CHARGED = """\
months: 24
money: {discount_rate: 0%, inflation: 10%}
jobs:
  books: {colour: black, sides_per_set: 10, sets_per_job: 50, jobs: 24, charge_per_set: 2}
  flyers: {colour: colour, sides_per_set: 1, sets_per_job: 100, jobs: 12, charge_per_set: 0.5}
  drafts: {colour: black, sides_per_set: 1, sets_per_job: 10, jobs: 12}
outside: {colour: 0.2, paper: included}
candidates:
  it: {rental: {rent: 100, increase: 0%}, colour: no}
  none: {rental: {rent: 100, increase: 0%}}
"""


def test_charges_of_what_is_done_and_sent_out_rise_with_prices():
    """A month: 100 books x 2 + 100 flyers x 0.5 = 250; in the second year 275. Outside: 100 x 0.2, then 22.

    24 rents and 12 x (20 + 22) outside are 2,904; charges 12 x (250 + 275) = 6,300, so 3,396 more.
    """
    it = say(CHARGED)
    assert it.row("it.recovery.charged")[11:13] == near([250, 275])
    assert it.figure("it.measures.recovered") == near(6300)
    assert it.figure("it.measures.surplus") == near(3396)
    assert it.figure("it.measures.charges_factor") == near(2904 / 6300)
    assert [it.figure("it.recovery.worth", at) for at in range(3)] == near([5040, 1260, 0])
    assert it.total("it") == near(2904)
    level = say(CHARGED.replace("inflation: 10%", "inflation: 10%, charges_rise: no"))
    assert level.figure("it.measures.recovered") == near(24 * 250)


def test_work_that_nobody_does_is_not_charged():
    it = say(CHARGED.replace("outside: {colour: 0.2, paper: included}\n", ""))
    assert it.row("it.recovery.charged")[0] == near(200)
    assert it.row("none.recovery.charged")[0] == near(250)


def test_charges_that_just_cover_do_cover_in_today_s_money():
    money = "discount_rate: 9%, inflation: 10%"
    it = say(CHARGED.replace("discount_rate: 0%, inflation: 10%", money))
    factor = it.figure("it.measures.charges_factor")
    charges = CHARGED.replace("charge_per_set: 2", f"charge_per_set: {2 * factor!r}")
    covered = say(charges.replace("charge_per_set: 0.5", f"charge_per_set: {0.5 * factor!r}")
                  .replace("discount_rate: 0%, inflation: 10%", money))
    assert covered.figure("it.measures.pv_recovered") == near(covered.worth("it"), 1e-6)


def test_charges_a_side_by_colour():
    """4,000 black x 0.02 + 1,000 colour x 0.1 = 180 a month; today and candidate print the same."""
    it = say("""\
months: 12
work: {black: 4000, colour: 1000, charge_per_side: {black: 0.02, colour: 0.1}}
candidates: {it: {owned: {}}}
""")
    assert it.figure("it.measures.recovered") == near(12 * 180)


RATED = """\
months: 60
work: {black: 20000}
shop:
  hours_per_week: 40
  labour: {wage: 29.8076923076923, posts: 1}
  electricity: 0.138461538461538
  space_per_m2: {per_year: 350}
  paper: {letter: 0.01}
candidates:
  it:
    cash: {price: 200000}
    sides_per_minute: 100
    kwh_per_week: 500
    space_m2: 14
    front_end: {price: 0, support_per_year: 4200}
    service: {base: 1500, black: 0.01, increase: 0%}
"""


def test_the_hourly_rate_of_a_press():
    """Fixed 132,700 a year: depreciation 40,000, labour 62,000 (2,080 paid hours), fixed service 18,000, floor
    350 x 14, energy 3,600, software 4,200; over 80, 70 and 60 % of 52 x 40 hours. Clicks and paper are not in it.
    """
    it = say(RATED)
    assert it.figure("it.hourly_rate.fixed_year") == near(132_700, 1e-6)
    assert it.figure("it.hourly_rate.there_year") == near(2080)
    rates = [it.figure("it.hourly_rate.rate", at) for at in range(3)]
    assert rates == near([106.33, 91.14, 79.75], 0.005)
    assert it.model["it.hourly_rate.rate"].shape.axis.labels == ("60%", "70%", "80%")


def test_labels_that_hold_a_number_follow_the_locale():
    bands = "base: 1500, black: [{from: 0, rate: 0.01}, {from: 1500, rate: 0.008}], bands: graduated,"
    it = say("money: {discount_rate: 0%, locale: de_DE}\n" + RATED.replace("base: 1500, black: 0.01,", bands))
    assert it.model["it.hourly_rate.rate"].shape.axis.labels == ("60\u00a0%", "70\u00a0%", "80\u00a0%")
    assert it.model["it.plan.black_from"].shape.axis.labels == ("from 0", "from 1.500")


def test_no_hourly_rate_where_the_hours_of_a_press_are_not_known():
    shared, press = RATED.split("  it:\n")
    lines = "".join(f"    {line}\n" for line in press.splitlines())
    several = f"{shared}  it:\n    presses:\n      one:\n{lines}      two: {{owned: {{}}}}\n"
    assert "it.hourly_rate.rate" not in say(several).model


def test_a_base_inside_instalments_is_not_paid_by_itself():
    """The yearly minimum is paid in instalments: the 18,000 of the base are no fixed cost beside them."""
    it = say(RATED.replace("{base: 1500,", "{base: 1500, minimum_charge: 1600, instalments: yes,"))
    assert it.figure("it.hourly_rate.fixed_year") == near(114_700, 1e-6)


WON = CHARGED + """\
new_work:
  posters: {colour: colour, sides_per_set: 1, sets_per_job: 10, jobs: 24, charge_per_set: 3, only_with: [it, none]}
  letters: {colour: black, sides_per_set: 2, sets_per_job: 10, jobs: 12, charge_per_set: 1, only_with: [none]}
"""


def test_work_to_be_won_contributes_what_it_brings_less_what_it_costs():
    """Posters: 20 sets a month x 3, sent out by `it` at 20 x 0.2; 12 x (60 + 66) less 12 x (4 + 4.40). The press of
    `none` prints them for nothing more; its letters bring 12 x (10 + 11). Nothing of it enters the totals.
    """
    it = say(WON)
    found = {(one.work, one.candidate): one for one in new_work(it.scenario, it.values)}
    assert list(found) == [("posters", "it"), ("posters", "none"), ("letters", "none")]
    sent = found["posters", "it"]
    assert (sent.charged, sent.cost, sent.leaves) == (near(1512), near(100.8), near(1411.2))
    assert found["posters", "none"].leaves == near(1512)
    assert found["letters", "none"].leaves == near(252)
    assert (it.total("it"), it.figure("it.measures.recovered")) == (near(2904), near(6300))


def test_the_same_scope_is_told_by_class():
    """`it` prints no colour: flyers go out, or nobody does them without an outside price."""
    it = say(CHARGED)
    shares = {(one.candidate, one.work): one for one in same_scope(it.scenario, it.values, ("a", "b", "c"))}
    assert (shares["it", "b"].in_house, shares["it", "b"].sent_out) == (near(0), near(1))
    assert shares["it", "a"].in_house == shares["none", "b"].in_house == near(1)
    alone = say(CHARGED.replace("outside: {colour: 0.2, paper: included}\n", ""))
    assert same_scope(alone.scenario, alone.values, ("a", "b", "c"))[1].nobody == near(1)

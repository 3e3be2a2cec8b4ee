"""Fleets worked by hand: classes a press takes, the busiest week, due times, presses that follow, unequal lives."""

import pytest

from tests.costs.say import say


def near(value, tolerance=1e-9):
    return pytest.approx(value, rel=1e-12, abs=tolerance)


WEEK = """\
months: 4
jobs:
  notes: {colour: black, sides_per_set: 10, sets_per_job: 120, jobs: 120, due_hours: 0.25}
  cards: {colour: colour, sides_per_set: 1, sets_per_job: 6000, jobs: 12, due_hours: 9}
busiest_week: 50%
shop: {hours_per_week: 2, weeks_per_year: 48}
candidates:
  two:
    presses:
      timed: {owned: {}, takes: [notes], sides_per_minute: 100, make_ready_minutes: 6, warm_up_minutes: 4,
        cleaning_minutes: 2, service_stop_hours: 2}
      other: {owned: {}, takes: cards, from_month: 3}
  away: {outside_only: yes}
outside: {black: 0.03, colour: 0.1}
"""


@pytest.fixture(scope="module")
def week():
    return say(WEEK)


def test_a_press_takes_the_classes_it_is_meant_for(week):
    """Sent out: what the timed press has no hours for, and cards before the other press is there."""
    assert week.row("two.placing.outside", 1) == [1, 1, 0, 0, 0]
    assert week.row("two.timed.regular_done", 1) == [0] * 5
    assert week.row("two.other.regular_done", 1) == [0, 0, 1, 1, 0]
    assert week.row("two.other.regular_done", 0) == [0] * 5


def test_the_busiest_week_is_placed_by_itself(week):
    """Common practice, no source; by hand.

    Notes of a month: 10 jobs x 6 minutes + 12,000 sides at 100 a minute = 3 hours; half of them in one week, 1.5 hours.
    There in a week: 2 less 2 x 12 / 48 = 1.5 hours; care 6 minutes x 5 days = 0.5; for work 1, so 2/3 of it is done and
    the load is (1.5 + 0.5) / 1.5. Left: 12,000 x 0.5 / 3 = 2,000 sides, and 6,000 x 0.5 cards before month 3.
    """
    assert week.row("two.timed.week_load") == near([4 / 3] * 4 + [0])
    assert week.figure("two.timed.week_load_most") == near(4 / 3)
    assert week.row("two.busiest_week.too_many") == near([5000, 5000, 2000, 2000, 0])
    assert week.figure("two.busiest_week.most") == near(5000)
    assert "away.busiest_week.too_many" not in week.model


def test_a_job_is_held_against_its_due_time(week):
    """A tenth of the 3 hours of a month, 0.3, against 0.25; cards have no press with speeds, so nothing is said."""
    assert week.model["two.due.hours"].shape.axis.labels == ("Notes",)
    assert (week.figure("two.due.hours"), week.figure("two.due.late")) == (near(0.3), near(0.05))


def test_what_is_only_shown_changes_no_sum(week):
    quiet = WEEK.replace("busiest_week: 50%", "waste: 0%").replace(", due_hours: 0.25", "")
    plain = say(quiet.replace(", due_hours: 9", ""))
    for name in ("present_value", "total", "cash_up_front", "bound"):
        assert plain.figure(f"two.measures.{name}") == week.figure(f"two.measures.{name}")


LEASED = """\
months: 60
money: {discount_rate: 0%, inflation: 10%}
work: {black: 1000}
candidates:
  it:
    replaced: yes
    delivery_and_installation: 20
    front_end: {price: 0, support_per_year: 12}
    lease: {rent: 100, months: 24, document_fee: 10, return_freight: 50}
    service: {base: 30, increase: 10%}
"""


def test_a_returned_lease_is_followed_at_the_prices_of_its_month():
    """Followers come in months 25 and 49, at 1.1^2 = 1.21 and 1.1^4 = 1.4641 of the sums written.

    Rents 2,400 + 24 x 121 + 12 x 146.41; freight 50 + 60.5; fee and delivery 30 x (1 + 1.21 + 1.4641); base
    12 x (30 + 33), anew for each press, and 12 x 30; support 12 a year at the level of the year, as ever. Bound are
    24 rents, fee, delivery, freight and 24 months of base of the first press; beyond lie 12 rents and the freight of
    the last.
    """
    it = say(LEASED)
    rents, support = 2400 + 24 * 121 + 12 * 146.41, 12 * (1.1**5 - 1) / 0.1
    assert it.total("it") == near(rents + 110.5 + 30 * 3.6741 + 2 * 756 + 360 + support, 1e-6)
    assert it.figure("it.measures.bound") == near(2400 + 10 + 20 + 50 + 720)
    assert it.figure("it.measures.committed_beyond") == near(12 * 146.41 + 73.205)
    assert it.sum("it.measures.contracted") == near(2400 + 10)
    assert it.figure("it.measures.months_used") == 60
    assert it.row("it.press_3.present") == [0] * 48 + [1] * 12 + [0] * (it.model.columns - 60)


def test_followers_are_presses_of_their_own():
    """The same three presses written one by one, sums typed: nothing differs but what is bound at the start."""
    turns = [(1, 1.0, "first"), (25, 1.21, "second"), (49, 1.4641, "third")]
    presses = "".join(f"""\
      {name}: {{from_month: {month}, delivery_and_installation: {20 * level!r},
        front_end: {{price: 0, support_per_year: 12}},
        lease: {{rent: {100 * level!r}, months: 24, document_fee: {10 * level!r}, return_freight: {50 * level!r}}},
        service: {{base: 30, increase: 10%}}}}
""" for month, level, name in turns)
    rate = "discount_rate: 6%"
    shared = LEASED.split("  it:", maxsplit=1)[0].replace("discount_rate: 0%", rate)
    apart = say(f"{shared}  it:\n    presses:\n{presses}")
    it = say(LEASED.replace("discount_rate: 0%", rate))
    for name in ("present_value", "total", "cash_up_front", "committed_beyond", "month_of_use"):
        assert it.figure(f"it.measures.{name}") == near(apart.figure(f"it.measures.{name}"), 1e-6)
    assert it.figure("it.measures.bound") < apart.figure("it.measures.bound")


def test_a_press_kept_for_a_while_is_followed_for_as_long_each_time():
    """Bought for 1,000 in month 2, sold for 100 after 20 months; then months 22 to 41 and 42 to 60: 3 x 900."""
    it = say("""\
months: 60
work: {black: 1000}
candidates:
  it:
    presses:
      one: {replaced: yes, from_month: 2, until_month: 21, count: 2, cash: {price: 1000, sells_for: 100}}
      two: {owned: {}}
    service: {black: 0.01, increase: 0%}
""")
    assert [it.row(f"it.one{end}.starts").index(1) + 1 for end in ("", "_2", "_3")] == [2, 22, 42]
    assert [it.row(f"it.one{end}.leaves").index(1) + 1 for end in ("", "_2", "_3")] == [21, 41, 60]
    assert it.total("it") == near(2 * 3 * 900 + 600)
    assert it.model["it.one_2.last"].block.label == "Press: One, no. 2"


def test_a_term_that_is_longer_in_a_what_if_leaves_nothing_beyond_the_study():
    """The number of followers is set when the model is built; one whose turn never comes costs nothing."""
    it = say(LEASED)
    values = it.again({"it.lease.months": 60.0})
    longer = say(LEASED.replace("months: 24", "months: 60"))
    assert "it.press_2.last" not in longer.model
    for name in ("total", "present_value", "bound", "committed_beyond"):
        key = f"it.measures.{name}"
        assert float(values[key][0, 0, 0]) == near(longer.figure(key), 1e-6)
    assert it.figure("it.measures.committed_beyond") > 0


def test_unequal_lives_beside_each_other():
    """4,800 for a press that serves 24 of 60 months: 200 a month of use.

    At 8 % with prices that rise by 8 % the real rate is nil, so a level month in first prices is 4,800 / 60 = 80; so it
    is with 12 % nominal, 1.01^12 - 1 effective.
    """
    for money in ("discount_rate: 8%, inflation: 8%",
                  f"discount_rate: 12%, discount_basis: nominal, inflation: {1.01**12 - 1!r}"):
        it = say(f"""\
months: 60
money: {{{money}}}
work: {{black: 1000}}
candidates:
  it: {{cash: {{price: 4800}}, until_month: 24}}
  away: {{outside_only: yes}}
outside: {{black: 0}}
""")
        assert it.figure("it.measures.month_of_use") == near(200)
        assert it.figure("it.measures.level_month_start") == near(80)
        assert "away.measures.month_of_use" not in it.model

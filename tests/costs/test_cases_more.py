"""Further decisions from the trade, worked by hand: common practice, no source. `test_cases.py` has the others.

Where a figure of a year is said as one of a month, nothing is discounted and no price moves, so only the names of the
periods differ.
"""

import numpy as np
import pytest

from tco.analyses.breakeven import break_even
from tco.model.evaluate import evaluate
from tests.costs.say import say


def near(value, tolerance=0.005):
    return pytest.approx(value, rel=0, abs=tolerance)


def test_an_allowance_for_each_of_two_devices_or_one_for_both():
    """20,000 and 400,000 a year, 95,000 and 260,000 made, 0.012 above: 75,000 x 0.012, or 355,000 of 420,000 used."""

    def plan(allowance):
        included = f"{{black: {{per_year: {allowance}}}}}"
        return f"service: {{black: 0.012, included: {included}, settled: yearly, oversize_counts: 1, increase: 0%}}"

    it = say(f"""\
months: 12
jobs:
  office: {{colour: black, size: letter, sides_per_set: 1, sets_per_job: 1, jobs: 95000}}
  hall: {{colour: black, size: ledger, sides_per_set: 1, sets_per_job: 1, jobs: 260000}}
candidates:
  apart: {{presses: {{small: {{owned: {{}}, largest: letter, {plan(20000)}}}, large: {{owned: {{}}, {plan(400000)}}}}}}}
  pooled: {{presses: {{small: {{owned: {{}}, largest: letter}}, large: {{owned: {{}}}}}}, {plan(420000)}}}
""")
    assert [it.total(key) for key in ("apart", "pooled")] == near([900, 0])
    assert it.row("pooled.plan.black_made")[11] == near(355000)


def test_toner_fleet_or_one_inkjet_press():
    """11,500 a month and 0.028 or 0.0045; 22,000 and 0.0085 or 0.0035; four sides of ten in colour.

    A side costs 0.0139 or 0.0055 beside the fixed sums, equal at 10,500 / 0.0084; ink at double coverage costs 0.017
    a colour side, so 0.0089 a side, equal at 10,500 / 0.005.
    """
    it = say("""\
months: 1
work: {colour: 400000, black: 600000}
coverage: 5%
every_quote: {increase: 0%}
candidates:
  toner: {owned: {}, service: {base: 11500, colour: 0.028, black: 0.0045}}
  inkjet:
    owned: {}
    service: {base: 22000, colour: 0, black: 0.0035}
    supplies: {ink: {price: 0.0085, yields: 1, per: colour side, at_coverage: 5%}}
""")
    assert it.total("toner") / 1e6 - 0.0115 == near(0.0139, 1e-9)
    assert it.total("inkjet") / 1e6 - 0.022 == near(0.0055, 1e-9)
    heavy = {"coverage": 0.10}
    key = "inkjet.measures.total"
    assert evaluate(it.model, heavy, keep=[key])[key][0, 0, 0] / 1e6 - 0.022 == near(0.0089, 1e-9)
    for replace, volume in ((None, 1250000), (heavy, 2100000)):
        found = break_even(it.model, ["toner", "inkjet"], 0, 4e6, replace=replace)
        (tie,) = found.pair("toner", "inkjet").crossings
        assert (tie.kind, tie.low) == ("tie", near(volume, 0.01))
        assert (tie.cheaper_below, tie.cheaper_above) == ("toner", "inkjet")


def test_ballots_in_house():
    """118,000 and 0.06 a ballot against 0.24; 600,000, 150,000 and 600,000; 9,600 a year for idle service.

    108,000, 27,000 and 108,000 are saved. A year is said as a month, as the seasons of all years are alike.
    """
    it = say("""\
months: 3
work: {black: [600000, 150000, 600000, 0, 0, 0, 0, 0, 0, 0, 0, 0]}
outside: {black: 0.24, paper: included}
every_quote: {increase: 0%}
today: {outside_only: yes}
candidates:
  plain: {cash: {price: 118000}, service: {black: 0.06}}
  serviced: {cash: {price: 118000}, service: {base: 9600, black: 0.06}}
""")

    def saved(key):
        return np.cumsum(it.row("today.statement.net"))[:3] - np.cumsum(it.row(f"{key}.statement.net"))[:3]

    assert saved("plain") == near([-10000, 17000, 125000])
    assert saved("serviced") == near([-19600, -2200, 96200])
    assert [it.figure(f"{key}.measures.payback_month") for key in ("plain", "serviced")] == [2, 3]


def test_less_central_print_shop_and_more_copiers_in_the_buildings():
    """31,000 of wages saved, 2,200 more rents, 1.6 million copies at 0.024 instead of 0.0113, teachers half an hour
    a thousand at 38: 28,800 claimed, 20,320 of clicks and 30,400 of time are not seen.
    """  # fmt: skip

    def study(*candidates):
        return say(f"""\
months: 12
work: {{black: {{per_year: 1600000}}}}
every_quote: {{increase: 0%}}
shop: {{hours_per_week: 40, labour: {{wage: {31000 / 2080}, posts: 1, freed_hours: saved}}}}
today: {{posts: 1, service: {{black: 0.0113, increase: 0%}}}}
candidates:
{"".join(candidates)}
""")

    rents = f"posts: 0, rental: {{rent: {2200 / 12}, notice_months: 0, increase: 0%}}"
    time = "supplies: {time: {price: 19, yields: 1000}}"
    it = study(
        f"  claimed: {{{rents}, service: {{black: 0.0113}}}}\n",
        f"  clicks: {{{rents}, service: {{black: 0.024}}}}\n",
        f"  time: {{{rents}, service: {{black: 0.024}}, {time}}}\n",
    )
    saved = [it.figure(f"{key}.measures.saving") for key in ("claimed", "clicks", "time")]
    assert saved == near([28800, 8480, -21920])
    assert it.total("clicks") - it.total("claimed") == near(20320)
    assert it.total("time") - it.total("clicks") == near(30400)


def test_what_credits_for_hours_down_return_of_the_loss():
    """176 hours, 21 of them down, 95 percent promised, 50 an hour; 3,000 sides an hour cost 0.07 more outside.

    610 of the 4,410 lost come back. A credit in proportion of the base of 3,200 is one of 3,200 / 176 an hour.
    """
    it = say(f"""\
months: 1
work: {{black: {176 * 3000}}}
shop: {{hours_per_week: 44, weeks_per_year: 48}}
outside: {{black: 0.08, paper: included}}
every_quote: {{increase: 0%}}
candidates:
  never: {{owned: {{}}, sides_per_minute: 50, service: {{base: 3200, black: 0.01}}}}
  down: {{owned: {{}}, sides_per_minute: 50, service_stop_hours: 21, service: {{base: 3200, black: 0.01}}}}
  hourly:
    {{owned: {{}}, sides_per_minute: 50, service_stop_hours: 21,
     service: {{base: 3200, black: 0.01, uptime: {{share: 95%, credit_per_hour: 50}}}}}}
  share:
    {{owned: {{}}, sides_per_minute: 50, service_stop_hours: 21,
     service: {{base: 3200, black: 0.01, uptime: {{share: 100%, credit_per_hour: {3200 / 176}}}}}}}
""")
    loss = it.total("down") - it.total("never")
    returned = [it.total("down") - it.total(key) for key in ("hourly", "share")]
    assert it.row("down.press.there")[0] / it.row("never.press.there")[0] == near(0.88068, 5e-6)
    assert it.row("hourly.plan.down_allowed")[0] == near(8.8, 1e-9)
    assert loss == near(4410)
    assert returned == near([610, 381.82])
    assert [credit / loss for credit in returned] == near([0.1383, 0.0866], 5e-5)


def test_two_devices_now_and_one_later():
    """28,700 a year for two years and 19,400 for three; 1.1 million black at 0.0042, 300,000 colour at 0.036 a year.

    115,600 and five times 15,420; 13,600 a year more with the rival; 8 percent more colour each year.
    """

    def study(growth):
        pool = "service: {black: 0.0042, colour: 0.036, increase: 0%}"
        second = f"{{lease: {{rent: {9300 / 12}, months: 24, return_freight: 0}}}}"

        def offer(extra):
            first = f"{{lease: {{rent: {(19400 + extra) / 12}, months: 60, return_freight: 0}}}}"
            return f"{{presses: {{first: {first}, second: {second}}}, {pool}}}"

        return say(f"""\
months: 60
jobs:
  black: {{colour: black, sides_per_set: 1, sets_per_job: 1100, jobs: 1000}}
  colour: {{colour: colour, sides_per_set: 1, sets_per_job: 300, jobs: 1000, change_per_year: {growth}}}
candidates:
  offer: {offer(0)}
  rival: {offer(13600)}
""")

    it = study("0%")
    assert it.sum("offer.first.rent") + it.sum("offer.second.rent") == near(115600)
    assert it.sum("offer.plan.click_charge") / 5 == near(15420)
    assert [it.total(key) for key in ("offer", "rival")] == near([192700, 260700])
    assert study("8%").total("offer") == near(202059.29)


@pytest.mark.parametrize(("paid", "rate"), [("in arrears", 0.02369), ("in advance", 0.03611)])
def test_eight_copiers_that_carry_old_loans(paid, rate):
    """41,600 a year for five years repay 194,000, of which 113,000 is for the eight devices: 14,125 and not 24,250."""
    it = say(f"""\
months: 60
work: {{black: 1000}}
candidates:
  it:
    count: 8
    lease:
      {{rent: 5200, every_months: 12, months: 60, paid: {paid}, cash_price: 14125, rolled_in: 10125,
       at_end: buy, buy_price: 0}}
""")
    assert it.total("it") == near(208000)
    assert it.row("it.press.at_cash")[0] == near(113000)
    assert it.figure("it.press.old_share") == near(0.4175, 5e-5)
    assert (1 + it.figure("it.press.implied")) ** 12 - 1 == near(rate, 1e-5)
    assert 8 * (5200 - it.figure("it.press.old_rent")) == near(24230.93)

"""Decisions from the trade, worked by hand: common practice, no source. Money is not discounted unless a case says so.

Monthly rates are a twelfth of the yearly one (`discount_basis: nominal`), no tax, no paper, no rounding inside.
"""

import pytest

from tests.costs.say import say


def near(value, tolerance=0.005):
    return pytest.approx(value, rel=0, abs=tolerance)


def plans(work, months, **candidates):
    """One owned press for each plan, the same work."""
    lines = [f"months: {months}", f"work: {work}", "candidates:"]
    lines += [f"  {key}: {{owned: {{}}, service: {{increase: 0%, {terms}}}}}" for key, terms in candidates.items()]
    return say("\n".join(lines) + "\n")


def test_base_with_included_clicks_against_a_flat_rate():
    """6 months of 40,000 and 6 of 12,000: a 17,400 + 6 x 10,000 x 0.052, b 312,000 x 0.058, c no overage."""
    a = "base: 1450, included: {colour: 30000}, colour: 0.052"
    year = "{colour: [40000, 12000, 40000, 12000, 40000, 12000, 40000, 12000, 40000, 12000, 40000, 12000]}"
    it = plans(year, 12, a=f"{a}, settled: monthly", b="colour: 0.058", c=f"{a}, settled: yearly")
    assert [it.total(key) for key in "abc"] == near([20520, 18096, 17400])
    flat = plans("{colour: 26000}", 1, a=a, b="colour: 0.058")
    assert [flat.total(key) for key in "ab"] == near([1450, 1508])
    tie = plans("{colour: 25000}", 1, a=a, b="colour: 0.058")
    assert tie.total("a") == near(tie.total("b"))


def test_a_lease_to_be_returned_against_one_with_a_nominal_purchase():
    """960 or 976 for 60 months in arrears, 5 to keep, 2,500 freight; 5 % nominal a year.

    The 960 saved are worth 847.85 at the start, 847.85 x (1 + 0.05/12)^60 = 1,088.10 in money of month 60: at a
    purchase price of 1,088.10 + 5 the cheaper rent is no longer cheaper.
    """
    it = say("""\
months: 60
money: {discount_rate: 5%, discount_basis: nominal}
work: {black: 1000}
candidates:
  back: {lease: {rent: 960, months: 60, paid: in arrears, return_freight: 2500}}
  kept: {lease: {rent: 976, months: 60, paid: in arrears, at_end: buy, buy_price: 5}}
  tie: {lease: {rent: 960, months: 60, paid: in arrears, at_end: buy, buy_price: 1093.10}}
""")
    assert it.total("back") == near(60100)
    assert it.total("kept") == near(58565)
    assert it.sum("kept.press.rent") - it.sum("back.press.rent") == near(960)
    key = "measures.paid_for_close_worth"
    assert f"kept.{key}" not in it.model  # no cash price: what the way of paying does cannot be told
    five = 5 * (1 + 0.05 / 12) ** -60
    freight = 2500 * (1 + 0.05 / 12) ** -60
    assert it.worth("kept") - five - (it.worth("back") - freight) == near(847.85)
    assert it.worth("tie") == near(it.worth("kept"), 0.01)


def test_what_the_escalator_is_worth():
    """40,000 clicks at 0.045 for five years; 600,000 a half-year at 0.01 with 20 % every six months, ten periods."""
    work = "{colour: 40000}"
    it = plans(work, 60, flat="colour: 0.045")
    assert it.total("flat") == near(108000)
    rising = say(f"""\
months: 60
work: {work}
candidates:
  three: {{owned: {{}}, service: {{colour: 0.045, increase: 10%, increase_cap: 3%}}}}
  five: {{owned: {{}}, service: {{colour: 0.045, increase: 5%}}}}
  ten: {{owned: {{}}, service: {{colour: 0.045, increase: 10%}}}}
""")
    assert [rising.total(key) for key in ("three", "five", "ten")] == near([114677.33, 119353.64, 131870.16])
    extreme = say("""\
months: 60
work: {black: {per_year: 1200000}}
candidates: {it: {owned: {}, service: {black: 0.01, increase: 20%, increase_from: 7, increase_every: 6}}}
""")
    assert extreme.total("it") == near(155752.09)
    assert extreme.row("it.plan.click_charge")[59] / 100000 == near(0.051598, 5e-7)


def test_double_oversize_against_one_rate_for_any_size():
    """20,000 large and 10,000 letter sides: 50,000 x 0.032 or 30,000 x 0.049; equal at 53.125 percent large sides."""
    a, b = "colour: 0.032, oversize_counts: 2", "colour: 0.049, oversize_counts: 1"
    it = plans("{colour: 30000, oversize_share: {colour: 0.666666666666667}}", 1, a=a, b=b)
    assert [it.total(key) for key in "ab"] == near([1600, 1470])
    tie = plans("{colour: 30000, oversize_share: {colour: 53.125%}}", 1, a=a, b=b)
    assert tie.total("a") == near(tie.total("b"))


def test_the_old_lease_rolled_into_the_new_one():
    """1,450 for 18 months more; 68,000 x 0.0205 a month for 60 months in arrears; 7 % nominal a year.

    18 x 1,450 = 26,100 rolled in: 94,100 x 0.0205 = 1,929.05, of which 535.05 a month or 32,103 is old debt, worth
    27,021.09. The old rents in arrears are worth 24,708.19; present rents fall at the opening here, so
    x (1 + 0.07/12) = 24,852.32.
    """
    it = say("""\
months: 60
money: {discount_rate: 7%, discount_basis: nominal}
work: {black: 1000}
today: {lease: {rent: 1450, ends: 2028-06, return_freight: 0}}
candidates:
  finish: {lease: {rent: 1394, months: 60, paid: in arrears, cash_price: 68000, at_end: buy, buy_price: 0}}
  rolled:
    present_lease: rolled in
    lease: {rent: 1929.05, months: 60, paid: in arrears, cash_price: 94100, at_end: buy, buy_price: 0}
""")
    assert it.sum("finish.present.rent") == near(26100)
    assert it.sum("rolled.press.rent") - it.sum("finish.press.rent") == near(32103)
    assert it.worth("finish") - it.figure("finish.measures.paid_for") == near(24708.19 * (1 + 0.07 / 12), 0.01)
    assert it.worth("rolled") - it.figure("finish.measures.paid_for") == near(27021.09)
    assert 12 * it.figure("rolled.press.implied") == near(0.0847, 5e-5)


def test_buying_for_six_years_against_leasing_for_four():
    """140,000, 7,500 a year at its end, 10,000 after six years; or 7,500 and 34,500 a year in advance; 7 % effective.

    Maintenance at the end of the year is said as a least charge settled by the contract year. A year all in, paid at
    its end, is the level month x the sum of 1.07^((12 - m)/12), m = 1 ... 12. Twelve years: two presses, three leases.
    """
    def study(months, presses):
        return say(f"""\
months: {months}
money: {{discount_rate: 7%}}
work: {{black: 1000}}
candidates: {{it: {presses}}}
""")
    plan = "service: {minimum_charge: {per_year: 7500}, black: 0, settled: yearly, increase: 0%}"
    press = "cash: {price: 140000, sells_for: 10000}"
    rent = "lease: {rent: 34500, months: 48, every_months: 12, paid: in advance, document_fee: 7500, return_freight: 0}"
    buy, let = study(72, f"{{{press}, {plan}}}"), study(48, f"{{{rent}}}")
    assert [buy.worth("it"), let.worth("it")] == near([169085.63, 132538.90])
    year = sum(1.07 ** ((12 - m) / 12) for m in range(1, 13))
    level = [one.figure("it.measures.level_month") * year for one in (buy, let)]
    assert level == near([35473.45, 39129.21])
    twice = f"{{presses: {{a: {{{press}, until_month: 72}}, b: {{{press}, from_month: 73}}}}, {plan}}}"
    thrice = f"{{presses: {{a: {{{rent}}}, b: {{{rent}, from_month: 49}}, c: {{{rent}, from_month: 97}}}}}}"
    assert study(144, twice).worth("it") == near(281754.52)
    assert study(144, thrice).worth("it") == near(310791.05)


@pytest.mark.parametrize(
    ("images", "a", "b", "c"),
    [(20000, 710, 520, 380), (60000, 1290, 840, 780), (90000, 1725, 1080, 1080), (120000, 2160, 1320, 1380)],
)
def test_three_small_offers_of_different_shapes(images, a, b, c):
    """420 and 0.0145; 408 with 6,000 included and 0.008; 180 and 0.010: b and c tie at 90,000 images."""
    it = say(f"""\
months: 36
work: {{black: {images}}}
every_quote: {{increase: 0%}}
candidates:
  a: {{lease: {{rent: 420, months: 36, at_end: buy, buy_price: 0}}, service: {{black: 0.0145}}}}
  b: {{lease: {{rent: 408, months: 36, return_freight: 0}}, service: {{black: 0.008, included: {{black: 6000}}}}}}
  c: {{lease: {{rent: 180, months: 36, return_freight: 0}}, service: {{black: 0.010}}}}
""")
    assert [it.total(key) / 36 for key in "abc"] == near([a, b, c])


def test_page_prices_cross_with_the_share_of_colour():
    """Black 0.006 or 0.0072, colour 0.055 or 0.044: equal at 0.0012 / 0.0122 colour; 200 more for two presses."""
    def study(pages, colour):
        return say(f"""\
months: 1
work: {{black: {pages * (1 - colour)}, colour: {pages * colour}}}
candidates:
  a: {{count: 2, cash: {{price: 6000}}, service: {{black: 0.006, colour: 0.055}}}}
  b: {{count: 2, cash: {{price: 6100}}, service: {{black: 0.0072, colour: 0.044}}}}
""")

    def gain(it):
        return it.total("a") - it.total("b") + 200

    assert gain(study(100000, 0.098361)) == near(0, 0.01)
    assert gain(study(100000, 0.2)) / 100000 == near(0.00124, 1e-9)
    assert gain(study(100000, 0.05)) / 100000 == near(-0.00059, 1e-9)
    repaid = study(161290.3, 0.2)
    assert repaid.total("a") == near(repaid.total("b"))


@pytest.mark.parametrize(
    ("large", "cost", "gain"), [("0%", 0.03917, 141.50), ("100%", 0.07271, None), ("50%", 0.05594, -697)]
)
def test_leaving_the_click_contract(large, cost, gain):
    """50,000 sides a month at 0.042, or own supplies: toner by area, drums, developer, fuser, belt, sundries by side.

    4 x 160 / 25,000 = 0.0256 a letter side and 2.31016 times that on 12x18; the rest 0.01357. The technician's 4 x 95 a
    month is said as a yearly support of 4,560 and has no part in the cost a side.
    """
    it = say(f"""\
months: 1
work: {{colour: 50000, oversize_share: {{colour: {large}}}, large_size: 12x18}}
candidates:
  contract: {{owned: {{}}, service: {{colour: 0.042, oversize_counts: 1}}}}
  own:
    owned: {{}}
    front_end: {{support_per_year: 4560}}
    supplies:
      toner: {{price: 640, yields: 25000, at_coverage: 5%}}
      drums: {{price: 1680, yields: 250000}}
      developer: {{price: 440, yields: 400000}}
      fuser: {{price: 900, yields: 400000}}
      belt: {{price: 750, yields: 500000}}
      sundries: {{price: 0.002, yields: 1}}
""")
    own = it.total("own") - it.sum("own.press.support")
    assert own / 50000 == near(cost, 5e-6)
    if gain is not None:
        assert it.total("contract") - own == near(gain, 0.5)
        assert it.total("contract") - it.total("own") == near(gain - 380, 0.5)


@pytest.mark.parametrize(("used", "hours", "rate"), [("0.8", 1664, 79.75), ("0.7", 1456, 91.14), ("0.6", 1248, 106.33)])
def test_the_hourly_rate_of_a_press(used, hours, rate):
    """132,700 a year over 80, 70 or 60 percent of 2,080 hours: each sum where it belongs, floor by the square foot.

    40,000 written off, 62,000 for one post, 18,000 fixed service, 350 x 14 floor, 5,200 kWh for 3,600, 4,200 software.
    """
    it = say(f"""\
months: 12
work: {{black: {2080 * float(used) / 12 * 60 * 100}}}
shop:
  hours_per_week: 40
  labour: {{wage: {62000 / 2080}, posts: 1}}
  electricity: {3600 / 5200}
  space_per_m2: {{per_year: 14}}
candidates:
  it:
    cash: {{price: 40000}}
    posts: 1
    sides_per_minute: 100
    front_end: {{support_per_year: 4200}}
    kwh_per_week: 100
    space_m2: 350
    service: {{base: {{per_year: 18000}}, increase: 0%}}
""")
    assert it.total("it") == near(132700)
    assert it.sum("it.press.hours") == near(hours)
    assert it.total("it") / it.sum("it.press.hours") == near(rate)
    place = it.model["it.hourly_rate.rate"].shape.axis.labels.index(f"{float(used):.0%}")
    assert it.figure("it.hourly_rate.rate", place) == near(rate)


@pytest.mark.parametrize(
    ("paid", "price", "rate"), [("in arrears", 0, 0.1727), ("in advance", 0, 0.1796), ("in arrears", 150, 0.1997)]
)
def test_the_rate_behind_25_per_thousand(paid, price, rate):
    """1,000 for 60 rents of 25, kept for nothing or worth 150 at the end: nominal a year."""
    it = say(f"""\
months: 60
work: {{black: 1000}}
candidates: {{it: {{lease: {{rent: 25, months: 60, paid: {paid}, cash_price: 1000, at_end: buy, buy_price: {price}}}}}}}
""")
    assert 12 * it.figure("it.press.implied") == near(rate, 5e-5)


def test_whether_energy_matters():
    """28 against 75 kWh a week at 0.16, a third for cooling; 2.4 million clicks 0.0005 apart; a dryer of 25 kW."""
    it = say("""\
months: 12
work: {black: {per_year: 2400000}}
shop: {hours_per_week: 40, electricity: 0.16}
candidates:
  a: {owned: {}, kwh_per_week: 28}
  b: {owned: {}, kwh_per_week: 75}
  c: {owned: {}, service: {black: 0.0005}}
  dryer: {owned: {}, sides_per_minute: 20, power: {running: 25}}
""")
    assert it.total("b") - it.total("a") == near(391.04)
    assert it.total("c") == near(1200)
    assert (it.sum("dryer.press.hours"), it.total("dryer")) == (near(2000), near(8000))
    cooled = say("""\
months: 12
work: {black: {per_year: 2400000}}
shop: {hours_per_week: 40, electricity: 0.16, cooling: 33.33333%}
candidates:
  a: {owned: {}, kwh_per_week: 28}
  b: {owned: {}, kwh_per_week: 75}
  dryer: {owned: {}, sides_per_minute: 20, power: {running: 25}}
""")
    assert cooled.total("b") - cooled.total("a") == near(521.39)
    assert cooled.total("dryer") == near(10666.67)


def test_two_readings_of_volume_bands():
    """0.0100 to 5 million clicks a quarter, 0.0095 to 6, 0.0090 to 7, 0.0085 above; 7.2 and 7 million.

    A band that ends with a click is one that the next begins after, hence `from: 7000001`.
    """
    steps = {0: 0.0100, 5000001: 0.0095, 6000001: 0.0090, 7000001: 0.0085}
    written = ", ".join(f"{{from: {start}, rate: {rate}}}" for start, rate in steps.items())
    bands = f"black: [{written}], settled: quarterly"
    both = {"all": f"{bands}, bands: all units", "by": f"{bands}, bands: graduated"}
    it = plans("{black: 2400000}", 3, **both)
    assert it.total("all") == near(61200)
    assert it.total("by") == near(70200)
    assert plans("{black: {per_quarter: 7000000}}", 3, **both).total("all") == near(63000)
    assert plans("{black: {per_quarter: 7411764}}", 3, **both).total("all") == near(63000, 0.01)


def test_a_small_congregation_with_a_long_lease():
    """262 for 60 months, 1,200 copies a month or 0.10 outside; left after month 20 with 400 or 2,000 freight."""
    it = say("""\
months: 20
work: {black: 1200}
outside: {black: 0.10, paper: included}
candidates:
  near: {lease: {rent: 262, months: 60, paid: in arrears, return_freight: 400}}
  far: {lease: {rent: 262, months: 60, paid: in arrears, return_freight: 2000}}
  out: {outside_only: yes}
""")
    assert it.figure("near.measures.average_side") == near(0.2183, 5e-5)
    assert it.total("out") / 20 == near(120)
    assert it.figure("near.press.beyond") == near(10480)
    assert [it.figure(f"{key}.measures.committed_beyond") for key in ("near", "far")] == near([10880, 12480])


def test_waste_is_billed():
    """200,000 good sides two-sided, 3 percent waste, 400 jobs with 15 sheets make-ready, 0.038 a click.

    6,000 + 12,000 clicks of waste are 684; 8,284 / 200,000. A credit of 1,500 clicks is said as clicks included.
    """
    it = say("""\
months: 1
waste: 3%
jobs:
  all:
    {colour: colour, sides_per_set: 2, two_sided: yes, sets_per_job: 250, jobs: {per_month: 400}, make_ready_sheets: 15}
candidates:
  plain: {owned: {}, service: {colour: 0.038}}
  credit: {owned: {}, service: {colour: 0.038, included: {colour: 1500}}}
""")
    assert it.sum("plain.plan.colour_clicks_1") == near(218000)
    assert it.total("plain") - 200000 * 0.038 == near(684)
    assert it.figure("plain.measures.average_side") == near(0.04142, 1e-9)
    assert it.total("plain") - it.total("credit") == near(57)
    assert it.figure("credit.measures.average_side") == near(0.041135, 1e-9)

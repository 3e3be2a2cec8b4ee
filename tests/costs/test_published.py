"""Published figures as scenarios, from the file to the measure: the functions behind them are held in tests/finance."""

import pytest

from tests.costs.say import say


def near(value, tolerance=0.005):
    return pytest.approx(value, rel=0, abs=tolerance)


def test_make_or_buy_flips_with_the_avoidable_fixed_cost():
    """OpenStax, Principles of Accounting Vol. 2, 10.3 (read): 120,000 lids at 1.68 and avoidable 0.12, or 1.75."""
    it = say("""\
months: 12
work: {black: {per_year: 120000}}
outside: {black: 1.75, paper: included}
every_quote: {increase: 0%}
candidates:
  make: {owned: {}, service: {black: 1.68}}
  avoidable: {owned: {}, service: {black: 1.68, base: {per_year: 14400}}}
  buy: {outside_only: yes}
""")
    assert [it.total(key) for key in ("make", "avoidable", "buy")] == near([201600, 216000, 210000])


def test_a_loan_month_by_month():
    """OpenStax, Principles of Finance 2e, 8.3 (read): 32,000 at 6 % over 36 months, 973.50 a month.

    The sum of interest printed there, 3,046.08, is that of payments rounded to the cent.
    """
    it = say("""\
months: 36
work: {black: 1000}
candidates: {it: {loan: {price: 32000, rate: 6%, months: 36}}}
""")
    interest, principal, owed = (it.row(f"it.press.{key}") for key in ("interest", "principal", "owed"))
    assert [interest[0], principal[0], owed[0]] == near([160.00, 813.50, 31186.50])
    assert [interest[34], principal[34], owed[34]] == near([9.66, 963.84, 968.66])
    assert sum(interest) == near(3046.08, 0.2)


def test_what_is_owed_on_a_machine_sold_after_three_years():
    """Extension slide set, Leasing vs. Buying Farm Machinery, Tables 1-3 (read): 80,000 over 84 months at 1 %."""
    it = say("""\
months: 36
work: {black: 1000}
candidates: {it: {loan: {price: 100000, down_payment: 20000, rate: 12%, months: 84, sells_for: 67165}}}
""")
    years = [slice(12 * year, 12 * year + 12) for year in range(3)]
    # The 36th month holds the balance too, as a line of its own.
    assert [sum(it.row("it.press.principal")[year]) for year in years] == near([7764, 8749, 9859], 1)
    assert [sum(it.row("it.press.interest")[year]) for year in years] == near([9182, 8198, 7088], 1)
    assert it.sum("it.press.settled") == near(53628, 1)


def test_the_rent_in_advance_that_makes_renting_and_buying_alike():
    """Engineering-economy problem, computer with colour printer (read): 7,520 and 50 a month, or 400; 12 % / 12."""
    it = say("""\
months: 24
money: {discount_rate: 12%, discount_basis: nominal}
work: {black: 1000}
every_quote: {increase: 0%}
candidates:
  buy: {cash: {price: 7520}, service: {black: 0, fee_per_month: 50}}
  rent: {rental: {rent: 400, notice_months: 0, increase: 0%}}
""")
    months = sum((1 + 0.12 / 12) ** -month for month in range(24))
    assert (it.worth("rent") - it.worth("buy")) / months == near(0, 0.05)


def test_the_rate_of_an_hour_that_is_sold():
    """Trade page, the value of calculating budgeted hourly rates (read): 200,000 over five years and 2,000 hours a year
    is 20 an hour, 21 with overhead of 1; what is printed on and with comes on top.

    2,500 hours there used to 80 percent are 2,000; overhead is said as support of the front end, 2,000 a year.
    """
    it = say("""\
months: 60
work: {black: 1000}
shop: {hours_per_week: 50, weeks_per_year: 50, paper: {letter: 0.01}}
every_quote: {increase: 0%}
candidates:
  bare: {cash: {price: 200000}, sides_per_minute: 100, service: {black: 0.01}}
  loaded: {cash: {price: 200000}, sides_per_minute: 100, front_end: {support_per_year: 2000}}
""")
    assert [it.figure(f"{key}.hourly_rate.rate", 2) for key in ("bare", "loaded")] == near([20, 21])


def test_a_falling_load_raises_the_rate():
    """Derived from the rule of the same pages: 100,000 a year over 2,080 hours used to 60, 70 and 80 percent."""
    it = say("""\
months: 12
work: {black: 1000}
shop: {hours_per_week: 40}
candidates: {it: {cash: {price: 100000}, sides_per_minute: 100}}
""")
    assert [it.figure("it.hourly_rate.rate", place) for place in range(3)] == near([80.13, 68.68, 60.10])

"""Scenario texts for the tests of this folder."""

from tco.scenario.load import load_text

SMALL = """\
title: Two quotes
start: 2027-03
months: 60
money: {currency: USD, discount_rate: 7.5%}
work: {colour: 24000, black: 42000}
today: {service: {base: 310, colour: 0.068, black: 0.012, increase: 5%}}
candidates:
  birch:
    quote: Tarnwick, offer 1187
    lease: {rent: 1240, months: 60, paid: in advance, return_freight: 900}
    service: {base: 420, colour: 0.049, black: 0.009, increase: 3%}
"""


def changed_text(*pairs):
    """Return SMALL with pieces of text replaced; every piece must occur."""
    text = SMALL
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def small(*pairs):
    return load_text(changed_text(*pairs))

RICH = """\
title: Central print shop
prepared: {by: J. Anselm, for: Finance committee, date: 2027-02-01}
introduction: |
  Two paragraphs before the answer.
start: 2027-07
months: 60
money:
  discount_rate: 4%
  inflation: 2.5%
  fiscal_year_starts: July
  income_tax: {rate: 25%, relief_after_months: 4, depreciation: macrs 5-year}
  sales_tax: {rate: 7%, recoverable: 50%, on: [equipment, rent]}
  books: {years: 5}
  lease_accounting: {framework: ASC 842, rate: 6%}
jobs:
  classwork: {size: letter, colour: black, sides_per_set: 11, two_sided: yes, sets_per_job: 30, jobs: 5200,
    finish: staple}
  programmes: {size: ledger, colour: colour, sides_per_set: 4, sets_per_job: 350, jobs: {per_month: 14},
    finish: booklet, paper: card, heavy: yes, coverage: 12%, season: [1, 1, 1, 2, 1, 1, 1, 1, 1, 1, 1, 0],
    make_ready_sheets: 5}
season: {Jul: 0.2, Aug: 2.2, Sep: 1.7, Oct: 1.1, Nov: 0.9, Dec: 0.6, Jan: 1.3, Feb: 1, Mar: 1, Apr: 1, May: 1, Jun: 0.3}
busiest_week: 38%
change_per_year: {value: -5%, low: -15%, high: 0%, source: three years of meters}
waste: 3%
shop:
  hours_per_week: 40
  labour: {posts: 2, wage: 23.40, on_cost: 42%, freed_hours: stay paid}
  paper: {letter: 0.0078, ledger: 0.0210, card: 0.09}
  finishing: {staple: {material: 0.01, sets_per_hour: 200}, booklet: {material: 0.02, bought_in: 0.3}}
  electricity: 0.14
  space_per_m2: {per_year: 140}
outside: {quote: Tender T-19, black: 0.034, colour: 0.145, finishing: {staple: 0.05, booklet: 0.18}, paper: included}
allowances: {return_freight: 1500}
today:
  name: Keep both present presses
  count: 2
  sells_for: 900
  lease: {rent: 2160, ends: 2028-06, then: month to month, return_freight: 1400, buy_out: 20000}
  service: {black: 0.0059, colour: 0.052, oversize_counts: 2, increase: 4%}
  sides_per_minute: {letter: 105, ledger: 52}
  last_year: {equipment: 25920, service: 63400, paper: 23900, people: 138000}
every_quote: {oversize_counts: 2, covered: [delivery, training], present_lease: finish, increase_from: 2028-07}
candidates:
  one_large:
    quote: Pellmere 27-044
    lease: {rent: 3480, months: 60, paid: in arrears, at_end: renew, renewal_rent: 500, return_freight: unknown}
    service: {base: 980, included: {black: 260000}, settled: yearly, black: 0.0038, colour: 0.041, minimum_charge: 700}
    sides_per_minute: {letter: 136, ledger: 68}
    trays: [{sheets: 2500, sizes: any}, {sheets: 1000, sizes: [letter, ledger]}]
    reload_minutes: 2
    in_line: [staple, booklet]
    power: {running: 3.2, ready: 0.9}
    front_end: {price: 9000, support_per_year: 1200}
    supplies: {staples: {price: 40, yields: 5000, per: set}, toner: {price: 160, yields: 25000, at_coverage: 5%}}
  mixed:
    quote: Pellmere 27-045
    presses:
      old: {same_as: today, until_month: 24, count: 1}
      new: {from_month: 2, loan: {price: 90000, rate: 6.9%, months: 60}, sides_per_minute: 100, kwh_per_week: 28}
    service: {black: [{from: 0, rate: 0.0046}, {from: 100000, rate: 0.004}], colour: 0.043, bands: all units}
  all_out: {outside_only: yes}
  rented: {rental: {rent: 2950, notice_months: 3}, posts: 1.5, service: {black: 0.0061, colour: 0.058, increase: 4%}}
"""

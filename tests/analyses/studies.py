"""Small scenarios for the tests of analyses."""

from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.scenario.load import load_text

PLANS = """\
title: Two plans and the present press
start: 2027-07
months: 60
money: {discount_rate: {value: 6%, low: 4%, high: 8%}, inflation: 2%}
work: {colour: {value: 22000, low: 15000, high: 27000}, black: 40000, two_sided_share: 50%}
season: [0.4, 1.9, 1.6, 1.0, 0.9, 0.7, 1.5, 1.0, 0.9, 1.0, 0.8, 0.3]
change_per_year: {value: -3%, low: -12%, high: 2%}
shop: {hours_per_week: 40, labour: {wage: 21, on_cost: 30%}, paper: {letter: {value: 0.009, low: 0.008, high: 0.011}}}
left_out: [energy, space]
today:
  sells_for: 3000
  sides_per_minute: 60
  service: {base: 310, colour: 0.098, black: 0.012, increase: 5%}
candidates:
  birch:
    quote: Tarnwick, offer 1187
    sides_per_minute: 70
    lease: {rent: 1240, months: 60, paid: in advance, return_freight: 900}
    service:
      base: 420
      included: {colour: 12000}
      settled: quarterly
      colour: {value: 0.049, low: 0.045, high: 0.053}
      black: 0.009
      increase: {value: 3%, low: 0%, high: 8%}
  cedar:
    quote: Osgrove, quotation of 20 January 2027
    sides_per_minute: 75
    cash: {price: 32000, sells_for: {value: 6000, low: 0, high: 12000}}
    service: {base: 390, colour: 0.056, black: 0.0085, increase: 3%, increase_cap: 4%, minimum: {colour: 15000}}
"""

JOBS = """\
title: Two kinds of work
start: 2027-01
months: 24
money: {discount_rate: 1%}
season: [1, 1, 1, 1, 1, 1, 1, 1, 3, 2, 1, 0.5]
jobs:
  tests: {colour: black, sides_per_set: 4, sets_per_job: 30, jobs: 900}
  letters: {colour: colour, sides_per_set: 2, sets_per_job: 400, jobs: {per_month: 8}, change_per_year: -4%,
    season: [2, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1]}
left_out: [paper, labour, energy, space]
today: {service: {colour: 0.07, black: 0.02, increase: 4%}}
candidates:
  alder: {cash: {price: 6000, sells_for: 900}, service: {colour: 0.045, black: 0.012, increase: 2%}}
"""

# Nothing but what is paid on the first day: cost in today's money is the sum of the prices, whatever the rate.
FIRST_DAY = """\
title: Prices only
start: 2027-01
months: 12
money: {{discount_rate: 0%}}
work: {{black: {black}}}
left_out: [paper, labour, energy, space]
candidates:
  ash: {{cash: {{price: {ash}}}, delivery_and_installation: {delivery}, training: {training}, service: {{black: 0}}}}
  elm: {{cash: {{price: {elm}}}, service: {{black: 0}}}}
"""


def study(text):
    """Scenario and model of a text."""
    scenario = load_text(text)
    return scenario, build(scenario)


def first_day(ash, elm, delivery="0", training="0", black="{value: 1000, low: 900, high: 1100}"):
    return study(FIRST_DAY.format(ash=ash, elm=elm, delivery=delivery, training=training, black=black))


def cost(model, candidate):
    """Cost in today's money, evaluated by itself."""
    key = f"{candidate}.measures.present_value"
    return float(evaluate(model, {}, {key})[key][0, 0, 0])


def gap(scenario, changes, candidate, against):
    """Cost of one less cost of the other in a scenario that was built anew."""
    model = build(scenario.with_changes(changes))
    return cost(model, candidate) - cost(model, against)

"""The scenario that a new user starts from."""

from __future__ import annotations

_TEXT = """\
# A comparison of production presses. Replace the figures by your own; remove lines you do not need.
# Any figure may be a number (0.049), a percentage (7.5%), the word unknown,
# or a mapping with a range: {value: 6000, low: 0, high: 12000}.
title: Colour press for a quick printer
start: 2027-03                      # first month of the comparison
months: 60
money: {currency: USD, discount_rate: 7.5%, inflation: 2%}

work:                               # good printed sides a month
  colour: {value: 26000, low: 20000, high: 32000}
  black: {per_year: 504000}
  oversize_share: {colour: 35%, black: 5%}     # on 11 x 17 and larger
left_out: [paper, labour, energy, space]       # the same whichever press is taken

today:                              # what stands on the floor; all others are compared with it
  name: Keep the present press
  sells_for: 4000
  service: {base: 310, colour: 0.068, black: 0.012, oversize_counts: 2, increase: 5%}

candidates:
  birch:
    name: Lease the Birch
    quote: Tarnwick, offer 1187     # the document: source of every figure of this candidate
    lease: {rent: 1240, months: 60, paid: in advance, at_end: return, return_freight: unknown}
    service:
      base: 420
      included: {colour: 12000}     # clicks a month
      settled: quarterly
      colour: 0.049
      black: 0.009
      oversize_counts: 2
      increase: unknown
  cedar:
    name: Buy the Cedar
    quote: Osgrove, quotation of 20 January
    delivery_and_installation: 1850
    cash: {price: 58500, sells_for: {value: 6000, low: 0, high: 12000}}
    service: {base: 390, colour: 0.056, black: 0.0085, oversize_counts: 1, increase: 3%}
"""


def starting_scenario() -> str:
    """Return the text of a small commented scenario that loads without error."""
    return _TEXT

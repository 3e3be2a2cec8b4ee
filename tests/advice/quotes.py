# ruff: noqa: E501  one scenario piece is one line of YAML
"""One scenario that is quiet about almost everything, and for every warning what makes it speak and what just not."""

import re
from dataclasses import dataclass, field

from tco.advice.study import Study
from tco.advice.warnings import find_warnings
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.scenario.load import load_text

BASE = """\
title: Two quotes
prepared: {date: 2027-02-01}
start: 2027-03
months: 60
money: {currency: USD, discount_rate: 7.5%, fiscal_year_starts: March, sales_tax: {rate: 7%}}
work: {colour: 24000, black: 42000, oversize_share: {colour: 35%}}
waste: 3%
change_per_year: -3%
today: {sells_for: 4000, service: {base: 310, colour: 0.068, black: 0.012, increase: 0%, oversize_counts: 2}}
candidates:
  birch:
    quote: Tarnwick, offer 1187
    covered: [training, support, service hours]
    not_covered: [staples, waste bottles, interim rent, insurance, property tax]
    site_works: 800
    recommended_volume: 150000
    lease: {rent: 1240, months: 60, paid: in advance, at_end: return, return_freight: 900, cash_price: 61000, document_fee: 100}
    service: {base: 420, included: {colour: 8400}, settled: yearly, colour: 0.05, black: 0.009, oversize_counts: 2, increase: 3%, increase_cap: 3%, months: 60}
  cedar:
    quote: Osgrove, quotation of 20 January
    cash: {price: 58500, sells_for: 6000}
    service: {base: 390, colour: 0.056, black: 0.0085, oversize_counts: 1, increase: 3%, increase_cap: 4%}
"""
JOBS = """\
jobs:
  books: {colour: black, sides_per_set: 11, two_sided: yes, sets_per_job: 30, jobs: 800, finish: staple}
  flyers: {colour: colour, size: ledger, sides_per_set: 2, two_sided: yes, sets_per_job: 300, jobs: 300}
shop: {finishing: {staple: {material: 0.01, sets_per_hour: 200}}}
"""
WORK = "work: {colour: 24000, black: 42000, oversize_share: {colour: 35%}}\n"
PROMISED = "document_fee: 100, subsidy: {per_month: 200, until: 2030-02}"
BIRCH_PLAN = next(line for line in BASE.splitlines() if "base: 420" in line)
BIRCH_LEASE = next(line for line in BASE.splitlines() if "rent: 1240" in line)
Pair = tuple[str, str]
# What no text of a place with a decimal comma and a gap before the sign of percent holds; 1.240 groups thousands there.
AS_IN_ENGLISH = re.compile(r"\d ?%|\b0\.\d|\d\.(?!\d{3}(?!\d))\d")


def text(*pairs: Pair) -> str:
    """Return the base with pieces replaced, one after the other; every piece must occur."""
    out = BASE
    for old, new in pairs:
        assert old in out, old
        out = out.replace(old, new, 1)
    return out


def study(*pairs: Pair) -> Study:
    return Study.of(load_text(text(*pairs)))


def found(code, *pairs):
    return list(find_warnings(study(*pairs), {code}))


def cost(candidate, *pairs):
    """Present value of a candidate of a scenario built from its own text."""
    key = f"{candidate}.measures.present_value"
    return float(evaluate(build(load_text(text(*pairs))), keep=[key])[key][0, 0, 0])


@dataclass(frozen=True)
class Case:
    """What makes a warning speak, what just does not, and the two readings its money lies between."""

    code: str
    candidate: str
    trigger: tuple[Pair, ...]
    near: tuple[Pair, ...]
    severity: str = "warn"
    low: tuple[Pair, ...] = field(default=())
    high: tuple[Pair, ...] = field(default=())


def swap(old, new):
    return ((old, new),)


UNSIZED = swap("oversize_counts: 2, increase: 3%, increase_cap: 3%", "increase: 3%, increase_cap: 3%")
SIZED = "increase: 3%, increase_cap: 3%"
UNSETTLED = swap("settled: yearly, colour", "colour")
OPEN = swap("increase: 3%, increase_cap: 3%", "increase: 3%")
BANDS = swap("colour: 0.05, ", "colour: [{from: 0, rate: 0.05}, {from: 8000, rate: 0.03}], bands: all units, ")
BANDED = swap("colour: 0.05, ", "colour: [{from: 0, rate: 0.05}, {from: 100000, rate: 0.03}], ")
TODAY_LEASE = swap("today: {sells_for: 4000,", "today: {sells_for: 4000, lease: {rent: 500, ends: 2028-06, return_freight: 0},")
ODD = swap(WORK, JOBS)
HOURS = swap("waste: 3%", "waste: 3%\nshop: {hours_per_week: 40}")
SPEED = swap("    site_works: 800", "    site_works: 800\n    sides_per_minute: {letter: 60, ledger: 30}")
WEEK = (("waste: 3%", "waste: 3%\nbusiest_week: 100%"), ("hours_per_week: 40", "hours_per_week: 12"))
DUE = (*ODD, ("jobs: 300}", "jobs: 300, due_hours: 0.3}"), ("shop: {", "shop: {hours_per_week: 40, "), *SPEED)
OUTSIDE = swap("candidates:\n", "outside: {black: 0.04, colour: 0.15, oversize_counts: 2, paper: not included, order_minutes: 5, "
               "delivery_per_job: 2}\ncandidates:\n  away: {outside_only: yes}\n")
TIERS = "    service: {base: 420, meters: {light: {coverage_to: 4%, rate: 0.02}, rest: {rate: 0.05}}, oversize_counts: 2, increase: 3%, increase_cap: 3%, months: 60}"
FINANCED = "    service: {base: 420, settled: monthly, colour: 0.05, black: 0.009, oversize_counts: 2, increase: 3%, increase_cap: 3%, months: 60, financed_clicks: 500000}"
UPTIME = (*HOURS, ("    site_works: 800", "    site_works: 800\n    service_stop_hours: 10"),
          ("increase_cap: 3%, months: 60", "increase_cap: 3%, months: 60, uptime: {share: 99%, credit_per_hour: 30}"))
PAPER = swap("waste: 3%", "waste: 3%\nshop: {paper: {letter: 0.008, ledger: 0.02}}")
SUPPLY = "    site_works: 800\n    supplies: {toner: {price: 160, yields: 25000%s}}"
LABOUR = "waste: 3%\nshop: {hours_per_week: 40, labour: {wage: 20, posts: 2, freed_hours: HOW}}"
POSTS = swap("    site_works: 800", "    site_works: 800\n    posts: 1")


CASES = (
    Case("click-basis", "birch", UNSIZED, swap("oversize_counts: 2, increase: 3%, ", "blank_backs: free, increase: 3%, "), "error",
         swap(SIZED, "oversize_counts: 1, blank_backs: free, " + SIZED), swap(SIZED, "oversize_counts: 2, " + SIZED)),
    Case("oversize-rule", "birch", UNSIZED, (*UNSIZED, (", oversize_share: {colour: 35%}", "")), "error",
         swap(SIZED, "oversize_counts: 1, " + SIZED), swap(SIZED, "oversize_counts: 2, " + SIZED)),
    Case("included-size", "birch", (), swap("oversize_counts: 2, increase: 3%", "oversize_counts: 1, increase: 3%"), "warn",
         swap("{colour: 8400}", "{colour: 16800}"), ()),
    Case("blank-backs", "birch", ODD, (*ODD, ("oversize_counts: 2, increase: 3%", "oversize_counts: 2, blank_backs: free, increase: 3%")),
         "warn", swap(SIZED, "blank_backs: free, " + SIZED), ()),
    Case("colour-class", "birch", (), swap("colour: 0.05,", "colour: {value: 0.05, status: invoiced},")),
    Case("overage-rate", "birch", swap("colour: 0.05,", "colour: 0.08,"), swap("colour: 0.05,", "colour: 0.06,"), "warn",
         swap("colour: 0.08,", "colour: 0.05,"), ()),
    Case("bands-unread", "birch", BANDED, (*BANDED, ("increase: 3%,", "bands: graduated, increase: 3%,")), "error",
         swap(SIZED, "bands: all units, " + SIZED), swap(SIZED, "bands: graduated, " + SIZED)),
    Case("bands-inverted", "birch", BANDS, (*BANDS, ("rate: 0.03", "rate: 0.05")), "inform"),
    Case("settlement", "birch", UNSETTLED, (*UNSETTLED, (" included: {colour: 8400},", "")), "error",
         swap("colour: 0.05,", "settled: yearly, colour: 0.05,"), swap("colour: 0.05,", "settled: monthly, colour: 0.05,")),
    Case("minimum-high", "birch", swap("included: {colour: 8400}", "minimum: {colour: 40000}"),
         swap("included: {colour: 8400}", "minimum: {colour: 20000}"), "warn", swap("{colour: 40000}", "{colour: 0}"), ()),
    Case("minimum-per-press", "birch", swap("    site_works: 800", "    site_works: 800\n    count: 2"),
         (("    site_works: 800", "    site_works: 800\n    count: 2"), (" included: {colour: 8400},", ""))),
    Case("carry-forward", "birch", swap("settled: yearly", "settled: quarterly"), (), "inform",
         swap("settled: quarterly", "settled: yearly"), ()),
    Case("increase-unstated", "birch", swap("increase: 3%, increase_cap: 3%, months", "months"), (), "warn",
         swap("oversize_counts: 2, months", "oversize_counts: 2, increase: 0%, months"),
         swap("oversize_counts: 2, months", "oversize_counts: 2, increase: 10%, months")),
    Case("increase-open", "birch", OPEN, (), "warn", swap("increase: 3%, months", "increase: 0%, months"),
         swap("increase: 3%, months", "increase: 10%, months")),
    Case("cap-scope", "birch", (("increase: 3%, increase_cap: 3%, months: 60", "increase: 9%, increase_cap: 3%, months: 36"),),
         swap("increase: 3%, increase_cap: 3%, months: 60", "increase: 9%, increase_cap: 3%"), "warn", (), swap(", increase_cap: 3%", "")),
    Case("coverage-cap", "birch", swap("[training,", "[toner, training,"), swap("[staples,", "[toner, staples,")),
    Case("coverage-tiers", "birch", swap(BIRCH_PLAN, TIERS), (*swap(BIRCH_PLAN, TIERS), ("waste: 3%", "waste: 3%\ncoverage: {value: 5%, status: measured}")),
         "warn", swap("waste: 3%", "waste: 3%\ncoverage: 4%"), ()),
    Case("financed-clicks", "birch", swap(BIRCH_PLAN, FINANCED), (*swap(BIRCH_PLAN, FINANCED), ("cks: 500000", "cks: 50000000")), "error",
         swap("cks: 500000", "cks: 50000000"), ()),
    Case("uptime-credit", "birch", UPTIME, (*UPTIME, *SPEED, *OUTSIDE, ("per_hour: 30", "per_hour: 80")), "inform", (), swap("per_hour: 30", "per_hour: 0")),
    Case("sundries", "birch", swap("[staples, ", "["), ()),
    Case("yield-coverage", "birch", swap("    site_works: 800", SUPPLY % ""), swap("    site_works: 800", SUPPLY % ", at_coverage: 5%")),
    Case("lease-end", "birch", swap("at_end: return, ", ""), (), "error"),
    Case("rent-timing", "birch", swap("paid: in advance, ", ""), (), "warn",
         swap("months: 60, at_end", "months: 60, paid: in arrears, at_end"), ()),
    Case("dear-money", "birch", swap("cash_price: 61000", "cash_price: 54000"), (), "warn"),
    Case("cash-price", "birch", swap("cash_price: 61000, ", ""), ()),
    Case("rolled-in", "birch", (*TODAY_LEASE, ("    site_works: 800", "    site_works: 800\n    present_lease: rolled in")), TODAY_LEASE,
         "error", (), swap("present_lease: rolled in", "present_lease: finish")),
    Case("contribution-may-stop", "birch", swap("document_fee: 100", PROMISED), (), "error", (), swap(PROMISED, "document_fee: 100")),
    Case("extras-unsaid", "birch", swap(", insurance, property tax]", "]"), ()),
    Case("renewal-unstated", "birch", swap("rent: 1240, months: 60", "rent: 1240, months: 48"),
         (("at_end: return, return_freight: 900", "at_end: buy, buy_price: 1"),), "warn",
         (), swap("at_end: return", "at_end: renew, renewal_months: 12")),
    Case("notice-early", "birch", swap(BIRCH_LEASE, "    rental: {rent: 1300, notice_months: 3, increase: 0%}"),
         swap(BIRCH_LEASE, "    rental: {rent: 1300, notice_months: 2, increase: 0%}"), "inform"),
    Case("return-terms", "birch", swap("return_freight: 900", "return_freight: unknown"), ()),
    Case("service-length", "birch", swap("increase_cap: 3%, months: 60", "increase_cap: 3%, months: 48"), (), "error"),
    Case("terms-differ", "", swap("rent: 1240, months: 60", "rent: 1240, months: 63"), (), "inform"),
    Case("early-exit", "birch", (), swap(BIRCH_LEASE, "    rental: {rent: 1300, increase: 0%}")),
    Case("funding-clause", "birch", swap("sales_tax: {rate: 7%}", "sales_tax: exempt"), ()),
    Case("term-fiscal", "birch", swap("fiscal_year_starts: March", "fiscal_year_starts: July"), (), "inform"),
    Case("volume-fit", "birch", swap("recommended_volume: 150000", "recommended_volume: 60000"), ()),
    Case("recommended-volume", "birch", swap("    recommended_volume: 150000\n", ""), ()),
    Case("rated-speed", "birch", (*HOURS, *SPEED, ("ledger: 30}", "legal: 50}")), (*HOURS, *SPEED)),
    Case("hours-short", "birch", (*HOURS, *SPEED, ("letter: 60, ledger: 30", "letter: 6, ledger: 3")), (*HOURS, *SPEED), "error"),
    Case("busiest-week", "birch", (*HOURS, *SPEED, *WEEK), (*HOURS, *SPEED, *WEEK, ("hours_per_week: 12", "hours_per_week: 24"))),
    Case("due-hours", "birch", DUE, (*DUE, ("due_hours: 0.3", "due_hours: 0.4"))),
    Case("labour-run-only", "birch", (*swap("waste: 3%", LABOUR.replace("HOW", "stay paid")), *SPEED),
         (*swap("waste: 3%", LABOUR.replace("HOW", "stay paid")), *SPEED, ("site_works: 800", "site_works: 800\n    cleaning_minutes: 10"))),
    Case("waste-unset", "", swap("waste: 3%", "waste: 0%"), ()),
    Case("service-hours", "birch", swap(", service hours]", "]"), (), "inform"),
    Case("parts-unpriced", "birch", swap("[staples,", "[drums, staples,"),
         (("[staples,", "[drums, staples,"), ("site_works: 800", "site_works: 800\n    supplies: {drums: {price: 400, yields: 200000}}")),
         "error"),
    Case("front-end", "birch", swap("training, support,", "training,"), ()),
    Case("site-unknown", "birch", swap("    site_works: 800\n", ""), (("    site_works: 800\n", "    kwh_per_week: 20\n    space_m2: 9\n"),)),
    Case("start-up", "birch", swap("[training, ", "["), (), "inform"),
    Case("residual-high", "cedar", swap("sells_for: 6000", "sells_for: 12000"), swap("sells_for: 6000", "sells_for: 11700"), "warn",
         (), swap("sells_for: 12000", "sells_for: 0")),
    Case("volume-path", "", swap("change_per_year: -3%", "change_per_year: 0%"),
         swap("change_per_year: -3%", "change_per_year: {value: 0%, low: -5%, high: 2%}")),
    Case("paper-uneven", "away", (*OUTSIDE, ("paper: not included", "paper: included")),
         (*OUTSIDE, *PAPER, ("paper: not included", "paper: included")), "error"),
    Case("scope", "birch", (*OUTSIDE, ("    site_works: 800", "    site_works: 800\n    largest: letter")), OUTSIDE),
    Case("freed-hours", "birch", (*swap("waste: 3%", LABOUR.replace("HOW", "saved")), *POSTS), (*swap("waste: 3%", LABOUR.replace("HOW", "stay paid")), *POSTS),
         "warn", (), swap("freed_hours: saved", "freed_hours: stay paid")),
    Case("outside-effort", "", (*OUTSIDE, (", order_minutes: 5", "")), OUTSIDE),
    Case("tax-uneven", "birch", swap("{rate: 7%}", "{rate: 7%, on: [equipment, service]}"),
         swap("{rate: 7%}", "{rate: 7%, on: [equipment, rent]}"), "error", (), swap("[equipment, service]", "[equipment, service, rent]")),
    Case("recommendation", "cedar", swap("start:", "recommendation: We advise to take Cedar.\nstart:"),
         swap("start:", "recommendation: We advise to take Birch rather than Cedar.\nstart:"), "error"),
    Case("no-clear-winner", "", swap("colour: 24000,", "colour: {value: 24000, low: 4000, high: 60000},"),
         swap("colour: 24000,", "colour: {value: 24000, low: 23900, high: 24100},"), "inform"),
    Case("old-evidence", "birch", swap("rent: 1240,", "rent: {value: 1240, date: 2025-12-01},"),
         swap("rent: 1240,", "rent: {value: 1240, date: 2026-12-01},")),
)  # fmt: skip

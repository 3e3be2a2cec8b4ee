"""Cases of the trade as they lie on the desk: what each quote leaves open or puts badly is told.

Worked cases, common practice, no source; their figures are worked in tests/costs.
"""

import pytest

from tco.advice.study import Study
from tco.advice.warnings import find_warnings
from tco.scenario.load import load_text
from tests.costs.say import HEAD

WORK = "work: {colour: 24000, black: 42000}\n"
CASES = {
    "base with included clicks, a seasonal shop": (
        "work: {colour: [40000, 12000, 40000, 12000, 40000, 12000, 40000, 12000, 40000, 12000, 40000, 12000]}\n",
        "owned: {}, service: {base: 1450, included: {colour: 30000}, colour: 0.052}",
        {"settlement", "minimum-high"},
    ),
    "an allowance for each of two devices": (
        "work: {black: 30000}\n",
        (
            "presses: {small: {owned: {}, service: {black: 0.012, minimum: {black: 1700}}}, "
            "large: {owned: {}, service: {black: 0.012, minimum: {black: 33000}}}}"
        ),
        {"minimum-per-press"},
    ),
    "a lease at fair market value": (
        WORK,
        "lease: {rent: 960, months: 60}",
        {"lease-end", "return-terms"},
    ),
    "no word on increases": (
        WORK,
        "owned: {}, service: {colour: 0.045, black: 0.01}",
        {"increase-unstated"},
    ),
    "an increase without a limit": (
        WORK,
        "owned: {}, service: {colour: 0.045, black: 0.01, increase: 10%}",
        {"increase-open"},
    ),
    "a cap for the first years only": (
        WORK,
        "owned: {}, service: {colour: 0.045, black: 0.01, increase: 10%, increase_cap: 3%, months: 36}",
        {"cap-scope"},
    ),
    "a rate for a sheet of letter size and large work": (
        "work: {colour: 30000, oversize_share: {colour: 66%}}\n",
        "owned: {}, service: {colour: 0.032}",
        {"click-basis", "oversize-rule"},
    ),
    "old debt inside the price": (
        WORK,
        "lease: {rent: 1929.05, months: 60, paid: in arrears, cash_price: 68000, at_end: buy, buy_price: 1}",
        {"dear-money"},
    ),
    "a lease that goes on unless notice is given": (
        WORK,
        "lease: {rent: 2350, months: 26, renews_unless_noticed: {months: 12, notice_days: [180, 90]}}",
        {"notice-early", "return-terms"},
    ),
    "ink at the coverage of a brochure": (
        "coverage: 20%\n" + WORK,
        "owned: {}, supplies: {ink: {price: 0.0085, yields: 1, per: colour side, at_coverage: 5%}}",
        {"yield-coverage"},
    ),
    "a payment without what follows": (
        WORK,
        "lease: {rent: 25, months: 60, cash_price: 1000, at_end: buy}",
        {"lease-end", "dear-money"},
    ),
    "a rent without a price": (WORK, "lease: {rent: 25, months: 60}", {"cash-price", "rent-timing"}),
    "parts bought by the shop, without their life": (
        WORK,
        "owned: {}, not_covered: [drums, fuser]",
        {"parts-unpriced"},
    ),
    "a table of bands without its reading": (
        WORK,
        "owned: {}, service: {black: [{from: 0, rate: 0.01}, {from: 40001, rate: 0.008}], colour: 0.05}",
        {"bands-unread"},
    ),
    "bands in which more costs less": (
        WORK,
        (
            "owned: {}, service: {black: [{from: 0, rate: 0.01}, {from: 40001, rate: 0.008}], colour: 0.05, "
            "bands: all units}"
        ),
        {"bands-inverted"},
    ),
    "a long lease for little work": (
        "work: {black: 1200}\n",
        "recommended_volume: 20000, lease: {rent: 262, months: 60}",
        {"early-exit", "volume-fit"},
    ),
    "clicks of the good sides only": (WORK, "owned: {}, service: {colour: 0.038, black: 0.01}", {"waste-unset"}),
    "a rate beyond the base far from that inside it": (
        WORK,
        "owned: {}, service: {base: 408, included: {black: 6000}, black: 0.008, colour: 0.05}",
        {"overage-rate"},
    ),
    "hours of a press counted while it runs": (
        WORK + "shop: {hours_per_week: 40, labour: {wage: 25}}\n",
        "owned: {}, sides_per_minute: 80",
        {"labour-run-only"},
    ),
    "electricity and floor not told": (WORK, "owned: {}", {"site-unknown"}),
}


@pytest.mark.parametrize("case", CASES)
def test_the_case_is_told(case):
    top, press, codes = CASES[case]
    study = Study.of(load_text(f"{HEAD}months: 60\n{top}candidates:\n  it: {{quote: A letter, {press}}}\n"))
    found = {one.code for one in find_warnings(study, codes)}
    assert sorted(codes - found) == []

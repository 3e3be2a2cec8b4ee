"""Present values and rates of return against published figures (yearly flows at times 0, 1, 2 … unless said)."""

import numpy as np
import pytest

from tco.finance import (
    bulk_present_value,
    discount_factors,
    effective_factor,
    effective_from_nominal,
    nominal_from_effective,
    present_value,
)
from tco.rates_of_return import irr
from tests.published import DERIVED, MEMORY, READ, Case, named

FINANCE = "OpenStax, Principles of Finance 2e, "
NPF = "numpy-financial 1.0.0, documentation examples"
DAX = "Microsoft, DAX function reference, "
FORMCALC = "Adobe LiveCycle Designer, FormCalc reference 10, NPV"


def npv(rate, *flows, start=0):
    """Value at time 0 of yearly flows, the first one at time `start`, at an effective rate."""
    return float(present_value(flows, effective_factor(rate, start + np.arange(len(flows)))))


def percent(*flows):
    """The one rate of return, in percent."""
    found = irr(flows)
    assert found.status == "one"
    return 100 * float(found.rate)


def discounted_payback(rate, *flows):
    cumulative = np.cumsum(np.asarray(flows) * effective_factor(rate, np.arange(len(flows))))
    whole = int(np.argmax(cumulative >= 0))
    return whole - 1 + cumulative[whole - 1] / (cumulative[whole - 1] - cumulative[whole])


def modified(finance_rate, reinvest_rate, *flows):
    """Modified rate of return: outlays discounted, receipts compounded, both with our factors."""
    amounts, years = np.asarray(flows, dtype=float), np.arange(len(flows))
    paid = present_value(np.minimum(amounts, 0), effective_factor(finance_rate, years))
    grown = present_value(np.maximum(amounts, 0), effective_factor(reinvest_rate, years - years[-1]))
    return 100 * ((grown / -paid) ** (1 / years[-1]) - 1)


DAYS_2008 = (0, 60, 303, 411, 456)  # 1 Jan, 1 Mar, 30 Oct 2008, 15 Feb, 1 Apr 2009
DAYS_2014 = (0, 59, 302, 410, 455)  # the same dates of 2014 and 2015: one leap day less
DATED = (-10_000, 2_750, 4_250, 3_250, 2_750)


def dated(rate, days):
    return float(present_value(DATED, effective_factor(rate, np.asarray(days) / 365)))


F01 = (-16_000, 2_000, 4_000, 5_000, 5_000, 5_000, 5_000)
F01C = (-25_000, 2_000, 4_000, 8_000, 9_000, 9_000, 9_000)
F02 = (-30_000, *range(6_000, 18_001, 2_000))
F03 = (-800_000, *[150_000] * 10)
F07 = (-70_000, 12_000, 15_000, 18_000, 21_000, 26_000)
F08 = (-120_000, 39_000, 30_000, 21_000, 37_000, 46_000)

CASES = [
    Case("F01 npv", FINANCE + "16.2", READ, lambda: npv(0.09, *F01), 2_835.62, 0.02),
    Case("F01 irr", FINANCE + "16.3", READ, lambda: percent(*F01), 14.09, 0.01),
    Case("F01 profitability", FINANCE + "16.4", READ, lambda: npv(0.09, 0, *F01[1:]) / 16_000, 1.18, 0.005),
    Case("F01 discounted payback", FINANCE + "16.5", READ, lambda: discounted_payback(0.09, *F01), 5.05, 0.005),
    Case(
        "F01b profile",
        FINANCE + "16.2, table",
        READ,
        lambda: [npv(rate, *F01) for rate in (0, 0.03, 0.09, 0.12, 0.14, 0.15, 0.18, 0.21)],
        [10_000, 7_231, 2_836, 1_081, 42, -442, -1_773, -2_939],
        0.5,
    ),
    Case("F01c npv", FINANCE + "16.5", READ, lambda: npv(0.09, *F01C), 3_970.67, 0.01),
    Case("F01c irr", FINANCE + "16.5", READ, lambda: percent(*F01C), 13.20, 0.05),
    Case("F02 npv", FINANCE + "16.2", READ, lambda: npv(0.09, *F02), 26_946.90, 0.01),
    Case("F02 irr", FINANCE + "16.6", READ, lambda: percent(*F02), 27.7, 0.05),
    Case("F02 years 1 to 7", FINANCE + "16.6", READ, lambda: npv(0.09, *F02[1:], start=1), 56_947, 0.5),
    Case("F03 npv", FINANCE + "16.6", READ, lambda: npv(0.10, *F03), 121_685.07, 0.01),
    Case("F03 irr", FINANCE + "16.6, text (13.41 in its figure is wrong)", READ, lambda: percent(*F03), 13.43, 0.005),
    Case("F04", NPF, READ, lambda: npv(0.08, -40_000, 5_000, 8_000, 12_000, 30_000), 3_065.22267, 5e-6),
    Case("F04b a", NPF, READ, lambda: percent(-100, 39, 59, 55, 20) / 100, 0.28095, 5e-6),
    Case("F04b b", NPF, READ, lambda: percent(-100, 0, 0, 74) / 100, -0.0955, 5e-6),
    Case("F04b c, value at the rate", NPF, READ, lambda: npv(-0.0833, -100, 100, 0, -7), 0, 0.02),
    Case("F04b d", NPF, READ, lambda: percent(-100, 100, 0, 7) / 100, 0.06206, 5e-6),
    Case("F04b e, value at the rate", NPF, READ, lambda: npv(0.0886, -5, 10.5, 1, -8, 1), 0, 2e-4),
    Case("F06, value at the rate", "Microsoft support, XIRR", READ, lambda: dated(0.373362535, DAYS_2008), 0, 5e-5),
    Case("F06b, value at the rate", DAX + "XIRR", READ, lambda: dated(0.3749, DAYS_2014), 0, 0.5),
    Case("F06b npv", DAX + "XNPV", READ, lambda: dated(0.09, DAYS_2014), 2_089.50, 0.005),
    Case("F06 npv of the 2008 dates", "Microsoft, XNPV", MEMORY, lambda: dated(0.09, DAYS_2008), 2_086.65, 0.005),
    Case(
        "F07",
        "Microsoft support, IRR",
        READ,
        lambda: [percent(*F07[:3]), percent(*F07[:5]), percent(*F07)],
        [-44.4, -2.1, 8.7],
        0.05,
    ),
    Case(
        "F08",
        "Microsoft support, MIRR",
        READ,
        lambda: [modified(0.1, 0.12, *F08), modified(0.1, 0.12, *F08[:4]), modified(0.1, 0.14, *F08)],
        [13, -5, 13],
        0.5,
    ),
    Case(
        "F08 two decimals",
        "Microsoft support, MIRR, an older page",
        MEMORY,
        lambda: [modified(0.1, 0.12, *F08), modified(0.1, 0.12, *F08[:4]), modified(0.1, 0.14, *F08)],
        [12.61, -4.80, 13.48],
        0.005,
    ),
    Case("F09 a", FORMCALC, READ, lambda: npv(0.1, 500, 1_500, 4_000, 10_000, start=1), 11_529.60863329007, 1e-9),
    Case("F09 b", FORMCALC, READ, lambda: npv(0.065, 5_000, start=1), 4_694.83568075117, 1e-9),
    Case("F09 c", FORMCALC, READ, lambda: npv(0.0275 / 12, 50, 60, 40, 100, 25, start=1), 273.14193838457, 1e-9),
    Case(
        "F09b",
        "MESCIUS Spread formula reference, NPV (the outlay itself one period late)",
        READ,
        lambda: npv(0.065, -10_000, 3_000, 3_400, 7_700, start=1),
        2_055.38,
        0.005,
    ),
    Case("F10", FINANCE + "8.4", READ, lambda: 100 * effective_from_nominal(0.18, 12), 19.56, 0.005),
    Case("F05e effective", DAX + "EFFECT", READ, lambda: effective_from_nominal(0.0525, 4), 0.0535426673707584, 1e-12),
    Case("F05e nominal", DAX + "NOMINAL", READ, lambda: nominal_from_effective(0.053543, 4), 0.052500319868356, 1e-12),
    Case(
        "F15",
        "California State Administrative Manual 3710",
        READ,
        lambda: 100 * effective_factor(0.09479, 1),
        91.34,
        0.005,
    ),
    Case("nominal factor", "definition", DERIVED, lambda: discount_factors(0.12, 2.5, "nominal"), 1.01**-30, 1e-15),
    Case("effective factor", "definition", DERIVED, lambda: discount_factors(0.12, 2, "effective"), 1 / 1.2544, 1e-15),
]


@pytest.mark.parametrize("case", **named(CASES))
def test_published(case):
    case.check()


@pytest.mark.parametrize(
    ("flows", "changes"),
    [((-100, 100, 0, -7), 2), ((-5, 10.5, 1, -8, 1), 3)],
    ids=["F04b c", "F04b e"],
)
def test_more_than_one_sign_change_is_several_and_has_no_single_figure(flows, changes):
    found = irr(flows)
    assert found.status == "several"
    assert found.sign_changes == changes
    assert np.isnan(found.rate)


def test_a_row_of_a_batch_equals_the_row_alone_bit_for_bit():
    rng = np.random.default_rng(11)
    factors = effective_factor(0.073, np.arange(241) / 12)
    for batch in (rng.normal(size=(300, 241)), np.asfortranarray(rng.normal(size=(300, 241)))):
        together = present_value(batch, factors)
        assert [float(present_value(row, factors)) for row in batch] == together.tolist()
        assert np.allclose(bulk_present_value(batch, factors), together, rtol=1e-12, atol=1e-10)


def test_an_unknown_basis_and_an_impossible_rate_are_refused():
    with pytest.raises(ValueError, match=r"effective.*nominal"):
        discount_factors(0.1, 1, "real")
    with pytest.raises(ValueError, match="-100 %"):
        effective_factor(-1.0, 1)
    with pytest.raises(ValueError, match="-100 %"):
        discount_factors(-12.0, 1, "nominal")
    assert float(discount_factors(-1.5, 1, "nominal")) == pytest.approx((1 - 0.125) ** -12)

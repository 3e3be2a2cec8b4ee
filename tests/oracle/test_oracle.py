"""The oracle against cases worked by hand: service plans, leases and loans.

Every expected figure is typed as it was worked or published; the source stands beside it.
"""

from __future__ import annotations

from typing import Any

from ruamel.yaml import YAML

from tests.oracle import leasing
from tests.oracle.cases import near, one, plan
from tests.oracle.oracle import evaluate

# Service plans


def test_base_with_included_clicks_against_a_flat_rate() -> None:
    """Worked case, common practice: six months of 40,000 and six of 12,000; 1,450 + 0.052 above 30,000, or 0.058.

    Monthly: 12 x 1,450 + 6 x 10,000 x 0.052 = 17,400 + 3,120. Flat: 312,000 x 0.058. Yearly: 312,000 < 360,000.
    """
    year = [40000] * 6 + [12000] * 6
    with_base = {"base": 1450, "included": {"colour": 30000}, "colour": 0.052}
    assert one(plan(**with_base), colour=year).total == near(20520)
    assert one(plan(colour=0.058), colour=year).total == near(18096)
    assert one(plan(**with_base, settled="yearly"), colour=year).total == near(17400)
    assert one(plan(**with_base), colour=26000, months=1).total == near(1450)
    assert one(plan(colour=0.058), colour=26000, months=1).total == near(1508)
    assert one(plan(colour=0.058), colour=25000, months=1).total == near(1450)


def test_what_the_increase_is_worth() -> None:
    """Worked case, common practice: 40,000 clicks at 0.045 for five years; 5 x 21,600 = 108,000 when flat."""
    expected = {"0%": 108000, "3%": 114677.33, "5%": 119353.64, "10%": 131870.16}
    for increase, total in expected.items():
        assert one(plan(colour=0.045, increase=increase), colour=40000, months=60).total == near(total)
    capped = plan(colour=0.045, increase="10%", increase_cap="3%")
    assert one(capped, colour=40000, months=60).total == near(114677.33)
    half_yearly = plan(colour=0.01, increase=0.2, increase_from=7, increase_every=6)
    extreme = one(half_yearly, colour=100000, months=60)  # 6,000 x (1.2^10 - 1) / 0.2
    assert extreme.total == near(155752.09)
    assert extreme.flows["service_clicks"][60, "close"] / 100000 == near(0.051598, 5e-7)


def test_an_unsaid_increase_is_five_percent_or_the_allowance() -> None:
    """By hand: months 1-12 at 100, months 13-24 at 105, or at 102."""
    silent = {"owned": {}, "service": {"base": 100}}
    assert one(silent, months=24).total == near(2460)
    assert one({"owned": {}, "service": {"base": 100, "increase": "unknown"}}, months=24).total == near(2460)
    assert one(silent, months=24, allowances={"increase": "2%"}).total == near(2424)


def test_double_oversize_against_any_size() -> None:
    """Worked case, common practice: 20,000 large and 10,000 small sides; 0.032 counted double, or 0.049."""
    work = {"colour": 30000, "oversize_share": {"colour": 2 / 3}}
    assert one(plan(colour=0.032, oversize_counts=2), months=1, work=work).total == near(1600)
    assert one(plan(colour=0.049, oversize_counts=1), months=1, work=work).total == near(1470)
    tie = {"colour": 30000, "oversize_share": 0.53125}
    assert one(plan(colour=0.032, oversize_counts=2), months=1, work=tie).total == near(1470)
    unsaid = {"owned": {}, "service": {"colour": 0.032}}
    assert one(unsaid, months=1, work=work).total == near(1600)


def test_two_readings_of_volume_bands() -> None:
    """Worked case, common practice: 7.2 million clicks a quarter.

    Graduated: 50,000 + 9,500 + 9,000 + 1,700. All units: 7.2 million x 0.0085; at 7.0 million x 0.0090.
    """

    def bands(*starts: int) -> list[dict[str, float]]:
        rates = (0.0100, 0.0095, 0.0090, 0.0085)
        return [{"from": start, "rate": rate} for start, rate in zip(starts, rates, strict=True)]

    graduated = plan(colour=bands(0, 5_000_000, 6_000_000, 7_000_000), bands="graduated", settled="quarterly")
    assert one(graduated, colour=2_400_000, months=3).total == near(70200)
    all_units = plan(colour=bands(0, 5_000_001, 6_000_001, 7_000_001), bands="all units", settled="quarterly")
    assert one(all_units, colour=2_400_000, months=3).total == near(61200)
    assert one(all_units, colour={"per_quarter": 7_000_000}, months=3).total == near(63000)
    # a stub of one month, pro rata: the bands are a third as wide: 16,666.67 + 3,166.67 + 3,000 + 566.67
    stub = plan(**graduated["service"] | {"stub": "pro rata"})
    assert one(stub, colour=2_400_000, months=1).total == near(23400)


def test_quarterly_minimum_with_a_stub() -> None:
    """By hand: 14 months, 500 made and 1,000 due a month at 0.10; four quarters of 300, then two months."""
    service = {"colour": 0.1, "minimum": {"colour": 1000}, "settled": "quarterly"}
    assert one(plan(**service), colour=500, months=14).total == near(1500)
    assert one(plan(**service, stub="pro rata"), colour=500, months=14).total == near(1400)
    late = one(plan(**service, months=36), colour=500, months=14)
    assert late.total == near(1500)
    assert late.bound == near(3600)
    assert sorted(m for m, _ in late.flows["service_clicks"]) == [3, 6, 9, 12, 14]


def test_true_up_to_a_minimum_charge() -> None:
    """By hand: 100 base and 20 x 1.00 of clicks a month against 150 a month: 30 short, settled by the quarter."""
    it = one(plan(base=100, colour=0.02, minimum_charge=150, settled="quarterly"), colour=1000, months=3)
    assert it.flows["service_true_up"] == {(3, "close"): near(90)}
    assert it.total == near(450)
    assert it.bound == near(750)  # 3 x (100 + 150), as defined


def test_allowance_by_press_or_pooled() -> None:
    """Worked case, common practice: 95,000 of 20,000 and 260,000 of 400,000 a year at 0.012; 355,000 of 420,000."""

    def service(clicks: int) -> dict[str, Any]:
        terms = {"included": {"black": {"per_year": clicks}}, "black": 0.012, "settled": "yearly"}
        return plan(**terms)["service"]

    jobs = {
        "small": {"size": "letter", "sides_per_set": 1, "jobs": 95000},
        "large": {"size": "ledger", "sides_per_set": 1, "jobs": 260000},
    }
    small, large = {"owned": {}, "largest": "letter"}, {"owned": {}}
    apart = {"small": small | {"service": service(20000)}, "large": large | {"service": service(400000)}}
    assert one({"presses": apart}, work=None, jobs=jobs).total == near(900)
    pool = one({"presses": {"small": small, "large": large}, "service": service(420000)}, work=None, jobs=jobs)
    assert pool.total == 0
    assert sum(pool.clicks[0, "black"]) == near(355000)


def test_waste_is_billed() -> None:
    """Worked case, common practice: 200,000 good sides, 3 % spoilage, 400 jobs x 15 sheets, two-sided, 0.038."""
    job = {"colour": "colour", "size": "letter", "sides_per_set": 500, "two_sided": "yes", "jobs": {"per_month": 400}}
    it = one(plan(colour=0.038), months=1, work=None, jobs={"all": job | {"make_ready_sheets": 15}}, waste="3%")
    assert it.clicks[0, "colour"] == [near(218000)]
    assert it.average == near(0.04142, 5e-6)


# Leases and loans


def test_return_or_nominal_purchase() -> None:
    """Worked case, common practice: 60 rents of 960 and 2,500 freight, or 60 of 976 and 5; 16 a month at 5 %."""
    terms = {"months": 60, "paid": "in arrears"}
    returned = {"lease": terms | {"rent": 960, "at_end": "return", "return_freight": 2500}}
    kept = {"lease": terms | {"rent": 976, "at_end": "buy", "buy_price": 5}}
    money = {"discount_rate": "5%", "discount_basis": "nominal"}
    a, b = one(returned, months=60, money=money), one(kept, months=60, money=money)
    assert (a.total, b.total) == (near(60100), near(58565))
    assert b.present_values["lease_rents"] - a.present_values["lease_rents"] == near(847.85)
    assert (a.bound, b.bound) == (near(60100), near(58565))


def test_old_rents_rolled_into_a_new_lease() -> None:
    """Worked case, common practice: 18 x 1,450 old; (68,000 + 26,100) x 0.0205 = 1,929.05 for 60 months; 7 %."""
    monthly = leasing.implied_rate(94100, [(j, 1929.05) for j in range(1, 61)])
    assert 12 * monthly == near(0.0847, 5e-5)
    money = {"discount_rate": "7%", "discount_basis": "nominal"}
    part = one({"lease": {"rent": 535.05, "months": 60, "paid": "in arrears"}}, months=60, money=money)
    assert part.total == near(32103)
    assert part.present_value == near(27021.09)


def test_what_becomes_of_the_present_lease() -> None:
    """By hand: two presses, rents of 100 to month 18, 50 freight, 900 to buy out, worth 300 each, removal 40."""
    today = {
        "count": 2,
        "sells_for": 300,
        "removal": 40,
        "lease": {"rent": 100, "ends": "2028-06", "then": "month to month", "return_freight": 50, "buy_out": 900},
    }
    data = {"start": "2027-01", "months": 24, "work": {"colour": 0}, "money": {"discount_rate": 0}, "today": today}
    choices = {"f": "finish", "b": "buy out", "r": "rolled in"}
    candidates: dict[str, Any] = {k: {"owned": {}, "present_lease": choice} for k, choice in choices.items()}
    candidates["keep"] = {"presses": {"old": {"same_as": "today", "until_month": 20, "removal": 10}}}
    all_of_them = evaluate(data | {"candidates": candidates}).candidates
    assert all_of_them["today"].total == near(4800)
    assert all_of_them["f"].total == near(-600 + 80 + 3600 + 100)
    assert all_of_them["f"].cash_up_front == near(-600 + 80 + 200)
    assert [all_of_them[k].bound for k in "fbr"] == [near(3600), near(1800), 0]  # 2 x 18 x 100, 2 x 900, nothing
    assert all_of_them["today"].bound == near(3600)
    assert all_of_them["b"].total == near(-600 + 80 + 1800)
    assert all_of_them["r"].total == near(-520)
    assert all_of_them["keep"].total == near(20 * 200 + 20 + 100)  # what it would fetch now is not what it brings later
    sold = candidates["keep"]["presses"]["old"] | {"sells_for": 70}
    assert evaluate(data | {"candidates": {"keep": {"presses": {"old": sold}}}}).candidates["keep"].total == near(3980)


def test_sixty_and_eighty_four_months_to_a_nominal_purchase_tie() -> None:
    """By hand: 100,000 at 8 % / 12; level rents 2,027.64 and 1,558.62; after 60 of 84 the balance is 34,462.

    24 rents of 1,558.62 are worth 1,558.62 x 22.1105 = 34,462 at the close of month 60.
    """
    money = {"discount_rate": "8%", "discount_basis": "nominal"}
    terms = {"paid": "in arrears", "cash_price": 100000, "at_end": "buy", "buy_price": 0}
    short = one({"lease": terms | {"rent": 2027.639429, "months": 60}}, months=60, money=money)
    long = one({"lease": terms | {"rent": 1558.621396, "months": 84}}, months=60, money=money)
    assert long.flows["lease_settlement"][60, "close"] == near(34462, 0.5)
    assert short.present_value == near(100000)
    assert long.present_value == near(100000)
    assert long.committed == 0
    assert long.financing_effect == near(0)
    # the same in advance: rents smaller by one month's interest, 2,014.21 and 1,548.30
    terms |= {"paid": "in advance"}
    short = one({"lease": terms | {"rent": 2027.639429 / (1 + 0.08 / 12), "months": 60}}, months=60, money=money)
    long = one({"lease": terms | {"rent": 1558.621396 / (1 + 0.08 / 12), "months": 84}}, months=60, money=money)
    assert long.flows["lease_settlement"][60, "close"] == near(34462, 0.5)
    assert (short.present_value, long.present_value) == (near(100000), near(100000))


def test_a_returned_lease_that_outlives_the_horizon_is_committed() -> None:
    """By hand: 36 advance rents of 100, horizon 24: 12 rents and the freight lie beyond."""
    it = one(
        {"lease": {"rent": 100, "months": 36, "return_freight": 70}, "service": {"base": 10, "months": 36}}, months=24
    )
    assert it.totals["lease_rents"] == near(2400)
    assert it.committed == near(1200 + 70 + 12 * 10 * 1.05**2)
    assert it.beyond["return_freight"] == near(70)
    assert it.bound == near(3600 + 70 + 360)


def test_rental_and_renewal() -> None:
    """By hand: 12 x 100 and 12 x 104; a lease of 12 x 100 renewed for 6 x 80, then gone: removal and freight."""
    rental = one({"rental": {"rent": 100, "notice_months": 3, "increase": "4%"}}, months=24)
    assert rental.total == near(2448)
    assert rental.bound == near(300)
    terms = {"rent": 100, "months": 12, "at_end": "renew", "renewal_rent": 80, "renewal_months": 6}
    press = {"lease": terms | {"return_freight": 30}, "removal": 7, "count": 2}
    it = one(press, months=24, colour=10)
    assert it.total == near(2 * (1200 + 480 + 30 + 7))
    assert it.flows["renewal_rents"][18, "opening"] == near(160)
    assert it.flows["return_freight"] == {(18, "close"): near(60)}
    assert it.unplaced_months == 6
    assert it.bound == near(2 * (1200 + 30))
    to_the_end = {"lease": {"rent": 300, "months": 12, "every_months": 3, "at_end": "renew", "paid": "in arrears"}}
    assert one(to_the_end, months=15).flows["renewal_rents"] == {(m, "close"): near(100) for m in (13, 14, 15)}


def test_prices_move_with_inflation_and_paper_goes_outside() -> None:
    """By hand: 100 sides outside at 0.10 and 50 sheets at 0.02 are 11 a month; 12 x 11 and 12 x 11 x 1.05.

    Large sides count double: 12 x 20 more a year.
    """
    top = {"money": {"discount_rate": 0, "inflation": "5%"}, "shop": {"paper": {"letter": 0.02, "ledger": 0.02}}}
    prices = {"black": 0.1, "paper": "not included"}
    work = {"black": 100, "two_sided_share": 1}
    it = one({"outside_only": True}, months=24, work=work, outside=prices, **top)
    assert it.total == near(132 * 2.05)
    large = one({"outside_only": True}, work=work | {"oversize_share": {"black": 1}}, outside=prices, **top)
    assert large.total == near(132 + 120)
    assert one({"outside_only": True}, work=work, outside=prices, left_out=["paper"], **top).total == near(120)


def test_a_file_as_people_type_it() -> None:
    """By hand: meter of March onwards, percent, dates, unknown freight with an allowance of 500, quarterly clicks."""
    text = """
start: 2027-03
months: 12
money: {discount_rate: 0%}
allowances: {return_freight: 500}
work: {colour: [100, 200, 300, 100, 200, 300, 100, 200, 300, 100, 200, 300]}
candidates:
  birch:
    quote: an offer of 2027-01-14
    lease: {rent: {value: 10, low: 8}, months: 12, return_freight: unknown}
    service: {base: {per_quarter: 30}, colour: 5%, included: {colour: 100}, settled: quarterly, increase: unknown,
              increase_from: 2027-09, oversize_counts: unknown}
"""
    it = evaluate(YAML(typ="safe").load(text)).candidates["birch"]
    assert it.flows["service_clicks"] == {  # 300 above the included 300 a quarter; 5 % dearer from contract month 7
        (3, "close"): near(15),
        (6, "close"): near(15),
        (9, "close"): near(15.75),
        (12, "close"): near(15.75),
    }
    assert it.total == near(120 + 500 + 60 + 63 + 61.5)


def test_yields_of_advance_leases() -> None:
    """HP 12c user's guide, section 14: 22,000, 48 months, 4 rents in advance, option 30 %: 487.29 at 15 %.

    Same guide: 25,000, 60 months, 3 in advance: 600 yields 17.33 %, 625 yields 19.48 %.
    """

    def yearly(price: float, rent: float, months: int, ahead: int, option: float) -> float:
        dates = leasing.rent_dates({"months": months, "advance_rents": ahead})
        return 1200 * leasing.implied_rate(price, [*((t, n * rent) for t, n in dates), (months, option)])

    assert yearly(22000, 487.29, 48, 4, 6600) == near(15)
    assert yearly(22000, 520.81, 48, 4, 6600) == near(18)
    assert yearly(25000, 600, 60, 3, 0) == near(17.33)
    assert yearly(25000, 625, 60, 3, 0) == near(19.48)


def test_loan_schedule_and_its_balance_at_the_horizon() -> None:
    """OpenStax, Principles of Finance 2e, 8.3: 32,000 at 6 % / 12 over 36 months.

    Payment 973.50; month 1: interest 160.00, principal 813.50; month 35: 9.66 and 963.84, 968.66 still owed.
    """
    press = {"loan": {"price": 40000, "down_payment": 8000, "rate": "6%", "months": 36, "fee": 100, "sells_for": 500}}
    it = one(press, months=36)
    assert it.flows["loan_interest"][1, "close"] == near(160)
    assert it.flows["loan_principal"][1, "close"] == near(813.50)
    assert it.flows["loan_interest"][35, "close"] == near(9.66)
    assert it.totals["loan_interest"] == near(3046.08, 0.2)
    assert it.totals["loan_principal"] == near(32000)
    assert it.cash_up_front == near(8100)
    assert one(press | {"count": 2}, months=24).bound == near(2 * (8100 + 36 * 973.502), 0.05)
    cut = one(press, months=35)
    assert cut.flows["loan_balance"] == {(35, "close"): near(968.66)}
    assert cut.total == near(8000 + 100 + 35 * 973.502 + 968.66 - 500, 0.05)


def test_unequal_lives() -> None:
    """Worked case, common practice (after a published exercise): 140,000, 7,500 a year, 6 years, salvage 10,000;

    or 7,500 at the start and 34,500 a year in advance for 4 years; 7 %. Chains of twelve years: two and three links.
    """
    yearly = {"minimum_charge": {"per_year": 7500}, "settled": "yearly"}
    buy = {"cash": {"price": 140000, "sells_for": 10000}, "service": yearly}
    lease = {"lease": {"rent": 34500, "months": 48, "every_months": 12, "document_fee": 7500}}
    money = {"discount_rate": "7%"}
    assert one(buy, months=72, money=money).present_value == near(169085.63)
    assert one(lease, months=48, money=money).present_value == near(132538.90)
    twice = {"a": buy | {"until_month": 72}, "b": buy | {"from_month": 73}}
    assert one({"presses": twice}, months=144, money=money).present_value == near(281754.52)
    thrice = {str(start): lease | {"from_month": start} for start in (1, 49, 97)}
    assert one({"presses": thrice}, months=144, money=money).present_value == near(310791.05)

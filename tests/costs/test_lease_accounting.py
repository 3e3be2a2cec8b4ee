"""Lease accounting: published examples and worked figures, through the scenario file.

The examples pay once a year at a yearly rate; written here is the nominal rate of which a twelfth a month is the same.
"""

import pytest

from tco.publish.checks import failed_checks
from tests.costs.say import said


def nominal(effective):
    return 12 * ((1 + effective) ** (1 / 12) - 1)


def told(lease, rate, framework="IFRS 16", press=None, months=12, fiscal="January", **more):
    terms = {"months": 120, "every_months": 12, "paid": "in advance", "return_freight": 0} | lease
    if terms.get("at_end") == "buy":
        del terms["return_freight"]
    accounts = {"framework": framework, "rate": nominal(rate)} | more
    study = said({
        "title": "One lease", "start": "2027-01", "months": months, "work": {"black": 0},
        "money": {"discount_rate": "9%", "fiscal_year_starts": fiscal, "lease_accounting": accounts},
        "candidates": {"it": {"lease": terms} | (press or {})},
    })  # fmt: skip
    assert failed_checks("it", study.model, study.values) == []
    return study


def at_signing(study, key="liability"):
    return study.figure(f"it.press.lease_accounting.{key}_at_signing")


def closing(study, year, key="liability"):
    """A balance at the end of a year of the lease."""
    return study.row(f"it.press.lease_accounting.{key}")[12 * year - 1]


def within(value, unit):
    return pytest.approx(value, abs=unit)


def test_ten_years_of_rents_in_advance():
    """IFRS 16, Illustrative Example 13, as worked by a community of practitioners (read); rents 50,000 at 5 %.

    The right of use of 420,391 there holds direct costs of 20,000 and an incentive of 5,000 (that figure from memory).
    """
    study = told({"rent": 50000, "document_fee": 20000 - 5000}, 0.05)
    assert at_signing(study) == within(355391, 0.5)
    assert at_signing(study, "right") == within(420391, 0.5)
    assert closing(study, 1) == within(373161, 0.5)
    assert sum(study.row("it.press.lease_accounting.interest")[:12]) == within(17770, 0.5)
    # The second year: the rent of its first day off, interest 16,158.
    assert closing(study, 2) == within(339319, 0.5)
    assert sum(study.row("it.press.lease_accounting.interest")[12:24]) == within(16158, 0.5)


def test_rents_that_rise_and_fall_in_arrears():
    """Two worked problems of intermediate accounting (read): 20,000 x 4 at 6 %; 18,500 to 33,500 at 7 %: 86,637."""
    study = told({"rent": 20000, "months": 48, "paid": "in arrears"}, 0.06)
    assert at_signing(study) == within(69302, 0.5)
    assert closing(study, 1) == within(53460, 0.5)
    assert closing(study, 1, "right_of_use") == within(51976.58, 0.01)
    steps = {"13": 23500, "25": 28500, "37": 33500}
    # A training workbook of 2018 (read; it adds rounded parts): 1.0, 1.0, 1.0, 0.8 m at 10 %: 3.04 m.
    falling = told({"rent": 1.0, "steps": {"37": 0.8}, "months": 48, "paid": "in arrears"}, 0.10)
    assert at_signing(falling) == within(3.04, 0.011)
    rising = told({"rent": 18500, "steps": steps, "months": 48, "paid": "in arrears"}, 0.07)
    assert at_signing(rising) == within(86637, 0.5)


def test_half_the_way_through_ten_years():
    """IFRS 16, Illustrative Example 17 (outputs read, rents from memory): 50,000 in arrears at 6 %, after 5 years."""
    study = told({"rent": 50000, "paid": "in arrears"}, 0.06)
    assert closing(study, 5, "right_of_use") == within(184002, 1)
    assert closing(study, 5) == within(210618, 1)


def test_service_inside_the_rent_is_split_out():
    """Worked problem (read): rent 90,000 with 5,000 of service, 10 in advance, 10 %: 85,000 x 6.75902 = 574,517."""
    study = told({"rent": 90000, "service_share": 5 / 90}, 0.10)
    assert at_signing(study, "right") == within(574517, 0.5)


def test_an_operating_lease_costs_the_same_each_month():
    """ASC 842-20-55, Example 3 Case A (from memory): 50,000 in advance, 5.87 %, direct costs 15,000: 342,017; 407,017.

    Level cost: (500,000 + 15,000) / 10 = 51,500 a year.
    """
    study = told({"rent": 50000, "document_fee": 15000}, 0.0587, "ASC 842", life=40)
    assert study.figure("it.press.lease_accounting.finance") == 0
    assert at_signing(study) == within(342017, 0.5)
    assert at_signing(study, "right") == within(407017, 0.5)
    assert sum(study.row("it.press.lease_accounting.expense")[36:48]) == within(51500, 1e-6)
    assert closing(study, 10, "right_of_use") == within(0, 1e-6)
    assert study.sum("it.press.lease_accounting.expense") == within(515000, 1e-6)
    # Derived: the right of use falls by the level cost less the interest.
    assert closing(study, 1, "right_of_use") == within(407017 - 51500 + 342017 * 0.0587, 1)


def test_public_bodies_of_the_united_states_know_one_class():
    """GASB 87 (from memory): interest on the liability, the right to use written off evenly; no operating lease."""
    lease = {"rent": 20000, "months": 48, "paid": "in arrears"}
    study, other = told(lease, 0.06, "GASB 87", life=40), told(lease, 0.06, "IFRS 16", life=40)
    for part in ("liability", "right_of_use", "interest", "written", "expense"):
        key = f"it.press.lease_accounting.{part}"
        assert study.row(key) == other.row(key)
    assert study.row("it.press.lease_accounting.expense") != told(lease, 0.06, "ASC 842", life=40).row(
        "it.press.lease_accounting.expense"
    )


@pytest.mark.parametrize(("months", "life", "cash_price", "finance"), [
    (96, 10, None, 1),    # 8 of 10 years (CPA review page, read)
    (90, 10, None, 1), (89, 10, None, 0), (60, 10, 6666.66, 1), (60, 10, 6666.67, 0), (60, None, None, 0),
])  # fmt: skip
def test_the_class_of_a_lease(months, life, cash_price, finance):
    """Most of the life (75 %) or of the value (90 %: here 6,000), each when it is known; boundaries count."""
    lease = {"rent": 100, "months": months, "every_months": 1, "paid": "in arrears"}
    more = {} if life is None else {"life": life}
    if cash_price is not None:
        lease["cash_price"] = cash_price
    study = told(lease, 0.0, "ASC 842", press={"count": 2}, **more)
    assert study.figure("it.press.lease_accounting.finance") == finance


def test_a_press_that_is_bought_after_its_lease_is_written_off_over_its_life():
    lease = {"rent": 100, "months": 24, "every_months": 1, "at_end": "buy", "buy_price": 600, "cash_price": 3000}
    study = told(lease, 0.0, life=4, months=48)
    assert at_signing(study) == within(23 * 100 + 600, 1e-6)
    assert study.row("it.press.lease_accounting.written")[:25] == [within(3000 / 48, 1e-9)] * 24 + [0]
    assert closing(study, 4, "right_of_use") == within(1500, 1e-6)
    assert told(lease, 0.0, "ASC 842", life=4).row("it.press.lease_accounting.expense")[:24] == [3000 / 48] * 24


def test_signing_is_what_counts_and_not_how_the_study_ends():
    lease = {"rent": 100, "months": 24, "every_months": 1, "advance_rents": 3}
    whole = told(lease, 0.06)
    early = told(lease | {"exit_month": 6, "exit_discount": "10%"}, 0.06, press={"count": 3, "from_month": 5})
    assert at_signing(early) == within(3 * at_signing(whole), 1e-6)
    assert early.sum("it.press.lease_accounting.later") == within(3 * 2100, 1e-6)
    balance = early.row("it.press.lease_accounting.liability")
    assert balance[3] == 0
    assert balance[4:28] == [within(3 * value, 1e-6) for value in whole.row("it.press.lease_accounting.liability")[:24]]


def test_nothing_of_it_enters_the_statement():
    lease = {"rent": 100, "months": 24, "every_months": 1, "service_share": "20%"}
    study = told(lease, 0.06, months=24)
    bare = told(lease, 0.15, "ASC 842", months=24, life=3)
    assert study.row("it.statement.net") == bare.row("it.statement.net")
    assert study.worth("it") == bare.worth("it")
    assert by_year(study, "liability") == [closing(study, 1), within(0, 1e-6), within(0, 1e-6)]


def by_year(study, key):
    return study.values[f"it.lease_accounting.{key}_by_year"][0, :, 0].tolist()


def test_balances_stand_at_the_close_of_the_shops_own_fiscal_year():
    study = told({"rent": 100, "months": 24, "every_months": 1}, 0.06, fiscal="July")
    for key in ("liability", "right_of_use"):
        row = study.row(f"it.press.lease_accounting.{key}")
        assert by_year(study, key) == [within(value, 1e-9) for value in (row[5], row[17], row[24])]
    assert by_year(study, "paid") == [within(value, 1e-9) for value in (500, 1200, 600)]


def test_the_press_inside_a_minimum_charge():
    """Common practice, no source: 36,000 at each year's end for 5 years, 6 %, 40 % for the press: 60,658.04."""
    for part, worth in (("40%", 60658.04), ("100%", 151645.10)):
        service = {"black": 0.01, "minimum_charge": {"per_year": 36000}, "settled": "yearly", "months": 60,
                   "equipment_share": part}  # fmt: skip
        study = told({"rent": 1}, 0.06, press={"service": service})
        assert study.figure("it.lease_accounting.minimum_liability_1") == within(worth, 0.005)

"""Tax on purchases, fiscal years, the shop's books: published and worked figures, through the scenario file."""

import pytest

from tco.problem import ScenarioError
from tco.publish.checks import failed_checks
from tests.costs.say import said

CLOSE = {"abs": 1e-6}


def study(press, months=48, **money):
    """One press, `it`, in a calendar year's accounts; nothing is printed and nothing discounted."""
    return said({
        "title": "One press", "start": "2027-01", "months": months, "work": {"black": 0},
        "money": {"discount_rate": "0%"} | money, "candidates": {"it": press},
    })  # fmt: skip


def taxed(method, months=48, press=None, **more):
    press = {"cash": {"price": 10000}} if press is None else press
    tax = {"rate": "25%", "depreciation": method} | more.pop("tax", {})
    return study(press, months, income_tax=tax, **more)


def written(told, place=1):
    """Depreciation at each December."""
    row = told.row(f"it.tax.written_{place}")
    assert sum(row) == pytest.approx(sum(row[11::12]), **CLOSE)
    return [pytest.approx(value, **CLOSE) for value in row[11::12]]


def whole(told):
    """No check of the model fails; give it back."""
    assert failed_checks("it", told.model, told.values) == []
    return told


# ---- depreciation for tax --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("price", "table", "first", "second"), [
    (4000, "macrs 7-year mid-quarter 1", 1000, 857), (1000, "macrs 7-year mid-quarter 3", 107, 255),
    (5000, "macrs 5-year mid-quarter 4", 250, 1900),
])  # fmt: skip
def test_a_year_with_most_purchases_in_its_last_quarter(price, table, first, second):
    """IRS Publication 946, ch. 4, mid-quarter example (read second-hand): whole dollars."""
    told = whole(taxed(table, press={"cash": {"price": price}}))
    assert [round(value) for value in told.row("it.tax.written_1")[11:36:12]][:2] == [first, second]
    assert told.row("it.tax.written_1")[11] == pytest.approx(first, abs=0.5)


def test_a_pool_of_the_main_rate():
    """GOV.UK, work out capital allowances (read): 10,000 at 18 % is 1,800, and 8,200 are carried forward."""
    told = whole(taxed("declining balance", tax={"depreciation_rate": "18%"}))
    assert written(told) == [1800, 8200 * 0.18, 8200 * 0.82 * 0.18, 0]
    assert told.row("it.tax.pool_1")[11] == pytest.approx(8200, **CLOSE)
    assert told.sum("it.tax.loss_1") == pytest.approx(10000 * 0.82**3, **CLOSE)
    assert told.sum("it.tax.relief") == pytest.approx(-2500, **CLOSE)


def test_a_first_year_allowance_and_then_the_pool():
    """Published illustration of the allowance (read): 400,000; tax 100,000 less; pool 600,000; then 84,000."""
    tax = {"depreciation_rate": "14%", "first_year_share": "40%"}
    told = whole(taxed("declining balance", press={"cash": {"price": 1000000}}, tax=tax))
    assert told.row("it.tax.at_once_1")[11] == pytest.approx(400000, **CLOSE)
    # The allowance and the first writing down of the rest fall into one year here; the illustration waits a year.
    assert written(told)[0] == 400000 + 84000
    assert told.row("it.tax.regular_1") == [pytest.approx(600000, **CLOSE)]
    assert -0.25 * told.row("it.tax.at_once_1")[11] == pytest.approx(-100000, **CLOSE)


PHASED = {"2023-01": "80%", "2024-01": "60%", "2025-01": "40%", "2026-01": "20%"}


@pytest.mark.parametrize(("start", "at_once"), [
    ("2022-12", 0.0), ("2023-01", 0.8), ("2024-06", 0.6), ("2025-12", 0.4), ("2026-07", 0.2), ("2030-01", 0.2),
])  # fmt: skip
def test_an_allowance_that_changes_by_the_month_of_purchase(start, at_once):
    """Internal Revenue Code, section 168(k)(6) as enacted in 2017 (from memory): the shares of 2023 to 2026."""
    told = whole(said({
        "title": "One press", "start": start, "months": 24, "work": {"black": 0},
        "money": {"discount_rate": "0%", "income_tax": {"rate": "25%", "depreciation": "macrs 5-year",
                                                        "first_year_shares": PHASED}},
        "candidates": {"it": {"cash": {"price": 100000}}},
    }))  # fmt: skip
    first = next(value for value in told.row("it.tax.written_1") if value)
    assert first == pytest.approx(100000 * (at_once + (1 - at_once) * 0.2), **CLOSE)


def test_each_press_has_the_allowance_of_its_own_month():
    presses = {
        "first": {"cash": {"price": 1000}},
        "second": {"cash": {"price": 1000}, "from_month": 14},
        "third": {"cash": {"price": 1000}, "from_month": 26},
    }
    tax = {"years": 5, "first_year_share": "50%", "first_year_shares": {"2028-02": "10%", "2029-01": "0%"}}
    told = whole(taxed("straight line", press={"presses": presses}, tax=tax))
    assert [told.sum(f"it.tax.at_once_{place}") for place in (1, 2, 3)] == pytest.approx([500, 100, 0], **CLOSE)


def test_the_first_year_share_waits_for_nobody_who_leaves_in_that_year():
    press = {"cash": {"price": 10000, "sells_for": 3000}, "until_month": 11}
    told = whole(taxed("straight line", press=press, tax={"years": 5, "first_year_share": "40%"}))
    assert told.sum("it.tax.at_once_1") == 0
    assert told.sum("it.tax.written_1") == pytest.approx(6000 / 60 * 11, **CLOSE)
    assert told.sum("it.tax.deductions") == pytest.approx(7000, **CLOSE)


def test_a_lease_that_tax_sees_as_a_purchase():
    """Interest and cash price are all payments, by definition of the rate; rents are not deducted, depreciation is."""
    terms = {"rent": 500, "months": 36, "paid": "in arrears", "cash_price": 15000, "at_end": "buy", "buy_price": 1000}
    press = {"lease": terms | {"tax_as": "purchase"}, "site_works": 600}
    told = whole(taxed("straight line", press=press, tax={"years": 4}))
    assert told.sum("it.press.interest") + 15000 == pytest.approx(36 * 500 + 1000, abs=1e-4)
    assert told.sum("it.tax.written_1") == pytest.approx(15600, **CLOSE)
    as_rent = taxed("straight line", press=press | {"lease": terms}, tax={"years": 4})
    for one in (told, as_rent):
        assert one.sum("it.tax.deductions") == pytest.approx(36 * 500 + 1000 + 600, abs=1e-4)
    assert told.row("it.tax.deductions")[0] == pytest.approx(15600 / 48 + 15000 * told.figure("it.press.implied"))
    assert as_rent.row("it.tax.deductions")[0] == 500 + 600


def test_old_debt_and_an_early_end_stay_inside_the_purchase():
    terms = {"quoted_rate": "9%", "months": 60, "paid": "in advance", "advance_rents": 2, "cash_price": 15000,
             "rolled_in": 2000, "at_end": "buy", "buy_price": 1, "tax_as": "purchase", "sells_for": 4000}  # fmt: skip
    told = whole(taxed("straight line", press={"lease": terms, "count": 2, "from_month": 3}, tax={"years": 5}))
    paid = told.sum("it.press.rent") + told.sum("it.press.settled")
    assert told.sum("it.press.interest") == pytest.approx(paid - 2 * 17000, abs=1e-4)
    assert told.sum("it.tax.deductions") == pytest.approx(paid - 2 * 2000 - 2 * 4000, abs=1e-4)


# ---- fiscal years ----------------------------------------------------------------------------------------------------


def by_year(told, key):
    """A column without what lies after the last month of any flow."""
    last = int(told.row("time.fiscal_year")[-2])
    assert not told.values[f"it.{key}"][0, last:].any()
    return [round(float(value), 6) for value in told.values[f"it.{key}"][0, :last, 0]]


def test_a_loan_over_fiscal_years_from_july_to_june():
    press = {
        "loan": {"price": 12000, "down_payment": 3000, "rate": "0%", "months": 18, "fee": 90, "sells_for": 1000},
        "delivery_and_installation": 400, "training": 70, "removal": 25, "until_month": 16,
        "front_end": {"support_per_year": 120},
    }  # fmt: skip
    tax = {"rate": "50%", "years": 100, "relief_after_months": 5}
    told = whole(study(press, 20, fiscal_year_starts="July", income_tax=tax))
    assert by_year(told, "fiscal.capital_by_year") == [3400, -1000, 0]
    assert by_year(told, "fiscal.loan_by_year") == [500 * 6, 500 * 10 + 1000, 0]
    assert by_year(told, "fiscal.operating_by_year") == [90 + 70 + 60, 100 + 25, 0]
    # Month 6 closes the first fiscal year, its relief comes in month 11; the last closes in month 18, then in month 20.
    first = 0.5 * (90 + 70 + 60 + 6 * 12400 / 1200)
    rest = 0.5 * (100 + 25 + 12400 - 6 * 12400 / 1200 - 1000)
    assert by_year(told, "fiscal.relief_by_year") == [0, pytest.approx(-first), pytest.approx(-rest)]
    sums = [sum(parts) for parts in zip(*(by_year(told, f"fiscal.{key}_by_year") for key in PARTS), strict=True)]
    assert by_year(told, "fiscal.paid_by_year") == pytest.approx(sums)
    assert by_year(told, "fiscal.worth_by_year") == pytest.approx(sums)


PARTS = ("capital", "loan", "operating", "relief")


def test_the_price_at_the_end_of_a_lease_is_capital_and_the_old_press_brings_some():
    told = whole(said({
        "title": "One press", "start": "2027-01", "months": 24, "work": {"black": 0},
        "money": {"discount_rate": "10%"}, "today": {"sells_for": 700},
        "candidates": {"it": {"lease": {"rent": 100, "months": 12, "at_end": "buy", "buy_price": 50, "cash_price": 1100,
                                        "sells_for": 20}, "site_works": 5}},
    }))  # fmt: skip
    assert by_year(told, "fiscal.capital_by_year") == [50 - 700, -20]
    assert by_year(told, "fiscal.operating_by_year") == [1205, 0]
    assert sum(by_year(told, "fiscal.worth_by_year")) == pytest.approx(told.worth("it"), abs=1e-5)


# ---- books -----------------------------------------------------------------------------------------------------------


def test_a_printing_press_in_the_books():
    """OpenStax, Principles of Accounting Vol. 1, 11.3 (read): 58,000 with salvage of 10,000 over 5 years: 9,600."""
    press = {"cash": {"price": 54000, "sells_for": 10000}, "delivery_and_installation": 1500, "site_works": 2500}
    told = whole(study(press, 60, books={"years": 5, "residual_share": 10000 / 58000}))
    assert by_year(told, "books.depreciation_by_year") == [9600] * 5
    assert by_year(told, "books.loss_by_year") == [0] * 5
    assert by_year(told, "books.expense_by_year") == [9600] * 5
    assert by_year(told, "books.capital_by_year") == [58000, 0, 0, 0, -10000]


def test_a_loan_in_the_books_is_interest_depreciation_and_a_loss():
    press = {"loan": {"price": 9000, "rate": "12%", "months": 36, "sells_for": 500}, "count": 2, "until_month": 30}
    told = whole(study(press, 36, books={"years": 2, "residual_share": "10%"}))
    interest = told.sum("it.press.interest")
    assert by_year(told, "books.depreciation_by_year") == [8100, 8100, 0]
    assert by_year(told, "books.loss_by_year") == [0, 0, 1800 - 1000]
    assert sum(by_year(told, "books.expense_by_year")) == pytest.approx(18000 + interest - 1000, abs=1e-5)
    assert told.sum("it.books.expense") == pytest.approx(told.total("it"), abs=1e-6)


def test_whoever_buys_nothing_expenses_what_is_paid():
    told = whole(study({"rental": {"rent": 40, "increase": 0}}, 12, books={"years": 3}))
    assert told.row("it.books.expense") == told.row("it.statement.net")
    assert "money.books.years" not in told.model


@pytest.mark.parametrize(("key", "money"), [
    ("money.income_tax", {"income_tax": {"rate": "25%", "depreciation": "declining balance"}}),
    ("money.books", {"books": {"residual_share": "10%"}}),
])  # fmt: skip
def test_what_is_missing_is_told(key, money):
    with pytest.raises(ScenarioError) as caught:
        study({"cash": {"price": 1}}, **money)
    assert [problem.path.startswith(key) for problem in caught.value.problems] == [True]

"""The cost of stopping after a month: listed by hand for each way of paying."""

import json

import pytest

from tco.analyses.stopping import stopping
from tco.assemble import build
from tco.scenario.load import load_text

LEASE = {"rent": 100, "months": 10, "paid": "in advance", "return_freight": 40}


def told(months=8, today=None, **candidates):
    data = {
        "title": "Stopping", "start": "2027-03", "months": months, "work": {"black": 0}, "candidates": candidates,
        "money": {"discount_rate": "0%", "fiscal_year_starts": "July"},
    } | ({"today": today} if today else {})  # fmt: skip
    return stopping(build(load_text(json.dumps(data))), list(candidates))


def test_a_lease_costs_all_its_rents_whenever_it_stops():
    found = told(it={"lease": LEASE})
    assert found.after["it"].tolist() == [1000] * 8
    assert found.bound["it"].tolist() == [900, 800, 700, 600, 500, 400, 300, 200]
    # Four months to June, then six more.
    assert found.unavoidable["it"].tolist() == [400, 600]


def test_a_discount_on_leaving_makes_stopping_cheaper():
    found = told(it={"lease": LEASE | {"exit_discount": "10%", "document_fee": 30}})
    assert found.after["it"][:2] == pytest.approx([130 + 810, 230 + 720])
    assert found.unavoidable["it"].tolist() == [430, 600]


def test_after_an_exit_nothing_is_bound():
    found = told(it={"lease": LEASE | {"exit_month": 3}})
    assert found.bound["it"].tolist() == [900, 800, 0, 0, 0, 0, 0, 0]
    assert found.after["it"].tolist() == [1000, 1000, *[1040] * 6]


def test_a_press_paid_at_once_loses_its_price_in_a_straight_line():
    found = told(it={"cash": {"price": 1000, "sells_for": 200}})
    assert found.after["it"] == pytest.approx([100 * month for month in range(1, 9)])
    assert found.unavoidable["it"].tolist() == [1000, 0]


def test_a_loan_is_its_instalments_and_its_balance_less_the_worth():
    found = told(it={"loan": {"price": 800, "rate": "0%", "months": 16, "sells_for": 400, "down_payment": 80}})
    assert found.after["it"] == pytest.approx([50 * month for month in range(1, 9)])
    assert found.bound["it"][:2] == pytest.approx([675, 630])


def test_a_lease_that_is_bought_owes_rents_and_price_and_owns_the_press():
    terms = {"rent": 100, "months": 6, "paid": "in advance", "at_end": "buy", "buy_price": 50, "cash_price": 600}
    found = told(it={"lease": terms | {"sells_for": 200}})
    assert found.bound["it"].tolist() == [550, 450, 350, 250, 150, 0, 0, 0]
    worth = [550, 500, 450, 400, 350, 300, 250, 0]
    paid = [100, 200, 300, 400, 500, 650, 650, 450]
    assert found.after["it"] == pytest.approx([650 - w if m < 6 else p - w
                                               for m, (p, w) in enumerate(zip(paid, worth, strict=True), 1)])


def test_the_rents_of_today_are_bound_until_they_end():
    present = {"lease": {"rent": 60, "ends": "2027-05", "return_freight": 0}}
    found = told(today=present, it={"rental": {"rent": 10, "notice_months": 2, "increase": "0%"}})
    assert found.bound["it"].tolist() == [120 + 20, 60 + 20, 20, 20, 20, 20, 20, 0]
    assert found.after["it"].tolist() == [210, 220, 230, 240, 250, 260, 270, 260]
    assert found.unavoidable["it"].tolist() == [180 + 20, 0]


def test_who_costs_least_depends_on_when_it_stops():
    found = told(it={"lease": LEASE}, other={"cash": {"price": 2000, "sells_for": 0}})
    assert [found.cheapest(month) for month in (1, 3, 5)] == ["other", "other", "it"]

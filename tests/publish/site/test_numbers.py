"""The styles of numbers: spellings of locales are those of CLDR, the minus and the rounding are our own rule."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tco.publish.numbers import MINUS, Numbers, column_step, counted, listed, month_name, rounded, step_for

US = Numbers("en_US", "USD")
DE = Numbers("de_DE", "EUR")
FR = Numbers("fr_FR", "EUR")


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (2.675, 2, "2.68"),
        (0.5, 0, "1"),
        (1.5, 0, "2"),
        (2.5, 0, "3"),
        (-2.5, 0, "−3"),
        (-0.4, 0, "0"),
        (-0.001, 2, "0.00"),
    ],
)
def test_halves_go_away_from_zero_and_zero_has_no_minus(value, digits, text):
    assert US.fixed(value, digits) == text


def test_money_in_three_languages():
    assert US.money(-1243.5) == "−$1,244"
    assert DE.money(-1243.5) == "−1.244\u00a0€"
    assert FR.money(-1243.5) == "−1\u202f244\u00a0€"


def test_prices_per_page():
    assert US.per_side(0.03415) == "3.42\u00a0¢"
    assert DE.per_side(0.03415) == "3,42\u00a0ct"
    assert Numbers("sv_SE", "SEK").per_side(0.034149) == "0,03415\u00a0SEK"
    assert US.page_unit == "cents"
    assert Numbers("ja_JP", "JPY").page_unit == "JPY"


def test_rounding_for_owners():
    assert US.about_money(157_342) == "$157,000"
    assert US.about_money(1243) == "$1,240"
    assert US.about(999.6) == "1,000"
    assert step_for([0.2]) == 1
    assert column_step([1_013_000, 869_000]) == 1000
    assert column_step([2_160, 132_600]) == 10
    assert column_step([50, 1_000_000]) == 100


def test_exact_figures_keep_their_digits():
    assert US.exact(0.0038) == "0.0038"
    assert US.exact(1_234_567.125) == "1,234,567.13"
    assert US.exact(-0.00001234) == "−0.00001234"
    assert US.exact(0) == "0"


def test_a_saving_is_positive():
    assert US.saving(121.4) == "saves $121"
    assert US.saving(-88) == "costs $88 more"
    assert US.saving(0.2) == "the same"


def test_percent_follows_the_locale():
    assert US.percent(0.075, 1) == "7.5%"
    assert DE.percent(0.075, 1) == "7,5\u00a0%"
    assert Numbers("tr_TR", "TRY").percent(-0.27) == "\u2212%27"


def test_a_percentage_in_full_has_its_sign_where_the_locale_has_it():
    told = {place: Numbers(place, "EUR").as_percent(number) for place, number in
            (("en_US", "7.25"), ("de_DE", "7,25"), ("tr_TR", "7,25"))}  # fmt: skip
    assert told == {"en_US": "7.25%", "de_DE": "7,25\u00a0%", "tr_TR": "%7,25"}
    assert US.as_percent("\u22127.25") == "\u22127.25%"


def test_an_unknown_locale_reads_as_american_english():
    assert Numbers("xx", "USD").fixed(1234.5, 1) == "1,234.5"


def test_no_number_is_refused():
    with pytest.raises(ValueError, match="cannot be shown"):
        US.fixed(float("nan"))


@given(st.floats(-1e12, 1e12), st.integers(0, 4))
def test_only_the_true_minus_and_never_before_zero(value, digits):
    text = US.fixed(value, digits)
    assert "-" not in text
    if text.startswith(MINUS):
        assert set(text) & set("123456789")
    number = Decimal(text.replace(MINUS, "-").replace(",", ""))
    assert abs(number - Decimal(repr(value))) <= Decimal(1).scaleb(-digits) / 2
    assert number == rounded(value, Decimal(1).scaleb(-digits))


def test_words():
    assert month_name(2027, 3) == "March 2027"
    assert month_name(2027, 13) == "January 2028"
    assert counted(1, "gap") == "one\u00a0gap"
    assert counted(24, "candidate") == "24\u00a0candidates"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert listed([]) == ""

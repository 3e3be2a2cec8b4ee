"""The algebra of units: what must hold for any, and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tco.model.unit_rules import UNIT_RULES
from tco.units import ANY, NAMES, NONE, UnitMismatchError, over, same, spell, times, unit

POWERS = st.dictionaries(st.sampled_from(sorted(NAMES)), st.integers(-3, 3).filter(bool), max_size=4)
UNITS = POWERS.map(lambda powers: tuple(sorted(powers.items())))


@given(UNITS)
def test_a_unit_is_read_as_it_is_spelled(measure):
    assert unit(spell(measure)) == measure


@given(UNITS, UNITS, UNITS)
def test_products_commute_associate_and_have_a_one(a, b, c):
    assert times(a, b) == times(b, a)
    assert times(times(a, b), c) == times(a, times(b, c))
    assert times(a, NONE) == a


@given(UNITS, UNITS)
def test_a_quotient_undoes_a_product(a, b):
    assert over(times(a, b), b) == a
    assert over(a, a) == NONE
    assert over(NONE, over(a, b)) == over(b, a)


@given(UNITS)
def test_zero_goes_with_everything(measure):
    assert same(ANY, measure, "") == measure
    assert same(measure, ANY, "") == measure
    assert times(ANY, measure) == ANY
    assert over(ANY, measure) == ANY


@given(UNITS, UNITS)
def test_two_units_go_together_when_they_are_one(a, b):
    if a == b:
        assert same(a, b, "here") == a
    else:
        with pytest.raises(UnitMismatchError, match=r"^here: ") as complaint:
            same(a, b, "here")
        assert spell(a) in str(complaint.value)
        assert spell(b) in str(complaint.value)


@pytest.mark.parametrize(
    ("text", "powers"),
    [
        ("1", ()),
        ("money/click", (("click", -1), ("money", 1))),
        ("hour/post/month", (("hour", 1), ("month", -1), ("post", -1))),
        ("1/month", (("month", -1),)),
        ("kW*hour", (("hour", 1), ("kW", 1))),
        ("money*month/month", (("money", 1),)),
    ],
)
def test_what_units_are_made_of(text, powers):
    assert unit(text) == powers


@pytest.mark.parametrize("text", ["", "euro", "money/", "money per click", "Money", "12", "any"])
def test_a_unit_outside_the_vocabulary_is_refused_by_name(text):
    with pytest.raises(UnitMismatchError, match="is no unit of this model"):
        unit(text)


MONEY, FLOW, YEAR, PLAIN = unit("money"), unit("money/month"), unit("year"), NONE


@pytest.mark.parametrize(
    ("op", "units", "result"),
    [
        ("+", (MONEY, MONEY), MONEY),
        ("-", (ANY, FLOW), FLOW),
        ("*", (MONEY, unit("1/month")), FLOW),
        ("/", (MONEY, unit("month")), FLOW),
        ("safe /", (MONEY, MONEY), PLAIN),
        ("power", (PLAIN, PLAIN), PLAIN),
        ("growth", (PLAIN, YEAR), PLAIN),
        ("level payment", (MONEY, unit("1/month"), PLAIN), FLOW),
        ("<", (MONEY, MONEY), PLAIN),
        ("and", (PLAIN, PLAIN), PLAIN),
        ("min", (MONEY, ANY, MONEY), MONEY),
        ("up", (unit("post"),), unit("post")),
        ("mod", (PLAIN, PLAIN), PLAIN),
    ],
)
def test_the_unit_of_an_operation(op, units, result):
    assert UNIT_RULES[op](units, "here") == result


@pytest.mark.parametrize(
    ("op", "units"),
    [
        ("+", (MONEY, FLOW)),
        ("-", (FLOW, MONEY)),
        ("power", (PLAIN, YEAR)),
        ("power", (unit("1/year"), PLAIN)),  # a nominal rate is no effective one
        ("growth", (unit("1/year"), YEAR)),
        ("growth", (PLAIN, PLAIN)),
        ("level payment", (MONEY, unit("1/year"), PLAIN)),
        ("level payment", (MONEY, unit("1/month"), unit("month"))),
        ("=", (MONEY, PLAIN)),
        ("and", (PLAIN, MONEY)),
        ("or", (unit("1/month"), PLAIN)),  # an event is no state
        ("not", (unit("1/month"),)),
        ("max", (MONEY, MONEY, FLOW)),
        ("mod", (unit("month"), PLAIN)),
    ],
)
def test_an_operation_refuses_other_kinds(op, units):
    with pytest.raises(UnitMismatchError, match=r"^here: "):
        UNIT_RULES[op](units, "here")

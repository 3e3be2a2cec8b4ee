"""Formulas that say the same in another spelling, and formulas that do not."""

import pytest

from tco.audit.tokens import BROKEN, canonical, same_text


def told(formula, move=lambda _, row, column: (row, column), sheet="A"):
    return canonical(formula, sheet, move, lambda name: name)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("=A1 + B2", "A1+B2"),
        ("=IF(TRUE,1,0)", "=if(TRUE(), 1, 0)"),
        ("='B'!$D$5", "=B!$D$5"),
        ("='B c'!A1", "='B c'!a1"),
        ("=A1", "='A'!A1"),
        ("=in_rent_1 * 2", "=IN_RENT_1*2"),
        ("=1.50", "=1.5"),
        ("=SUM($H5:$BO5)", "=SUM( $H5:$BO5 )"),
    ],
)
def test_spellings_of_the_same(one, other):
    assert told(one) == told(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("=A1", "=$A1"), ("=A1", "=A2"), ("=A1+1", "=A1-1"), ('="a b"', '="ab"'), ('="a"', '="A"'),
        ("=SUM(A1:A9)", "=SUM(A1:A8)"), ("=B!A1", "=C!A1"), ("=in_a_b", "=in_a_c"), ("=AND(A1)", "=OR(A1)"),
        ("=1", "=10"), ("=LOG10(2)", "=LOG(2)"),
    ],
)  # fmt: skip
def test_formulas_that_differ(one, other):
    assert told(one) != told(other)
    assert not same_text(one, other)


def test_spaces_inside_texts_count():
    assert same_text('=IF(A1 = 1, "a  b", 2)', '=IF(A1=1,"a  b",2)')
    assert not same_text('="a  b"', '="a b"')


def test_references_follow_and_ranges_shrink_when_a_row_is_gone():
    def gone(_, row, column):
        return None if row == 8 else (row, column)

    assert told("=SUM(A1:A9)", gone) == told("=SUM(A1:A8)")
    assert told("=A9 + 1", gone) == f"{BROKEN} + 1"
    assert told("=#REF! + 1") == told("='B c'!#REF!+1") == f"{BROKEN} + 1"

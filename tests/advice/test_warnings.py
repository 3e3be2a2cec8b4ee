"""Each warning: a scenario that raises it, a near one that does not, and money that two builds confirm."""

import re

import pytest

from tco.advice.coverage import COVERAGE
from tco.advice.warnings import WARNERS, find_warnings, not_comparable, settles_nothing
from tco.scenario.schema_accepted import WARNING_CODES
from tests.advice.quotes import AS_IN_ENGLISH, CASES, cost, found, study

CODES = [case.code for case in CASES]
PRICED = [case for case in CASES if case.low or case.high]


def one_of(case, *more):
    return [one for one in found(case.code, *case.trigger, *more) if one.candidate == case.candidate]


@pytest.mark.parametrize("case", CASES, ids=CODES)
def test_it_is_raised(case):
    ours = one_of(case)
    assert ours, [one.key for one in find_warnings(study(*case.trigger))]
    assert {one.severity for one in ours} == {case.severity}
    for one in ours:
        assert one.question[0].isupper()
        assert one.question.rstrip()[-1] in ".?"
        assert one.title[-1] not in ".?"
        assert one.assumed
        assert one.path
        assert not one.accepted


@pytest.mark.parametrize("case", CASES, ids=CODES)
def test_a_near_miss_raises_nothing(case):
    assert [one.title for one in found(case.code, *case.near) if one.candidate == case.candidate] == []


@pytest.mark.parametrize("case", PRICED, ids=[case.code for case in PRICED])
def test_its_money_is_that_of_two_scenarios(case):
    (one,) = [one for one in one_of(case) if one.readings][:1]
    low = cost(case.candidate, *case.trigger, *case.low)
    high = cost(case.candidate, *case.trigger, *case.high)
    assert high - low > 1
    assert one.money == pytest.approx((low, high), rel=1e-10)
    assert one.swing == pytest.approx(high - low, rel=1e-8)


@pytest.mark.parametrize("case", CASES, ids=CODES)
def test_a_line_with_a_reason_settles_it(case):
    key = f"{case.candidate}.{case.code}" if case.candidate else case.code
    scenario = ("title: Two quotes", f"title: Two quotes\naccepted: {{{key}: confirmed by letter}}")
    ours = one_of(case, scenario)
    assert ours
    assert {one.accepted for one in ours} == {"confirmed by letter"}


# Pieces to replace beside those of the case, and what is told then in a place with a decimal comma.
TOLD = {
    "overage-rate": ((("base: 420", "base: 425"),), "click beyond the base is 0,08, inside it 0,0506"),
    "increase-unstated": ((), "5\u00a0% each time"),
    "increase-open": ((("increase: 3%", "increase: 2.25%"),), "rise by no more than 2,25\u00a0% each time"),
    "coverage-cap": ((("waste: 3%", "waste: 3%\ncoverage: 7.5%"),), "has up to 7,5\u00a0%"),
    "yield-coverage": ((), "what does it last at 5\u00a0%"),
    "dear-money": ((), "imply 13,9\u00a0% a year"),
    "residual-high": ((), "sells for 21\u00a0% of its price"),
    "volume-path": ((), "if it falls by 5\u00a0% a year: Today, by 10\u00a0% a year"),
    "uptime-credit": ((("credit_per_hour: 30", "credit_per_hour: 30.5"),), "is credited with 30,5,"),
    "service-hours": ((("waste: 3%", "waste: 3%\nshop: {hours_per_week: 42.5}"),), "works up to 42,5 a week"),
    "included-size": ((("oversize_counts: 2, increase", "oversize_counts: 2.5, increase"),), "uses up 2,5 of them"),
}


@pytest.mark.parametrize("code", TOLD)
def test_numbers_are_written_as_the_place_does(code):
    (case,), (more, words) = [case for case in CASES if case.code == code], TOLD[code]
    told = {
        locale: "; ".join(
            text for one in found(code, *case.trigger, *more, ("money: {", f"money: {{locale: {locale}, "))
            if one.candidate == case.candidate
            for text in (one.title, one.question, one.assumed, *(reading.label for reading in one.readings))
        )
        for locale in ("de_DE", "en_GB")
    }  # fmt: skip
    assert words in told["de_DE"]
    assert AS_IN_ENGLISH.findall(told["de_DE"]) == []
    assert re.sub(r"(?<=\d),(?=\d)", ".", words).replace("\u00a0", "") in told["en_GB"]


def test_every_warning_has_a_case_and_a_code_that_the_scenario_knows():
    assert len(set(CODES)) == len(CODES)
    assert set(CODES) == set(WARNERS) == set(WARNING_CODES)


def test_every_warner_gives_its_own_code_only():
    for case in CASES:
        assert {one.code for one in WARNERS[case.code](study(*case.trigger))} == {case.code}


def test_the_coverage_table_is_complete():
    assert len(COVERAGE) == 62
    assert len({row.what for row in COVERAGE}) == 62
    assert [row.what for row in COVERAGE if not row.codes and not row.cannot] == []
    assert {code for row in COVERAGE for code in row.codes} == set(WARNING_CODES)


def test_the_quiet_scenario_is_comparable():
    warnings = find_warnings(study())
    assert not_comparable(warnings) == {}
    assert {one.candidate for one in warnings} <= {"today", "birch", "cedar", ""}


def test_what_is_not_comparable_is_told_by_candidate_until_it_is_settled():
    unsized = ("oversize_counts: 2, increase: 3%, increase_cap", "increase: 3%, increase_cap")
    wrong = not_comparable(find_warnings(study(unsized)))
    codes = {key: {one.code for one in ours} for key, ours in wrong.items()}
    assert codes == {"birch": {"click-basis", "oversize-rule"}}
    for key in ("birch.click-basis: read from the meter, birch.oversize-rule: the same",
                "click-basis: read from the meter, oversize-rule: the same"):  # fmt: skip
        settled = study(unsized, ("start:", f"accepted: {{{key}}}\nstart:"))
        assert not_comparable(find_warnings(settled)) == {}


def test_an_acceptance_that_settles_nothing_is_told():
    here = study(("start:", "accepted: {birch.rent-timing: by letter, birch.colour-class: one test sheet}\nstart:"))
    (note,) = settles_nothing(here, find_warnings(here))
    assert (note.path, note.line, note.severity) == ("accepted.birch.rent-timing", 3, "note")


def test_inversion_ranges_of_a_county_bid_sheet():
    # Public bid sheet of quarterly bands, read as all clicks at the rate reached; own arithmetic on its bands:
    # 7,000,000 clicks cost 63,000 at 0.0090, and so do 7,411,764.7 at 0.0085.
    steps = ((0, 0.01), (5_000_000, 0.0095), (6_000_000, 0.009), (7_000_000, 0.0085))
    table = ", ".join(f"{{from: {start}, rate: {rate}}}" for start, rate in steps)
    bands = ("colour: 0.05,", f"colour: 0.05, black: [{table}], bands: all units,")
    (one,) = found("bands-inverted", ("black: 0.009, oversize_counts: 2", "oversize_counts: 2"), bands)
    assert "7,000,000 to 7,411,765" in one.title
    assert "5,000,000 to 5,263,158" in one.title


DEAR = (("price: 58500", "price: 90000"), ("base: 310", "base: 9000"))
UNKNOWN = {
    "return-terms": ("return_freight: 900", "return_freight: "),
    "increase-unstated": ("increase: 3%, increase_cap: 3%", "increase: "),
}


@pytest.mark.parametrize("code", UNKNOWN)
def test_at_the_switch_value_another_one_is_cheapest(code):
    old, key = UNKNOWN[code]
    (one,) = [one for one in found(code, *DEAR, (old, f"{key}unknown")) if one.candidate == "birch"]
    assert one.switch > 0
    below, above = (study(*DEAR, (old, key + repr(one.switch * by))) for by in (1 - 1e-6, 1 + 1e-6))
    assert below.leader(below.base) == "birch"
    assert above.leader(above.base) != "birch"


def test_notice_of_a_lease_that_must_arrive_early_is_told():
    terms = "document_fee: 100, renews_unless_noticed: {months: 12, notice_days: [180, 90]}"
    (one,) = found("notice-early", ("document_fee: 100", terms))
    assert "90 days" in one.title
    assert found("notice-early", ("document_fee: 100", terms.replace("90]", "60]"))) == []


def test_old_debt_with_its_sum_named_is_no_riddle():
    (case,) = [case for case in CASES if case.code == "rolled-in"]
    assert found("rolled-in", *case.trigger, ("document_fee: 100", "document_fee: 100, rolled_in: 9000")) == []


def test_freight_after_the_months_compared_has_no_switch_value():
    longer = (("return_freight: 900", "return_freight: unknown"), ("rent: 1240, months: 60", "rent: 1240, months: 72"))
    (one,) = [one for one in found("return-terms", *longer) if one.candidate == "birch"]
    assert one.switch is None


def test_yields_below_the_coverage_of_the_work_cost_more():
    toner = "supplies: {toner: {price: 160, yields: 25000, at_coverage: 5%}}"
    low = ("    site_works: 800", f"    site_works: 800\n    {toner}")
    high = ("waste: 3%", "waste: 3%\ncoverage: 30%")
    (one,) = found("yield-coverage", low, high)
    told = cost("birch", (low[0], low[1].replace(", at_coverage: 5%", "")), high)
    assert one.money == pytest.approx((told, cost("birch", low, high)), rel=1e-10)


def test_ink_by_area_without_a_coverage_is_asked_for():
    """As told it counts at any coverage; for a solid area it is 30 % of that. What coats the whole sheet has none."""
    inks = "supplies: {cyan: {price: 60, per: m2, ml_per_m2: 6.5%s}, primer: {price: 20, per: m2, ml_per_m2: 2}}"
    high = ("waste: 3%", "waste: 3%\ncoverage: 30%")
    told, solid = (
        ("    site_works: 800", f"    site_works: 800\n    {inks % more}") for more in ("", ", at_coverage: 100%")
    )
    (one,) = found("yield-coverage", told, high)
    assert one.path == "birch.supplies.cyan.at_coverage"
    assert one.title == "Birch, cyan: ink by area is told without a coverage"
    assert one.money == pytest.approx((cost("birch", solid, high), cost("birch", told, high)), rel=1e-10)
    assert found("yield-coverage", solid, high) == []


def test_overflow_is_priced_against_hours_without_limit():
    prices = "outside: {black: 0.04, colour: 0.15, oversize_counts: 2, paper: included}"
    outside = ("candidates:\n", f"{prices}\ncandidates:\n")
    hours = ("waste: 3%", "waste: 3%\nshop: {hours_per_week: 4}")
    speed = ("    site_works: 800", "    site_works: 800\n    sides_per_minute: {letter: 60, ledger: 30}")
    (one,) = [one for one in found("hours-short", outside, hours, speed) if one.candidate == "birch"]
    assert one.severity == "warn"
    assert {reading.label: reading.cost for reading in one.readings} == {
        "hours without limit": pytest.approx(cost("birch", outside, hours)),
        "as the hours are": pytest.approx(cost("birch", outside, hours, speed)),
    }


def test_a_term_that_is_followed_by_an_equal_one_fills_the_months_compared():
    shorter = ("rent: 1240, months: 60", "rent: 1240, months: 36")
    assert found("terms-differ", shorter)
    assert found("terms-differ", shorter, ("    site_works: 800", "    site_works: 800\n    replaced: yes")) == []

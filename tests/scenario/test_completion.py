"""What the tool fills in: defaults, inheritance, silences read to the dearer side, each with its origin."""

import pytest

from tco.problem import ScenarioError
from tco.scenario.load import load_text
from tco.scenario.starting import starting_scenario
from tests.scenario.samples import SMALL, small


def gap_paths(scenario):
    return [gap.path for gap in scenario.gaps]


def test_defaults_are_figures_that_say_so():
    count = small().candidates["birch"].count
    assert (count.number, count.status, count.source) == (1, "assumed", "default")
    assert (count.path, count.line) == ("birch.count", None)
    assert "candidates.birch.count" in small().filled


def test_today_stands_first_and_is_the_reference():
    scenario = small()
    assert [key for key, _ in scenario.candidates_all] == ["today", "birch"]
    assert scenario.reference_id == "today"
    (key, press, prefix), = scenario.today.press_items()
    assert (key, prefix, press.owned.sells_for.number) == ("press", "today", 0)


def test_without_today_the_first_candidate_is_the_reference():
    scenario = load_text("".join(line for line in SMALL.splitlines(keepends=True) if not line.startswith("today")))
    assert scenario.reference_id == "birch"


def test_a_silent_increase_is_common_practice_and_a_gap():
    scenario = small((", increase: 3%", ""))
    increase = scenario.candidates["birch"].service.increase
    assert (increase.number, increase.status, increase.source) == (0.05, "assumed", "common practice")
    assert "birch.service.increase" in gap_paths(scenario)


def test_an_unknown_increase_takes_the_allowance_which_stays_one_input():
    scenario = small(("increase: 3%", "increase: unknown"), ("candidates:", "allowances: {increase: 4%}\ncandidates:"))
    increase = scenario.candidates["birch"].service.increase
    assert (increase.number, increase.path, increase.status) == (0.04, "allowances.increase", "assumed")
    assert any("allowances.increase 0.04 is used" in gap.what for gap in scenario.gaps)


@pytest.mark.parametrize("silence", [", return_freight: unknown", ""])
def test_a_freight_nobody_stated_is_nil_and_a_gap_with_a_switch_value(silence):
    scenario = small((", return_freight: 900", silence))
    freight = scenario.candidates["birch"].lease.return_freight
    assert (freight.number, freight.status, freight.is_assumed) == (0, "unknown", True)
    gap, = [gap for gap in scenario.gaps if gap.path == "birch.lease.return_freight"]
    assert "switch value" in gap.what


def test_an_unknown_price_with_a_range_is_read_at_its_dearer_end():
    scenario = small(("return_freight: 900", "return_freight: {value: unknown, low: 400, high: 2000}"))
    assert scenario.candidates["birch"].lease.return_freight.number == 2000
    sold = small(("today: {", "today: {owned: {sells_for: {value: unknown, low: 100, high: 900}}, "))
    assert sold.today.owned.sells_for.number == 100


def test_a_silent_oversize_rule_counts_two_only_where_there_is_large_work():
    assert "birch.service.oversize_counts" not in gap_paths(small())
    scenario = small(("black: 42000", "black: 42000, oversize_share: {colour: 35%}"))
    assert scenario.candidates["birch"].service.oversize_counts.number == 2
    assert "birch.service.oversize_counts" in gap_paths(scenario)


@pytest.mark.parametrize(("terms", "told"), [
    ("price: 0.062, per: m2, ml_per_m2: 1.1", ["is 0.062 a litre, which may be that of a millilitre"]),
    ("price: 62, per: m2, ml_per_m2: 1.1", []),
    ("price: 0.062, yields: 1", []),
])  # fmt: skip
def test_ink_that_seems_to_be_priced_by_the_millilitre_is_a_gap(terms, told):
    scenario = small(("    lease: {", f"    supplies: {{ink: {{{terms}}}}}\n    lease: {{"))
    found = [gap for gap in scenario.gaps if gap.path == "birch.supplies.ink.price"]
    assert [gap.what for gap in found] == told
    assert all(gap.line for gap in found)


def test_silence_on_settlement_matters_only_with_something_to_settle():
    assert "birch.service.settled" not in gap_paths(small())
    scenario = small(("base: 420", "base: 420, included: {colour: 9000}"))
    assert scenario.candidates["birch"].service.settled == "monthly"
    assert "birch.service.settled" in gap_paths(scenario)


def test_silence_on_payment_is_in_advance_with_one_rent_at_signing():
    scenario = small((", paid: in advance", ""))
    lease = scenario.candidates["birch"].lease
    assert (lease.paid, lease.advance_rents.number) == ("in advance", 1)
    assert "birch.lease.paid" in gap_paths(scenario)
    assert small(("in advance", "in arrears")).candidates["birch"].lease.advance_rents.number == 0


def test_terms_of_every_quote_keep_their_own_place():
    shared = "every_quote: {increase: 3.5%, present_lease: rolled in, covered: [training]}"
    scenario = small((", increase: 3%}\n", f"}}\n{shared}\n"))
    birch = scenario.candidates["birch"]
    assert (birch.service.increase.path, birch.service.increase.number) == ("every_quote.increase", 0.035)
    assert (birch.present_lease, birch.covered) == ("rolled in", ("training",))
    assert scenario.today.service.increase.path == "today.service.increase"
    written = small(("candidates:", "every_quote: {increase: 3.5%}\ncandidates:"))
    assert written.candidates["birch"].service.increase.path == "birch.service.increase"


KEPT = """\
  both:
    presses:
      old: {same_as: today, until_month: 24, two_sided_factor: 0.8}
      new: {cash: {price: 58500}, service: {colour: 0.05, black: 0.01, increase: 3%}}
"""


def test_a_press_kept_from_today_has_todays_figures_unless_written():
    scenario = small(("today: {", "today: {sells_for: 4000, removal: 300, running_allowance: 10%, "),
                     ("  birch:", KEPT + "  birch:"))
    items = scenario.candidates["both"].press_items()
    assert [(key, prefix) for key, _, prefix in items] == [("old", "both.presses.old"), ("new", "both.presses.new")]
    old = items[0][1]
    assert old.is_kept
    assert old.service.colour.path == "today.service.colour"
    assert (old.removal.path, old.running_allowance.path) == ("today.removal", "today.running_allowance")
    assert (old.two_sided_factor.path, old.until_month.number) == ("both.presses.old.two_sided_factor", 24)
    assert old.sells_for is None, "what today would fetch now is not what the press fetches in month 24"
    assert old.owned is not None


def test_a_kept_press_has_its_own_price_when_it_leaves():
    scenario = small(("today: {", "today: {sells_for: 4000, "), ("  birch:", KEPT.replace("0.8", "0.8, sells_for: 700")
                                                                  + "  birch:"))
    old = scenario.candidates["both"].presses["old"]
    assert (old.owned.sells_for.number, old.sells_for) == (700, None)


def test_a_running_lease_goes_with_the_press_that_is_kept():
    scenario = small(("today: {", "today: {lease: {rent: 300, ends: 2028-06, return_freight: 0}, "),
                     ("  birch:", KEPT + "  birch:"))
    terms = scenario.candidates["both"].presses["old"].present_lease_terms
    assert (terms.rent.path, scenario.operating_month(terms.ends)) == ("today.lease.rent", 16)
    assert scenario.today.owned is None


def test_a_plan_for_all_presses_replaces_the_one_taken_over():
    scenario = small(("  birch:", KEPT.replace(", service: {colour: 0.05, black: 0.01, increase: 3%}", "")
                      + "    service: {colour: 0.04, black: 0.01, increase: 3%}\n  birch:"))
    both = scenario.candidates["both"]
    assert both.service.colour.number == 0.04
    assert [press.service for press in both.presses.values()] == [None, None]


def test_classes_inherit_the_figures_of_the_top_level_themselves():
    books = "books: {colour: black, sides_per_set: 12, sets_per_job: 30, jobs: 5200, coverage: 8%}"
    scenario = small(("work: {colour: 24000, black: 42000}", f"waste: 3%\njobs:\n  {books}"))
    books = scenario.jobs["books"]
    assert (books.waste.path, books.coverage.path, books.change_per_year.path) == (
        "waste", "jobs.books.coverage", "change_per_year")
    assert (books.size, books.name) == ("letter", "Books")


def test_sizes_follow_the_currency_unless_written():
    assert (small().work.size, small().work.large_size, small().small_size) == ("letter", "ledger", "letter")
    euro = small(("USD", "EUR"))
    assert (euro.work.size, euro.work.large_size, euro.unit_size) == ("a4", "a3", "a4")
    assert small(("USD", "EUR, paper_sizes: inch")).work.size == "letter"


def test_a_single_speed_is_that_of_the_small_size():
    scenario = small(("work:", "shop: {hours_per_week: 40}\nwork:"),
                     ("    quote:", "    sides_per_minute: 90\n    quote:"))
    speeds = scenario.candidates["birch"].sides_per_minute
    assert {size: figure.number for size, figure in speeds.items()} == {"letter": 90}
    assert speeds["letter"].path == "birch.sides_per_minute"


def test_months_are_labelled_from_start():
    scenario = small()
    assert [scenario.label(month) for month in (1, 10, 11, 60)] == ["2027-03", "2027-12", "2028-01", "2032-02"]


def test_the_starting_scenario_loads_with_gaps_and_without_errors():
    scenario = load_text(starting_scenario())
    assert list(scenario.candidates) == ["birch", "cedar"]
    assert {gap.severity for gap in scenario.gaps} == {"gap"}


def test_a_model_cannot_be_changed_in_place():
    with pytest.raises(ValueError, match="frozen"):
        small().months = 3


def test_two_candidates_with_the_same_wrong_term_bring_one_message():
    second = "  cedar:\n    cash: {price: 1}\n    service: {colour: 0.1, black: 0.1}"
    with pytest.raises(ScenarioError) as caught:
        small(("candidates:", "every_quote: {increase: 300%}\ncandidates:"), (", increase: 3%}", f"}}\n{second}"))
    assert [problem.path for problem in caught.value.problems] == ["every_quote.increase"]

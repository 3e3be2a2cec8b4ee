"""From a scenario to its pages: the record agrees with the model, and every link holds."""

import pytest

from tco.analyses.breakeven import break_even
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.publish.numbers import Numbers
from tco.publish.pages.candidate import all_terms
from tco.publish.pages.candidate import build as pages_of
from tco.publish.pages.clicks import ladder
from tco.publish.parts import Kit
from tco.publish.recording import make_report
from tco.publish.site import build_site
from tco.scenario.load import load, load_text
from tco.scenario.starting import starting_scenario
from tests.house.tree import ROOT
from tests.publish.site.glyphs import without_glyph
from tests.publish.site.pages import read
from tests.scenario.samples import RICH, SMALL

DEMOS = sorted((ROOT / "scenarios").glob("*.yaml"))


@pytest.fixture(scope="module", params=[SMALL, RICH], ids=["small", "rich"])
def study(request):
    scenario = load_text(request.param)
    model = build(scenario)
    values = evaluate(model)
    ids = [key for key, _ in scenario.candidates_all]
    found = break_even(model, ids, 0.0, 3 * float(values["work.average_sides"][0, 0, 0]))
    return scenario, model, values, make_report(scenario, model, values, found)


def test_every_line_of_the_model_is_an_entry(study):
    _, model, _, report = study
    assert [entry.key for entry in report.entries] == [line.id for line in model.lines]
    for entry in report.entries:
        assert {*entry.reads, *entry.readers} <= set(report.by_key)


def test_candidates_carry_the_figures_of_the_model(study):
    scenario, _, values, report = study
    assert [one.id for one in report.candidates] == [key for key, _ in scenario.candidates_all]
    today = report.reference.measures["present_value"]
    for one in report.candidates:
        cost = values[f"{one.id}.measures.present_value"][0, 0, 0]
        assert one.measures["present_value"] == cost
        assert sum(one.kinds.values()) == pytest.approx(cost)
        assert sum(one.net) == pytest.approx(one.measures["total"])
        assert one.cumulative[-1] == pytest.approx(one.measures["total"])
        assert [sum(parts) for parts in zip(*one.statement.values(), strict=True)] == pytest.approx(list(one.net))
        if not one.is_reference:
            assert one.measures["saving"] == pytest.approx(today - cost)


def test_the_order_is_that_of_the_cost(study):
    _, _, _, report = study
    costs = [report.candidate(name).measures["present_value"] for name in report.verdict.order]
    assert costs == sorted(costs)
    assert report.verdict.lead == pytest.approx(costs[1] - costs[0])


def test_each_rate_of_a_click_is_told_as_a_large_and_a_good_side(study):
    _, model, values, report = study
    kit = Kit(report, Numbers("en_US", "USD"))
    told = 0
    for one in report.candidates:
        keys = [line.id for line in model.lines if line.id.startswith(f"{one.id}.") and line.id.endswith("_a_click")]
        table = ladder(kit, one)
        rows = table.rows if table is not None else ()
        assert [row.cells[0].href for row in rows] == [kit.href(key) for key in keys]
        for key, row in zip(keys, rows, strict=True):
            good = values[f"{key.removesuffix('_a_click')}_a_good_side"].item()
            assert float(row.cells[2].text) == pytest.approx(good, abs=5e-5)
            assert good >= values[key].item()
            told += 1
    assert told


def test_every_gap_of_a_candidate_stands_on_its_page(study):
    scenario, _, _, report = study
    ids = {key for key, _ in scenario.candidates_all}
    owned = [gap for gap in scenario.gaps if gap.path.split(".")[0] in ids]
    assert sorted(owned, key=str) == sorted((gap for one in report.candidates for gap in one.gaps), key=str)


def test_terms_of_a_candidate_stand_apart_from_what_it_shares_and_from_defaults(study):
    _, _, _, report = study
    kit = Kit(report, Numbers("en_US", "USD"))
    for one in report.candidates:
        tables = all_terms(kit, one)
        keys = {name: {row.cells[0].href for row in table.rows if row.cells} for name, table in tables.items()}
        wanted = {kit.href(key): report.by_key[key] for key in one.terms}
        assert set().union(*keys.values()) == set(wanted)
        assert sum(map(len, keys.values())) == len(wanted)
        assert all(wanted[key].scope == one.id for key in keys["terms"])
        assert all(wanted[key].scope != one.id for key in keys["shared"])
        assert all(wanted[key].status in ("assumed", "unknown") for key in keys["defaults"])


def test_rates_of_several_bands_come_from_where_each_of_them_comes_from():
    scenario = load_text(RICH)
    model = build(scenario)
    report = make_report(scenario, model, evaluate(model), None)
    several = [line for line in model.lines if line.entry_origins]
    assert several
    for line in several:
        entry = report.by_key[line.id]
        assert set(entry.status.split("; ")) == {one.status for one in line.entry_origins}
        assert all(one.source in entry.source for one in line.entry_origins)


@pytest.fixture(scope="module", params=DEMOS, ids=[path.stem for path in DEMOS])
def demo(request):
    scenario = load(request.param)
    model = build(scenario)
    values = evaluate(model)
    return build_site(make_report(scenario, model, values, None))


def test_every_link_of_the_demos_holds(demo):
    pages = read(demo)
    for name, page in pages.items():
        assert page.wrong == []
        assert len(page.ids) == len(set(page.ids)), name
        for link in page.links:
            file, _, place = link.partition("#")
            assert (file or name) in demo, link
            assert not place or place in pages[file or name].ids, link


def test_the_demos_weigh_little_and_every_character_has_a_glyph(demo):
    weights = {name: len(content) for name, content in demo.items() if name.endswith(".html")}
    weights.pop("print.html")
    assert weights.pop("figures.html") <= 1_500_000
    assert max(weights.values()) <= 400_000
    assert without_glyph(demo) == {}


def test_a_public_body_reads_what_it_owes_when_no_money_is_granted():
    text = starting_scenario().replace(
        "name: Lease the Birch\n", "name: Lease the Birch\n    may_stop_without_funds: yes\n"
    )
    scenario = load_text(text)
    model = build(scenario)
    report = make_report(scenario, model, evaluate(model), None)
    kit = Kit(report, Numbers("en_US", "USD"))
    told = {
        page.candidate.id: {row.head: row.cells[0].text for row in page.data["measures"].rows} for page in pages_of(kit)
    }
    assert told["birch"]["Bound if no money is granted"] == kit.numbers.money(
        report.candidate("birch").measures["bound_if_funds_stop"]
    )
    assert report.candidate("birch").measures["bound_if_funds_stop"] < report.candidate("birch").measures["bound"]
    assert "Bound if no money is granted" not in told["cedar"]


def test_only_what_is_simply_owned_has_nothing_paid_later(study):
    scenario, _, _, report = study
    told = report.reference.measures
    owned = scenario.today.lease is None
    assert ("financing_effect" in told) == owned
    assert told.get("financing_effect", 0.0) == 0.0
    assert told.get("at_cash_price") == (told["present_value"] if owned else None)

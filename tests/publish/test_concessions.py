"""The tables of what would make it a tie: every figure comes again from the command printed beside it."""

import shlex

import pytest
from typer.testing import CliRunner

from tco.analyses.concessions import concessions
from tco.analyses.solve import solve
from tco.cli import app
from tco.publish.numbers import Numbers
from tco.publish.pages.concessions import command
from tco.publish.pages.concessions import concessions as tables
from tco.publish.parts import Kit
from tco.publish.publish import compute
from tco.scenario.load import load
from tco.scenario.starting import starting_scenario
from tests.analyses.studies import gap, study


@pytest.fixture(scope="module")
def computed(tmp_path_factory):
    file = tmp_path_factory.mktemp("talks") / "scenario.yaml"
    file.write_text(starting_scenario(), encoding="utf-8")
    return file, compute(load(file))


def kit_of(report):
    return Kit(report, Numbers("en_US", "USD"))


def test_every_term_is_what_the_command_finds_and_ties_to_the_cent(computed):
    file, found = computed
    kit = kit_of(found.report)
    offers = found.report.concessions
    assert [one.candidate for one in offers] == [found.report.verdict.leader, *found.report.verdict.order[1:]]
    for offer in offers:
        for term in offer.terms:
            again = solve(found.model, offer.candidate, term.figure.key, offer.against)
            assert min(abs(root.value / term.nearest.value - 1) for root in again.roots) < 1e-9
        term = offer.terms[0]
        words = shlex.split(command(kit, offer, term).replace("scenario.yaml", str(file)))
        done = CliRunner().invoke(app, words[1:])
        assert done.exit_code == 0, done.output
        assert "Equal at" in done.output
        changes = {term.figure.key: term.nearest.value}
        assert abs(gap(found.scenario, changes, offer.candidate, offer.against)) < 0.005


def test_the_page_has_a_table_for_the_room_and_for_every_loser(computed):
    _, found = computed
    room, *others = tables(kit_of(found.report))
    assert room.title.startswith("Room of Lease the Birch: ")
    assert len(others) == len(found.report.verdict.order) - 1
    assert all("would have to give" in one.title for one in others)
    for table, offer in zip((room, *others), found.report.concessions, strict=True):
        assert len(table.rows) == max(1, len(offer.terms))
        assert table.rows[0].css == "best"


SHARED = """\
title: A term that weighs on the other
start: 2027-01
months: 12
money: {discount_rate: 0%}
work: {black: 1000}
left_out: [paper, labour, energy, space]
today: {lease: {rent: 100, ends: 2027-12, return_freight: 50}, service: {black: 0.5, increase: 0%}}
candidates:
  alder: {lease: {rent: 20, months: 12, paid: in arrears, return_freight: 0}, service: {black: 0.1, increase: 0%}}
"""


def test_a_term_that_only_makes_the_other_dearer_is_no_concession():
    """Whoever gives the old press back pays its freight, whoever keeps it does not: that is nothing to ask for."""
    scenario, model = study(SHARED)
    assert gap(scenario, {}, "today", "alder") > 0
    _, offer = concessions(model, "alder", ["today"])
    assert [one.figure.key for one in offer.terms] == ["today.service.black"]
    assert offer.terms[0].nearest.change < 0
    (freight,) = [one for one in offer.cannot if one.figure.key == "today.lease.return_freight"]
    assert freight.nearest.change == pytest.approx(offer.gap)

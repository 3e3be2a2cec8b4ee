"""What the answer rests on, as the site tells it: one sentence, shares of all, the heaviest figures of the leader."""

import re
from dataclasses import replace

import pytest

from tco.analyses.evidence import evidence
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.publish import rests, sentences
from tco.publish.numbers import Numbers
from tco.publish.parts import Kit
from tco.publish.recording import make_report
from tco.scenario.load import load_text
from tests.scenario.samples import SMALL


@pytest.fixture(scope="module")
def kit():
    scenario = load_text(SMALL)
    model = build(scenario)
    report = replace(make_report(scenario, model, evaluate(model)), evidence=evidence(model))
    return Kit(report, Numbers("en_US", "USD"))


def test_the_answer_names_every_kind_of_evidence_of_the_leader(kit):
    (told,) = [one for one in sentences.rests_on(kit) if one.name == "Evidence"]
    shares = kit.report.evidence.of(kit.report.verdict.leader).shares
    assert kit.name(kit.report.verdict.leader) in told.words
    named = {status: int(percent) / 100 for percent, status in re.findall(r"(\d+)% is (\w+)", told.words)}
    assert named == pytest.approx({status: share for status, share in shares.items() if share >= 0.005}, abs=0.0051)
    assert told.link.href == "method.html#evidence"


def test_shares_of_every_candidate_add_up_as_shown(kit):
    table = rests.shares(kit)
    assert len(table.rows) == len(kit.report.candidates)
    for row in table.rows:
        percents = [float(cell.text.rstrip("%")) for cell in row.cells[:-1]]
        assert sum(percents) == pytest.approx(100, abs=0.05 * len(percents))


def test_heaviest_figures_lead_to_their_entries(kit):
    (table,) = rests.heaviest(kit)
    most = kit.report.evidence.of(kit.report.verdict.leader).most
    assert [row.head for row in table.rows] == [one.label for one in most]
    assert all(row.cells[0].href == kit.href(one.line) for row, one in zip(table.rows, most, strict=True))


def test_nothing_is_said_where_nothing_was_weighed(kit):
    bare = Kit(replace(kit.report, evidence=None), kit.numbers)
    assert (rests.fact(bare), rests.shares(bare), rests.heaviest(bare)) == (None, None, [])

"""A study without names: letters for candidates, the same figures, nothing left that tells who offered."""

import pytest

from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.publish.anonymous import anonymised, letters
from tco.publish.publish import compute
from tco.publish.site import build_site
from tco.scenario.load import load_text
from tests.scenario.samples import RICH, SMALL


def costs(scenario):
    keys = [f"{key}.measures.present_value" for key, _ in scenario.candidates_all]
    values = evaluate(build(scenario), keep=keys)
    return [float(values[key][0, 0, 0]) for key in keys]


@pytest.mark.parametrize("text", [SMALL, RICH], ids=["small", "rich"])
def test_letters_take_the_place_of_names_and_no_figure_moves(text):
    scenario = load_text(text)
    bare = anonymised(scenario)
    assert costs(bare) == costs(scenario)
    named = [one.title for key, one in bare.candidates_all if key != "today"]
    assert named == [f"Candidate {letters(place)}" for place in range(len(named))]
    assert all(one.quote is None for key, one in bare.candidates_all if key != "today")


def test_figures_that_move_together_still_do():
    rate = "birch.service.colour"
    keys = f"futures: {{together: {{terms: [{rate}, work.colour]}}, shapes: {{normal: [{rate}]}}}}\n"
    ranges = SMALL.replace("colour: 0.049", "colour: {value: 0.049, low: 0.04, high: 0.06}")
    ranges = ranges.replace("colour: 24000", "colour: {value: 24000, low: 20000, high: 30000}")
    bare = anonymised(load_text(ranges + keys))
    assert bare.futures.together == {"terms": ("candidate_a.service.colour", "work.colour")}
    assert bare.futures.shapes.normal == ("candidate_a.service.colour",)


def test_work_to_be_won_stays_with_who_would_win_it():
    job = "{colour: black, sides_per_set: 1, sets_per_job: 9, jobs: 90"
    work = f"jobs: {{notes: {job}}}}}\nnew_work: {{posters: {job}, charge_per_set: 1, only_with: birch}}}}\n"
    bare = anonymised(load_text(SMALL.replace("work: {colour: 24000, black: 42000}\n", work)))
    assert bare.new_work["posters"].only_with == ("candidate_a",)


def test_no_page_tells_who_offered():
    # Other names than those in the examples of the reference, which stand in every study.
    scenario = load_text(SMALL.replace("birch", "juniper").replace("Tarnwick, offer 1187", "Quenby, offer 7"))
    told = [word for key, one in scenario.candidates.items() for word in (key, one.name, one.quote) if word]
    assert told == ["juniper", "Quenby, offer 7"]
    pages = build_site(compute(anonymised(scenario)).report, "book.xlsx")
    for name, content in pages.items():
        text = content.decode("utf-8")
        assert [word for word in told if word in text] == [], name
    assert b"scenario.yaml" not in pages["downloads.html"]


def test_after_z_come_two_letters():
    assert [letters(place) for place in (0, 25, 26, 51, 52)] == ["A", "Z", "AA", "AZ", "BA"]

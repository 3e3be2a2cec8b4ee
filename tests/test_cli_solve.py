"""`tco solve`: a term put back into the file makes the two candidates cost the same."""

import re

from typer.testing import CliRunner

from tco.assemble import build
from tco.cli import app
from tco.model.evaluate import evaluate
from tco.scenario.load import load
from tco.scenario.starting import starting_scenario


def solved(tmp_path, *words):
    file = tmp_path / "start.yaml"
    file.write_text(starting_scenario(), encoding="utf-8")
    ids = [key for key, _ in load(file).candidates_all]
    done = CliRunner().invoke(app, ["solve", str(file), ids[1], *words, "--against", ids[-1]])
    return file, ids, done


def test_a_solved_rate_put_back_is_a_tie(tmp_path):
    file, ids, done = solved(tmp_path, "service.colour")
    assert done.exit_code == 0, done.output
    value = float(re.search(r"(?:Equal|change places) at ([\d.,]+)", done.output)[1].replace(",", ""))
    values = evaluate(build(load(file).with_changes({f"{ids[1]}.service.colour": value})))
    one, other = (float(values[f"{key}.measures.present_value"].item()) for key in (ids[1], ids[-1]))
    assert abs(one - other) < 0.5  # the rate is printed to ten digits, the volume is some million sides


def test_an_unknown_figure_names_the_nearest(tmp_path):
    _, ids, done = solved(tmp_path, "service.color")
    assert done.exit_code == 2
    assert f"{ids[1]}.service.colour" in done.output

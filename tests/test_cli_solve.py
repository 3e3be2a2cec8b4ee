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


def test_the_tie_of_one_figure_is_told_along_another(tmp_path):
    file, ids, done = solved(tmp_path, "lease.rent", "--along", "money.discount_rate")
    assert done.exit_code == 0, done.output
    head, *lines = done.output.splitlines()
    assert "money.discount_rate" in head
    assert len(lines) == 9
    rate, rent = lines[0].split("%: ")
    points, rent = float(rate.replace("\u2212", "-")) / 100, float(rent.replace(",", ""))
    changes = {"money.discount_rate": points, f"{ids[1]}.lease.rent": rent}
    values = evaluate(build(load(file).with_changes(changes)))
    one, other = (float(values[f"{key}.measures.present_value"].item()) for key in (ids[1], ids[-1]))
    assert abs(one - other) < 0.05


SHARES = """\
title: More colour, less black
start: 2027-01
months: 12
money: {discount_rate: 0%}
work: {colour: 3000, black: 9000}
left_out: [paper, labour, energy, space]
candidates:
  ash: {cash: {price: 1000}, service: {colour: 0.05, black: 0.01, increase: 0%}}
  elm: {cash: {price: 4000}, service: {colour: 0.02, black: 0.01, increase: 0%}}
"""


def test_a_share_of_colour_is_solved_for_at_the_same_sum(tmp_path):
    """Ash is 3,000 cheaper and pays 0.03 more a colour side: equal at 100,000 a year, 8,333.3 a month of the 12,000."""
    file = tmp_path / "shares.yaml"
    file.write_text(SHARES, encoding="utf-8")
    words = ["solve", str(file), "ash", "work.colour", "--out-of", "work.black", "--against", "elm"]
    done = CliRunner().invoke(app, words)
    assert done.exit_code == 0, done.output
    assert "Equal at 8,333.333333" in done.output
    wrong = CliRunner().invoke(app, [*words[:5], "cash.price", *words[6:]])
    assert wrong.exit_code == 2
    assert "ash.cash.price" in wrong.output

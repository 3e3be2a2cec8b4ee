"""Colours that can be told from their ground, and drawings that stay inside their frame."""

import re

import pytest

from tco.publish.drawings import cumulative, make_up
from tco.publish.drawings_volume import cost_per_page, ribbon
from tco.publish.figures import COLOURS, Plot, colour, nice_ticks, shortened, spread
from tco.publish.fonts import templates_root
from tco.publish.numbers import Numbers
from tco.publish.parts import clipped
from tco.publish.site import style_sheet
from tests.publish.site import mock

TEXT, SHAPE = 4.5, 3.0  # WCAG 2.2, success criteria 1.4.3 and 1.4.11; read


def tokens():
    text = (templates_root() / "style.css").read_text(encoding="utf-8")
    light, dark = (
        dict(re.findall(r"--(\w+):(#[0-9a-f]{6})", part)) for part in text.split("prefers-color-scheme:dark")[:2]
    )
    dark = {name: value for name, value in dark.items() if name in light}
    return {"light": light, "dark": dark}


def luminance(value):
    parts = [int(value[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_known_pairs():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # WCAG technique G18; memory


@pytest.mark.parametrize("mode", ["light", "dark"])
def test_every_pair_of_text_and_ground(mode):
    token = tokens()[mode]
    pairs = [
        ("ink", "paper"),
        ("soft", "paper"),
        ("link", "paper"),
        ("ink", "tint"),
        ("soft", "tint"),
        ("over", "paper"),
    ]
    pairs += [(f"c{i}", "paper") for i in range(1, COLOURS + 1)]
    pairs += [(f"t{i}", f"k{i}") for i in range(1, 9)]
    pairs += [("hi", "h0"), ("hi", "h1"), ("hi", "h2"), ("hi", "h3"), ("hx", "h4"), ("paper", "ink")]
    found = {pair: round(contrast(token[pair[0]], token[pair[1]]), 2) for pair in pairs}
    assert {pair: value for pair, value in found.items() if value < TEXT} == {}


def test_the_reference_is_grey_and_a_candidate_keeps_its_colour():
    assert colour(0) == "var(--c1)"
    assert [colour(i) for i in range(1, COLOURS)] == [f"var(--c{i})" for i in range(2, COLOURS + 1)]
    assert colour(COLOURS) == "var(--c2)"


def test_the_sheet_of_paper_is_the_one_of_the_study():
    assert "@page{size:letter;" in style_sheet("letter")
    assert "@page{size:A4;" in style_sheet("a4")


NUMBERS = Numbers("en_US", "USD")


@pytest.mark.parametrize("draw", [cumulative, make_up, ribbon, cost_per_page])
@pytest.mark.parametrize("study", ["report", "barred", "hostile"])
def test_drawings_have_no_fixed_colour_and_stay_in_their_frame(draw, study):
    figure = draw(getattr(mock, study)(), NUMBERS)
    for size, svg in (("w", figure.wide), ("s", figure.slim)):
        assert not re.search(r"#[0-9a-fA-F]{3,6}\b|style=|<style|rgb\(", svg)
        assert re.findall(r'\bid="([^"]+)"', svg) == [f"{figure.id}-{size}-t", f"{figure.id}-{size}-d"]
        width, height = map(float, re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg).groups())
        left, top = map(float, re.search(r"translate\(([\d.]+),([\d.]+)\)", svg).groups())
        for x, y in re.findall(r"<text[^>]*translate\((-?[\d.]+),(-?[\d.]+)\)", svg):
            assert -1 <= float(x) + left <= width + 1, svg[:200]
            assert 0 <= float(y) + top <= height + 1, svg[:200]
    assert figure.title
    assert figure.desc.endswith(".")


def test_titles_state_the_finding():
    report = mock.report()
    assert cumulative(report, NUMBERS).title == "Lease the Birch costs least from the first month on"
    assert ribbon(report, NUMBERS).title == "Lease the Birch costs least above 54,200 pages a month"
    assert make_up(report, NUMBERS).title.startswith("Service is 37% of what Lease the Birch costs")


def test_words_of_a_drawing_keep_their_digits():
    plot = Plot(100, 50, (0, 3), (0, 1))
    plot.text((1 / 3, 0.5), "0.0555", shift=(1.23456, 0))
    svg = plot.svg("fig-words", "Words", "A figure in words.", "chart")
    assert ">0.0555</text>" in svg
    assert not re.search(r"<[^>]*\d\.\d{3}", svg)


def test_labels_are_pushed_apart():
    assert spread([10, 12, 11], 18, 0, 100) == [10, 46, 28]
    assert spread([95, 96], 18, 0, 100) == [82, 100]


def test_ticks_are_round():
    assert nice_ticks(0, 270_000) == [0, 100_000, 200_000, 300_000]
    assert nice_ticks(-0.3, 0.9)[0] <= -0.3


def test_long_names_are_cut():
    assert shortened("nine or more", 10) == "nine or m…"
    assert clipped(" 30\u00a0% of\n 1\u202f240 ") == shortened("30\u00a0%  of 1\u202f240") == "30\u00a0% of 1\u202f240"
    assert shortened("W" * 100, 10) == "W" * 7 + "…"

"""The fonts inside the pages: their licence beside them, their names their own, their figures one width."""

import pytest

from tco.publish.figures import TEXT, text_width
from tco.publish.fonts import FACES, font_faces, known_to_pictures, templates_root
from tests.publish.site.glyphs import advances, characters, font, shown

SANS = [name for family, _, name in FACES if family == "Report Sans"]
LABELS = (
    "Take two smaller presses", "Keep both for 18 months, then lease", "WWWWWWWW", "month 13", "1,234,567", "−$19.5k",
    "below Lease the Sorrel, no minimum", "Rate of colour clicks", "8,46 ct", "Ölförderung & Größe", "100%", "iiiiiiii",
)  # fmt: skip


def test_the_licence_travels_with_the_fonts_and_their_reserved_name_does_not():
    licence = (templates_root() / "fonts" / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert licence.count("Reserved Font Name 'Source'") == 2
    for family, weight, name in FACES:
        face = font(name)
        assert [face["name"].getDebugName(code) for code in (1, 16)][1] == family
        assert not any("Source" in (face["name"].getDebugName(code) or "") for code in (1, 2, 4, 6, 16, 17))
        assert face["OS/2"].usWeightClass == weight


def test_pages_carry_all_faces_and_stay_light():
    faces = font_faces()
    assert faces.count("@font-face") == len(FACES)
    assert "://" not in faces
    assert len(faces) < 80_000


def test_figures_and_the_signs_beside_them_are_one_width():
    for name in SANS:
        widths = advances(name)
        assert len({widths[char] for char in "0123456789−×±$€£¢"}) == 1


def test_the_spaces_and_marks_of_european_locales_are_there():
    # Between thousands and before a unit (CLDR 46, memory), and what their languages are written with.
    assert set("\u00a0\u202f\u2009’−–—…€£¢%äöüßéèêçœñåøłčžşğ„“”«»¿¡") <= characters()


@pytest.mark.parametrize(("name", "bold"), [("report-sans-400", False), ("report-sans-600", True)])
def test_labels_of_drawings_are_never_wider_than_thought(name, bold):
    widths = advances(name)
    for label in LABELS:
        real = sum(widths[char] for char in label) * TEXT
        assert real <= text_width(label, bold=bold) <= 1.6 * real + 8, label


def test_pictures_are_drawn_with_the_same_font():
    import vl_convert

    known_to_pictures()
    ours, other, none = (
        vl_convert.svg_to_png(
            f'<svg xmlns="http://www.w3.org/2000/svg" width="90" height="20"><text y="15" font-family="{family}" '
            'font-weight="600">Agst 12</text></svg>'
        )
        for family in ("Report Sans", "Liberation Sans", "")
    )
    assert ours != other
    assert ours != none
    assert sorted(font("report-sans-600", "ttf").getBestCmap()) == sorted(font("report-sans-600").getBestCmap())


def test_what_has_no_glyph_is_seen():
    assert shown("<style>Ж</style><p>a &#8776; b 漢</p>") - characters() == {"漢"}

"""Paper sizes and basis weights, from open standards and definitions."""

from dataclasses import dataclass

SIZE_SOURCE = "PWG 5101.1, self-describing media size names; the A and B sizes are those of ISO 216"
SIZE_DATE = "2013"  # year of the naming standard
WEIGHT_SOURCE = "basis sizes of the North American paper grades, trade practice; a ream is 500 sheets"

LARGE_ABOVE_MM = 364.0  # a sheet is large when its long edge is over this: longer than the long edge of JIS B4
GRAMS_A_POUND = 453.59237  # definition, international pound (1959)
MM_AN_INCH = 25.4  # definition, international inch (1959)
SHEETS_A_REAM = 500


@dataclass(frozen=True)
class PaperSize:
    """A sheet: `width_mm` is its short edge, `height_mm` its long one."""

    name: str
    width_mm: float
    height_mm: float
    standard_name: str

    @property
    def area_m2(self) -> float:
        """Area of one side [m²]."""
        return self.width_mm * self.height_mm / 1e6

    @property
    def short_edge_mm(self) -> float:
        """Short edge [mm]: the feed length of a sheet that is not large."""
        return min(self.width_mm, self.height_mm)

    @property
    def long_edge_mm(self) -> float:
        """Long edge [mm]: the feed length of a large sheet."""
        return max(self.width_mm, self.height_mm)

    @property
    def is_large(self) -> bool:
        """Whether plans and presses treat it as a large sheet."""
        return self.long_edge_mm > LARGE_ABOVE_MM

    def fits(self, largest: "PaperSize") -> bool:
        """Whether a press that takes sheets up to `largest` takes this one."""
        return self.short_edge_mm <= largest.short_edge_mm and self.long_edge_mm <= largest.long_edge_mm


SIZES = (
    PaperSize("letter", 215.9, 279.4, "na_letter_8.5x11in"),
    PaperSize("legal", 215.9, 355.6, "na_legal_8.5x14in"),
    PaperSize("ledger", 279.4, 431.8, "na_ledger_11x17in"),
    PaperSize("12x18", 304.8, 457.2, "na_arch-b_12x18in"),
    PaperSize("13x19", 330.2, 482.6, "na_super-b_13x19in"),
    PaperSize("a4", 210.0, 297.0, "iso_a4_210x297mm"),
    PaperSize("a3", 297.0, 420.0, "iso_a3_297x420mm"),
    PaperSize("sra3", 320.0, 450.0, "iso_sra3_320x450mm"),
    PaperSize("b4", 250.0, 353.0, "iso_b4_250x353mm"),
    PaperSize("ra3", 305.0, 430.0, "iso_ra3_305x430mm"),
)
_BY_NAME = {size.name: size for size in SIZES}
SIZE_NAMES = tuple(_BY_NAME)


def size(name: str) -> PaperSize:
    """Look up a size by its name in scenarios.

    Raises
    ------
    KeyError
        for an unknown name, listing the known ones

    """
    if name not in _BY_NAME:
        raise KeyError(f"no paper size {name!r}; known are {', '.join(SIZE_NAMES)}")
    return _BY_NAME[name]


@dataclass(frozen=True)
class Grade:
    """A North American paper grade: its weight in pounds is that of a ream of the basis size."""

    name: str
    width_in: float
    height_in: float

    @property
    def gsm_a_pound(self) -> float:
        """Grammage of a pound of basis weight [g/m² a pound]."""
        basis_m2 = self.width_in * self.height_in * (MM_AN_INCH / 1000) ** 2
        return GRAMS_A_POUND / (SHEETS_A_REAM * basis_m2)


GRADES = (
    Grade("bond", 17, 22),
    Grade("text", 25, 38),
    Grade("cover", 20, 26),
    Grade("tag", 24, 36),
    Grade("index", 25.5, 30.5),
    Grade("bristol", 22.5, 28.5),
)
_BY_GRADE = {grade.name: grade for grade in GRADES}


def grammage(pounds: float, grade: str) -> float:
    """Grammage [g/m²] of a basis weight [pounds] of a grade.

    Raises
    ------
    KeyError
        for an unknown grade

    """
    if grade not in _BY_GRADE:
        raise KeyError(f"no paper grade {grade!r}; known are {', '.join(_BY_GRADE)}")
    return pounds * _BY_GRADE[grade].gsm_a_pound


def sheet_mass_kg(sheets: float, of: PaperSize, grams_a_m2: float) -> float:
    """Mass [kg] of a number of sheets of one size and grammage."""
    return sheets * of.area_m2 * grams_a_m2 / 1000

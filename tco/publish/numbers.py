"""Numbers as readers see them: one named style for each use, rounded by us, spelled by the locale's rules.

Rounding is half away from zero on the shortest decimal that stands for the number, so that 2.675 becomes 2.68. The
minus is the true one and never stands before a zero; a number and its unit are kept together by a no-break space.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from babel import Locale
from babel.numbers import format_currency, get_currency_name

from tco.scenario.locales import DIRECTIONS, USUAL, known_locale, place_of, spelled, with_percent_sign

MINUS: Final = "\u2212"
NO_BREAK: Final = "\u00a0"
NONE: Final = "\u2014"
# The hundredth of a currency as it is written behind a figure. Common practice; other currencies stay undivided.
HUNDREDTHS: Final = {"USD": "¢", "CAD": "¢", "AUD": "¢", "NZD": "¢", "EUR": "ct", "GBP": "p", "CHF": "Rp."}
HUNDREDTH_NAMES: Final = {"¢": "cents", "ct": "cents", "p": "pence", "Rp.": "rappen"}
MONTH_NAMES: Final = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
LARGEST_STEP: Final = 3  # significant figures of a number on an owner's page


def rounded(value: float, step: Decimal) -> Decimal:
    """Round to a multiple of `step`, halves away from zero.

    Raises
    ------
    ValueError
        The value is no finite number.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot be shown as a number")
    exact = Decimal(repr(float(value)))
    return (exact / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step


def step_for(values: list[float] | tuple[float, ...], figures: int = LARGEST_STEP) -> Decimal:
    """The power of ten, at least 1, that leaves the largest of `values` so many significant figures."""
    largest = max((abs(value) for value in values), default=0.0)
    if largest < 1:
        return Decimal(1)
    return Decimal(10) ** max(0, math.floor(math.log10(largest)) + 1 - figures)


def column_step(values: list[float] | tuple[float, ...]) -> Decimal:
    """One step for a column: three figures of its smallest number, but no more than five of its largest."""
    some = [abs(value) for value in values if abs(value) >= 1]
    return max(step_for([min(some, default=0.0)]), step_for(some, 5))


def compared_step(values: list[float], differences: list[float]) -> Decimal:
    """One step for sums that are compared: a column's, or finer, so that differences keep two figures.

    A difference is printed as that of the printed sums: one step serves both, and readers can subtract what they see.
    """
    smallest = min((abs(one) for one in differences if abs(one) >= 1), default=float("inf"))
    step = column_step(values)
    return step if smallest == float("inf") else min(step, max(step_for([smallest], 2), step_for(values, 5)))


@dataclass(frozen=True)
class Numbers:
    """All styles for one locale and currency.

    Parameters
    ----------
    locale : a CLDR name such as ``en_US``; an unknown one falls back to ``en_US``
    currency : ISO 4217 code
    """

    locale: str
    currency: str
    _known: dict[tuple[object, ...], str] = field(default_factory=dict, compare=False, repr=False)

    @property
    def place(self) -> Locale:
        """The locale itself."""
        return place_of(known_locale(self.locale) or USUAL)

    @property
    def currency_name(self) -> str:
        """The currency in words, as in "US dollars"."""
        return str(get_currency_name(self.currency, count=2, locale="en"))

    @property
    def hundredth(self) -> str:
        """The sign of a hundredth of the currency, or nothing where prices per page are told in the currency."""
        return HUNDREDTHS.get(self.currency, "")

    @property
    def page_unit(self) -> str:
        """What prices per page are told in: ``cents``, or the currency."""
        return HUNDREDTH_NAMES.get(self.hundredth, self.currency)

    def fixed(self, value: float, digits: int = 0) -> str:
        """A number with so many decimals: ``1,234.50``."""
        return self._plain(rounded(value, Decimal(1).scaleb(-digits)), digits)

    def whole(self, value: float, step: Decimal = Decimal(1)) -> str:
        """A whole number, rounded to a step: ``157,000``."""
        return self._plain(rounded(value, step), 0)

    def about(self, value: float) -> str:
        """A count for an owner: three significant figures."""
        return self.whole(value, step_for([value]))

    def money(self, value: float, step: Decimal = Decimal(1)) -> str:
        """Money with its sign, without cents: ``$1,240``."""
        number = rounded(value, step)
        sign = MINUS if number < 0 else ""
        key = ("money", number)
        if key not in self._known:
            text = format_currency(
                abs(number), self.currency, locale=self.place, format=self._money_pattern(), currency_digits=False
            )
            self._known[key] = text.translate(DIRECTIONS)
        return sign + self._known[key]

    def cents(self, value: float) -> str:
        """Money with its sign, to the hundredth: ``$3.16``."""
        return str(format_currency(value, self.currency, locale=self.place)).translate(DIRECTIONS)

    def about_money(self, value: float) -> str:
        """Money for an owner: three significant figures."""
        return self.money(value, step_for([value]))

    def per_side(self, value: float, *, sign: bool = True) -> str:
        """A price per printed side: in hundredths with two decimals, or in the currency with enough digits."""
        if self.hundredth:
            return self.fixed(value * 100, 2) + (NO_BREAK + self.hundredth if sign else "")
        digits = max(2, 3 - math.floor(math.log10(abs(value)))) if value else 2
        return self.fixed(value, min(digits, 6)) + (NO_BREAK + self.currency if sign else "")

    def percent(self, value: float, digits: int = 0) -> str:
        """A share as a percentage, the sign where and how the locale has it: ``7.5%``."""
        return self.as_percent(self.fixed(value * 100, digits))

    def as_percent(self, number: str) -> str:
        """A number of hundredths that is spelled already, with its sign of percent."""
        sign = MINUS if number.startswith(MINUS) else ""
        return sign + with_percent_sign(number.removeprefix(MINUS), str(self.place))

    def exact(self, value: float) -> str:
        """A number in full: at most ten significant figures or two decimals, without trailing zeros."""
        if value == 0:
            return self.fixed(0)
        magnitude = math.floor(math.log10(abs(value))) + 1
        digits = min(12, max(2, 10 - max(magnitude, 0) if magnitude < 5 else 2, 6 - magnitude if magnitude < 0 else 0))
        number = rounded(value, Decimal(1).scaleb(-digits)).normalize()
        exponent = number.as_tuple().exponent
        return self._plain(number, max(0, -exponent) if isinstance(exponent, int) else 0)

    def saving(self, value: float, *, sign: bool = True) -> str:
        """What a saving is called: ``saves $121``, ``costs $88 more`` or ``the same``; or without the sign of money."""
        number = float(rounded(value, Decimal(1)))
        if number == 0:
            return "the same"
        told = self.money(abs(number)) if sign else self.whole(abs(number))
        return f"saves {told}" if number > 0 else f"costs {told} more"

    def date(self, day: dt.date) -> str:
        """A day in English words, the month first where the locale has it so: ``March 1, 2027`` or ``1 March 2027``."""
        month = MONTH_NAMES[day.month - 1]
        first = str(self.place.date_formats["long"].pattern).startswith("M")
        return f"{month} {day.day}, {day.year}" if first else f"{day.day} {month} {day.year}"

    def _money_pattern(self) -> str:
        pattern = str(self.place.currency_formats["standard"].pattern).split(";")[0]
        return pattern.replace(".00", "")

    def _plain(self, number: Decimal, digits: int) -> str:
        key = ("plain", number, digits)
        if key not in self._known:
            self._known[key] = (MINUS if number < 0 else "") + spelled(abs(number), str(self.place), digits)
        return self._known[key]


def month_name(year: int, month: int) -> str:
    """A calendar month in words: ``March 2027``; months past December run on into the next years."""
    return f"{MONTH_NAMES[(month - 1) % 12]} {year + (month - 1) // 12}"


def counted(number: int, one: str, many: str = "") -> str:
    """A small count in words or figures with its noun: ``three candidates``, ``1 month``."""
    words = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
    noun = one if number == 1 else (many or one + "s")
    return f"{words[number] if 0 <= number < len(words) else number}{NO_BREAK}{noun}"


def listed(words: list[str] | tuple[str, ...], last: str = "and") -> str:
    """Words in a row: ``a, b and c``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"

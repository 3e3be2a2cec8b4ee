"""How a place writes numbers: the locale of a scenario, and figures spelled by it for whoever writes sentences."""

from __future__ import annotations

import difflib
import re
from decimal import Decimal
from functools import cache
from typing import Final

from babel import Locale, UnknownLocaleError, localedata
from babel.core import get_global
from babel.numbers import format_decimal

USUAL = "en_US"
FIGURES: Final = 6
MOST_DECIMALS: Final = 12
DIRECTIONS: Final = dict.fromkeys(map(ord, "\u200e\u200f\u061c"))  # marks of writing from right to left


@cache
def known_locale(text: str) -> str | None:
    """The CLDR name of a locale that is written in any of the usual ways (``de-DE``, ``de_de``), or None."""
    try:
        return str(Locale.parse(text.strip().replace("-", "_")))
    except (UnknownLocaleError, ValueError):
        return None


def nearest_locale(text: str) -> str:
    """The name that was probably meant: one spelled alike, else the language in the country where most speak it."""
    word = text.strip().replace("-", "_")
    language, _, country = word.partition("_")
    likely = get_global("likely_subtags").get(language.lower()[:2])
    if country and likely is None:
        names = [name for name in localedata.locale_identifiers() if re.fullmatch(r"[a-z]{2,3}_[A-Z]{2}", name)]
        return next(iter(difflib.get_close_matches(word, names, n=1, cutoff=0.6)), USUAL)
    return f"{likely.split('_')[0]}_{likely.split('_')[-1]}" if likely else USUAL


@cache
def place_of(locale: str) -> Locale:
    """The rules of a locale."""
    return Locale.parse(locale)


def spelled(number: float | Decimal, locale: str, digits: int = 0, most: int = 0) -> str:
    """A number with `digits` decimals, grouped and pointed as the locale does; the sign is a hyphen.

    With `most`, up to so many decimals, those that are zero left away.
    """
    place = place_of(locale)
    whole = str(place.decimal_formats[None].pattern).split(".")[0]
    decimals = "0" * digits + "#" * (most - digits)
    return str(format_decimal(number, format=f"{whole}.{decimals}" if decimals else whole, locale=place))


def exactly(number: float, locale: str, figures: int = FIGURES) -> str:
    """A number in at most so many significant figures, without empty decimals: ``0.0085``, ``0,0085``."""
    return spelled(Decimal(f"{number:.{figures}g}"), locale, most=MOST_DECIMALS)


def percent(share: float, locale: str, most: int = 2) -> str:
    """A share as a percentage with at most so many decimals, without empty ones: ``7.5%``, ``7,5 %``."""
    return with_percent_sign(spelled(Decimal(repr(float(share))) * 100, locale, most=most), locale)


def with_percent_sign(number: str, locale: str) -> str:
    """A number that is spelled already, with the sign of percent where and how the locale has it."""
    pattern = place_of(locale).percent_formats[None]
    return f"{pattern.prefix[0]}{number}{pattern.suffix[0]}".translate(DIRECTIONS)

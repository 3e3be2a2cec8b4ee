"""The kinds of value a key may hold, as annotations for the schema."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, NoReturn, cast

from pydantic import BeforeValidator, ValidationError, ValidationInfo, WithJsonSchema, WrapValidator

from tco.scenario.figure import Band, DatedFigure, DatedPrices, Figure, FlowFigure, Readings, Twelve, YearMonth
from tco.scenario.locales import known_locale, nearest_locale
from tco.scenario.numbers import refuse, text_of
from tco.scenario.rules import FigureRule, FlowRule, context_of
from tco.scenario.rules_dated import PercentByDateRule, PricesByDateRule
from tco.scenario.rules_many import (
    BandsRule,
    MonthOrFigureRule,
    MonthRule,
    RatesRule,
    SizesRule,
    TwelveRule,
    VolumeRule,
)
from tco.scenario.tree import Items, Leaf, Tree
from tco.scenario.words import nearest

# Letters from which on the beginning of a word may be told from others.
SHORTEST = 3


def _yes_no(raw: object) -> bool:
    leaf = cast(Tree, raw)
    word = leaf.text.strip().lower() if isinstance(leaf, Leaf) else ""
    if word in ("yes", "true"):
        return True
    if word not in ("no", "false"):
        refuse(leaf, f"must be yes or no, not `{word}`" if word else "must be yes or no", "", "Write yes or no")
    return False


def _word(raw: object, handler: Callable[[object], object], info: ValidationInfo) -> object:
    leaf = cast(Tree, raw)
    text = text_of(leaf)
    if isinstance(leaf, Leaf) and leaf.filled:
        context_of(info).filled[leaf.path] = text
    try:
        return handler(text)
    except ValidationError as error:
        _no_choice(leaf, text, error)


def _no_choice(place: Tree, text: str, error: ValidationError) -> NoReturn:
    expected = str(error.errors()[0].get("ctx", {}).get("expected", ""))
    choices = re.findall(r"'([^']*)'", expected)
    close = _begins(text, choices) or nearest(text, choices) or nearest(text.replace("-", " "), choices)
    refuse(place, f"`{text[:40]}` is not one of {', '.join(choices)}", "",
           f"Did you mean `{close}`?" if close else f"Write {choices[0]}")


def _locale(raw: object) -> str:
    leaf = cast(Tree, raw)
    text = text_of(leaf)
    found = known_locale(text)
    if found is None:
        refuse(leaf, f"`{text[:40]}` is no locale", "A locale is a language and a country, by the names of CLDR",
               f"Write such as {nearest_locale(text)}")
    return found


def _begins(text: str, choices: list[str]) -> str | None:
    """Return the choice that is a longer or a shorter form of a word of at least three letters: Jul of July, Sept."""
    word = text.strip().lower()
    found = [choice for choice in choices if word.startswith(choice.lower()) or choice.lower().startswith(word)]
    return found[0] if len(found) == 1 and len(word) >= SHORTEST and " " not in word else None


def _texts(raw: object) -> object:
    if isinstance(raw, Items):
        return tuple(text_of(entry) for entry in raw)
    return (text_of(cast(Tree, raw)),)


def _words(raw: object, handler: Callable[[object], object]) -> object:
    tree = cast(Tree, raw)
    entries: list[Tree] = list(tree) if isinstance(tree, Items) else [tree]
    out: list[object] = []
    for entry in entries:
        text = text_of(entry)
        try:
            out.extend(cast(tuple[object, ...], handler((text,))))
        except ValidationError as error:
            _no_choice(entry, text, error)
    return tuple(dict.fromkeys(out))


IS_WORD = WrapValidator(_word)
ARE_WORDS = WrapValidator(_words)

Amount = Annotated[Figure, FigureRule()]
Whole = Annotated[Figure, FigureRule(least=1, whole=True, unknown="refuse")]
Months = Annotated[Figure, FigureRule(least=1, most=240, whole=True, unknown="refuse")]
Month = Annotated[Figure, FigureRule(least=1, most=240, whole=True, unknown="refuse")]
Count0 = Annotated[Figure, FigureRule(whole=True, unknown="refuse")]
Quantity = Annotated[Figure, FigureRule(unknown="refuse")]
Positive = Annotated[Figure, FigureRule(least=None, above=0.0, unknown="refuse")]
Share = Annotated[Figure, FigureRule(most=1.0, share=True, unknown="refuse")]
PositiveShare = Annotated[Figure, FigureRule(least=None, above=0.0, most=1.0, share=True, unknown="refuse")]
YearlyRate = Annotated[Figure, FigureRule(least=-0.5, most=1.0, share=True)]
KnownRate = Annotated[Figure, FigureRule(least=-0.5, most=1.0, share=True, unknown="refuse")]
Flow = Annotated[FlowFigure, FlowRule()]
FlowYear = Annotated[FlowFigure, FlowRule(per="year")]
Season = Annotated[Twelve, TwelveRule()]
AnyVolume = Annotated[FlowFigure | Twelve | Readings, VolumeRule()]
Rates = Annotated[Figure | tuple[Band, ...], RatesRule()]
Bands = Annotated[tuple[Band, ...], BandsRule()]
Carried = Annotated[Figure, FigureRule(least=1, most=12, whole=True, unknown="refuse")]
PercentByDate = Annotated[tuple[DatedFigure, ...], PercentByDateRule()]
ShareByDate = Annotated[tuple[DatedFigure, ...], PercentByDateRule(FigureRule(most=1.0, share=True, unknown="refuse"))]
PricesByDate = Annotated[tuple[DatedPrices, ...], PricesByDateRule()]
BySize = Annotated[dict[str, Figure], SizesRule()]
CalendarMonth = Annotated[YearMonth, MonthRule()]
MonthOrFigure = Annotated[YearMonth | Figure, MonthOrFigureRule()]
YesNo = Annotated[bool, BeforeValidator(_yes_no), WithJsonSchema({"enum": ["yes", "no", True, False]})]
Text = Annotated[str, BeforeValidator(text_of), WithJsonSchema({"type": ["string", "number"]})]
LocaleName = Annotated[str, BeforeValidator(_locale), WithJsonSchema({"type": "string"})]
LongText = Annotated[str, BeforeValidator(lambda raw: text_of(raw, 20_000)), WithJsonSchema({"type": "string"})]
Texts = Annotated[tuple[str, ...], BeforeValidator(_texts),
                  WithJsonSchema({"type": ["array", "string"], "items": {"type": "string"}})]

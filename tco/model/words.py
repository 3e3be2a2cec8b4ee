"""Lines as plain words: what a figure is made of, in the labels a reader knows.

Renderers return (text, precedence): a phrase inside a larger one is always bracketed. Unit bridges are looked through.
The text names lines as [Label], with the block's label before it when the line stands in another block, and the
candidate's key when it is another candidate's.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeAlias

from tco.model.lines import COMPARISON, SHARED
from tco.model.nodes import (
    Across,
    Apply,
    Before,
    Bridge,
    Delayed,
    Entry,
    Gathered,
    Home,
    Joined,
    Line,
    Node,
    Number,
    Of,
    Over,
    Running,
    Stacked,
    Table,
)

Told: TypeAlias = tuple[str, int]
ATOM, PRODUCT, SUM, COMPARE, AND, OR, PHRASE = 7, 6, 5, 4, 3, 2, 1


def _wrap(told: Told, least: int) -> str:
    text, precedence = told
    return text if precedence >= least else f"({text})"


def _infix(sign: str, precedence: int, *, strict: bool = False) -> Callable[..., Told]:
    """A sign between two parts; `strict` brackets an equal right-hand side, as subtraction and division need."""
    return lambda a, b: (f"{_wrap(a, precedence)} {sign} {_wrap(b, precedence + strict)}", precedence)


def _compare(words: str) -> Callable[..., Told]:
    return lambda a, b: (f"{_wrap(a, SUM)} {words} {_wrap(b, SUM)}", COMPARE)


def _chain(word: str, own: int) -> Callable[..., Told]:
    """Conditions of one kind in a row; "and" beside "or" is bracketed, since few readers know which comes first."""
    return lambda *parts: (f" {word} ".join(_wrap(part, own if part[1] == own else COMPARE) for part in parts), own)


def _function(words: str) -> Callable[..., Told]:
    return lambda *parts: (f"{words} ({'; '.join(text for text, _ in parts)})", ATOM)


def _largest(*parts: Told) -> Told:
    if len(parts) == 2 and parts[0][0] == "0":
        return f"({parts[1][0]}, if above 0)", ATOM
    return _function("the larger of")(*parts)


PHRASES: Final[dict[str, Callable[..., Told]]] = {
    "+": _infix("+", SUM),
    "-": _infix("−", SUM, strict=True),
    "*": _infix("×", PRODUCT),
    "/": _infix("÷", PRODUCT, strict=True),
    "safe /": lambda a, b: (f"{_wrap(a, PRODUCT)} ÷ {_wrap(b, ATOM)} (0 where that is 0)", PRODUCT),
    "power": lambda a, b: (f"{_wrap(a, ATOM)} to the power of {_wrap(b, ATOM)}", PHRASE),
    "growth": lambda a, b: (f"(1 + {_wrap(a, SUM)}) to the power of {_wrap(b, ATOM)}", PHRASE),
    "level payment": lambda lent, rate, months: (
        f"the level payment that repays {_wrap(lent, ATOM)} at {_wrap(rate, ATOM)} in {_wrap(months, ATOM)} months",
        PHRASE,
    ),
    "=": _compare("equals"),
    "<": _compare("is below"),
    "<=": _compare("is at most"),
    ">": _compare("is above"),
    ">=": _compare("is at least"),
    "and": _chain("and", AND),
    "or": _chain("or", OR),
    "not": lambda a: (f"not {_wrap(a, ATOM)}", COMPARE),
    "min": _function("the smaller of"),
    "max": _largest,
    "up": _function("rounded up"),
    "down": _function("whole part of"),
    "mod": lambda a, b: (f"the remainder of {_wrap(a, ATOM)} by {_wrap(b, ATOM)}", PHRASE),
}


def words(line: Line) -> str:
    """How a line comes about: its formula in words, or where its figure comes from."""
    if line.expr is None:
        return line.text or "a figure of the scenario"
    text, _ = _tell(line.expr, line.block)
    if line.opening is not None:
        text += f"; before the first month {_tell(line.opening, line.block)[0]}"
    return text


def _called(line: Line, here: Home) -> str:
    if line.block is here or line in here.used:
        return f"[{line.label}]"
    # What a candidate reads of another, its reference, would else be called the same as its own.
    foreign = line.block.scope not in (SHARED, here.scope) and here.scope != COMPARISON
    return f"[{line.block.label}{f' of {line.block.scope}' if foreign else ''}: {line.label}]"


def _tell(node: Node, here: Home) -> Told:
    match node:
        case Number(value=value):
            return str(value).replace("-", "−"), ATOM
        case Of(line=line):
            return _called(line, here), ATOM
        case Before(line=line):
            return f"last month's {_called(line, here)}", ATOM
        case Bridge(part=part):
            return _tell(part, here)
        case Apply(op=op, args=args):
            return PHRASES[op](*(_tell(part, here) for part in args))
        case Running(flow=flow, opens=opens):
            start = "the first month" if opens is None else _called(opens, here)
            return f"{_called(flow, here)}, added up since {start}", PHRASE
        case Across(factors=factors):
            axis = factors[0].shape.axis
            product = " × ".join(_called(line, here) for line in factors)
            return f"over every {axis.name if axis else 'entry'}, the sum of {product}", PHRASE
        case Over(how=how, lines=lines):
            return _over(how, [_called(line, here) for line in lines]), PHRASE
        case _:
            return _table(node, here)


def _over(how: str, names: list[str]) -> str:
    phrases = {
        "total": "the sum of {0} over all months",
        "present": "the sum over all months of {0} × {1}",
        "highest": "the highest month of {0}",
        "lowest": "the lowest month of {0}",
        "first month": "the first month in which {0}",
        "irr": "the rate a month at which {0} comes to nothing in today's money",
    }
    return phrases[how].format(*names)


def _table(node: Node, here: Home) -> Told:
    match node:
        case Table(how="at", values=values, key=key):
            return f"{_called(values, here)} at position {_wrap(_tell(key, here), ATOM)}", PHRASE
        case Table(how="band", values=values, key=key):
            return f"{_called(values, here)} of the band that holds {_wrap(_tell(key, here), ATOM)}", PHRASE
        case Table(values=values, key=key):
            return f"{_called(values, here)} for {_wrap(_tell(key, here), ATOM)} (0 where there is none)", PHRASE
        case Gathered(axis=axis, flow=flow, number=number):
            return f"{_called(flow, here)}, added up for every {axis.name} by {_called(number, here)}", PHRASE
        case Delayed(flow=flow, lag=lag):
            return f"{_called(flow, here)}, {_called(lag, here)} months later", PHRASE
        case Entry(line=line, place=place):
            along = line.shape.axis
            return f"{_called(line, here)} of {along.labels[place] if along else place}", PHRASE
        case Stacked(axis=axis, args=args):
            texts = dict.fromkeys(_tell(part, here)[0] for part in args)
            return f"for every {axis.name}: " + "; ".join(texts), PHRASE
        case Joined(lines=lines):
            return " + ".join(_called(line, here) for line in lines) or "none", SUM if len(lines) > 1 else ATOM
    raise AssertionError(f"no words for {type(node).__name__}")

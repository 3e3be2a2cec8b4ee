"""The functions that rooms write expressions with, beside ordinary arithmetic."""

from __future__ import annotations

from collections.abc import Sequence

from tco.model.kinds import Axis, Shape
from tco.model.nodes import (
    Across,
    Apply,
    Before,
    Bridge,
    Delayed,
    Entry,
    Gathered,
    Joined,
    Line,
    Node,
    Over,
    Running,
    Stacked,
    Table,
    Term,
    lift,
)
from tco.units import unit

A_ROW = Shape(months=True)


def equals(left: Term, right: Term) -> Node:
    """1 where both are equal, else 0. For whole numbers and choices only, never for calculated money."""
    return Apply("=", (lift(left), lift(right)))


def smallest(*terms: Term) -> Node:
    """The smallest of several."""
    return Apply("min", tuple(lift(term) for term in terms))


def largest(*terms: Term) -> Node:
    """The largest of several."""
    return Apply("max", tuple(lift(term) for term in terms))


def excess(left: Term, right: Term) -> Node:
    """What `left` is above `right`, if it is."""
    return largest(0, lift(left) - lift(right))


def share(part: Term, whole: Term) -> Node:
    """A quotient that is 0 where the divisor is 0."""
    return Apply("safe /", (lift(part), lift(whole)))


def power(base: Term, exponent: Term) -> Node:
    """A plain number to a plain power."""
    return Apply("power", (lift(base), lift(exponent)))


def growth(rate: Term, years: Term) -> Node:
    """(1 + a yearly rate) to the power of years."""
    return Apply("growth", (lift(rate), lift(years)))


def level_payment(principal: Term, rate: Term, months: Term) -> Node:
    """The level payment at the end of each month that repays a principal, per month."""
    return Apply("level payment", (lift(principal), lift(rate), lift(months)))


def up(term: Term) -> Node:
    """The next whole number."""
    return Apply("up", (lift(term),))


def down(term: Term) -> Node:
    """The whole number below."""
    return Apply("down", (lift(term),))


def mod(term: Term, by: Term) -> Node:
    """The remainder of a division."""
    return Apply("mod", (lift(term), lift(by)))


def before(line: Line) -> Node:
    """Last month's value."""
    return Before(line)


def booked(term: Term) -> Node:
    """An amount that falls in a month."""
    return Bridge("booked", lift(term))


def this_month(term: Term) -> Node:
    """What a flow brings within the month."""
    return Bridge("this month", lift(term))


def since(flow: Line, opens: Line) -> Node:
    """A flow added up since the latest month in which `opens` was 1."""
    return Running(flow, opens)


def cumulative(flow: Line) -> Node:
    """A flow added up from the first month."""
    return Running(flow, None)


def across(*factors: Line) -> Node:
    """The sum of products along the common axis."""
    return Across(factors)


def total(flow: Line) -> Node:
    """A flow added up over all months."""
    return Over("total", (flow,))


def present(flow: Line, factor: Line) -> Node:
    """The sum of a flow times its discount factors."""
    return Over("present", (flow, factor))


def highest(row: Line) -> Node:
    """The highest month."""
    return Over("highest", (row,))


def lowest(row: Line) -> Node:
    """The lowest month."""
    return Over("lowest", (row,))


def first_month(state: Line) -> Node:
    """The number of the first month in which a state is 1; 0 if it never is."""
    return Over("first month", (state,))


def internal_rate(flow: Line) -> Node:
    """The rate a month at which the row has no present value. It must stand behind a guard: see `measures`."""
    return Over("irr", (flow,))


def at(values: Line, position: Term) -> Node:
    """The entry of a column at a position counted from 1."""
    return Table("at", values, None, lift(position))


def band(values: Line, limits: Line, quantity: Term) -> Node:
    """The entry of the band that holds a quantity; `limits` are the lower ends, rising."""
    return Table("band", values, limits, lift(quantity))


def by_key(values: Line, keys: Line, key: Term) -> Node:
    """The entry whose key is equal; 0 where none is."""
    return Table("equal", values, keys, lift(key))


def gathered(axis: Axis, flow: Line, number: Line) -> Node:
    """A flow added up by the number (1, 2, …) another row holds."""
    return Gathered(axis, flow, number)


def delayed(flow: Line, lag: Line, month: Line) -> Node:
    """A row arriving `lag` months later; `month` is the row of month numbers."""
    return Delayed(flow, lag, month)


def entry(line: Line, place: int) -> Node:
    """One entry of a column or table of rows, counted from 0."""
    return Entry(line, place)


def stacked(axis: Axis, terms: Sequence[Term]) -> Node:
    """A column or table of rows from one expression per entry."""
    return Stacked(axis, tuple(lift(term) for term in terms))


def joined(lines: Sequence[Line], measure: str, shape: Shape = A_ROW) -> Node:
    """The sum of the same thing over presses, plans or headings; none gives 0."""
    return Joined(tuple(lines), unit(measure), shape)

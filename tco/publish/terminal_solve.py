"""A solved term as lines for the terminal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tco.analyses.ranged import Ranged
from tco.analyses.solve import Root, Solution
from tco.publish.numbers import Numbers


def solution_lines(found: Solution, names: Mapping[str, str], numbers: Numbers) -> list[str]:
    """Tell what it takes of one figure to make two candidates cost the same.

    Parameters
    ----------
    found : the solution
    names : of the candidates by id
    numbers : how the scenario writes numbers
    """
    one, other, figure = names[found.candidate], names[found.against], found.figure
    dearer = "more" if found.now > 0 else "less"
    lines = [
        f"{figure.label} ({figure.key}): {_amount(figure, figure.value, numbers)}",
        f"{one} now costs {numbers.money(abs(found.now))} {dearer} than {other} in today's money"
        + _undone(found.undone, names, "now"),
    ]
    if not found.moves:
        return [*lines, "The difference does not depend on this figure: it cannot be settled here"]
    if not found.can:
        low, high = (_amount(figure, value, numbers) for value in found.searched)
        ends = f"{numbers.money(found.at_low)} at {low}, {numbers.money(found.at_high)} at {high}"
        return [*lines, f"No value of this figure makes them equal; the difference is {ends}"]
    return [*lines, *(_root(figure, root, numbers) + _undone(root.undone, names, "there") for root in found.roots)]


def _undone(some: Sequence[str], names: Mapping[str, str], when: str) -> str:
    """Warn that a cost is not that of all the work."""
    if not some:
        return ""
    leave = "leaves" if len(some) == 1 else "leave"
    return f"; {' and '.join(names[key] for key in some)} {leave} work undone {when}, which nobody is paid for"


def along_lines(
    found: Sequence[tuple[float, Solution]], other: Ranged, names: Mapping[str, str], numbers: Numbers
) -> list[str]:
    """Tell the tie of one figure for each value of another, one a line."""
    first = found[0][1].figure
    lines = [f"{other.label} ({other.key}): {first.label} ({first.key}) at which both cost the same"]
    for value, one in found:
        told = [
            _amount(first, root.value, numbers)
            + ("" if root.kind == "tie" else ", a jump")
            + _undone(root.undone, names, "there")
            for root in one.roots
        ]
        lines.append(f"{_amount(other, value, numbers)}: {' or '.join(told) or 'none'}")
    return lines


def _root(figure: Ranged, root: Root, numbers: Numbers) -> str:
    share = "" if root.percent is None else f", {numbers.percent(root.percent, 1)} of what it is"
    change = f"a change of {_amount(figure, root.change, numbers)}{share}"
    value = _amount(figure, root.value, numbers)
    return f"Equal at {value} ({change})" if root.kind == "tie" else f"They change places at {value} ({change})"


def _amount(figure: Ranged, value: float, numbers: Numbers) -> str:
    if figure.percent:
        return numbers.percent(value, 3)
    unit = "" if figure.unit in ("1", "money") else f" {figure.unit}"
    return f"{numbers.exact(value)}{unit}"

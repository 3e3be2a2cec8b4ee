"""How `tco check` prints warnings: folded by candidate, the first few in full."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tco.advice.questions import MOST_ASKED, decides
from tco.advice.record import SEVERITIES, QuoteWarning
from tco.advice.study import Study
from tco.problem import Problem


def warning_lines(study: Study, warnings: Sequence[QuoteWarning], *, everything: bool = False) -> Iterator[str]:
    """Yield the open warnings under the candidate they belong to: those that can change the winner first."""
    for key in [*study.base, ""]:
        mine = [one for one in warnings if one.candidate == key and not one.accepted]
        mine.sort(key=lambda one: (not decides(study, one), SEVERITIES.index(one.severity), -one.swing))
        if not mine:
            continue
        yield f"  {study.name(key) if key else 'Every candidate'}: {len(mine)}"
        shown = mine if everything else mine[:MOST_ASKED]
        for one in shown:
            title = one.title.removeprefix(f"{study.name(key)}: ") if key else one.title
            yield f"    {one.path}{_line(one)}: {title}{_money(study, one)} [{one.key}]"
            if everything:
                yield f"      Ask: {one.question}"
                yield f"      Meanwhile: {one.assumed}"
        if len(mine) > len(shown):
            yield f"    and {len(mine) - len(shown)} more: --all"


def _line(one: QuoteWarning) -> str:
    return f", line {one.line}" if one.line is not None else ""


def _money(study: Study, one: QuoteWarning) -> str:
    """What is at stake, in today's money, and whether it can change the winner."""
    parts = []
    if one.severity == "error":
        parts.append("not yet comparable")
    if one.money is not None and one.swing >= 1:
        parts.append(f"{study.told(one.money[0])} to {study.told(one.money[1])} in today's money")
    if one.switch is not None:
        amount = study.percent(one.switch) if one.code.startswith("increase") else study.told(one.switch)
        parts.append(f"the cheapest changes at {amount}")
    elif decides(study, one):
        parts.append("can change the cheapest")
    return f" ({'; '.join(parts)})" if parts else ""


def refusals(study: Study, warnings: Sequence[QuoteWarning]) -> list[Problem]:
    """Return what bars a comparison when nothing may be assumed: open warnings of severity error."""
    hint = "Write what the quote says, or settle it: `accepted: {{{key}: the reason}}`"
    return [
        Problem(study.scenario.document.file, one.line, one.path, one.title, "Not yet comparable",
                hint.format(key=one.key))
        for one in warnings if one.severity == "error" and not one.accepted
    ]  # fmt: skip


def as_data(study: Study, warnings: Sequence[QuoteWarning]) -> list[dict[str, object]]:
    """Return warnings for programs, each with the file and whether it can change the winner."""
    file = study.scenario.document.file
    return [{"file": file, **one.as_dict(), "can_change_the_cheapest": decides(study, one)} for one in warnings]

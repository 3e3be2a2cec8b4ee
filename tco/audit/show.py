"""An audit as lines of text and as one self-contained page."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from tco.audit.audit import Audit
from tco.audit.effects import Answer, Effect
from tco.audit.findings import Finding
from tco.publish.fonts import templates_root
from tco.publish.site import content_policy, style_sheet

_NOTHING: Final = 0.005  # money below half a cent
_SHORT: Final = 90


def effect_words(told: Effect | None, names: Mapping[str, str]) -> list[str]:
    """What a change does, one text a candidate; then whether another one is the cheapest."""
    if told is None:
        return []
    moved = [f"{names.get(key, key)} {change:+,.2f}" for key, change in told.change.items() if abs(change) >= _NOTHING]
    turned = [turn_words(told, names)] if told.turns else []
    return [*moved, *turned] or ["no present value changes"]


def turn_words(told: Effect, names: Mapping[str, str]) -> str:
    """Who costs least before and after."""

    def name(key: str | None) -> str:
        return "nobody" if key is None else names.get(key, key)

    return f"cheapest: {name(told.before)}, then {name(told.after)}" if told.turns else f"cheapest: {name(told.before)}"


def finding_text(one: Finding) -> str:
    """The finding itself in one line, without its effect."""
    return f"{one.kind}: {place_of(one)}{change_text(one)}"


def place_of(one: Finding) -> str:
    """Where a finding is: sheet and cell, or sheet and row in words."""
    if not one.cell:
        return one.sheet
    return f"{one.sheet}!{one.cell}" if one.cell[0].isupper() else f"{one.sheet}, {one.cell}"


def change_text(one: Finding) -> str:
    """What a finding says of its line and of what stood and stands there."""
    what = f" [{one.key}] {one.label}" if one.key else ""
    change = f": {_short(one.old)} -> {_short(one.new)}" if one.old or one.new else ""
    return f"{what}{change}{f' ({one.note})' if one.note else ''}"


def _short(text: str) -> str:
    clean = " ".join(text.split())
    return (clean if len(clean) <= _SHORT else f"{clean[: _SHORT - 1]}…") or "nothing"


def summary(found: Audit) -> str:
    """The audit in one sentence."""
    if not found.findings and not found.problems and found.checked:
        return "Nothing was changed since the export."
    inputs = sum(one.kind == "changed input" for one in found.findings)
    parts = [_counted(inputs, "changed input"), _counted(len(found.findings) - inputs, "other finding")]
    if found.problems:
        parts.append(f"{_counted(len(found.problems), 'cell')} that cannot be accepted")
    formulas = "Formulas were touched" if found.touched else "No formula was touched"
    return f"{', '.join(parts)}. {formulas if found.checked else 'Formulas were not compared'}."


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def audit_lines(found: Audit) -> Iterator[str]:
    """Yield the audit as lines of text."""
    names = found.names
    yield f"{found.file}: {summary(found)}"
    yield from (f"  note: {remark}" for remark in found.remarks)
    for one in found.findings:
        yield f"  {finding_text(one)}"
        yield from (f"      {word}" for word in effect_words(one.effect, names))
    yield from (f"  {problem.text()}" for problem in found.problems)
    if any(one.kind == "changed input" for one in found.findings):
        yield "  All changed inputs together:"
        yield from (f"      {word}" for word in effect_words(found.together, names))
    yield from (f"  {line}" for line in answer_lines("Today's money", found.after, names))
    if found.touched:
        yield from (f"  {line}" for line in stored_lines(found))
    if found.log:
        yield "  Noted on the sheet of changes:"
        yield from (f"      {line}" for line in found.log)


def answer_lines(head: str, told: Answer, names: Mapping[str, str]) -> Iterator[str]:
    """Yield the present values, the cheapest marked."""
    yield f"{head}:"
    for key, worth in told.worth.items():
        yield f"    {names.get(key, key)} {worth:,.2f}{'  cheapest' if key == told.cheapest else ''}"


def stored_lines(found: Audit) -> Iterator[str]:
    """Yield what the workbook itself shows where it is not what the engine finds."""
    for key, worth in found.stored.items():
        difference = worth - found.after.worth.get(key, worth)
        if abs(difference) >= _NOTHING:
            name = found.names.get(key, key)
            yield f"The workbook itself shows {worth:,.2f} for {name}: {difference:+,.2f} by what was touched"


def audit_page(found: Audit) -> str:
    """The audit as one page of HTML: no script, no other file."""
    environment = Environment(
        loader=FileSystemLoader(templates_root()), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True, keep_trailing_newline=True,
    )  # fmt: skip
    names = found.names
    style = style_sheet("letter" if found.scenario.money.paper_sizes == "inch" else "a4")
    rows: list[dict[str, Any]] = [
        {"one": one, "effect": effect_words(one.effect, names), "old": _short(one.old), "new": _short(one.new)}
        for one in found.findings
    ]
    before, after = found.before.worth, found.after.worth
    return environment.get_template("audit.html.j2").render(
        style=Markup(style),  # noqa: S704 -- our own file, no word of a scenario in it
        policy=content_policy(style),
        workbook=Path(found.file).name,
        study=found.scenario.title,
        summary=summary(found),
        rows=rows,
        problems=found.problems,
        together=effect_words(found.together, names),
        answer=[(names.get(key, key), f"{before.get(key, 0.0):,.2f}", f"{worth:,.2f}", key == found.after.cheapest)
                for key, worth in after.items()],
        stored=list(stored_lines(found)) if found.touched else [],
        log=found.log,
        remarks=found.remarks,
    )  # fmt: skip

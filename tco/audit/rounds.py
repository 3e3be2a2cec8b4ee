"""Two rounds of one study: what each changed figure or choice did alone, and all of them together."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Final

from tco.audit.audit import Audit, audit
from tco.audit.effects import Answer, Effect, answer_to, effect
from tco.audit.open_safely import refuse
from tco.audit.show import answer_lines, change_text, effect_words, place_of, turn_words
from tco.problem import Problem, ScenarioError
from tco.scenario.numbers import FIGURE_KEYS, PER_KEYS
from tco.scenario.schema import Scenario
from tco.scenario.tree import Items, Leaf, Node, Tree, plain, public_path, walk

_MOST: Final = 20  # touched formulas named in a refusal
_WORDS: Final = 8  # values of a list or section that are told
# Words that decide nothing; a change of one is no change of the study.
_TOLD: Final = frozenset({
    "title", "prepared", "introduction", "recommendation", "name", "quote", "source", "note", "date", "status",
    "accepted", "low", "high",
})  # fmt: skip


@dataclass(frozen=True)
class Step:
    """One change, or several of a candidate that cannot be made one by one.

    Parameters
    ----------
    paths : of the figures or choices
    old, new : as text; "absent" where there is none
    effect : alone, on the old round; None where it cannot be made alone
    """

    paths: tuple[str, ...]
    old: str
    new: str
    effect: Effect | None


@dataclass(frozen=True)
class Rounds:
    """Two rounds beside each other."""

    old: Answer
    new: Answer
    steps: tuple[Step, ...]
    names: Mapping[str, str]

    @property
    def together(self) -> Effect:
        """What everything together did."""
        return effect(self.old, self.new)


def from_workbook(path: Path) -> Scenario:
    """The scenario with the figures of an edited workbook.

    Raises
    ------
    ScenarioError
        It cannot be read or accepted, or its formulas were touched; every finding is named.
    """
    found = audit(path)
    if found.problems:
        raise ScenarioError(found.problems)
    refuse_touched(found)
    if found.accepted is None:
        refuse(found.file, "has figures that cannot be read back", "", "tco audit tells which")
    return found.accepted.scenario


def refuse_touched(found: Audit) -> None:
    """Raise ScenarioError that names the touched formulas of an audit."""
    hint = "Put it back as it was exported: the engine does not reproduce what was written by hand"
    problems = [
        Problem(found.file, None, place_of(one), f"{one.kind}{change_text(one)}", "", "")
        for one in found.findings
        if one.touches
    ]
    if not found.checked:
        what = "was written by another version of this program, so its formulas cannot be checked"
        problems.append(Problem(found.file, None, "", what, "", "Build it again with this version"))
    if problems:
        problems = problems[:_MOST]
        raise ScenarioError([*problems[:-1], replace(problems[-1], instead=problems[-1].instead or hint)])


def compare_rounds(old: Scenario, new: Scenario) -> Rounds:
    """Compare two scenarios.

    Every difference is first made alone in the old one. Those that cannot be, such as another form of finance, are
    made together with the others of the same candidate.
    """
    before, after = answer_to(old), answer_to(new)
    names = {key: one.title for scenario in (old, new) for key, one in scenario.candidates_all}
    steps: list[Step] = []
    stuck: dict[str, dict[str, Difference]] = {}
    for path, one in differences(old.document.data, new.document.data).items():
        told = _alone(old, {path: one}, before)
        if told is None:
            stuck.setdefault(_owner(path), {})[path] = one
        else:
            steps.append(Step((public_path(path),), one.old_text, one.new_text, told))
    steps.extend(
        Step(
            tuple(public_path(path) for path in group),
            "; ".join(one.old_text for one in group.values()),
            "; ".join(one.new_text for one in group.values()),
            _alone(old, group, before),
        )
        for group in stuck.values()
    )
    return Rounds(before, after, tuple(steps), names)


@dataclass(frozen=True)
class Difference:
    """What stands at a path in either round; None for nothing."""

    old: Tree | None
    new: Tree | None

    @property
    def old_text(self) -> str:
        """The old one in one line."""
        return _text(self.old)

    @property
    def new_text(self) -> str:
        """The new one in one line."""
        return _text(self.new)


def differences(old: Tree | None, new: Tree | None, path: str = "") -> dict[str, Difference]:
    """Figures and choices that differ, by path of the file; sections are looked into, texts left out."""
    if isinstance(old, Node) and isinstance(new, Node) and not (_is_figure(old) or _is_figure(new)):
        found: dict[str, Difference] = {}
        for key in dict.fromkeys([*old, *new]):
            if key not in _TOLD:
                found.update(differences(old.get(key), new.get(key), f"{path}.{key}" if path else key))
        return found
    if isinstance(old, Items) and isinstance(new, Items) and len(old) == len(new):
        found = {}
        for place, (one, other) in enumerate(zip(old, new, strict=True), 1):
            found.update(differences(one, other, f"{path}.{place}"))
        return found
    return {} if _meaning(old) == _meaning(new) else {path: Difference(old, new)}


def _figure_key(node: Node) -> str | None:
    """The key of the number of a figure with a source or a range; None for a section."""
    if any(key not in FIGURE_KEYS and key not in PER_KEYS for key in node):
        return None
    return next((key for key in ("value", *PER_KEYS) if key in node), None)


def _is_figure(node: Node) -> bool:
    return _figure_key(node) is not None


def _meaning(tree: Tree | None) -> object:
    """What counts of a figure or choice: its number and the period it belongs to, not its source."""
    if isinstance(tree, Node) and (key := _figure_key(tree)) is not None:
        inner = _meaning(tree[key])
        return inner if key in ("value", "per_month") else (key, inner)
    if isinstance(tree, Leaf):
        return _number(tree.value)
    return None if tree is None else plain(tree)


def _number(value: object) -> object:
    if isinstance(value, str) and value.endswith("%"):
        try:
            return float(f"{float(value[:-1]) / 100:.15g}")
        except ValueError:
            return value
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _text(tree: Tree | None) -> str:
    if tree is None:
        return "absent"
    if isinstance(tree, Leaf):
        return tree.text
    if isinstance(tree, Node) and (key := _figure_key(tree)) is not None:
        return _text(tree[key]) + ("" if key == "value" else f" {key.replace('_', ' ')}")
    leaves = [leaf.text for leaf in walk(tree) if isinstance(leaf, Leaf)]
    return ", ".join(leaves[:_WORDS]) + (", …" if len(leaves) > _WORDS else "")


def _owner(path: str) -> str:
    parts = path.split(".")
    return ".".join(parts[:2]) if parts[0] == "candidates" else parts[0]


def _alone(old: Scenario, changes: Mapping[str, Difference], before: Answer) -> Effect | None:
    """What changes do to the old round; None when the rules of a scenario refuse them."""
    try:
        made = old.with_changes({path: None if one.new is None else plain(one.new) for path, one in changes.items()})
    except ScenarioError:
        return None
    return effect(before, answer_to(made))


def round_lines(found: Rounds) -> Iterator[str]:
    """Yield a comparison as lines of text."""
    names = found.names
    yield from answer_lines("Old round, in today's money", found.old, names)
    for step in found.steps:
        yield f"  {', '.join(step.paths)}: {step.old} -> {step.new}"
        words = effect_words(step.effect, names) or ["cannot be changed alone"]
        yield from (f"      {word}" for word in words)
    if not found.steps:
        yield "  No figure and no choice differs."
    yield from answer_lines("New round, with everything together", found.new, names)
    yield from (f"    {word}" for word in effect_words(found.together, names))
    if not found.together.turns:
        yield f"    {turn_words(found.together, names)}"


def rounds_json(found: Rounds) -> str:
    """A comparison as JSON, for programs."""
    data = {
        "old": asdict(found.old),
        "new": asdict(found.new),
        "steps": [asdict(step) for step in found.steps],
        "together": asdict(found.together),
    }
    return json.dumps(data, indent=1, ensure_ascii=False)

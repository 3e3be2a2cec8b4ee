"""From the file as read to the scenario that the rooms can rely on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pydantic import ValidationError

from tco.problem import Problem, ScenarioError
from tco.scenario.changes import changed, won
from tco.scenario.checks import check
from tco.scenario.checks_energy import check_energy
from tco.scenario.checks_fleets import check_fleets
from tco.scenario.checks_futures import check_futures
from tco.scenario.checks_lease import check_leases
from tco.scenario.checks_money import check_money
from tco.scenario.checks_service import check_service
from tco.scenario.context import Context
from tco.scenario.gaps import find_gaps
from tco.scenario.inherit import completed, context_for
from tco.scenario.schema import Scenario, Settled
from tco.scenario.tree import Document


def complete(document: Document) -> Scenario:
    """Check and complete a scenario.

    Returns
    -------
    Scenario
        Frozen; every default filled with status *assumed*, `gaps` telling what was assumed.

    Raises
    ------
    ScenarioError
        With every problem of the file, in order of lines.
    """
    ctx = context_for(document.file, document.data)
    tree = completed(document.data, ctx)
    scenario: Scenario | None = None
    try:
        scenario = Scenario.model_validate(tree, context=ctx)
    except ValidationError as error:
        ctx.problems.extend(_problems(error, ctx))
    ctx.problems.extend(check(tree, document.file, ctx.small_size))
    ctx.problems.extend(check_service(tree, document.file, ctx.small_size))
    ctx.problems.extend(check_energy(tree, document.file, ctx.small_size))
    ctx.problems.extend(check_leases(tree, document.file, ctx.small_size))
    ctx.problems.extend(check_fleets(tree, document.file, ctx.small_size))
    ctx.problems.extend(check_money(tree, document.file, ctx.small_size))
    ctx.problems.extend(check_futures(tree, document.file, ctx.small_size))
    if not ctx.problems and scenario is not None:
        ctx.problems.extend(_of_new_work(document, scenario))
    if ctx.problems or scenario is None:
        raise ScenarioError(_in_order(ctx.problems))
    scenario.settle(Settled(document, ctx.filled, ctx.small_size, _rebuild))
    scenario.settle_gaps(find_gaps(scenario, ctx))
    return scenario


def _of_new_work(document: Document, scenario: Scenario) -> Iterator[Problem]:
    """Yield the problems that only show once the work is asked for: a finish or a stock without price, for instance."""
    for key in scenario.new_work or ():
        try:
            complete(won(document, key))
        except ScenarioError as error:
            yield from error.problems


def _rebuild(document: Document, changes: Mapping[str, object]) -> Scenario:
    return complete(changed(document, changes))


def _problems(error: ValidationError, ctx: Context) -> list[Problem]:
    out: list[Problem] = []
    for item in error.errors(include_url=False):
        told = item.get("ctx", {})
        if item["type"] == "missing":
            continue  # told by the section itself, with an example
        if item["type"] == "scenario":
            words = (told["what"], told["why"], told["instead"])
            out.append(Problem(ctx.file, told["line"] or None, told["path"], *words))
            continue
        place = item.get("input")
        path = getattr(place, "path", None) or ".".join(str(part) for part in item["loc"])
        out.append(Problem(ctx.file, getattr(place, "line", None), path, item["msg"], "", "Check this value"))
    return out


def _in_order(problems: list[Problem]) -> list[Problem]:
    """Return each problem once: an inherited figure is validated in every place that inherits it."""
    once = dict.fromkeys(problems)
    return sorted(once, key=lambda problem: (problem.line or 0, problem.path))

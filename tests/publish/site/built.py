"""Sites that several tests look at, built once in a process."""

from dataclasses import replace
from functools import cache
from pathlib import Path

from tco.analyses.breakeven import break_even
from tco.analyses.risk import assess
from tco.analyses.sensitivity import sensitivity
from tco.analyses.stress import stress
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.publish.recording import make_report
from tco.publish.site import build_site
from tco.scenario.load import load
from tests.publish.site import mock

CROWDED = Path(__file__).parent / "crowded.yaml"


def crowded():
    """The record of a scenario with more of everything than its pages were designed for."""
    scenario = load(CROWDED)
    model = build(scenario)
    values = evaluate(model)
    found = break_even(model, [key for key, _ in scenario.candidates_all], 0.0, 2.0e6)
    return replace(
        make_report(scenario, model, values, found),
        risk=assess(model, scenario),
        sensitivity=sensitivity(model),
        stress=stress(model, scenario),
    )


@cache
def study(name):
    """The record of a study by its name."""
    return crowded() if name == "crowded" else getattr(mock, name)()


@cache
def site(name):
    """Its site: file name to bytes."""
    return build_site(study(name))

"""What must hold whatever the figures are."""

import copy
import json

import numpy as np
import pytest

from tco.model.evaluate import evaluate
from tests.costs.say import said, say
from tests.oracle.random_scenarios import scenario

MEASURES = ("present_value", "total", "cash_up_front", "bound", "cost_per_side", "average_side", "level_month",
            "committed_beyond", "unplaced_sides")  # fmt: skip
WITH_JOBS = [seed for seed in range(40) if "jobs" in scenario(seed)][:12]
SINGLE = [
    (seed, key) for seed in range(40) for key, one in scenario(seed)["candidates"].items()
    if "presses" not in one and "service" in one
][:12]  # fmt: skip


def measured(it, names=MEASURES):
    return {
        f"{key}.{name}": it.figure(f"{key}.measures.{name}") for key, _ in it.scenario.candidates_all for name in names
    }


@pytest.mark.parametrize("seed", WITH_JOBS)
def test_a_job_class_in_two_halves_is_the_same_work(seed):
    whole = scenario(seed)
    halves = copy.deepcopy(whole)
    halves["jobs"] = {}
    for key, job in whole["jobs"].items():
        jobs = job["jobs"]
        half = {per: amount / 2 for per, amount in jobs.items()} if isinstance(jobs, dict) else jobs / 2
        halves["jobs"] |= {f"{key}_a": job | {"jobs": half}, f"{key}_b": job | {"jobs": half}}
    assert measured(said(halves)) == pytest.approx(measured(said(whole)), rel=1e-9, abs=1e-6)


@pytest.mark.parametrize("seed", range(12))
def test_the_order_of_candidates_does_not_matter(seed):
    data = scenario(seed)
    turned = data | {"candidates": dict(reversed(data["candidates"].items()))}
    assert measured(said(turned)) == measured(said(data))


@pytest.mark.parametrize(("seed", "key"), SINGLE)
def test_a_pool_of_one_press_is_its_own_plan(seed, key):
    data = scenario(seed)
    one = data["candidates"][key]
    kept = {name: one[name] for name in ("present_lease", "posts") if name in one}
    press = {name: value for name, value in one.items() if name not in (*kept, "service")}
    pooled = data | {"candidates": {key: kept | {"presses": {"only": press}, "service": one["service"]}}}
    single = data | {"candidates": {key: one}}
    assert measured(said(pooled)) == pytest.approx(measured(said(single)), rel=1e-12, abs=1e-9)


@pytest.mark.parametrize("bands", ["graduated", "all units"])
def test_constant_work_settled_by_month_quarter_or_year_costs_the_same(bands):
    """Bands are of the settlement period, so they grow with it; totals, since what is paid later is worth less."""
    totals = []
    for word, months in (("monthly", 1), ("quarterly", 3), ("yearly", 12)):
        it = say(f"""\
months: 36
work: {{colour: 30000, black: 9000}}
candidates:
  it:
    owned: {{}}
    service:
      settled: {word}
      base: 300
      colour: [{{from: 0, rate: 0.05}}, {{from: {12000 * months}, rate: 0.042}}, {{from: {40000 * months}, rate: 0.03}}]
      black: 0.01
      bands: {bands}
      included: {{colour: 5000}}
      minimum: {{black: {{per_year: 120000}}}}
      minimum_charge: 1700
      increase: 4%
      increase_on: [base, rates, minimum_charge]
""")
        totals.append(it.total("it"))
    assert totals == pytest.approx([totals[0]] * 3)
    assert totals[0] > 36 * 1700


@pytest.mark.parametrize("seed", range(12))
def test_without_a_rate_present_value_is_the_total(seed):
    data = scenario(seed)
    it = said(data | {"money": data["money"] | {"discount_rate": "0%"}})
    for key, _ in it.scenario.candidates_all:
        assert it.worth(key) == pytest.approx(it.total(key), rel=1e-9, abs=1e-6)
        assert it.figure(f"{key}.measures.cost_per_side") == pytest.approx(it.figure(f"{key}.measures.average_side"))


@pytest.mark.parametrize("seed", range(16))
def test_twice_the_prices_are_twice_the_money(seed):
    it = said(scenario(seed))
    twice = {}
    for line in it.model.lines:
        if line.role != "input" or ("money", 1) not in line.unit:
            continue
        for place, value in enumerate(line.value[:, 0]):
            twice[line.id if line.shape.axis is None else (line.id, place)] = np.array([2 * value])
    assert twice
    values = evaluate(it.model, twice)
    for line in it.model.lines:
        if line.id.endswith(tuple(f".measures.{name}" for name in MEASURES if name != "unplaced_sides")) or (
            line.role == "cost" or line.id.endswith(".measures.saving")
        ):
            np.testing.assert_allclose(values[line.id], 2 * it.values[line.id], rtol=1e-9, atol=1e-6, err_msg=line.id)


@pytest.mark.parametrize("plan", [
    "black: 0.01", "black: 0.01, minimum: {black: 52000}", "black: 0.01, included: {black: 40000}, base: 200",
    "black: [{from: 0, rate: 0.012}, {from: 30000, rate: 0.009}]",
    "black: 0.01, minimum_charge: 600, settled: quarterly",
])  # fmt: skip
def test_more_waste_never_costs_less(plan):
    """Graduated bands and enough hours: where clicks above a band make all of them cheaper, waste may indeed pay."""
    it = say(f"""\
months: 24
work: {{black: 50000}}
waste: 3%
shop: {{hours_per_week: 40, paper: {{letter: 0.01}}, labour: {{wage: 20}}, electricity: 0.2}}
candidates:
  it: {{owned: {{}}, sides_per_minute: 60, power: {{running: 3, ready: 1}}, service: {{{plan}, increase: 2%}}}}
""")
    waste = np.linspace(0, 0.3, 61)
    values = evaluate(it.model, {"waste": waste})
    assert values["it.measures.unplaced_sides"].max() == 0
    cost = values["it.measures.cost_per_side"][:, 0, 0]
    assert np.all(np.diff(cost) >= -1e-12)
    assert cost[-1] > cost[0]


@pytest.mark.parametrize("seed", range(16))
def test_columns_beyond_the_horizon_change_nothing_within_it(seed):
    """A candidate whose contract runs long after the horizon gives all others more columns."""
    data = scenario(seed)
    long = {"lease": {"rent": 10, "months": data["months"] + 40, "return_freight": 5}}
    wider = said(json.loads(json.dumps(data | {"candidates": data["candidates"] | {"long": long}})))
    it = said(data)
    assert wider.model.columns > it.model.columns
    theirs = measured(wider)
    assert {key: theirs[key] for key in measured(it)} == pytest.approx(measured(it), rel=1e-12, abs=1e-9)
    for key, _ in it.scenario.candidates_all:
        for name in ("saving", "payback_month", "irr"):
            if f"{key}.measures.{name}" in it.values:
                mine, other = (one.figure(f"{key}.measures.{name}") for one in (it, wider))
                assert other == pytest.approx(mine, rel=1e-7, abs=1e-9)

"""results.json against its schema, ledger.csv against the model, on the scenario that a new user starts from."""

from __future__ import annotations

import csv
import io
import json
import re

import numpy as np
import pytest

from tco.analyses.breakeven import break_even, months_alike
from tco.analyses.evidence import evidence
from tco.analyses.not_to_exceed import not_to_exceed
from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.publish.ledger import HEADINGS, ledger_frame, ledger_text
from tco.publish.recording import make_report
from tco.publish.results import results, results_schema, results_text
from tco.scenario.load import load_text
from tco.scenario.starting import starting_scenario

KINDS = {
    "object": dict,
    "array": list,
    "string": str,
    "number": (int, float),
    "integer": int,
    "boolean": bool,
    "null": type(None),
}


def faults(value, schema, path="$"):
    """Yield what breaks the part of JSON Schema that the results use; anything else in a schema is a fault itself."""
    unknown = set(schema) - {"$schema", "title", "type", "properties", "required", "additionalProperties"}
    unknown -= {"items", "enum", "const", "pattern"}
    if unknown:
        yield f"{path}: this check does not know {sorted(unknown)}"
    kinds = schema.get("type", list(KINDS))
    kinds = kinds if isinstance(kinds, list) else [kinds]
    fits = any(isinstance(value, KINDS[kind]) and (not isinstance(value, bool) or kind == "boolean") for kind in kinds)
    if not fits:
        yield f"{path}: {value!r} is no {kinds}"
        return
    if "enum" in schema and value not in schema["enum"]:
        yield f"{path}: {value!r}"
    if "const" in schema and value != schema["const"]:
        yield f"{path}: {value!r}"
    if "pattern" in schema and not re.search(schema["pattern"], value):
        yield f"{path}: {value!r}"
    if isinstance(value, list):
        for place, item in enumerate(value):
            yield from faults(item, schema["items"], f"{path}[{place}]")
    if isinstance(value, dict):
        known = schema.get("properties", {})
        yield from (f"{path}: no {key}" for key in schema.get("required", []) if key not in value)
        for key, item in value.items():
            below = known.get(key, schema.get("additionalProperties", False))
            if below is False:
                yield f"{path}: {key} is unknown"
            else:
                yield from faults(item, below, f"{path}.{key}")


@pytest.fixture(scope="module")
def study():
    scenario = load_text(starting_scenario())
    model = build(scenario)
    return scenario, model, evaluate(model)


@pytest.fixture(scope="module")
def found(study):
    scenario, model, values = study
    ids = [one for one, _ in scenario.candidates_all]
    break_evens = {
        "season": break_even(model, ids, 0, 200_000),
        "months_alike": break_even(model, ids, 0, 200_000, replace=months_alike(model)),
    }
    verdict = make_report(scenario, model, values).verdict
    ceilings = not_to_exceed(model, ids)
    return results(scenario, model, values, break_evens, "0.0.0", verdict, "Birch", ceilings, evidence(model))


def test_results_fit_their_schema(found):
    assert list(faults(json.loads(results_text(found)), results_schema())) == []


@pytest.mark.parametrize(
    "spoil",
    [
        lambda found: found.pop("version"),
        lambda found: found.update(extra=1),
        lambda found: found["scenario"].update(months="sixty"),
        lambda found: found["scenario"].update(fingerprint="abc"),
        lambda found: found["candidates"][0]["measures"]["total"].update(value=True),
        lambda found: found["break_even"]["season"]["pairs"][0]["crossings"].append({"kind": "guess"}),
    ],
)
def test_the_schema_refuses_what_does_not_belong(found, spoil):
    spoilt = json.loads(results_text(found))
    spoil(spoilt)
    assert list(faults(spoilt, results_schema())) != []


def test_results_are_those_of_the_model(study, found):
    scenario, _, values = study
    assert [one["id"] for one in found["candidates"]] == ["today", "birch", "cedar"]
    for one in found["candidates"]:
        value = values[f"{one['id']}.measures.present_value"][0, 0, 0]
        assert one["measures"]["present_value"]["value"] == value
        assert sum(one["present_value_by_kind"].values()) == pytest.approx(value)
        assert sum(one["rests_on"]["shares"].values()) == pytest.approx(1)
        heaviest = one["rests_on"]["heaviest"]
        assert sum(each["share"] for each in heaviest) == pytest.approx(one["rests_on"]["share_of_heaviest"])
    gaps = sum(len(one["gaps"]) for one in found["candidates"]) + len(found["gaps"])
    assert gaps == len(scenario.gaps) > 0
    assert found["break_even"]["season"]["cost_per_side"]["birch"][0] is None
    worth = {one["id"]: one["measures"]["present_value"]["value"] for one in found["candidates"]}
    assert found["verdict"]["lowest"] == min(worth, key=worth.get)


PARTS = ("capital", "loan_payments", "operating", "tax_relief")


def test_fiscal_years_add_up_to_what_is_paid(study, found):
    _, _, values = study
    for one in found["candidates"]:
        years = one["fiscal_years"]
        assert [year["year"] for year in years] == [f"20{place}" for place in range(27, 27 + len(years))]
        assert sum(year["paid"] for year in years) == pytest.approx(values[f"{one['id']}.measures.total"][0, 0, 0])
        worth = sum(year["present_value"] for year in years)
        assert worth == pytest.approx(one["measures"]["present_value"]["value"])
        for year in years:
            assert sum(year[part] for part in PARTS) == pytest.approx(year["paid"])
    whole = [(sum(year["not_to_exceed"] for year in one["fiscal_years"]), one) for one in found["candidates"]]
    assert [most >= one["measures"]["total"]["value"] - 1e-6 for most, one in whole] == [True] * len(whole)


def test_every_line_stands_in_the_ledger(study):
    scenario, model, values = study
    months = [scenario.label(month) for month in range(1, model.columns + 1)]
    text = ledger_text(model, values, months)
    assert text.count("\r\n") == text.count("\n")
    head, *rows = csv.reader(io.StringIO(text, newline=""))
    assert head == [*HEADINGS, *months]
    assert len(rows) == sum(len(line.shape.axis) if line.shape.axis else 1 for line in model.lines)
    by_key = {row[0]: row for row in rows}
    net = by_key["birch.statement.net"]
    assert [float(cell) for cell in net[len(HEADINGS) :]] == values["birch.statement.net"][0, 0].tolist()
    assert float(net[HEADINGS.index("value")]) == pytest.approx(values["birch.measures.total"][0, 0, 0])
    rent = by_key["birch.lease.rent"]
    assert (rent[HEADINGS.index("status")], rent[HEADINGS.index("value")]) == ("quoted", "1240")


def test_text_never_becomes_a_formula():
    text = starting_scenario().replace("name: Lease the Birch", 'name: "=HYPERLINK(\\"x\\")"')
    scenario = load_text(text)
    model = build(scenario)
    values = evaluate(model)
    rows = list(csv.reader(io.StringIO(ledger_text(model, values, ["m"] * model.columns), newline="")))
    cells = [cell for row in rows[1:] for cell in row[:8]]
    assert any("HYPERLINK" in cell for cell in cells)
    assert not [cell for cell in cells if cell.startswith(("=", "+", "-", "@", "\t", "\r"))]


def test_the_frame_holds_what_the_file_holds(study):
    _, model, values = study
    frame = ledger_frame(model, values).set_index("key")
    assert np.array_equal(frame.loc["cedar.statement.net", 1:], values["cedar.statement.net"][0, 0])
    assert frame.loc["volume_scale", 1:].isna().all()

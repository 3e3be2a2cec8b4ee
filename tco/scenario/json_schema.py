"""The JSON Schema of a scenario file, for editors: short forms of figures included."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from tco.scenario.figure import MONTH_NAMES, STATUSES
from tco.scenario.numbers import PER_KEYS
from tco.scenario.part import Part, when_absent
from tco.scenario.rules import KIND
from tco.scenario.schema import Scenario

Json = dict[str, Any]

# Filled from other parts of the scenario by completion, so nobody has to write them.
_INHERITED: dict[str, frozenset[str]] = {
    "Scenario": frozenset({"shop"}),
    "Money": frozenset({"paper_sizes"}),
    "JobClass": frozenset({"name", "size", "coverage", "change_per_year", "waste"}),
    "NewWork": frozenset({"name", "size", "coverage", "change_per_year", "waste"}),
    "PlainWork": frozenset({"size", "large_size", "change_per_year"}),
    "Lease": frozenset({"advance_rents"}),
    "TodayLease": frozenset({"return_freight"}),
    "Rental": frozenset({"increase"}),
    "Service": frozenset({"increase"}),
}

_NUMBER: Json = {"anyOf": [
    {"type": "number"},
    {"type": "string", "pattern": r"^[-+]?[0-9]*\.?[0-9]+ ?%$", "description": "percent"},
    {"const": "unknown"},
]}


def definitions() -> Json:
    """Return the definitions of the figure kinds."""
    texts: Json = {key: {"type": ["string", "number"]} for key in ("source", "date", "note")}
    ends: Json = {"low": _NUMBER, "high": _NUMBER, "status": {"enum": list(STATUSES)}, **texts}
    mapping: Json = {"type": "object", "required": ["value"], "additionalProperties": False,
                     "properties": {"value": _NUMBER, **ends}}
    flows: list[Json] = [
        {"type": "object", "required": [key], "additionalProperties": False,
         "properties": {key: {"$ref": "#/$defs/figure"}, **ends}} for key in PER_KEYS]
    readings: Json = {"type": "object", "minProperties": 2, "maxProperties": 2, "additionalProperties": _NUMBER}
    band: Json = {"type": "object", "required": ["from", "rate"], "additionalProperties": False,
                  "properties": {"from": {"$ref": "#/$defs/figure"}, "rate": {"$ref": "#/$defs/figure"}}}
    twelve: Json = {"type": "array", "minItems": 12, "maxItems": 12, "items": _NUMBER}
    return {
        "figure": {"description": "A number, a percentage, `unknown`, or a mapping with value and range.",
                   "anyOf": [*_NUMBER["anyOf"], mapping]},
        "amount_in_time": {"description": "A figure a month, or per_month, per_quarter, per_year.",
                           "anyOf": [{"$ref": "#/$defs/figure"}, *flows]},
        "twelve": {"description": "Twelve figures from the month of start, or one for each month by name.",
                   "anyOf": [twelve, {"type": "object", "required": list(MONTH_NAMES), "additionalProperties": False,
                                      "properties": dict.fromkeys(MONTH_NAMES, _NUMBER)}]},
        "volume": {"description": "An amount in time, twelve figures, or two meter readings by date.",
                   "anyOf": [{"$ref": "#/$defs/amount_in_time"}, twelve,
                             {"type": "object", "required": ["readings"], "additionalProperties": False,
                              "properties": {"readings": readings}}]},
        "rates": {"description": "A rate, or bands from a number of clicks upwards.",
                  "anyOf": [{"$ref": "#/$defs/figure"}, {"$ref": "#/$defs/bands"}]},
        "bands": {"description": "Bands from a number of clicks upwards.",
                  "type": "array", "minItems": 1, "items": band},
    }


def json_schema() -> Json:
    """Return the JSON Schema (draft 2020-12) of what may be written in a scenario file."""
    schema: Json = Scenario.model_json_schema(by_alias=True)
    _release(schema, Scenario)
    found = {part.__name__: part for part in _parts(Part)}
    for name, body in schema["$defs"].items():
        if name in found:
            _release(body, found[name])
    money = schema["$defs"]["Money"]["properties"]
    money["income_tax"]["anyOf"].append({"const": "none"})
    money["sales_tax"]["anyOf"].append({"enum": ["none", "exempt"]})
    _refer(schema)
    schema["$defs"].update(definitions())
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    return schema


def _refer(body: object) -> None:
    """Turn the marks that rules leave into references."""
    if isinstance(body, dict):
        kind = body.pop(KIND, None)
        if kind is not None:
            body["$ref"] = f"#/$defs/{kind}"
        for child in body.values():
            _refer(child)
    elif isinstance(body, list):
        for child in body:
            _refer(child)


def _parts(base: type[Part]) -> list[type[Part]]:
    return [part for child in base.__subclasses__() for part in (child, *_parts(child))]


def _release(body: Json, part: type[BaseModel]) -> None:
    """Take keys that completion fills from the list of required ones, and null from what may be written."""
    filled = {info.alias or name for name, info in part.model_fields.items() if when_absent(info) is not None}
    filled |= _INHERITED.get(part.__name__, frozenset())
    required = [key for key in body.get("required", []) if key not in filled]
    body.pop("required", None)
    if required:
        body["required"] = required
    for value in body.get("properties", {}).values():
        value.pop("default", None)
        if "anyOf" in value:
            value["anyOf"] = [choice for choice in value["anyOf"] if choice != {"type": "null"}]

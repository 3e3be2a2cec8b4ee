"""The JSON Schema tells an editor every key with words and unit, and allows the short forms."""

import json
import re

from tco.scenario.json_schema import definitions, json_schema
from tco.scenario.part import Part


def parts(base=Part):
    return [part for child in base.__subclasses__() for part in (child, *parts(child))]


def test_every_reference_is_defined_and_no_mark_is_left():
    schema = json_schema()
    text = json.dumps(schema)
    wanted = set(re.findall(r'"#/\$defs/(\w+)"', text))
    assert wanted <= set(schema["$defs"])
    assert set(definitions()) <= wanted
    assert "x-kind" not in text
    assert '"null"' not in text


def test_only_what_must_be_written_is_required():
    schema = json_schema()
    assert schema["required"] == ["title", "start", "months", "money", "candidates"]
    assert schema["$defs"]["Money"]["required"] == ["discount_rate"]
    assert schema["$defs"]["JobClass"]["required"] == ["colour", "sides_per_set", "sets_per_job", "jobs"]
    assert schema["$defs"]["Lease"]["required"] == ["months"]
    assert "required" not in schema["$defs"]["Service"]
    assert "for" in schema["$defs"]["Prepared"]["properties"]


def test_unknown_keys_are_refused_everywhere():
    schema = json_schema()
    loose = [name for name, body in schema["$defs"].items()
             if name[0].isupper() and body.get("additionalProperties") is not False]
    assert loose == []
    assert schema["additionalProperties"] is False

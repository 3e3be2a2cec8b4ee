"""The reference tells every key with meaning, unit, default and an example that may be written."""

import jsonschema
import pytest
from pydantic import Field
from pydantic.fields import FieldInfo

from tco.publish.terminal import reference_lines
from tco.scenario.json_schema import json_schema
from tco.scenario.part import Part
from tco.scenario.read import read_text
from tco.scenario.reference import find, lacking, sections, undocumented
from tco.scenario.schema import Cash, Scenario
from tco.scenario.tree import plain
from tests.scenario.test_json_schema import parts


def test_nothing_is_left_undocumented():
    missing = [told for part in parts() for told in undocumented(part)]
    assert missing == [], "\n".join(["Add to the schema class, where its reader looks:", *missing])


def test_every_key_of_every_class_stands_in_it_once():
    told = [(section.path, key.name) for section in sections() for key in section.keys]
    assert len(told) == len(set(told))
    own = [name for part in set(parts())
           for name in set(part.keys()).difference(*(up.keys() for up in part.__mro__[1:] if issubclass(up, Part)))]
    assert sorted(name for _, name in told) == sorted(own)


def test_every_example_may_be_written_where_it_stands():
    """Against the JSON Schema, whose short forms are held against the reader by its own tests."""
    schema = json_schema()
    wrong = []
    for part in parts():
        shape = schema if part is Scenario else schema["$defs"].get(part.__name__)
        if shape is None:
            assert part.__subclasses__() or not part.model_fields, part
            continue
        for name, info in part.keys().items():
            written = plain(read_text(f"{name}: {text_of(info.examples[0])}").data)
            checker = jsonschema.Draft202012Validator({**shape["properties"][name], "$defs": schema["$defs"]})
            wrong += [(part.__name__, name, written[name], error.message[:90])
                      for error in checker.iter_errors(written[name])]
    assert wrong == []


def text_of(example):
    return f"[{', '.join(map(text_of, example))}]" if isinstance(example, list) else str(example)


@pytest.mark.parametrize(("field", "told"), [
    (Field(), ["give Field a description", "give Field examples"]),
    (Field(description="Rent.", examples=[1]), ["give Field a description"]),
    (Field(description="Rent. Barrels a month.", examples=[1]), ["give Field a description"]),
    (Field(description="Rent; default 0. Money.", examples=[1]), ["say what holds in silence"]),
    (Field(description="Rent. Money.", examples=[1]), ["it is filled in"]),
    (Field(description="Rent. Money; default 0.", examples=[1]), []),
])  # fmt: skip
def test_what_lacks_is_told_as_an_instruction(field, told):
    found = lacking("Lease.rent", field, is_filled="Rent. Money" in (field.description or ""))
    assert len(found) == len(told)
    assert all(one.startswith(f"Lease.rent: {words}") for one, words in zip(found, told, strict=True))


def test_a_default_that_the_description_contradicts_is_told():
    field = Cash.keys()["sells_for"]
    assert lacking("Cash.sells_for", field) == []
    (told,) = lacking("Cash.sells_for", FieldInfo.merge_field_infos(field, description="Value. Money; default 5."))
    assert told == "Cash.sells_for: WhenAbsent fills in `0`, the description says `5`"


@pytest.mark.parametrize(("asked", "paths"), [
    ("candidates.lease.subsidy", {"candidates.<id>.lease.subsidy", "candidates.<id>.lease.subsidy.per_month",
                                  "candidates.<id>.lease.subsidy.until"}),
    ("candidates.birch.lease.rent", {"candidates.<id>.lease.rent"}),
    ("birch.presses.mono.lease.rent", {"candidates.<id>.presses.<id>.lease.rent"}),
    ("lease.rent", {"candidates.<id>.lease.rent", "today.lease.rent"}),
    ("shop.paper", {"shop.paper"}),
    ("today.lease.ends", {"today.lease.ends"}),
    ("nothing.of.this", set()),
])  # fmt: skip
def test_a_key_narrows(asked, paths):
    assert {f"{one.path}.{key.name}" for one in find(asked) for key in one.keys} == paths


def test_a_key_in_words():
    assert list(reference_lines(find("candidates.lease.at_end"))) == [
        "candidates.<id>.lease: Leased; sums for one press.",
        "  candidates.<id>.lease.at_end",
        "    What happens after the term.",
        "    Word: return, buy, renew. Default: return.",
        "    at_end: return",
    ]
    assert "    Share. Default: 5%." in reference_lines(find("coverage"))
    whole = list(reference_lines(sections()))
    assert "  The same keys under candidates.<id>.presses.<id>.cash, today.cash, today.presses.<id>.cash." in whole

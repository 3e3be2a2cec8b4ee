"""Figures of results.json that stand beside the comparison: hours, weeks, due times, who does which work, new work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from tco.analyses.new_work import Contribution
from tco.analyses.same_scope import Scope
from tco.model.kinds import Array
from tco.model.model import Model

Json = dict[str, Any]

_TEXT: Final[Json] = {"type": "string"}
_NUMBER: Final[Json] = {"type": "number"}


def shown(model: Model, values: Mapping[str, Array], scope: Sequence[Scope], name: str) -> Json:
    """What is shown of one candidate beside its measures; empty lists where the scenario does not tell."""
    loads = [key for key in values if key.startswith(f"{name}.") and key.endswith(".week_load_most")]
    most = values.get(f"{name}.busiest_week.most")
    return {
        "hourly_rate": _table(model, values, "share_of_hours", money_an_hour=f"{name}.hourly_rate.rate"),
        "busiest_week": {
            "sides_too_many": None if most is None else float(most[0, 0, 0]),
            "load": {key.split(".")[1]: float(values[key][0, 0, 0]) for key in loads},
        },
        "due": _table(model, values, "work", hours=f"{name}.due.hours", due_within=f"{name}.due.within"),
        "charges": _table(model, values, "work", present_value=f"{name}.recovery.worth"),
        "work": [
            {"work": one.work, "in_house": one.in_house, "sent_out": one.sent_out, "nobody": one.nobody}
            for one in scope
            if one.candidate == name
        ],
    }


def _table(model: Model, values: Mapping[str, Array], head: str, **lines: str) -> list[Json]:
    """One object for each entry of lines along one axis."""
    if not all(key in values for key in lines.values()):
        return []
    axis = model[next(iter(lines.values()))].shape.axis
    columns = {word: values[key][0, :, 0].tolist() for word, key in lines.items()}
    labels = axis.labels if axis is not None else ()
    return [{head: label, **{word: column[at] for word, column in columns.items()}} for at, label in enumerate(labels)]


def won(found: Sequence[Contribution]) -> list[Json]:
    """What each piece of work to be won would leave each candidate, in money of the start."""
    return [
        {"work": one.work, "name": one.name, "candidate": one.candidate, "charged": one.charged, "cost": one.cost,
         "contribution": one.leaves} for one in found
    ]  # fmt: skip


def _rows(*texts: str, **numbers: Json) -> Json:
    properties = {**dict.fromkeys(texts, _TEXT), **numbers}
    item = {"type": "object", "properties": properties, "required": sorted(properties), "additionalProperties": False}
    return {"type": "array", "items": item}


def shown_schema() -> Json:
    """Return the properties of a candidate that `shown` fills."""
    loads = {"type": "object", "additionalProperties": _NUMBER}
    week = {"sides_too_many": {"type": ["number", "null"]}, "load": loads}
    return {
        "hourly_rate": _rows("share_of_hours", money_an_hour=_NUMBER),
        "busiest_week": {"type": "object", "properties": week, "required": sorted(week), "additionalProperties": False},
        "due": _rows("work", hours=_NUMBER, due_within=_NUMBER),
        "charges": _rows("work", present_value=_NUMBER),
        "work": _rows("work", in_house=_NUMBER, sent_out=_NUMBER, nobody=_NUMBER),
    }


def won_schema() -> Json:
    """Return the schema of `won`."""
    return _rows("work", "name", "candidate", charged=_NUMBER, cost=_NUMBER, contribution=_NUMBER)

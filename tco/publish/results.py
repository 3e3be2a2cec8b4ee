"""results.json: what the study found, for programs. Its JSON Schema stands beside it."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from typing import Any, Final

from tco.advice.verdict import Verdict
from tco.analyses.breakeven import BreakEven, Pair
from tco.analyses.crossings import Crossing
from tco.analyses.evidence import STATUSES, Evidence, Rests
from tco.analyses.new_work import Contribution
from tco.analyses.not_to_exceed import Ceiling
from tco.analyses.same_scope import classes_asked, same_scope
from tco.model.kinds import Array
from tco.model.model import Model
from tco.problem import Problem
from tco.publish.results_shown import shown, shown_schema, won, won_schema
from tco.report import KINDS
from tco.scenario.schema import Scenario
from tco.units import spell

FORMAT: Final = "tco results 1"
# Measures that are the present value of one kind of cost.
KINDS_OF_COST: Final = {f"pv_{slug}": slug for slug in (kind.replace(" ", "_") for kind in KINDS)}
CENT: Final = 0.005
FISCAL: Final = {
    "capital": "capital_by_year", "loan_payments": "loan_by_year", "operating": "operating_by_year",
    "tax_relief": "relief_by_year", "paid": "paid_by_year", "present_value": "worth_by_year",
}  # fmt: skip

Json = dict[str, Any]


def results(
    scenario: Scenario,
    model: Model,
    values: Mapping[str, Array],
    break_evens: Mapping[str, BreakEven],
    version: str,
    verdict: Verdict,
    answer: str,
    ceilings: Mapping[str, Ceiling],
    evidence: Evidence,
    new_work: Sequence[Contribution] = (),
) -> Json:
    """Collect the results as plain data.

    Parameters
    ----------
    scenario, model, values : what was computed
    break_evens : under ``season`` at the scenario's own season, under ``months_alike`` without any; may be empty
    version : of this program
    verdict, answer : who may be called cheapest, and the same in one sentence
    ceilings : by candidate what each fiscal year should not exceed
    evidence : what the present values rest on
    new_work : what work that only some candidates would win leaves them
    """
    scope = same_scope(scenario, values, classes_asked(model))
    return {
        "format": FORMAT,
        "version": version,
        "scenario": {
            "title": scenario.title,
            "fingerprint": scenario.fingerprint,
            "start": str(scenario.start),
            "months": scenario.horizon,
            "currency": scenario.money.currency,
            "discount_rate": scenario.money.discount_rate.number,
            "discount_basis": scenario.money.discount_basis,
            "left_out": list(scenario.left_out),
        },
        "reference": scenario.reference_id,
        "verdict": _verdict(verdict, answer),
        "candidates": [
            _candidate(scenario, model, values, one, ceilings[one])
            | {"rests_on": _rests(evidence.of(one))}
            | shown(model, values, scope, one)
            for one, _ in scenario.candidates_all
        ],
        "break_even": {name: _break_even(found) for name, found in break_evens.items()},
        "new_work": won(new_work),
        "gaps": [_gap(gap) for gap in scenario.gaps if candidate_of(scenario, gap) == ""],
    }


def results_text(found: Json) -> str:
    """Return the results as JSON text: sorted keys, no number that JSON does not know."""
    return json.dumps(found, indent=1, sort_keys=True, allow_nan=False, ensure_ascii=False) + "\n"


def candidate_of(scenario: Scenario, gap: Problem) -> str:
    """Return the id of the candidate that a gap belongs to; empty for what all share."""
    first = gap.path.split(".", maxsplit=1)[0]
    return first if first in dict(scenario.candidates_all) else ""


def _candidate(scenario: Scenario, model: Model, values: Mapping[str, Array], name: str, ceiling: Ceiling) -> Json:
    prefix = f"{name}.measures."
    figures: Json = {}
    kinds: Json = {}
    for line in model.lines:
        if line.role != "memo" or not line.id.startswith(prefix) or line.shape.months or line.shape.axis is not None:
            continue
        key = line.id.removeprefix(prefix)
        value = _number(float(values[line.id][0, 0, 0]))
        if key in KINDS_OF_COST:
            kinds[KINDS_OF_COST[key]] = value
        else:
            figures[key] = {"label": line.label, "unit": spell(line.unit), "value": value}
    return {
        "id": name,
        "name": dict(scenario.candidates_all)[name].title,
        "measures": figures,
        "present_value_by_kind": kinds,
        "fiscal_years": _fiscal_years(model, values, name, ceiling),
        "gaps": [_gap(gap) for gap in scenario.gaps if candidate_of(scenario, gap) == name],
    }


def _fiscal_years(model: Model, values: Mapping[str, Array], name: str, ceiling: Ceiling) -> list[Json]:
    """The parts of the budget, year by year up to the last one in which anything is paid."""
    columns = {key: values[f"{name}.fiscal.{line}"][0, :, 0].tolist() for key, line in FISCAL.items()}
    columns["not_to_exceed"] = list(ceiling.years)
    axis = model[f"{name}.fiscal.paid_by_year"].shape.axis
    paid = (year for column in columns.values() for year, sum_ in enumerate(column, 1) if abs(sum_) > CENT)
    last = max(paid, default=0)
    labels = axis.labels[:last] if axis is not None else ()
    return [
        {"year": label, **{key: _number(column[place]) for key, column in columns.items()}}
        for place, label in enumerate(labels)
    ]


def _verdict(verdict: Verdict, answer: str) -> Json:
    """`winner` is null while nobody may be called cheapest; `lowest` is who costs least as far as the quotes say."""
    return {
        "answer": answer,
        "winner": verdict.winner,
        "lowest": verdict.leader,
        "lead": verdict.lead,
        "too_close": list(verdict.close),
        "money_in_open_gaps": verdict.open_money,
        "not_yet_comparable": {name: list(points) for name, points in verdict.unsettled.items()},
        "leaves_work_undone": list(verdict.barred),
    }


def _rests(one: Rests) -> Json:
    """Shares by status add up to 1; `moves` is the present value for 1 % more of the figure."""
    heaviest = [
        {
            "key": each.key, "label": each.label, "value": each.value, "status": each.status, "source": each.source,
            "moves": each.moves, "share": each.share,
        }
        for each in one.most
    ]  # fmt: skip
    return {
        "shares": dict(one.shares),
        "figures": one.figures,
        "figures_for_nine_tenths": one.needed,
        "heaviest": heaviest,
        "share_of_heaviest": one.reached,
    }


def _number(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _gap(gap: Problem) -> Json:
    return {"path": gap.path, "line": gap.line, "what": gap.what, "why": gap.why, "instead": gap.instead}


def _break_even(found: BreakEven) -> Json:
    return {
        "complete": found.complete,
        "average_sides_a_month": found.average,
        "sides_a_month": [float(volume) for volume in found.volumes],
        "present_value": {name: [float(cost) for cost in row] for name, row in found.costs.items()},
        "cost_per_side": {name: [_number(float(cost)) for cost in row] for name, row in found.per_side.items()},
        "pairs": [_pair(pair) for pair in found.pairs],
        "cheapest": [{"low": one.low, "high": one.high, "candidates": list(one.candidates)} for one in found.best],
    }


def _pair(pair: Pair) -> Json:
    return {
        "first": pair.first,
        "second": pair.second,
        "never": pair.never,
        "cheaper_at_low": pair.cheaper_at_low,
        "cheaper_at_high": pair.cheaper_at_high,
        "crossings": [_crossing(one) for one in pair.crossings],
    }


def _crossing(one: Crossing) -> Json:
    return {
        "kind": one.kind,
        "low": one.low,
        "high": one.high,
        "cheaper_below": one.cheaper_below,
        "cheaper_above": one.cheaper_above,
    }


# The schema ---------------------------------------------------------------------------------------------------------

_TEXT: Final[Json] = {"type": "string"}
_NUMBER: Final[Json] = {"type": "number"}
_MAYBE: Final[Json] = {"type": ["number", "null"]}
_FLAG: Final[Json] = {"type": "boolean"}


def _object(**properties: Json) -> Json:
    return {"type": "object", "properties": properties, "required": sorted(properties), "additionalProperties": False}


def _list(items: Json) -> Json:
    return {"type": "array", "items": items}


def _by_name(values: Json) -> Json:
    return {"type": "object", "additionalProperties": values}


def results_schema() -> Json:
    """Return the JSON Schema of results.json; amounts are in the currency named, costs positive, receipts negative."""
    gap = _object(path=_TEXT, line={"type": ["integer", "null"]}, what=_TEXT, why=_TEXT, instead=_TEXT)
    crossing = _object(
        kind={"enum": ["tie", "jump", "equal"]}, low=_NUMBER, high=_NUMBER, cheaper_below=_TEXT, cheaper_above=_TEXT
    )
    pair = _object(
        first=_TEXT, second=_TEXT, never=_FLAG, cheaper_at_low=_TEXT, cheaper_at_high=_TEXT, crossings=_list(crossing)
    )
    cheapest = _object(low=_NUMBER, high=_NUMBER, candidates=_list(_TEXT))
    break_even = _object(
        complete=_FLAG,
        average_sides_a_month=_NUMBER,
        sides_a_month=_list(_NUMBER),
        present_value=_by_name(_list(_NUMBER)),
        cost_per_side=_by_name(_list(_MAYBE)),
        pairs=_list(pair),
        cheapest=_list(cheapest),
    )
    year = _object(year=_TEXT, not_to_exceed=_MAYBE, **dict.fromkeys(FISCAL, _MAYBE))
    heavy = _object(key=_TEXT, label=_TEXT, value=_NUMBER, status=_TEXT, source=_TEXT, moves=_NUMBER, share=_NUMBER)
    rests_on = _object(
        shares=_object(**dict.fromkeys(STATUSES, _NUMBER)),
        figures={"type": "integer"},
        figures_for_nine_tenths={"type": "integer"},
        heaviest=_list(heavy),
        share_of_heaviest=_NUMBER,
    )
    candidate = _object(
        id=_TEXT,
        name=_TEXT,
        measures=_by_name(_object(label=_TEXT, unit=_TEXT, value=_MAYBE)),
        present_value_by_kind=_by_name(_MAYBE),
        fiscal_years=_list(year),
        rests_on=rests_on,
        **shown_schema(),
        gaps=_list(gap),
    )
    scenario = _object(
        title=_TEXT,
        fingerprint={"type": "string", "pattern": "^[0-9a-f]{64}$"},
        start={"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}$"},
        months={"type": "integer"},
        currency=_TEXT,
        discount_rate=_NUMBER,
        discount_basis={"enum": ["effective", "nominal"]},
        left_out=_list(_TEXT),
    )
    name: Json = {"type": ["string", "null"]}
    verdict = _object(
        answer=_TEXT,
        winner=name,
        lowest=name,
        lead=_NUMBER,
        too_close=_list(_TEXT),
        money_in_open_gaps=_NUMBER,
        not_yet_comparable=_by_name(_list(_TEXT)),
        leaves_work_undone=_list(_TEXT),
    )
    whole = _object(
        format={"const": FORMAT},
        version=_TEXT,
        scenario=scenario,
        reference=_TEXT,
        verdict=verdict,
        candidates=_list(candidate),
        break_even=_by_name(break_even),
        new_work=won_schema(),
        gaps=_list(gap),
    )
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Results of a comparison", **whole}

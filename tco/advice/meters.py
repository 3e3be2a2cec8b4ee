"""The meters of a plan as advice reads them: all of them, the everyday ones of colour and black among them."""

from __future__ import annotations

from tco.advice.study import PlanAt, Study
from tco.scenario.schema import MeterTerms


def billed(plan: PlanAt, study: Study) -> list[MeterTerms]:
    """Return the meters of a plan that may count some of the work, in order."""
    return [one for one in plan.plan.meters_in_order if one.colour == "any" or one.colour in study.work.colours]


def counts_large(meter: MeterTerms, study: Study) -> bool:
    """Tell whether a meter counts large sides of the work by the size rule of the plan."""
    large = any(study.work.large[colour] for colour in study.work.colours if meter.colour in ("any", colour))
    return large and meter.size != "small" and meter.needs_size_rule


def meter_path(plan: PlanAt, meter: MeterTerms, key: str) -> str:
    """Return where a key of a meter is written: rate, included, minimum or bands_read."""
    if meter.own is not None:
        return f"{plan.path}.meters.{meter.id}.{'bands' if key == 'rate' and meter.own.rate is None else key}"
    return {"rate": f"{plan.path}.{meter.id}", "bands_read": f"{plan.path}.bands"}.get(
        key, f"{plan.path}.{key}.{meter.id}"
    )


def word(meter: MeterTerms) -> str:
    """Return what a meter is called within a sentence."""
    return meter.id.replace("_", " ")


def loses(meter: MeterTerms) -> bool:
    """Tell whether clicks of a meter that are paid and not made are lost: neither carried forward nor credited."""
    carried = meter.own is not None and meter.own.carry_forward_months is not None
    credited = meter.own is not None and meter.own.under_use_credit is not None
    return (meter.included is not None and not carried) or (meter.minimum is not None and not credited)

"""Meters of service plans for the oracle: which work goes to which meter, and the clicks that makes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tests.oracle import reading as r
from tests.oracle.work import Work

COLOURS = ("colour", "black")


@dataclass(frozen=True)
class Meter:
    """One meter; `own` holds the keys that only a meter written under `meters` can have."""

    key: str
    colour: str
    size: str
    rates: Any  # one rate, or bands
    reading: str
    included: float  # clicks a month
    minimum: float
    own: r.Tree

    def counts(self, work: Work, large: bool) -> bool:
        """Say whether it counts the small or large sides of a class."""
        own = self.own
        named = own.get("classes")
        named = [named] if isinstance(named, str) else named
        return (
            self.colour in ("any", "colour" if work.colour else "black")
            and self.size in ("any", "large" if large else "small")
            and (named is None or work.key in named)
            and ("coverage_from" not in own or work.coverage > r.number(own["coverage_from"]))
            and ("coverage_to" not in own or work.coverage <= r.number(own["coverage_to"]))
        )


def meters_of(plan: r.Tree) -> list[Meter]:
    """List the meters of a plan in the order in which they are asked."""
    larger = r.number(plan.get("oversize_counts"), 2.0) if str(plan.get("included_in", "small")) == "large" else 1.0
    out = []
    for key, own in (plan.get("meters") or {}).items():
        rates = own["bands"] if "bands" in own else own["rate"]
        words = (str(own.get("colour", "any")), str(own.get("size", "any")))
        free, least = r.amount(own.get("included")) * larger, r.amount(own.get("minimum"))
        out.append(Meter(key, *words, rates, str(own.get("bands_read", "graduated")), free, least, own))
    for key in COLOURS:
        if key in plan:
            free = r.amount((plan.get("included") or {}).get(key)) * larger
            least = r.amount((plan.get("minimum") or {}).get(key))
            out.append(Meter(key, key, "any", plan[key], str(plan.get("bands", "graduated")), free, least, {}))
    return out


def parts_by_size(work: Work) -> list[tuple[bool, float]]:
    """Give the sizes a class is printed on, with the share of each."""
    return [(large, share) for large, share in ((False, 1 - work.large), (True, work.large)) if share > 0]


def meter_of(meters: list[Meter], work: Work, large: bool) -> Meter | None:
    """Find the first meter that counts this work."""
    return next((meter for meter in meters if meter.counts(work, large)), None)


def covered(plan: r.Tree, work: Work) -> bool:
    """Say whether a class can be printed under a plan; a plan without meters covers everything."""
    meters = meters_of(plan)
    return not meters or all(meter_of(meters, work, large) for large, _ in parts_by_size(work))


def clicks_a_month(plan: r.Tree, meters: list[Meter], meter: Meter, work: Work) -> tuple[float, float]:
    """Count small and large clicks that an average month of a class, all done, makes on a meter."""
    counted = work.passes - (work.blank_passes if str(plan.get("blank_backs", "count")) == "free" else 0.0)
    counted *= 1 - r.number(plan.get("copy_credit"))
    out = [0.0, 0.0]
    for large, share in parts_by_size(work):
        if meter_of(meters, work, large) is meter:
            factor = r.number(plan.get("oversize_counts"), 2.0) if large and "size_rate" not in meter.own else 1.0
            out[large] += counted * share * factor * r.number(meter.own.get("separations"), 1.0)
    return out[0], out[1]


def excess(plan: r.Tree, work: Work, small: str) -> float:
    """Give the toner above the coverage cap, in small sides at the cap for each side of a class."""
    cap = r.number(plan["coverage_cap"]["cap"])
    area = work.mean_of_sizes(r.area) / r.area(small)
    if str(plan["coverage_cap"]["per"]) == "letter":
        return max(0.0, area * work.coverage / cap - 1)
    return area * max(0.0, work.coverage / cap - 1)

"""Warnings about candidates that do not do, or do not count, the same things."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tco.advice.record import QuoteWarning, Reading
from tco.advice.study import NOTHING, Changes, Study


def sends_out(study: Study) -> list[str]:
    """Return the candidates that pay for outside printing."""
    return [key for key, _ in study.scenario.candidates_all if study.row(f"{key}.outside.cost").sum() > NOTHING]


def paper_uneven(study: Study) -> Iterator[QuoteWarning]:
    """Paper inside the outside prices and nowhere else, or nobody says whether it is inside."""
    scenario, out = study.scenario, sends_out(study)
    if scenario.outside is None or not out:
        return
    counted = scenario.shop.paper is not None and not scenario.is_left_out("paper")
    silent = study.silent("outside.paper")
    if counted and silent:
        path = "outside.paper"
        both: dict[str, Changes] = {"in the price": {path: "included"}, "on top": {path: "not included"}}
        for key in out:
            yield study.warning(
                "paper-uneven", key, "error", "outside.paper",
                f"{study.name(key)}: nothing says whether paper is in the outside prices",
                "Is paper in your prices for each printed side, and which paper?",
                "Paper comes on top, at the shop's prices", study.readings(key, both),
            )  # fmt: skip
    elif not counted and scenario.outside.paper == "included":
        for key in out:
            yield study.warning(
                "paper-uneven", key, "error", "outside.paper",
                f"{study.name(key)}: outside prices hold paper, printing in house does not count it",
                "What are your prices without paper?",
                "Outside work is charged with paper, own work without; add `shop.paper` to compare like with like",
            )  # fmt: skip


def scope(study: Study) -> Iterator[QuoteWarning]:
    """A candidate whose presses cannot print what those of others can."""
    axis = study.model["work.sides"].shape.axis
    labels = axis.labels if axis is not None else ()
    able: dict[str, np.ndarray[tuple[int], np.dtype[np.bool_]]] = {}
    for key, owner in study.scenario.candidates_all:
        blocks = [f"{key}.{press_id}.eligible" for press_id, _, _ in owner.press_items()]
        if blocks:
            able[key] = np.max([study.values[block][0, :, 0] for block in blocks], axis=0) > 0
    anybody = np.any(list(able.values()), axis=0) if able else np.zeros(len(labels), dtype=bool)
    for key, can in able.items():
        missing = [label for label, mine, theirs in zip(labels, can, anybody, strict=True) if theirs and not mine]
        if missing:
            told = ", ".join(missing)
            path = key if key == "today" or study.scenario.candidates[key].presses is None else f"{key}.presses"
            fate = "goes outside at its price" if study.row(f"{key}.outside.cost").sum() > NOTHING else "is left undone"
            yield study.warning(
                "scope", key, "warn", path,
                f"{study.name(key)} cannot print what others can: {told}; it {fate}",
                f"Which press of yours takes this work as well, and at which price: {told}?",
                f"This work {fate}",
            )  # fmt: skip


def outside_effort(study: Study) -> Iterator[QuoteWarning]:
    """Outside prices without the own time to order, and without delivery."""
    if study.scenario.outside is None or not sends_out(study):
        return
    missing = [
        word for word, key in (("the time to order and check a job", "order_minutes"), ("delivery", "delivery_per_job"))
        if study.silent(f"outside.{key}")
    ]  # fmt: skip
    if missing:
        told = " and ".join(missing)
        yield study.warning(
            "outside-effort", "", "warn", "outside",
            f"Outside work is counted without {told}",
            "Is delivery in your prices, is there a smallest order, and how many copies above the order must we take?",
            "Ordering and delivery cost nothing, and what is ordered is what is needed",
        )  # fmt: skip


def freed_hours(study: Study) -> Iterator[QuoteWarning]:
    """Wages are counted as saved that may be paid all the same."""
    labour = study.scenario.shop.labour
    if labour is None or labour.freed_hours != "saved" or study.scenario.is_left_out("labour"):
        return
    for key in study.base:
        if f"{key}.measures.pv_people_saved" not in study.values:
            continue
        both = (
            Reading("freed hours saved", study.measure(key, "pv_people_saved")),
            Reading("same people paid", study.measure(key, "pv_people_stay")),
        )
        if abs(both[1].cost - both[0].cost) > NOTHING:
            yield study.warning(
                "freed-hours", key, "warn", "shop.labour.freed_hours",
                f"{study.name(key)}: wages of freed hours count as saved",
                "Which posts really end, in which month, and who has agreed to it?",
                "Hours that are no longer needed are no longer paid", both,
            )  # fmt: skip


def tax_uneven(study: Study) -> Iterator[QuoteWarning]:
    """Sales tax on one way of paying and not on another."""
    tax = study.scenario.money.sales_tax
    if tax is None or tax.rate.number * (1 - tax.recoverable.number) == 0:
        return
    used: dict[str, set[str]] = {}
    for one in study.presses():
        heading = "rent" if one.lease is not None or one.press.rental is not None else "equipment"
        used.setdefault(heading, set()).add(one.candidate)
    for key, owner in study.scenario.candidates_all:
        if owner.outside_only:
            used.setdefault("outside", set()).add(key)
    taxed = sorted(heading for heading in used if heading in tax.on)
    free = sorted(heading for heading in used if heading not in tax.on)
    if taxed and free:
        everything = list({*tax.on, *free})
        found = {key: study.present_values({"money.sales_tax.on": everything})[key] for key in study.base}
        for key in sorted(set().union(*(used[heading] for heading in free))):
            yield study.warning(
                "tax-uneven", key, "error", "money.sales_tax.on",
                f"{study.name(key)}: no sales tax on {' and '.join(free)}, while {' and '.join(taxed)} of others is "
                "taxed",
                "Is sales tax due on these payments, at which rate, and is it in the prices quoted?",
                f"Taxed: {', '.join(tax.on)}",
                (Reading("as written", study.base[key]), Reading("all taxed", found[key])),
            )  # fmt: skip

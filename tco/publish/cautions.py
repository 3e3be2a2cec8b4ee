"""Cautions in one line each, shown where the figure stands that they are about."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from tco.report import Report

CAUTIONS: Final[Mapping[str, tuple[str, str]]] = {
    "contracts": (
        "Contracts",
        (
            "This is arithmetic on terms as they were typed. The signed paper decides; let a lawyer read acceptance,"
            " renewal, assignment, guarantees and any clause that says payment is unconditional."
        ),
    ),
    "guarantee": ("Personal guarantee", "If the owner signs for the shop, that risk is in no figure here."),
    "notice": (
        "Notice",
        (
            "Ends and notices follow from the dates typed here. Check them, and the form and address of a notice, on"
            " the signed schedule."
        ),
    ),
    "sales_tax": (
        "Sales tax and VAT",
        (
            "Whether rents, clicks or delivery are taxed, and how much comes back, depends on who you are. Have it "
            "confirmed in writing."
        ),
    ),
    "income_tax": (
        "Income tax",
        (
            "Rates, classes and the date of relief are your own inputs; they differ by place, year and legal form. "
            "Ask a tax adviser before relying on a figure after tax."
        ),
    ),
    "accounting": (
        "Lease accounting",
        (
            "No accounting standard is applied here. Framework, term, rate and the split of service are for your "
            "accountant and auditor."
        ),
    ),
    "lease_accounting": (
        "Illustration",
        (
            "One accounting standard is applied to the terms as they were typed. Term, rate, life, the split of "
            "service and the class of a lease are for your accountant and auditor; exemptions are not looked at."
        ),
    ),
    "public": (
        "Public money",
        (
            "Rules on competition, approval, appropriation and borrowing may forbid the form that costs least. Ask "
            "purchasing and counsel first."
        ),
    ),
    "grants": ("Charge-back", "What is billed to grants or funded projects follows rules of its own."),
    "staff": (
        "People",
        "A saved post needs law, contract and notice to be kept. None is taken here to be lawful or free of cost.",
    ),
    "speed": (
        "Speed and capacity",
        (
            "Speeds are rated or claimed until your own jobs on your own stock were timed. Ask for that run, and for"
            " a meter check."
        ),
    ),
    "electrical": (
        "Electricity",
        (
            "Supply, circuit and earthing are for a licensed electrician with the maker’s data, never for the "
            "figures here."
        ),
    ),
    "air": (
        "Heat and air",
        (
            "Heat, ozone, dust and vapour need ventilation planned by somebody qualified. The energy lines are "
            "costs, no design."
        ),
    ),
    "floor": ("Floor", "Point loads, raised floors and upper storeys need a structural check before delivery."),
    "lifting": (
        "Moving",
        (
            "Moving a press is for insured riggers: doors, lifts, stairs and turning space first. Pallets of paper "
            "are heavy too."
        ),
    ),
    "fire": ("Fire", "Clearances, escape ways and the storage of paper and solvents follow the local fire code."),
    "noise": (
        "Noise and guards",
        "Long hours beside folders and trimmers call for hearing protection; no time here is planned with guards open.",
    ),
    "data": ("Data", "Disks and memory of a returned press must be erased or kept. Price it and have it proved."),
    "energy": ("Energy", "Energy is a cost estimate from the figures typed, not an environmental declaration."),
    "forecast": (
        "Forecasts",
        "Volumes, increases and resale are what you expect. What nobody thought of is not in them.",
    ),
}


def used(report: Report) -> dict[str, str]:
    """The cautions that concern this study, by key; those about tax only when tax is computed."""
    accounted = any(".lease_accounting." in entry.key for entry in report.entries)
    drop = {"accounting" if accounted else "lease_accounting"}
    if not report.facts.income_tax:
        drop.add("income_tax")
    if not report.facts.sales_tax:
        drop.add("sales_tax")
    if "people" not in report.kinds:
        drop.add("staff")
    if "space and energy" not in report.kinds:
        drop.add("energy")
    return {key: words for key, (_, words) in CAUTIONS.items() if key not in drop}

"""The measures as readers meet them: a name, what it means, and the style its figure is written in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from tco.publish.numbers import NONE, Numbers
from tco.report import Candidate


@dataclass(frozen=True)
class Measure:
    """One measure. `style` is money, per side, sides, months, rate, share, month or kg."""

    key: str
    name: str
    means: str
    style: str = "money"
    term: str = ""


MEASURES: Final = (
    Measure(
        "cash_up_front",
        "Cash up front",
        "everything that is paid at the opening of month 1, less what is received then",
    ),
    Measure(
        "level_month",
        "A month, all in",
        "the level sum a month that comes to the same in today’s money over the horizon",
        term="level monthly equivalent",
    ),
    Measure(
        "present_value",
        "Cost in today’s money",
        "every payment of the horizon, discounted to the opening of month 1, added up; candidates are ranked by it",
        term="present value of cost",
    ),
    Measure(
        "cost_per_side",
        "Price per page that just covers everything",
        "cost in today’s money over the printed sides, discounted alike; ranks as today’s money does",
        "per side",
        "levelised cost per printed side",
    ),
    Measure(
        "bound",
        "Bound to pay if nothing is printed",
        "what the signature commits to: rents, instalments, minimums, base fees, notice and return, before any receipt",
    ),
    Measure(
        "bound_if_funds_stop",
        "Bound if no money is granted",
        "the same where contracts end without charge at the end of the fiscal year for which no money is granted",
        term="non-appropriation",
    ),
    Measure(
        "saving",
        "Saving against the reference",
        "what the reference costs less what the candidate costs, in today’s money; positive when it saves",
        term="net present value of the saving against the reference",
    ),
    Measure(
        "month_of_use",
        "A month of use",
        "cost in today’s money over the months in which a press stands there",
    ),
    Measure(
        "level_month_start",
        "A month, all in, first prices",
        "the sum a month that comes to the same when it rises with inflation, in money of the start",
        term="real annuity",
    ),
    Measure("recovered", "Charged in all", "what is charged for the work done or sent out, nothing discounted"),
    Measure("surplus", "Charges less cost", "what is charged less what is paid in all, nothing discounted"),
    Measure(
        "charges_factor",
        "Charges that just cover",
        "the share of all charges at which they are worth what the work costs, in today’s money",
        "share",
    ),
    Measure("total", "Money paid in all", "the plain sum of the statement, nothing discounted"),
    Measure(
        "average_side", "Average cost per page", "money paid in all over printed sides, nothing discounted", "per side"
    ),
    Measure(
        "payback_month",
        "Paid back after",
        "the first month after which the saving so far, undiscounted, stays above zero",
        "month",
    ),
    Measure(
        "irr",
        "Rate of return of the saving",
        "the effective yearly rate at which the saving is worth nothing; told only when there is exactly one",
        "rate",
        "internal rate of return",
    ),
    Measure(
        "committed_beyond", "Committed beyond the horizon", "contract rents and base fees after the last month compared"
    ),
    Measure("at_cash_price", "Cost at cash price", "today’s money with every press paid in cash at signing"),
    Measure(
        "financing_effect",
        "Effect of how it is paid",
        "today’s money of the financing less the cash price: negative where paying later is worth something",
    ),
    Measure(
        "pv_people_saved",
        "Today’s money, freed hours saved",
        "the cost if hours no longer needed are not paid any more",
    ),
    Measure("pv_people_stay", "Today’s money, same people paid", "the cost if the same people are paid anyway"),
    Measure(
        "unplaced_sides",
        "Pages that fit nowhere",
        "asked pages that neither a press nor an outside printer takes",
        "sides",
    ),
    Measure(
        "uncovered_months",
        "Months without cover",
        "months of the horizon in which work is asked and no contract covers it",
        "months",
    ),
    Measure(
        "emissions",
        "Emissions of electricity and paper",
        "carbon dioxide equivalents by the factors of the scenario, of the presses and the paper run on them; cooling "
        "and work sent out are not counted",
        "kg",
    ),
)
BY_KEY: Final[Mapping[str, Measure]] = {measure.key: measure for measure in MEASURES}
SIX: Final = ("cash_up_front", "level_month", "present_value", "cost_per_side", "bound", "saving")


def told(one: Candidate, measure: Measure, numbers: Numbers) -> str:
    """The figure of one candidate in full, as its own page shows it."""
    value = one.measures.get(measure.key)
    if value is None:
        return NONE
    if measure.style == "per side":
        return numbers.per_side(value)
    if measure.style == "sides":
        return numbers.whole(value)
    if measure.style == "kg":
        return f"{numbers.whole(value)} kg"
    if measure.style == "months":
        return numbers.whole(value)
    if measure.style == "month":
        return "never" if value < 1 else "from month 1 on" if value == 1 else f"month {numbers.whole(value)}"
    if measure.style == "share":
        return numbers.percent(value, 1)
    if measure.style == "rate":
        status = int(one.measures.get("irr_status", 0.0))
        if status != 1:
            return "several, so none is told" if status > 1 else "none"
        return numbers.percent(value, 1)
    if measure.key == "saving":
        return NONE if one.is_reference else numbers.saving(value)
    return numbers.money(value)

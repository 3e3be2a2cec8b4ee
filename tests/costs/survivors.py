"""Mutants that the fixed scenarios do not notice, each under the reason why, and rooms with lines not reached."""

# Names as mutants.Mutant.name gives them: module, expression, what stands in its place.
BY_REASON = {
    "nothing is nothing with a unit and without": ("measures.class_cost: 0 * entry(work.sides, at) -> 0",),
    "shown beside a rate and in no sum: test_click_ladder holds it": (
        "costs.service.ladder: work.sides * part -> work.sides",
    ),
    "only reached without its further part, whose own draws are in test_parts_against_engine": (
        "costs.volume: 1 - part_large -> 1 + part_large",
        "costs.volume: part > 0 -> part >= 0",
    ),
    "nothing is owed on a loan after its last instalment, so no flag is needed to say so": (
        "costs.purchase: level * due -> level",
        "costs.purchase: opening * a_month * due -> opening * a_month",
        "costs.purchase: there.first + months - 1 -> there.first + months + 1",
    ),
    "a name only": (
        "costs.timeline: 1 - gone + 12 * years_on -> 1 - gone - 12 * years_on",
        "costs.timeline: 12 * years_on -> 12",
        "costs.timeline: first.year + 1 -> first.year - 1",
        "costs.service.clicks: len(presses) > 1 -> len(presses) >= 1",
        "costs.timeline: 1 - gone -> 1 + gone",
        "costs.timeline: 12 * years_on -> years_on",
        "costs.timeline: columns - 1 -> columns + 1",
        "measures.class_cost: place + 1 -> place - 1",
    ),
    "the flag beside it hides the months outside the contract": (
        "costs.service.contract: (clock.month - first + 1) * active -> clock.month - first + 1",
    ),
    "guards against rounding noise, or against a rate that the search does not give anyway": (
        "measures.compared: internal_rate(clear) * equals(changes, 1) -> internal_rate(clear)",
        "measures.compared: stream * (sign * sign) -> stream",
    ),
    "exactly half a cent, or exactly the tolerance, does not occur": (
        "measures.compared: so_far <= cent -> so_far < cent",
        ("measures.compared: this_month(rest) > desk.constant(block, 'side_tolerance') -> "
         "this_month(rest) >= desk.constant(block, 'side_tolerance')"),
        "measures.compared: this_month(stream) < -1 * cent -> this_month(stream) <= -1 * cent",
        "measures.compared: this_month(stream) > cent -> this_month(stream) >= cent",
        ("costs.lease_accounting: worth >= value * desk.constant(block, 'substantially_all') -> "
         "worth > value * desk.constant(block, 'substantially_all')"),
    ),
    "a press that is not there has no hours in the week either": (
        "costs.busiest_week: a_day * there.count * there.present -> a_day * there.count",
    ),
    "years of property tax are whole where it falls due": ("costs.lease_extras: down(year) -> up(year)",),
    "a month of leaving of nought lies before the lease, where nothing is left of it": (
        "costs.lease_end: leaves > 0 -> leaves >= 0",
    ),
    "a press that follows comes after the study in a what-if only": (
        "costs.window: count * (first <= clock.horizon) -> count",
    ),
    "any month that no press is bought before will do": ("costs.tax: months[0] - 1 -> months[0] + 1",),
    "one row alone is its own largest": ("measures.unequal_lives: len(rows) > 1 -> len(rows) >= 1",),
}  # fmt: skip
SURVIVORS = {name: reason for reason, names in BY_REASON.items() for name in names}

# Rooms with lines that these scenarios do not reach.
FURTHER = "further parts of service plans: only basic scenarios are asked there; test_parts_against_engine holds them"
NOT_REACHED = {
    "costs.service.allowance": FURTHER, "costs.service.clicks": FURTHER, "costs.service.commitment": FURTHER,
    "costs.service.extras": FURTHER, "costs.service.meter": FURTHER, "costs.service.plan": FURTHER,
    "costs.service.prices": FURTHER, "costs.service.routes": FURTHER, "costs.service.ladder": FURTHER,
    "costs.service.toner": FURTHER,
    "costs.emissions": "plain volumes with emissions: test_emissions_and_ink holds them",
    "costs.lease_end": "a ceiling by year on an early end: test_parts_against_engine and test_lease_parts hold it",
    "measures.last_year": "what was paid last year is a proof of its own, held with the example scenarios",
}  # fmt: skip

"""Mutants that the fixed scenarios do not notice, each under the reason why, and rooms with lines not reached."""

# Names as mutants.Mutant.name gives them: module, expression, what stands in its place.
BY_REASON = {
    "nothing is nothing with a unit and without": ("measures.class_cost: 0 * entry(work.sides, at) -> 0",),
    "shown beside a rate and in no sum: test_click_ladder holds it": (
        "costs.service.ladder: work.sides * part -> work.sides",
    ),
    "only reached without its further part, whose own draws are in test_parts_against_engine": (
        "costs.lease: by_contract.due * early[1] -> by_contract.due",
        "costs.lease: by_contract.due * early[1] -> early[1]",
        "costs.lease: left * early[2] -> early[2]",
        "costs.lease: left * early[2] -> left",
        "costs.service.routes: fits * left -> fits",
        "costs.service.routes: fits * left -> left",
        "costs.volume: 1 - part_large -> 1 + part_large",
        "costs.volume: part > 0 -> part >= 0",
    ),
    "what is still bound, or still worth, when somebody stops: held against the oracle in test_parts_against_engine": (
        "costs.lease: clock.month < end -> clock.month <= end",
        "costs.lease: clock.month < there.last -> clock.month <= there.last",
        "costs.lease: left * here -> left",
        "costs.lease: prices * (clock.month < end) -> prices",
        ("costs.lease: still_owed(desk, terms, there, by_contract) + prices * (clock.month < end) -> "
         "still_owed(desk, terms, there, by_contract) - prices * (clock.month < end)"),
        "costs.lease_rents: (everything - so_far) * signed -> everything - so_far",
        "costs.lease_rents: clock.month >= there.first -> clock.month > there.first",
        "costs.lease_rents: everything - so_far -> everything + so_far",
        "costs.present: clock.month <= ends -> clock.month < ends",
        "costs.present: each * count -> each",
        "costs.present: left - gone -> left + gone",
        "costs.present: rent * count -> rent",
        "costs.purchase: clock.month <= there.first + months - 1 -> clock.month < there.first + months - 1",
        "costs.purchase: clock.month >= there.first -> clock.month > there.first",
        "costs.purchase: level * term -> level",
        "costs.purchase: there.first + months - 1 -> there.first + months + 1",
        "costs.purchase: there.first + months -> there.first - months",
        "costs.rental: clock.month < there.last -> clock.month <= there.last",
        "costs.rental: rent * there.count * factor * notice * here -> rent * there.count * factor * notice",
        "costs.rental: rent * there.count * factor * notice -> rent * there.count * factor",
        "costs.rental: rent * there.count * factor -> rent * there.count",
        "costs.rental: rent * there.count -> rent",
        "costs.running_lease: left - gone -> left + gone",
        "costs.running_lease: rent * there.count -> rent",
        ("costs.terms: (clock.month - there.first + 1) / (there.last - there.first + 1) -> clock.month - "
         "there.first + 1"),
        ("costs.terms: (lift(price) - (lift(price) - sells_for) * gone) * there.count * here -> "
         "(lift(price) - (lift(price) - sells_for) * gone) * there.count"),
        ("costs.terms: (lift(price) - (lift(price) - sells_for) * gone) * there.count -> lift(price) - "
         "(lift(price) - sells_for) * gone"),
        "costs.terms: (lift(price) - sells_for) * gone -> lift(price) - sells_for",
        "costs.terms: clock.month - there.first + 1 -> clock.month - there.first - 1",
        "costs.terms: clock.month - there.first -> clock.month + there.first",
        "costs.terms: clock.month < there.last -> clock.month <= there.last",
        ("costs.terms: lift(price) - (lift(price) - sells_for) * gone -> lift(price) + (lift(price) - "
         "sells_for) * gone"),
        "costs.terms: lift(price) - sells_for -> lift(price) + sells_for",
        "costs.terms: there.last - there.first + 1 -> there.last - there.first - 1",
        "costs.terms: there.last - there.first -> there.last + there.first",
        "measures.compared: so_far + owed - fetches -> so_far + owed + fetches",
        "measures.compared: so_far + owed -> so_far - owed",
    ),
    "shown beside the totals, worked by hand in tests/costs/test_fleets.py and test_recovery.py": (
        "measures.hourly_rate: clock.horizon * desk.constant(block, 'one_month') -> desk.constant(block, 'one_month')",
        "measures.hourly_rate: hours_a_year * used -> hours_a_year",
        ("measures.hourly_rate: len(hours) < len(one.placement.presses) -> len(hours) <= "
         "len(one.placement.presses)"),
        "measures.unequal_lives: -1 * clock.month -> clock.month",
        "measures.unequal_lives: -1 * clock.month / TWELVE -> -1 * clock.month",
        ("measures.unequal_lives: 1 + known[scenario.money.discount_rate.path] -> 1 - "
         "known[scenario.money.discount_rate.path]"),
        "measures.unequal_lives: 1 + known['money.rate_a_month'] -> 1 - known['money.rate_a_month']",
        ("measures.unequal_lives: 1 + known[scenario.money.inflation.path] -> 1 - "
         "known[scenario.money.inflation.path]"),
        "measures.unequal_lives: effective / (1 + known[scenario.money.inflation.path]) -> effective",
        "measures.unequal_lives: largest(*rows) -> smallest(*rows)",
        "measures.unequal_lives: len(rows) > 1 -> len(rows) >= 1",
        "measures.unequal_lives: worth / divisor -> worth",
    ),
    "nothing is owed on a loan after its last instalment, so no flag is needed to say so": (
        "costs.purchase: level * due -> level",
        "costs.purchase: opening * a_month * due -> opening * a_month",
    ),
    "a name only": (
        "costs.timeline: 1 - gone + 12 * years_on -> 1 - gone - 12 * years_on",
        "costs.timeline: 12 * years_on -> 12",
        "costs.timeline: first.year + 1 -> first.year - 1",
        "costs.service.clicks: len(presses) > 1 -> len(presses) >= 1",
        "costs.timeline: (columns - 1 + gone) // 12 + 1 -> (columns - 1 + gone) // 12 - 1",
        "costs.timeline: 1 - gone -> 1 + gone",
        "costs.timeline: 12 * years_on -> years_on",
        "costs.timeline: columns - 1 + gone -> columns - 1 - gone",
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
    ),
}
SURVIVORS = {name: reason for reason, names in BY_REASON.items() for name in names}

# Rooms with lines that these scenarios do not reach.
FURTHER = "further parts of contracts, after section 8 of the definitions: not in these scenarios"
USED_UP = "emissions, ink by area, parts by click: test_emissions_and_ink and test_books_against_engine hold them"
ACCOUNTS = "keys of tax, books and lease accounting that no fixed scenario has: test_tax_and_books holds them"
NOT_REACHED = {
    "costs.lease": FURTHER, "costs.lease_end": FURTHER, "costs.lease_extras": FURTHER, "costs.lease_rents": FURTHER,
    "costs.service.allowance": FURTHER, "costs.service.clicks": FURTHER, "costs.service.commitment": FURTHER,
    "costs.service.extras": FURTHER, "costs.service.meter": FURTHER, "costs.service.prices": FURTHER,
    "costs.service.routes": FURTHER, "costs.service.ladder": FURTHER, "costs.service.toner": FURTHER,
    "costs.terms": FURTHER, "costs.window": FURTHER,
    "measures.compared": FURTHER, "costs.busiest_week": FURTHER, "costs.due": FURTHER, "costs.recovery": FURTHER,
    "measures.recovery": FURTHER,
    "costs.coverage": USED_UP, "costs.emissions": USED_UP, "costs.supplies": USED_UP,
    "measures.last_year": "what was paid last year is a proof of its own, held with the example scenarios",
    "costs.books": ACCOUNTS, "costs.lease_accounting": ACCOUNTS, "costs.service.plan": ACCOUNTS, "costs.tax": ACCOUNTS,
}  # fmt: skip

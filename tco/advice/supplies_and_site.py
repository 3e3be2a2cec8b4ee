"""Warnings about what a service plan leaves out and what a press needs around it."""

from __future__ import annotations

from collections.abc import Iterator

from tco.advice.record import QuoteWarning
from tco.advice.study import Changes, PressAt, Study, covers, mentions
from tco.scenario.schema import Supply

# The coverage most contracts speak of. Common practice.
USUAL_COVERAGE = 0.05
FAR_ABOVE = 2.0
INKS = ("toner", "ink", "cartridge", "developer")
# What covers the whole sheet, whatever is printed on it.
COATS = ("primer", "coat", "varnish")
SOLID = 1.0


def coverage_cap(study: Study) -> Iterator[QuoteWarning]:
    """Toner is in the price, and nothing says up to which coverage; or the work has more coverage than that."""
    for one in study.plans():
        owner = dict(study.scenario.candidates_all)[one.candidate]
        cap = one.plan.coverage_cap
        if cap is not None and study.work.coverage > cap.cap.number:
            yield study.warning(
                "coverage-cap", one.candidate, "warn", f"{one.path}.coverage_cap",
                f"{one.name}: toner is included up to {study.percent(cap.cap.number)} coverage, the work has up to "
                f"{study.percent(study.work.coverage)}",
                "How is coverage measured, over which period and which size of side, and can the cap be raised to "
                f"{study.percent(study.work.coverage)}?",
                "The excess is charged at the price of the plan",
                study.at(one.candidate, cap.price, f"{one.path}.coverage_cap.price",
                         {"excess charged": cap.price.number, "no excess charged": 0.0}),
            )  # fmt: skip
        inside = covers(owner, "toner", "ink", "supplies", "all inclusive", "everything", "consumable")
        if inside and one.candidate != "today" and not study.written(f"{one.path}.coverage_cap"):
            high = study.work.coverage > USUAL_COVERAGE
            yield study.warning(
                "coverage-cap", one.candidate, "warn", one.path,
                f"{one.name}: toner is included, and nothing says up to which coverage"
                + (f"; the work has up to {study.percent(study.work.coverage)}" if high else ""),
                "Up to which coverage of a side is toner included, of which size of side, and what is charged beyond "
                "it? "
                f"Our work has up to {study.percent(study.work.coverage)}.",
                "Toner is included at any coverage",
            )  # fmt: skip


def sundries(study: Study) -> Iterator[QuoteWarning]:
    """Small things that are in some plans and in others not."""
    kinds = {"staples or wire": ("staple", "wire"), "waste bottles": ("waste",), "freight of supplies": ("freight",)}
    for one in study.presses():
        if one.press.service is None and one.owner.service is None:
            continue
        missing = [name for name, words in kinds.items() if not mentions(one.owner, *words)]
        if "staples or wire" in missing and not study.scenario.is_left_out("finishing"):
            told = ", ".join(missing)
            yield study.warning(
                "sundries", one.candidate, "warn", one.path,
                f"{one.name}: nothing says whether these are in the plan: {told}",
                f"Which of these are in the plan, and what do the others cost: {told}?",
                "Nothing is paid for them unless written under `supplies` or `finishing`",
            )  # fmt: skip


def _inks(one: PressAt) -> list[tuple[str, Supply]]:
    found = (one.press.supplies or {}).items()
    return [
        (name, supply) for name, supply in found
        if any(word in name.lower() for word in INKS)
        or (supply.per == "m2" and not any(word in name.lower() for word in COATS))
    ]  # fmt: skip


def yield_coverage(study: Study) -> Iterator[QuoteWarning]:
    """A yield, or ink by area, without the coverage it was measured at, or far from that of the work."""
    for one in study.presses() if not study.scenario.is_left_out("supplies") else ():
        for name, supply in _inks(one):
            if supply.per == "click":
                continue  # parts by the click have no yield that coverage changes
            path, mine = f"{one.path}.supplies.{name}.at_coverage", study.work.coverage
            basis, by_area = supply.at_coverage, supply.ml_per_m2
            # A yield is commonly told at the usual coverage, ink by area for a solid one.
            usual = USUAL_COVERAGE if by_area is None else SOLID
            told = "the yield" if by_area is None else "ink by area"
            if basis is None:
                both: dict[str, Changes] = {"as told": {}, f"at {study.percent(usual)}": {path: usual}}
                what = f"{told} is told without a coverage"
            elif mine > FAR_ABOVE * basis.number:
                both = {"as told": {path: None}, f"at {study.percent(basis.number)}": {path: basis.number}}
                what = f"{told} is for {study.percent(basis.number)} coverage, the work has up to {study.percent(mine)}"
            else:
                continue
            if supply.yields is not None:
                lasts = study.told(supply.yields.number)
                asked = f"does one unit of {name} last {lasts}, and what does it last at {study.percent(mine)}?"
                assumed = "The yield falls as coverage rises" if basis else "The yield holds at any coverage"
            else:
                asked = f"does a square metre take so much {name}, and how much does it take at {study.percent(mine)}?"
                assumed = "Use rises with coverage" if basis else "Use is the same at any coverage"
            yield study.warning(
                "yield-coverage", one.candidate, "warn", path, f"{one.name}, {name}: {what}",
                f"At which coverage {asked}", assumed, study.readings(one.candidate, both),
            )  # fmt: skip


def parts_unpriced(study: Study) -> Iterator[QuoteWarning]:
    """Parts are not covered, and neither their price nor their life is told."""
    for one in study.presses():
        without = " ".join(one.owner.not_covered or ()).lower()
        named = [word for word in ("parts", "drum", "fuser", "belt", "blade", "developer") if word in without]
        priced = " ".join(one.press.supplies or ()).lower()
        missing = [word for word in named if word.rstrip("s") not in priced]
        if missing and not study.scenario.is_left_out("supplies"):
            told = ", ".join(missing)
            yield study.warning(
                "parts-unpriced", one.candidate, "error", f"{one.path}.supplies",
                f"{one.name}: not covered and not priced: {told}",
                f"What do these cost, how many sides do they last, and who fits them: {told}?",
                "Nothing is paid for them",
            )  # fmt: skip


def front_end(study: Study) -> Iterator[QuoteWarning]:
    """The computer before the press: its support over the years."""
    for one in study.presses():
        path = f"{one.path}.front_end"
        said = mentions(one.owner, "front end", "front-end", "support")
        if not said and not study.written(f"{path}.support_per_year"):
            yield study.warning(
                "front-end", one.candidate, "warn", path,
                f"{one.name}: nothing is said on the support of the front end",
                "For how many years are support and updates of the front end in the price, what do they cost after "
                "that, "
                "and what happens when support lapses?",
                "Nothing is paid for it",
            )  # fmt: skip


def site_unknown(study: Study) -> Iterator[QuoteWarning]:
    """What the press needs of the room."""
    for one in study.presses():
        press = one.press
        missing = [
            word for word, unknown in (
                ("electricity and heat", press.power is None and press.kwh_per_week is None),
                ("floor space and load, doors, network", press.space_m2 is None),
            ) if unknown and press.site_works is None
        ]  # fmt: skip
        if missing:
            told = " and ".join(missing)
            yield study.warning(
                "site-unknown", one.candidate, "warn", f"{one.path}.site_works",
                f"{one.name}: nothing is known of {told}",
                "Which circuit, cooling, floor load, door width, clearance and network does the press need? Please "
                "send "
                "the site sheet.",
                "The room is ready as it is",
            )  # fmt: skip


def start_up(study: Study) -> Iterator[QuoteWarning]:
    """Nothing for learning, and nothing for the weeks in which both presses stand there."""
    for one in study.presses():
        if one.press.training is None and not mentions(one.owner, "training"):
            yield study.warning(
                "start-up", one.candidate, "inform", f"{one.path}.training",
                f"{one.name}: no training and no weeks of learning are counted",
                "How many days of training for how many people are in the price, also for a person who comes later?",
                "The press prints at full speed from the first day",
            )  # fmt: skip


def waste_unset(study: Study) -> Iterator[QuoteWarning]:
    """No waste: every sheet is good, and every click sold."""
    jobs = (study.scenario.jobs or {}).values()
    figures = [job.waste for job in jobs] or [study.scenario.waste]
    sheets = any(job.make_ready_sheets.number for job in jobs)
    if not any(figure.number for figure in figures) and not sheets:
        yield study.warning(
            "waste-unset", "", "warn", "waste", "No waste is counted: every sheet is good",
            "How many sheets are spoilt for a hundred good ones, and are the clicks of spoilt sheets credited?",
            "No sheet is spoilt",
        )  # fmt: skip

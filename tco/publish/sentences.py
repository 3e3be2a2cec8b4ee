"""The answer in sentences: what a person could say aloud, from the verdict and the figures behind it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from tco.advice.verdict import TOO_CLOSE
from tco.publish.certainty import how_sure
from tco.publish.drawings_risk import shares
from tco.publish.drawings_volume import names_of
from tco.publish.numbers import MINUS, Numbers, compared_step, counted, listed, month_name, rounded, step_for
from tco.publish.parts import Fact, Kit, Link, clipped
from tco.publish.rests import fact
from tco.report import Candidate, Report


@dataclass(frozen=True)
class Headline:
    """The first sentence, its condition, and the word that marks the leading row of a table."""

    main: str
    condition: str
    mark: str


@dataclass(frozen=True)
class Change:
    """Something that would change the answer: what, then what happens, and where it is worked out."""

    what: str
    then: str
    link: Link | None = None


def barred_reason(one: Candidate, numbers: Numbers) -> str:
    """Why a candidate cannot be called cheapest."""
    parts = []
    unplaced, uncovered = one.measures.get("unplaced_sides", 0.0), one.measures.get("uncovered_months", 0.0)
    if unplaced > 0:
        parts.append(f"leaves {numbers.about(unplaced)} pages that fit nowhere")
    if uncovered > 0:
        parts.append(f"has {counted(round(uncovered), 'month')} without cover")
    return listed(parts)


def step_of(kit: Kit, measure: str) -> Decimal:
    """The step to which a measure is printed for all candidates, with its lead and what each saves against today."""
    costs = {one.id: one.measures[measure] for one in kit.report.candidates}
    first = [costs[name] for name in kit.report.verdict.order[:2]]
    savings = [costs[kit.report.reference.id] - cost for cost in costs.values()]
    return compared_step(list(costs.values()), [*savings, first[-1] - first[0] if first else 0.0])


def apart(kit: Kit, measure: str, lower: str, higher: str, about: str = "about ") -> str:
    """How far two candidates are apart: the difference of the sums as they are printed."""
    step = step_of(kit, measure)
    first, second = (rounded(kit.report.candidate(name).measures[measure], step) for name in (lower, higher))
    if first == second:
        return f"less than {kit.numbers.money(float(step))}"
    return f"{about}{kit.numbers.money(float(second - first))}"


def not_yet(kit: Kit, names: Iterable[str]) -> str:
    """Which of these candidates are not yet comparable, and the first point of each that is open; empty for none."""
    whose: dict[str, list[str]] = {}
    for name in names:
        open_points = kit.report.verdict.unsettled.get(name)
        if open_points:
            point = clipped(open_points[0].removeprefix(f"{kit.report.candidate(name).name}: "), 90)
            rest = f" and {counted(len(open_points) - 1, 'more point')}" if len(open_points) > 1 else ""
            whose.setdefault(f"{point[:1].lower()}{point[1:]}{rest}", []).append(kit.name(name))
    told = [f"{listed(group)} ({reason})" for reason, group in whose.items()]
    return f"not yet comparable: {listed(told)}" if told else ""


def headline(kit: Kit) -> Headline:
    """Winner, margin, runner-up and condition; or that nobody can be named.

    A leader that is not yet comparable is the lowest as far as the quotes say, never the cheapest.
    """
    verdict, numbers = kit.report.verdict, kit.numbers
    if verdict.leader is None:
        reasons = "; ".join(
            f"{kit.name(name)} {barred_reason(kit.report.candidate(name), numbers)}" for name in verdict.barred
        )
        return Headline("No candidate does all the work", reasons, "")
    leader = kit.name(verdict.leader)
    gap = apart(kit, "level_month", verdict.leader, verdict.runner_up) if verdict.runner_up else ""
    if verdict.close:
        gap = apart(kit, "level_month", *verdict.close[:2])
        others = [counted(len(verdict.close) - 2, "other")] if len(verdict.close) > 2 else []
        group = listed([*(kit.name(name, 60) for name in verdict.close[:2]), *others])
        words = f"{gap} a month apart" if len(verdict.close) == 2 else f"the first two are {gap} a month apart"
        why = f"a lead below {numbers.percent(TOO_CLOSE)} of the cost is no lead"
        if verdict.open_money:
            unsaid = numbers.money(verdict.open_money, step_for([verdict.open_money], 2))
            why = f"what the quotes leave unsaid is worth up to {unsaid}"
            why += " between them, more than the lead"
        parts = [words, why, not_yet(kit, verdict.close)]
        return Headline(f"Too close to call: {group}", "; ".join(filter(None, parts)), "within reach")
    doubt, mark = not_yet(kit, verdict.order), "costs least"
    if verdict.leader in verdict.unsettled:
        mark = "lowest so far"
    if verdict.runner_up is None:
        return Headline(f"{leader}: the only candidate that does all the work", doubt, mark)
    if verdict.leader in verdict.unsettled:
        less = f"{gap} a month less than {kit.name(verdict.runner_up)}"
        return Headline(f"{leader}: lowest as far as the quotes say, {less}", doubt, mark)
    main = f"{leader}: {gap} a month less than {kit.name(verdict.runner_up)}"
    return Headline(main, "; ".join(filter(None, [condition(kit), doubt])), mark)


def condition(kit: Kit) -> str:
    """Between which volumes the leader stays the cheapest, and who takes over beyond."""
    report, numbers = kit.report, kit.numbers
    volumes, leader = report.volumes, report.verdict.leader
    here = volumes.around(report.facts.average_sides) if volumes else None
    if volumes is None or here is None or leader not in here.candidates:
        return ""
    place = volumes.best.index(here)
    below = volumes.best[place - 1] if place else None
    above = volumes.best[place + 1] if place + 1 < len(volumes.best) else None
    low, high = numbers.about(here.low), numbers.about(here.high)
    under = names_of(report, below) if below else ""
    over = names_of(report, above) if above else ""
    if below and above:
        return f"as long as you print between {low} and {high} pages a month (below: {under}; above: {over})"
    if below:
        return f"as long as you print more than {low} pages a month (below: {under})"
    if above:
        return f"as long as you print fewer than {high} pages a month (above: {over})"
    return f"at every volume up to {high} pages a month"


def financing(kit: Kit) -> str:
    """How much of the lead comes from paying later."""
    verdict, numbers = kit.report.verdict, kit.numbers
    if verdict.runner_up is None:
        return ""
    if verdict.financing is None:
        names = listed([kit.name(name) for name in verdict.inseparable])
        words = "How much of the lead comes from the way of paying cannot be separated"
        return f"{words}: no cash price is quoted for {names}."
    assert verdict.leader is not None
    lead = apart(kit, "present_value", verdict.leader, verdict.runner_up, about="")
    part = numbers.about_money(abs(verdict.financing))
    if abs(verdict.financing) < 0.5:
        words = f"None of the {lead} in today’s money comes from the way of paying."
    elif verdict.financing > verdict.lead:
        words = f"The whole lead of {lead} in today’s money comes from paying later: that is worth {part}."
    elif verdict.financing > 0:
        words = f"Of the lead of {lead} in today’s money, {part} comes from paying later."
    else:
        words = f"The lead of {lead} in today’s money stands although the way of paying takes {part} off it."
    if verdict.cash_order and verdict.cash_order[0] != verdict.leader:
        words += f" At cash prices {kit.name(verdict.cash_order[0])} would cost least."
    return words


def people(kit: Kit) -> str:
    """Whether the answer depends on what becomes of freed hours; empty when there are no people in the figures."""
    verdict = kit.report.verdict
    if verdict.policies is None or "people" not in kit.report.kinds:
        return ""
    saved, stay = verdict.policies["saved"][0], verdict.policies["stay paid"][0]
    if saved == stay:
        return f"{kit.name(saved)} costs least whether freed hours are saved or people stay paid."
    return (
        f"If freed hours are really saved, {kit.name(saved)} costs least; "
        f"if the same people are paid anyway, {kit.name(stay)}. "
        f"The figures here take them as {'saved' if kit.report.facts.freed_hours == 'saved' else 'paid anyway'}."
    )


def changes(kit: Kit) -> list[Change]:
    """What would change the answer, the nearest first."""
    report, numbers, verdict = kit.report, kit.numbers, kit.report.verdict
    found: list[Change] = []
    volumes = report.volumes
    here = volumes.around(report.facts.average_sides) if volumes else None
    to_volume = Link("Volume", "volume.html")
    if volumes is not None and here is not None:
        place = volumes.best.index(here)
        if place:
            who = names_of(report, volumes.best[place - 1])
            found.append(
                Change(f"Fewer than {numbers.about(here.low)} pages a month", f"{who} then costs less", to_volume)
            )
        if place + 1 < len(volumes.best):
            who = names_of(report, volumes.best[place + 1])
            found.append(
                Change(f"More than {numbers.about(here.high)} pages a month", f"{who} then costs less", to_volume)
            )
        if len(volumes.best) == 1:
            high = numbers.about(volumes.best[0].high)
            found.append(
                Change("Not the volume", f"the order at the top is the same up to {high} pages a month", to_volume)
            )
    for name in verdict.cheaper_but_barred:
        one = report.candidate(name)
        then = f"it would cost less, but {barred_reason(one, numbers)}"
        found.append(Change(f"Cover for {kit.name(name)}", then, Link(kit.name(name), kit.pages_of[name])))
    if verdict.cash_order and verdict.cash_order[0] != verdict.leader:
        found.append(Change("The way of paying", f"at cash prices {kit.name(verdict.cash_order[0])} costs least"))
    return found


def rests_on(kit: Kit) -> list[Fact]:
    """What the answer rests on, what it leaves out, and what nobody checked."""
    report, numbers, facts = kit.report, kit.numbers, kit.report.facts
    average = kit.link("work.average_sides", "exact") if kit.has("work.average_sides") else None
    rate = numbers.percent(facts.discount_rate, 1) + (" a year" if facts.discount_basis == "effective" else " nominal")
    found = [
        Fact(
            "Work",
            f"about {numbers.about(facts.average_sides)} pages a month on average; a page is one printed side",
            average,
        ),
        Fact("Time", f"{facts.months} months from {month_name(facts.year, facts.month)}, money discounted at {rate}"),
        Fact(
            "Left out", f"{listed(facts.left_out)}, for every candidate" if facts.left_out else "nothing by intention"
        ),
        Fact("Capacity", capacity_words(kit), Link("Volume", "volume.html#capacity")),
        Fact("Last year", last_year_words(report, numbers)),
        *([] if shares(report) else [Fact("How sure", how_sure(kit))]),
    ]
    evidence = fact(kit)
    return [*found, *([evidence] if evidence else []), _open(report)]


def _open(report: Report) -> Fact:
    """What the quotes leave unsaid, and whether it can change the winner."""
    words, link = "", None
    if report.silence is not None:
        words = report.silence.sentence
        asked = sum(len(one.asked) for one in report.questions)
        words += f"; {counted(asked, 'question')} to send" if asked else ""
        link = Link("Questions", "questions.html")
    elif report.gaps:
        words = f"{counted(len(report.gaps), 'gap')} in the quotes, filled by a marked assumption"
        link = Link("Gaps", "method.html#gaps")
    return Fact("Open", (words[:1].lower() + words[1:]).lstrip("; ") or "no gap in the quotes", link)


def capacity_words(kit: Kit) -> str:
    """Whether the work fits into the hours and under what is recommended, or that nobody looked."""
    return _hours_words(kit) + ("; a press prints more in a month than is recommended" if _is_beyond(kit) else "")


def _is_beyond(kit: Kit) -> bool:
    """Whether at the own volume a press of the leader prints more in its busiest month than is recommended for it."""
    volumes, leader, own = kit.report.volumes, kit.report.verdict.leader, kit.report.facts.average_sides
    if volumes is None or volumes.fit is None or leader is None:
        return False
    return any(low <= own <= high for low, high in volumes.fit.stretches(volumes.fit.beyond[leader]))


def _hours_words(kit: Kit) -> str:
    if not kit.report.capacity_checked:
        some = any(press.utilisation is not None for one in kit.report.candidates for press in one.presses)
        return "capacity not checked for every press: speeds are missing" if some else "capacity not checked"
    leader = kit.report.verdict.leader
    chosen = [kit.report.candidate(leader)] if leader else list(kit.report.candidates)
    peak = max((max(press.utilisation or (0.0,)) for one in chosen for press in one.presses), default=0.0)
    whose = kit.name(leader) if leader else "the fullest press"
    return f"checked by the month: {whose} needs up to {kit.numbers.percent(peak)} of its hours"


def last_year_words(report: Report, numbers: Numbers) -> str:
    """The model against what was paid, or that it was not checked."""
    sums = report.facts.last_year
    if not sums:
        return "not checked against what was paid"
    paid, modelled = sum(one.paid for one in sums), sum(one.modelled for one in sums)
    off = numbers.percent((modelled - paid) / paid, 1) if paid else "—"
    off = off if off.startswith(MINUS) or not paid or modelled == paid else "+" + off
    return f"the model gives {numbers.about_money(modelled)}; you paid {numbers.about_money(paid)} ({off})"


def prepared(report: Report) -> str:
    """By whom, for whom, when."""
    facts = report.facts
    parts = [
        f"Prepared by {facts.prepared_by}" if facts.prepared_by else "",
        f"for {facts.prepared_for}" if facts.prepared_for else "",
    ]
    words = " ".join(part for part in parts if part)
    return clipped(", ".join(part for part in (words, _day(report)) if part), 160)


def _day(report: Report) -> str:
    """The date as its author wrote it; a date by numbers in the way of the place."""
    facts = report.facts
    try:
        return Numbers(facts.locale, facts.currency).date(dt.date.fromisoformat(facts.date))
    except ValueError:
        return facts.date


def made_from(report: Report) -> str:
    """Which version computed the study, and the fingerprint of what it was computed from."""
    facts = report.facts
    parts = [f"Version {facts.version}" if facts.version else "", f"fingerprint {facts.fingerprint[:12]}"]
    return ", ".join(part for part in parts if part) if facts.fingerprint else parts[0]

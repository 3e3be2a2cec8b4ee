"""The first page: the answer in words, six measures side by side, what would change it, what it rests on."""

from __future__ import annotations

from decimal import Decimal

from tco.publish import sentences
from tco.publish.certainty import how_sure
from tco.publish.drawings_risk import squares
from tco.publish.drawings_volume import ribbon
from tco.publish.measure_words import SIX
from tco.publish.numbers import NONE, column_step, rounded
from tco.publish.parts import Cell, Kit, Page, Row, Table
from tco.publish.words_of_author import contradiction, rendered
from tco.report import Candidate

CROWD, THRONG = 6, 9  # more candidates than this are printed smaller, so that the answer stays on one sheet
HEADS = {
    "cash_up_front": "Cash up front",
    "level_month": "A month, all\u00a0in",
    "present_value": "In today’s money",
    "cost_per_side": "Price per page",
    "bound": "Bound to pay",
    "saving": "Against the present",
}


def ranked(kit: Kit) -> list[Candidate]:
    """Candidates by cost, those who cannot win last."""
    verdict = kit.report.verdict
    barred = sorted(verdict.barred, key=lambda name: kit.report.candidate(name).measures["present_value"])
    return [kit.report.candidate(name) for name in (*verdict.order, *barred)]


def side_by_side(kit: Kit) -> Table:
    """The six measures of every candidate, each column in one rounding."""
    report, numbers = kit.report, kit.numbers
    steps = {key: column_step([one.measures[key] for one in report.candidates if key in one.measures]) for key in SIX}
    steps |= {key: sentences.step_of(kit, key) for key in ("level_month", "present_value")}
    mark = sentences.headline(kit).mark
    within = report.verdict.close or (report.verdict.leader,)
    rows = []
    for one in ranked(kit):
        cells = []
        for key in SIX:
            value = one.measures.get(key)
            if value is None or (key == "saving" and one.is_reference):
                cells.append(Cell(NONE))
                continue
            if key == "cost_per_side":
                words = numbers.per_side(value, sign=False)
            elif key == "saving":
                words = _saving(kit, one, steps["present_value"])
            else:
                words = numbers.whole(value, steps[key])
            cells.append(Cell(words, kit.href(one.key(key)), "strong" if key == "present_value" else ""))
        barred = one.id in report.verdict.barred
        rows.append(
            Row(
                kit.name(one.id),
                tuple(cells),
                kit.pages_of[one.id],
                one.place,
                mark if one.id in within else "cannot win" if barred else "the present" if one.is_reference else "",
                "best" if one.id in within else "barred" if barred else "",
                sentences.barred_reason(one, numbers) if barred else "",
            )
        )
    money = numbers.currency
    units = dict.fromkeys(SIX, money) | {"cost_per_side": numbers.page_unit}
    return Table(
        "t-six",
        "Side by side",
        tuple((HEADS[key], units[key]) for key in SIX),
        tuple(rows),
        "Candidate",
        f"Rounded; differences are those of the rounded sums; each figure leads to the exact one. {_meanings()}",
        css="six",
    )


def _saving(kit: Kit, one: Candidate, step: Decimal) -> str:
    """The difference of the two costs as they are printed, so that it can be checked by eye."""
    today, cost = (rounded(each.measures["present_value"], step) for each in (kit.report.reference, one))
    return kit.numbers.saving(float(today - cost), sign=False)


def _meanings() -> str:
    return (
        "Price per page: what each printed side would have to bring in to cover everything. "
        "Bound to pay: owed even if nothing is printed."
    )


def build(kit: Kit) -> list[Page]:
    """The page."""
    report = kit.report
    verdict = report.verdict
    keys = [one.key("level_month") for one in report.candidates if one.id in verdict.order[:2]]
    lines = [words for words in (sentences.financing(kit), sentences.people(kit)) if words]
    data = {
        "headline": sentences.headline(kit),
        "traced": kit.traced([*keys, "work.average_sides"]),
        "table": side_by_side(kit),
        "ribbon": kit.draw(ribbon),
        "ribbon_traced": kit.traced([one.key("present_value") for one in report.candidates] + ["volume_scale"]),
        "changes": sentences.changes(kit),
        "lines": lines,
        "whose": report.candidates if len(report.candidates) > 2 else (),
        "introduction": rendered(report.facts.introduction) if report.facts.introduction else "",
        "recommendation": rendered(report.facts.recommendation) if report.facts.recommendation else "",
        "contradiction": contradiction(kit),
        "sure": how_sure(kit),
        "squares": kit.draw(squares),
        "lines_traced": kit.traced(
            one.key(key)
            for one in report.candidates
            if one.id in verdict.order[:2]
            for key in ("financing_effect", "pv_people_saved", "pv_people_stay")
        ),
        "rests": sentences.rests_on(kit),
    }
    count = len(report.candidates)
    css = "answer throng" if count > THRONG else "answer crowd" if count > CROWD else "answer"
    return [
        Page("index.html", "The answer", "answer.html.j2", data, "Answer", css=css, runs=len(report.candidates) > 2)
    ]

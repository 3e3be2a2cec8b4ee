"""What is counted, by which conventions, what the words mean, and the cautions."""

from __future__ import annotations

from tco.advice.verdict import TOO_CLOSE
from tco.analyses.evidence import STEP
from tco.publish import rests, sentences
from tco.publish.measure_words import MEASURES
from tco.publish.parts import Kit, Page


def build(kit: Kit) -> list[Page]:
    """The page."""
    report = kit.report
    present = [m for m in MEASURES if any(kit.has(one.key(m.key)) for one in report.candidates)]
    data = {
        "kinds": report.kinds,
        "measures": present,
        "rests": sentences.rests_on(kit),
        "evidence": rests.shares(kit),
        "heaviest": rests.heaviest(kit),
        "gaps": report.gaps,
        "step": kit.numbers.percent(STEP),
        "whole": kit.numbers.percent(1),
        "close": kit.numbers.percent(TOO_CLOSE),
        "rate": kit.numbers.percent(report.facts.discount_rate, 1),
        "basis": report.facts.discount_basis,
        "tax": report.facts.income_tax,
    }
    return [Page("method.html", "Method and cautions", "method.html.j2", data, "Method")]

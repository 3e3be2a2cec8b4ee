"""Warnings about the figures the shop brings itself: worth at the end, volume, sources, the conclusion drawn."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from tco.advice.record import QuoteWarning, Reading
from tco.advice.study import Changes, Study

# Five years after purchase a production press is seldom worth more than this share of its price. Common practice.
HIGH_RESIDUAL, AT_MONTHS = 0.20, 60
PATHS = (-0.05, -0.10, -0.15)
OLD_DAYS = 366
NAMED = 3
ROUNDING = 1e-9
# Decisions of the writer, which need no source.
CHOSEN = frozenset({"months", "count", "from_month", "until_month", "volume_scale"})


def residual_high(study: Study) -> Iterator[QuoteWarning]:
    """A worth at the end that few presses reach."""
    for one in study.presses():
        bought = one.press.cash or one.press.loan
        lease = one.lease if one.lease is not None and one.lease.at_end == "buy" else None
        price = bought.price if bought is not None else lease.cash_price if lease is not None else None
        worth = bought.sells_for if bought is not None else lease.sells_for if lease is not None else None
        if price is None or worth is None or price.number <= 0:
            continue
        used = int((study.row(f"{one.block}.present") > 0).sum())
        limit = 1 - (1 - HIGH_RESIDUAL) * min(1.0, used / AT_MONTHS)
        if worth.number > limit * price.number * (1 + ROUNDING):
            share = study.percent(worth.number / price.number, 0)
            yield study.warning(
                "residual-high", one.candidate, "warn", worth.path,
                f"{one.name}: sells for {share} of its price after {used} months",
                "Who promises this price, does service go on for the next owner without a new inspection fee, and what "
                "did presses of this age fetch last year?",
                f"{study.told(worth.number)} is received when the press leaves",
                study.at(one.candidate, worth, worth.path, {"worth nothing": 0.0, "as written": worth.number}),
            )  # fmt: skip


def volume_path(study: Study) -> Iterator[QuoteWarning]:
    """No class of work is expected to shrink, not even at the low end."""
    rates = [one for one in study.volumes if one.path.endswith("change_per_year")]
    if not rates or any(one.number < 0 or (one.low is not None and one.low < 0) for one in rates):
        return
    leads = []
    for rate in PATHS:
        changes: Changes = {one.path: rate for one in rates}
        leader = study.leader(study.present_values(changes))
        leads.append(f"by {study.percent(-rate)} a year: {study.name(leader) if leader else 'nobody'}")
    yield study.warning(
        "volume-path", "", "warn", rates[0].path,
        f"The volume is flat or grows in every year; cheapest if it falls {', '.join(leads)}",
        "What did the meters show in each of the last three years, and which work may leave?",
        "The volume does not fall",
    )  # fmt: skip


def no_clear_winner(study: Study) -> Iterator[QuoteWarning]:
    """The cheapest changes between the low and the high end of the volumes written."""
    ranged = [one for one in study.volumes if one.has_range]
    if not ranged:
        return
    ends: list[str | None] = []
    for word in ("low", "high"):
        changes: Changes = {one.path: getattr(one, word) for one in ranged}
        ends.append(study.leader(study.present_values(changes)))
    if ends[0] != ends[1]:
        names = [study.name(one) if one else "nobody" for one in ends]
        yield study.warning(
            "no-clear-winner", "", "inform", ranged[0].path,
            f"The cheapest is {names[0]} at the low end of the volumes and {names[1]} at the high end",
            "How sure are the volumes, and which contract lets us change with them?",
            "The volumes as written; that there is no clear winner is a finding, not a fault",
        )  # fmt: skip


def recommendation(study: Study) -> Iterator[QuoteWarning]:
    """The written conclusion names another candidate than the cheapest one."""
    text, leader = (study.scenario.recommendation or "").lower(), study.leader(study.base)
    named = [key for key, owner in study.scenario.candidates_all if owner.title.lower() in text]
    if named and leader is not None and leader not in named:
        key = named[0]
        yield study.warning(
            "recommendation", key, "error", "recommendation",
            f"The recommendation names {study.name(key)}, the lowest cost is that of {study.name(leader)}",
            "Which reason outweighs the difference? Write it into the recommendation, or change it.",
            "The ranking is by cost in today's money",
            (Reading(f"lowest: {study.name(leader)}", study.base[leader]), Reading("named", study.base[key])),
        )  # fmt: skip


def _day(text: str) -> dt.date | None:
    for candidate in (text, f"{text}-01"):
        try:
            return dt.date.fromisoformat(candidate)
        except ValueError:
            continue
    return None


def study_date(study: Study) -> dt.date:
    """Return the date of the study: the one written, else the first day of the start."""
    prepared, start = study.scenario.prepared, study.scenario.start
    written = _day(prepared.date) if prepared is not None and prepared.date else None
    return written or dt.date(start.year, start.month, 1)


def old_evidence(study: Study) -> Iterator[QuoteWarning]:
    """Figures that are older than a year or come from nowhere."""
    now, scopes = study_date(study), set(study.base)
    found: dict[str, list[str]] = {}
    for line in study.model.lines:
        if line.role != "input" or line.id.rsplit(".", 1)[-1] in CHOSEN or not study.written(line.id):
            continue
        day = _day(line.origin.date) if line.origin.date else None
        bare = line.origin.status == "estimated" and not line.origin.source
        if bare or (day is not None and (now - day).days > OLD_DAYS):
            first = line.id.split(".", maxsplit=1)[0]
            found.setdefault(first if first in scopes else "", []).append(line.id)
    for key, paths in found.items():
        rest = f" and {len(paths) - NAMED} more" if len(paths) > NAMED else ""
        whose = study.name(key) if key else "The shop's own figures"
        yield study.warning(
            "old-evidence", key, "warn", paths[0],
            f"{whose}: without a source, or older than a year: "
            f"{', '.join(paths[:NAMED])}{rest}",
            "On which document, dated when, does each of these figures rest?" if not key or key == "today" else
            "Please put these terms into a dated quotation.",
            "The figures as written",
        )  # fmt: skip

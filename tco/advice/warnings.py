"""All warnings of a study, in one order, with what the writer has settled."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Final

from tco.advice import (
    capacity_and_speed,
    evidence,
    increases,
    lease_exit,
    lease_terms,
    minimums,
    plan_parts,
    scope,
    supplies_and_site,
    volume_and_clicks,
)
from tco.advice.record import SEVERITIES, QuoteWarning
from tco.advice.study import Study, Warner
from tco.problem import Problem

WARNERS: Final[Mapping[str, Warner]] = MappingProxyType({
    "click-basis": volume_and_clicks.click_basis,
    "oversize-rule": volume_and_clicks.oversize_rule,
    "included-size": volume_and_clicks.included_size,
    "blank-backs": volume_and_clicks.blank_backs,
    "colour-class": volume_and_clicks.colour_class,
    "overage-rate": volume_and_clicks.overage_rate,
    "bands-unread": volume_and_clicks.bands_unread,
    "bands-inverted": volume_and_clicks.bands_inverted,
    "settlement": minimums.settlement,
    "minimum-high": minimums.minimum_high,
    "minimum-per-press": minimums.minimum_per_press,
    "carry-forward": minimums.carry_forward,
    "increase-unstated": increases.increase_unstated,
    "increase-open": increases.increase_open,
    "cap-scope": increases.cap_scope,
    "lease-end": lease_terms.lease_end,
    "rent-timing": lease_terms.rent_timing,
    "dear-money": lease_terms.dear_money,
    "cash-price": lease_terms.cash_price,
    "rolled-in": lease_terms.rolled_in,
    "extras-unsaid": lease_terms.extras_unsaid,
    "contribution-may-stop": lease_terms.contribution,
    "renewal-unstated": lease_exit.renewal_unstated,
    "notice-early": lease_exit.notice_early,
    "return-terms": lease_exit.return_terms,
    "early-exit": lease_exit.early_exit,
    "funding-clause": lease_exit.funding_clause,
    "term-fiscal": lease_exit.term_fiscal,
    "terms-differ": lease_exit.terms_differ,
    "service-length": lease_exit.service_length,
    "recommended-volume": capacity_and_speed.recommended_volume,
    "volume-fit": capacity_and_speed.volume_fit,
    "rated-speed": capacity_and_speed.rated_speed,
    "hours-short": capacity_and_speed.hours_short,
    "busiest-week": capacity_and_speed.busiest_week,
    "due-hours": capacity_and_speed.due_hours,
    "labour-run-only": capacity_and_speed.labour_run_only,
    "service-hours": capacity_and_speed.service_hours,
    "coverage-cap": supplies_and_site.coverage_cap,
    "coverage-tiers": plan_parts.coverage_tiers,
    "financed-clicks": plan_parts.financed_clicks,
    "uptime-credit": plan_parts.uptime_credit,
    "sundries": supplies_and_site.sundries,
    "yield-coverage": supplies_and_site.yield_coverage,
    "parts-unpriced": supplies_and_site.parts_unpriced,
    "front-end": supplies_and_site.front_end,
    "site-unknown": supplies_and_site.site_unknown,
    "start-up": supplies_and_site.start_up,
    "waste-unset": supplies_and_site.waste_unset,
    "paper-uneven": scope.paper_uneven,
    "scope": scope.scope,
    "outside-effort": scope.outside_effort,
    "freed-hours": scope.freed_hours,
    "tax-uneven": scope.tax_uneven,
    "residual-high": evidence.residual_high,
    "volume-path": evidence.volume_path,
    "no-clear-winner": evidence.no_clear_winner,
    "recommendation": evidence.recommendation,
    "old-evidence": evidence.old_evidence,
})  # fmt: skip


def find_warnings(study: Study, codes: Collection[str] = WARNERS.keys()) -> tuple[QuoteWarning, ...]:
    """Return every warning of a study (of these codes), those that are settled with their reason.

    By candidate as written, then those about all; within a candidate by severity, money at stake and order of asking.
    """
    accepted = study.scenario.accepted or {}
    found = [
        replace(one, accepted=accepted.get(one.key) or accepted.get(one.code, ""))
        for code, warner in WARNERS.items()
        if code in codes
        for one in warner(study)
    ]
    places = {key: place for place, key in enumerate([*study.base, ""])}
    return tuple(sorted(found, key=lambda one: (places[one.candidate], SEVERITIES.index(one.severity), -one.swing)))


def not_comparable(warnings: tuple[QuoteWarning, ...]) -> dict[str, tuple[QuoteWarning, ...]]:
    """Return by candidate the open warnings that make it not yet comparable; empty key: all of them."""
    wrong = [one for one in warnings if one.severity == "error" and not one.accepted]
    keys = dict.fromkeys(one.candidate for one in wrong)
    return {key: tuple(one for one in wrong if one.candidate == key) for key in keys}


def settles_nothing(study: Study, warnings: tuple[QuoteWarning, ...]) -> list[Problem]:
    """Return a note for every entry under `accepted` that no warning answers to any more."""
    keys = {one.key for one in warnings} | {one.code for one in warnings}
    lines = study.scenario.document.lines
    return [
        Problem(study.scenario.document.file, lines.get(f"accepted.{key}"), f"accepted.{key}",
                "settles nothing any more",
                "No such warning is left", "Remove the line", "note")
        for key in study.scenario.accepted or {} if key not in keys
    ]  # fmt: skip

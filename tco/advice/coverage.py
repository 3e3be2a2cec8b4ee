"""What can go wrong with a quote, one row each, and which warning covers it; or why a scenario cannot show it yet."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Trigger:
    """One thing that goes wrong: the codes that cover it, or (also) what the file cannot say yet."""

    what: str
    codes: tuple[str, ...] = ()
    cannot: str = ""


_NO_KEY = "the file has no key that could tell"

COVERAGE: tuple[Trigger, ...] = (
    Trigger("a rate without the unit it is for", ("click-basis",)),
    Trigger("large sheets and no rule for them", ("oversize-rule",)),
    Trigger("included volume without the size it is counted in", ("included-size",)),
    Trigger("two-sided work and no word on blank backs", ("blank-backs",)),
    Trigger("colour class undefined, or colours counted apart", ("colour-class",)),
    Trigger("a minimum without a settlement period", ("settlement",)),
    Trigger("a minimum near or above the weakest period", ("minimum-high",)),
    Trigger("a minimum for each press while work is shared", ("minimum-per-press",)),
    Trigger("no carrying forward, no credit", ("carry-forward",)),
    Trigger("rate beyond the base unknown or far from that of the base", ("overage-rate",)),
    Trigger("a table of bands without its reading", ("bands-unread",)),
    Trigger("bands in which more costs less", ("bands-inverted",)),
    Trigger("no word on increases", ("increase-unstated",)),
    Trigger("an increase without cap, start or scope", ("increase-open",)),
    Trigger("a cap for one press or the first term only", ("cap-scope",)),
    Trigger("toner included without a coverage, or more coverage than that", ("coverage-cap",)),
    Trigger("colour tiers without a measured mix", ("coverage-tiers",)),
    Trigger("staples, wire, waste bottles, freight of supplies unclassified", ("sundries",)),
    Trigger("a yield without its coverage, or far from that of the work", ("yield-coverage",)),
    Trigger("kind of lease unknown, or bought at an unknown price", ("lease-end",)),
    Trigger("timing of rents unknown", ("rent-timing",)),
    Trigger("rents times term differ from a total that is told, factor times price from the rent", (),
            "a rent, a factor and a rate exclude each other in a lease, and a total has no key"),
    Trigger("implied rate high or below nothing", ("dear-money",)),
    Trigger("price of the press not told", ("cash-price",)),
    Trigger("financed sum above the price of what is listed", ("rolled-in",)),
    Trigger("clicks financed in the lease run out before it ends", ("financed-clicks",)),
    Trigger("fees, rent before the term, insurance, taxes unclassified", ("extras-unsaid",)),
    Trigger("renewal, its window or its length unknown", ("renewal-unstated",)),
    Trigger("notice that must be given early", ("notice-early",)),
    Trigger("freight, state and place of the return unknown", ("return-terms",)),
    Trigger("lease and service end at different times", ("service-length",)),
    Trigger("a term beyond the end of parts and support", (), _NO_KEY + " when the maker's support ends"),
    Trigger("candidates with different terms", ("terms-differ",)),
    Trigger("no formula for leaving early", ("early-exit",)),
    Trigger("a public body that cannot stop without funds", ("funding-clause",),
            "a public body is only recognised by `sales_tax: exempt`, and so the warning does not bar"),
    Trigger("a term across fiscal years", ("term-fiscal",)),
    Trigger("busiest month above, or mean far below, the recommended volume", ("volume-fit",)),
    Trigger("a maximum volume taken for a recommended one", ("recommended-volume",)),
    Trigger("a rated speed for heavy, large or two-sided work", ("rated-speed",)),
    Trigger("more hours needed than there are", ("hours-short",)),
    Trigger("a week that is overfull in a month that is not", ("busiest-week",)),
    Trigger("a job that takes longer than the time within which it is due", ("due-hours",)),
    Trigger("people counted for running time only", ("labour-run-only",)),
    Trigger("no waste, or spoilt clicks not billed", ("waste-unset",)),
    Trigger("a credit for stops without an estimate of the loss", ("uptime-credit",)),
    Trigger("service hours shorter than those of the shop", ("service-hours",)),
    Trigger("parts excluded without price and life", ("parts-unpriced",)),
    Trigger("years of support of the front end unknown", ("front-end",)),
    Trigger("electricity, heat, floor, doors, network unknown", ("site-unknown",)),
    Trigger("no training, no weeks of learning, no overlap", ("start-up",)),
    Trigger("a high worth at the end", ("residual-high",)),
    Trigger("a flat or growing volume after years of decline", ("volume-path",), "earlier years have no key"),
    Trigger("paper counted for some candidates only", ("paper-uneven",)),
    Trigger("candidates that cannot do the same work", ("scope",)),
    Trigger("savings of wages or shares that are paid all the same", ("freed-hours", "rolled-in"),
            "allocated overhead has no key"),
    Trigger("outside prices without ordering, delivery, copies above the order", ("outside-effort",)),
    Trigger("payments of a supplier that may stop", ("contribution-may-stop",)),
    Trigger("estimated meter readings, or a portal that is required", (), _NO_KEY + " how meters are read"),
    Trigger("tax on one way of paying and not on the other", ("tax-uneven",)),
    Trigger("a conclusion against the ranking", ("recommendation",)),
    Trigger("the answer changes within the volumes expected", ("no-clear-winner",)),
    Trigger("figures that are old or without a source", ("old-evidence",)),
)  # fmt: skip

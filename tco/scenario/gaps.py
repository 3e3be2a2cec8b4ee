"""What a scenario leaves unsaid and how it was read meanwhile."""

from __future__ import annotations

from collections.abc import Iterator

from tco.problem import Problem
from tco.reference_data import paper
from tco.scenario.context import Context, Unknown
from tco.scenario.locales import exactly, percent
from tco.scenario.schema import Scenario
from tco.scenario.schema_candidate import Candidate
from tco.scenario.schema_press import Press
from tco.scenario.schema_service import MeterTerms, Service
from tco.scenario.tree import public_path
from tco.scenario.words import LARGE_SIZES

LEAST_A_LITRE = 1.0  # common practice, no source: no ink for presses is sold below one unit of money a litre


def find_gaps(scenario: Scenario, ctx: Context) -> Iterator[Problem]:
    """Yield the gaps of a completed scenario: silences first read to the dearer side, then unknown prices."""
    gap = _Gaps(scenario, ctx)
    for unknown in ctx.unknowns.values():
        yield gap.unknown(unknown)
    for _, candidate in scenario.candidates_all:
        yield from gap.candidate(candidate)
    yield from gap.outside()


class _Gaps:
    def __init__(self, scenario: Scenario, ctx: Context) -> None:
        self.scenario = scenario
        self.ctx = ctx
        jobs = list((scenario.jobs or {}).values())
        work = scenario.work
        self.sizes = sorted({job.size for job in jobs})
        self.black_sizes = {job.size for job in jobs if job.colour == "black"}
        share = work.oversize_share if work is not None else None
        self.large_by_colour = {
            colour: any(job.is_large for job in jobs if job.colour == colour)
            or (share is not None and getattr(work, colour) is not None and getattr(share, colour).number > 0)
            for colour in ("colour", "black")}
        if work is not None:
            self.sizes = [work.size] + ([work.large_size] if any(self.large_by_colour.values()) else [])
            self.black_sizes = set(self.sizes)
        self.large = any(self.large_by_colour.values())
        self.two_sided = any(job.two_sided for job in jobs) or (work is not None and work.two_sided_share.number > 0)
        self.odd = any(job.two_sided and int(job.sides_per_set.number) % 2 for job in jobs)
        self.heavy = any(job.heavy for job in jobs)
        self.paper = scenario.shop.paper is not None and not scenario.is_left_out("paper")

    def make(self, path: str, line: int | None, what: str, why: str, instead: str) -> Problem:
        return Problem(self.ctx.file, line, public_path(path), what, why, instead, "gap")

    def unknown(self, item: Unknown) -> Problem:
        """Say what stands for a figure that is not stated."""
        key = item.path.rsplit(".", 1)[-1]
        value, place = item.stands.number, self.scenario.money.locale
        if item.how == "allowance":
            stands = f"is not stated; allowances.{key} {exactly(value, place)} is used"
            return self.make(item.path, item.line, stands, "", "Ask for the figure")
        if item.how == "practice":
            return self.make(item.path, item.line, f"is not stated; {percent(value, place)} is used",
                             "Common practice, not a quote",
                             "Ask for the increase and its cap in writing, or write `allowances: {increase: …}`")
        if item.how == "range":
            end = f"{exactly(value, place)}, the dearer end of its range,"
            return self.make(item.path, item.line, f"is not stated; {end} is used", "", "Ask for the figure")
        return self.make(item.path, item.line, "is not stated; 0 is used and the switch value is shown",
                         "The switch value is the sum from which the order changes",
                         f"Ask for the figure, or write `allowances: {{{key}: …}}`")

    def silent(self, path: str) -> bool:
        """Tell whether the tool filled in this path of the file."""
        return path in self.ctx.filled

    def candidate(self, candidate: Candidate) -> Iterator[Problem]:
        """Yield the gaps of one candidate."""
        top = candidate.id if candidate.id == "today" else f"candidates.{candidate.id}"
        if candidate.presses is not None and candidate.service is not None:
            yield from self.service(candidate.service, f"{top}.service")
        for _, press, prefix in candidate.press_items():
            path = prefix if candidate.id == "today" else f"candidates.{prefix}"
            if press.service is not None:
                yield from self.service(press.service, f"{path}.service")
            yield from self.lease(press, f"{path}.lease")
            yield from self.speeds(press, path)
            yield from self.ink(press, f"{path}.supplies")

    def ink(self, press: Press, path: str) -> Iterator[Problem]:
        """Yield inks by area whose price was probably typed for a millilitre: a thousandth of what is meant."""
        for name, supply in (press.supplies or {}).items():
            price = supply.price.number
            if supply.ml_per_m2 is not None and 0 < price < LEAST_A_LITRE:
                line = self.scenario.document.lines.get(f"{path}.{name}.price")
                told = exactly(price, self.scenario.money.locale)
                yield self.make(f"{path}.{name}.price", line, f"is {told} a litre, which may be that of a millilitre",
                                "Ink by area is priced by the litre", "Write the price of a litre")

    def service(self, plan: Service, path: str) -> Iterator[Problem]:
        """Yield the structural silences of a plan, each read to the dearer side."""
        line = self.scenario.document.lines.get(path)
        meters = plan.meters_in_order
        if self.silent(f"{path}.oversize_counts") and self.needs_size_rule(meters):
            yield self.make(f"{path}.oversize_counts", line, "is not stated; 2 clicks a large side are used",
                            "The dearer of the two usual readings", "Ask how many clicks a large side counts")
        banded = [one for one in meters if isinstance(one.rate, tuple)]
        settled = plan.minimum_charge or plan.rebate or any(one.included or one.minimum for one in meters)
        if self.silent(f"{path}.settled") and (settled or banded):
            yield self.make(f"{path}.settled", line, "is not stated; monthly settlement is used",
                            "Slack of one month does not help the next then", "Ask for the settlement period in "
                                                                              "writing")
        places = [f"{path}.bands" if one.own is None else f"{path}.meters.{one.id}.bands_read" for one in banded]
        for place in dict.fromkeys(places):
            if self.silent(place):
                yield self.make(place, line, "is not stated; graduated bands are used",
                                "Read as all units a lower rate would hold for all clicks", "Ask which reading holds")
        if self.silent(f"{path}.blank_backs") and self.odd:
            yield self.make(f"{path}.blank_backs", line, "is not stated; the blank back of a last sheet is a click",
                            "Two-sided sets with an odd number of sides leave blank backs", "Ask whether blank "
                                                                                            "backs count")

    def needs_size_rule(self, meters: tuple[MeterTerms, ...]) -> bool:
        """Tell whether large sides may reach a meter that counts them by the plan's rule."""
        for colour in (colour for colour, large in self.large_by_colour.items() if large):
            for one in meters:
                if one.fits(colour, is_large=True) and one.needs_size_rule:
                    return True
                if one.fits(colour, is_large=True) and not one.has_range and not (one.own and one.own.classes):
                    break
        return False

    def lease(self, press: Press, path: str) -> Iterator[Problem]:
        """Yield the silences of a lease."""
        lease = press.new_lease
        if lease is None:
            return
        line = self.scenario.document.lines.get(path)
        if self.silent(f"{path}.paid"):
            yield self.make(f"{path}.paid", line, "is not stated; rents in advance are used", "Dearer than in arrears",
                            "Ask when the first rent is due")
        if self.silent(f"{path}.at_end"):
            yield self.make(f"{path}.at_end", line, "is not stated; the press is returned at the end", "",
                            "Write return, buy or renew")
        if lease.at_end == "buy" and lease.cash_price is None and lease.months.number > self.scenario.horizon:
            yield self.make(f"{path}.cash_price", line, "is not stated; remaining rents are settled undiscounted",
                            "Without a cash price the rate of the lease is not known", "Ask for the cash price")

    def speeds(self, press: Press, path: str) -> Iterator[Problem]:
        """Yield the silences about speed that this scenario's work depends on."""
        line = self.scenario.document.lines.get(path)
        if press.sides_per_minute is None:
            yield self.make(f"{path}.sides_per_minute", line, "is not stated; capacity is not checked", "",
                            "Ask for tested speeds by size")
            return
        for size in self.sizes:
            if size not in press.sides_per_minute and self.asked_of(press, size):
                how = "feed lengths" if size in LARGE_SIZES else "its edges"
                yield self.make(f"{path}.sides_per_minute", line, f"gives no speed for {size}; it is derived "
                                                                  f"from {how}", "",
                                f"Ask for the speed on {size}")
        if self.two_sided and self.silent(f"{path}.two_sided_factor"):
            yield self.make(f"{path}.two_sided_factor", line, "is not stated; two-sided work at full speed is used",
                            "A rated speed is seldom held on two-sided work", "Ask for the two-sided speed")
        if self.heavy and self.silent(f"{path}.heavy_factor"):
            yield self.make(f"{path}.heavy_factor", line, "is not stated; half speed on heavy stock is used", "",
                            "Ask for the speed on heavy stock")

    def asked_of(self, press: Press, size: str) -> bool:
        """Tell whether this press may get work of a size: it takes the sheet and prints the colour of such work."""
        if press.largest is not None and not paper.size(size).fits(paper.size(press.largest)):
            return False
        return press.colour or size in self.black_sizes

    def outside(self) -> Iterator[Problem]:
        """Yield the silences of outside prices."""
        outside = self.scenario.outside
        if outside is None:
            return
        line = self.scenario.document.lines.get("outside")
        if self.large and self.silent("outside.oversize_counts"):
            yield self.make("outside.oversize_counts", line, "is not stated; a large side is charged as 2", "",
                            "Ask for the price of a large side")
        if not self.scenario.is_left_out("finishing"):
            finishes = sorted({job.finish for job in (self.scenario.jobs or {}).values() if job.finish})
            for finish in finishes:
                if finish not in (outside.finishing or {}):
                    yield self.make("outside.finishing", line, f"gives no price for {finish}; 0 is used", "",
                                    f"Ask for the price of {finish}")
                if finish not in (self.scenario.shop.finishing or {}):
                    yield self.make("shop.finishing", line, f"does not tell {finish}; in house it costs nothing", "",
                                    f"Add {finish} to shop.finishing")
        if self.paper and self.silent("outside.paper"):
            yield self.make("outside.paper", line, "is not stated; paper comes on top of outside prices", "",
                            "Ask whether paper is included")

"""Sections 9 to 13 in whole beside the engine: what differs, in words. Fiscal years are columns, 1 at position 0."""

from __future__ import annotations

from collections.abc import Iterator

from tests.oracle import books, fleets, leasing, running, stopping
from tests.oracle.compare import Compared, Statement, far
from tests.oracle.oracle import Candidate
from tests.oracle.placing import Press


class Whole(Statement):
    """Everything that a candidate is compared by, and fleets, recovery, books and emissions beside it."""

    def differences(self) -> Iterator[str]:
        """Tell everything that differs."""
        yield from super().differences()
        for key, candidate in self.oracle.candidates.items():
            parts = (self.week, self.due, self.recovery, self.lives, self.fiscal, self.books, self.leases)
            for part in (*parts, self.old_debt, self.minimums, self.emissions, self.stops):
                for told in part(key, candidate):
                    yield f"{key}: {told}"

    def plan_blocks(self, key: str) -> list[str]:
        """Give the blocks of a candidate's plans in the order of the oracle; a press that follows has its own."""
        candidate, raw = self.oracle.candidates[key], self.data["today"] if key == "today" else None
        raw = self.data["candidates"][key] if raw is None else raw
        out = []
        for plan in candidate.plans:
            own = len(plan.presses) == 1 and "service" in plan.presses[0].raw
            of_press = own and ("presses" in raw or plan.presses[0].follows)
            out.append(f"{key}.{plan.presses[0].key}.plan" if of_press else f"{key}.plan")
        return out

    def one(self, name: str, key: str, theirs: float | None) -> Iterator[str]:
        """Tell whether one figure differs; None: the engine must not have it."""
        if (theirs is None) == (key in self.model):
            yield f"{name}: oracle {theirs}, engine {'has it' if key in self.model else 'lacks it'}"
        elif theirs is not None and far(self.figure(key), theirs):
            yield f"{name}: engine {self.figure(key)}, oracle {theirs}"

    def years(self, name: str, key: str, theirs: list[float]) -> Iterator[str]:
        """Tell the first fiscal year in which a figure differs."""
        value = self.values[key][min(self.draw, len(self.values[key]) - 1)]
        ours = [float(x) for x in value[:, 0]]
        for year in range(max(len(ours), len(theirs))):
            a, b = (row[year] if year < len(row) else 0.0 for row in (ours, theirs))
            if far(a, b):
                yield f"{name} in fiscal year {year + 1}: engine {a}, oracle {b}"
                return

    def week(self, key: str, candidate: Candidate) -> Iterator[str]:
        """The busiest week."""
        if "busiest_week" not in self.data or not candidate.shift.presses:
            return
        week = fleets.busiest_week(candidate, self.oracle.clock)
        yield from self.rows("too many", self.row(f"{key}.busiest_week.too_many"), week.too_many)
        yield from self.one("most too many", f"{key}.busiest_week.most", max(week.too_many))
        for press, load in week.load.items():
            if load:
                block = f"{key}.{press or 'press'}"
                yield from self.rows(f"load of {press}", self.row(f"{block}.week_load"), load)
                yield from self.one(f"highest load of {press}", f"{block}.week_load_most", max(load))

    def due(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Hours of a job that is due in a time."""
        jobs, hours = self.data.get("jobs") or {}, fleets.job_hours(candidate)
        due = [(name, job) for name, job in jobs.items() if "due_hours" in job and name in hours]
        if due or f"{key}.due.hours" in self.model:
            for entry, (name, job) in enumerate(due):
                theirs = (hours[name], max(0.0, hours[name] - float(job["due_hours"])))
                for figure, amount in zip(("hours", "late"), theirs, strict=True):
                    yield from self.rows(f"{figure} of {name}", self.row(f"{key}.due.{figure}", entry), [amount])

    def recovery(self, key: str, candidate: Candidate) -> Iterator[str]:
        """What is charged, and the hourly rate of the machines."""
        clock, row = self.oracle.clock, fleets.recovery(candidate, self.oracle.clock)
        if f"{key}.recovery.charged" in self.model:
            worth = fleets.worth(row, clock)
            yield from self.rows("charged", self.row(f"{key}.recovery.charged"), row)
            yield from self.one("surplus", f"{key}.measures.surplus", sum(row) - candidate.total)
            yield from self.one("charges", f"{key}.measures.pv_recovered", worth)
            factor = candidate.present_value / worth if worth else 0.0
            yield from self.one("factor on charges", f"{key}.measures.charges_factor", factor)
        elif any(row):
            yield "charges are not there"
        rates = fleets.hourly_rate(candidate)
        if (rates is None) == (f"{key}.hourly_rate.rate" in self.model):
            yield f"hourly rate: oracle {rates}"
        if rates:
            fixed = sum(candidate.totals[heading] for heading in fleets.KINDS_OF_MACHINES)
            yield from self.one("fixed a year", f"{key}.hourly_rate.fixed_year", fixed / clock.months * 12)
        for place, rate in enumerate(rates or ()):
            yield from self.rows("hourly rate", self.row(f"{key}.hourly_rate.rate", place), [rate])

    def lives(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Unequal lives."""
        clock = self.oracle.clock
        yield from self.one("month of use", f"{key}.measures.month_of_use", fleets.month_of_use(candidate, clock))
        start = fleets.level_month_of_start(candidate, clock)
        yield from self.one("level month of the start", f"{key}.measures.level_month_start", start)

    def fiscal(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Cash by fiscal year."""
        clock, columns = self.oracle.clock, max(self.model.columns, *(m for m, _ in candidate.statement))
        parts = books.by_month(candidate, columns)
        for part, row in parts.items():
            yield from self.years(part, f"{key}.fiscal.{part}_by_year", books.by_year(row, clock))
        paid = [sum(at) for at in zip(*parts.values(), strict=True)]
        yield from self.years("paid", f"{key}.fiscal.paid_by_year", books.by_year(paid, clock))
        last = clock.fiscal_year(columns)
        worth = [books.present_value(candidate.statement, clock, year) for year in range(1, last + 1)]
        yield from self.years("worth", f"{key}.fiscal.worth_by_year", worth)

    def books(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Expenses by month and fiscal year."""
        terms = candidate.shift.data["money"].get("books")
        if terms is None:
            return
        columns = max(self.model.columns, *(m for m, _ in candidate.statement))
        theirs = books.books(candidate, terms, columns)
        for part in ("depreciation", "loss", "expense"):
            row = getattr(theirs, part)
            yield from self.rows(f"books: {part}", self.row(f"{key}.books.{part}"), row)
            yield from self.years(
                f"books: {part}", f"{key}.books.{part}_by_year", books.by_year(row, self.oracle.clock)
            )

    def new_leases(self, candidate: Candidate) -> list[Press]:
        """List the presses on new leases."""
        return [press for press in candidate.shift.presses if press.form == "lease"]

    def leases(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Lease accounting of every new lease."""
        money, clock = candidate.shift.data["money"], self.oracle.clock
        if "lease_accounting" not in money:
            return
        terms = money["lease_accounting"]
        life = terms.get("life", (money.get("books") or {}).get("years"))
        sums: dict[str, list[float]] = {}
        for press in self.new_leases(candidate):
            it = books.lease_accounting(press, terms, None if life is None else float(life), clock)
            block, name = f"{key}.{press.key or 'press'}.lease_accounting", f"lease of {press.key}: "
            yield from self.one(f"{name}liability", f"{block}.liability_at_signing", it.at_signing)
            yield from self.one(f"{name}right of use", f"{block}.right_at_signing", it.right_of_use)
            if str(terms["framework"]) == "ASC 842" and str(press.terms.get("at_end")) != "buy":  # that one is known
                yield from self.one(f"{name}class", f"{block}.finance", float(it.finance))
            for figure, row in it.by_month(press.first, self.model.columns).items():
                sums[figure] = [a + b for a, b in zip(row, sums.get(figure, [0.0] * len(row)), strict=True)]
                if figure in ("liability", "interest", "expense", "right_of_use"):
                    yield from self.rows(f"{name}{figure}", self.row(f"{block}.{figure}"), row)
        for figure, row in sums.items():
            closes = [row[m - 1] for m in range(1, len(row) + 1) if self.ends_fiscal_year(m)]
            at_close = figure in ("liability", "right_of_use")
            theirs = closes if at_close else books.by_year(row, clock)
            yield from self.years(f"leases: {figure}", f"{key}.lease_accounting.{figure}_by_year", theirs)

    def ends_fiscal_year(self, month: int) -> bool:
        """Say whether a fiscal year, or the model, ends with a month."""
        clock = self.oracle.clock
        return month == self.model.columns or clock.fiscal_year(month + 1) > clock.fiscal_year(month)

    def old_debt(self, key: str, candidate: Candidate) -> Iterator[str]:
        """What of the rents repays old debt."""
        for press in candidate.shift.presses:
            if press.form == "lease" and "rolled_in" in press.terms:
                rents, block = leasing.rents_of(press, self.oracle.clock.calendar(1)), f"{key}.{press.key or 'press'}"
                share = press.terms["rolled_in"] / leasing.financed(press.terms)
                yield from self.one("old share", f"{block}.old_share", share)
                yield from self.one("old rent", f"{block}.old_rent", share * rents.level)
                yield from self.one("old rents", f"{block}.old_rents", share * press.sums * rents.all)

    def minimums(self, key: str, candidate: Candidate) -> Iterator[str]:
        """The part of least charges that pays for presses."""
        terms, number = candidate.shift.data["money"].get("lease_accounting"), 0
        for plan in candidate.plans:
            if terms and "equipment_share" in plan.raw:
                number += 1
                owed = books.fixed_in_minimum(plan, terms, self.oracle.clock, {})
                yield from self.one("least", f"{key}.lease_accounting.minimum_liability_{number}", owed)

    def emissions(self, key: str, candidate: Candidate) -> Iterator[str]:
        """Kilograms a month."""
        if "emissions" in (self.data.get("shop") or {}):
            kilograms = [running.emissions(candidate.shift, m) for m in range(1, self.oracle.clock.months + 1)]
            yield from self.rows("emissions", self.row(f"{key}.emissions.kg"), kilograms)

    def stops(self, key: str, candidate: Candidate) -> Iterator[str]:
        """What stopping costs, what is contracted, what is bound if funds stop."""
        tree, clock = candidate.shift.data, self.oracle.clock
        after = stopping.stop_after(tree, candidate, clock)
        yield from self.rows("stopped", self.row(f"{key}.measures.stop_after")[: clock.months], after)
        # Instalments may outlive the columns of the model.
        signed = stopping.contracted(tree, candidate, clock, self.model.columns)[: self.model.columns]
        yield from self.rows("contracted", self.row(f"{key}.measures.contracted"), signed)
        raw = tree["candidates"].get(key) or {}
        if str(raw.get("may_stop_without_funds")) == "yes":
            funds = stopping.bound_if_funds_stop(tree, candidate, clock)
            yield from self.one("if funds stop", f"{key}.measures.bound_if_funds_stop", funds)


class Headings(Whole):
    """The same with costs by heading, for scenarios of sections 1 to 8."""

    costs = Compared.costs

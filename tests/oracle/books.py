"""Fiscal years, books and lease accounting for the oracle, section 12. Money; months 1 ... at position 0 ...."""

from __future__ import annotations

from dataclasses import dataclass

from tests.oracle import leasing, oracle, service
from tests.oracle import reading as r
from tests.oracle.equipment import Asset
from tests.oracle.flows import Flow
from tests.oracle.oracle import Candidate
from tests.oracle.placing import Press
from tests.oracle.work import Clock

CAPITAL = ("purchase", "down_payment", "buy_price", "sale", "present_sale")
LOAN = ("loan_interest", "loan_principal", "loan_balance")
PARTS = ("capital", "loan", "operating", "relief")


def by_month(candidate: Candidate, months: int) -> dict[str, list[float]]:
    """Split the statement into capital, loan payments, operating and tax relief, by month."""
    out = {part: [0.0] * months for part in PARTS}
    for heading, flow in candidate.flows.items():
        part = {**dict.fromkeys(CAPITAL, "capital"), **dict.fromkeys(LOAN, "loan"), "income_tax": "relief"}
        for (month, _), amount in flow.items():
            out[part.get(heading, "operating")][month - 1] += amount
    for month, amount in candidate.money.capitalised.items():
        out["capital"][month - 1] += amount
        out["operating"][month - 1] -= amount
    return out


def by_year(row: list[float], clock: Clock) -> list[float]:
    """Add up by fiscal year."""
    out = [0.0] * clock.fiscal_year(len(row))
    for m, amount in enumerate(row, start=1):
        out[clock.fiscal_year(m) - 1] += amount
    return out


@dataclass
class Books:
    """What one candidate costs in the books."""

    depreciation: list[float]
    loss: list[float]
    expense: list[float]


def written_off(asset: Asset, years: float, residual: float, months: int) -> list[float]:
    """Write one asset off in a straight line while it is in service."""
    out = [0.0] * months
    for m in range(asset.first, asset.leaves + 1):
        if m - asset.first < 12 * years:
            out[m - 1] = asset.amount * (1 - residual) / (12 * years)
    return out


def books(candidate: Candidate, terms: r.Tree, months: int) -> Books:
    """Turn the statement into expenses: what is bought outright or on a loan is written off."""
    years, residual = r.number(terms["years"]), r.number(terms.get("residual_share"))
    out = Books([0.0] * months, [0.0] * months, [0.0] * months)
    for flow in candidate.flows.values():
        for (month, _), amount in flow.items():
            out.expense[month - 1] += amount
    for heading in ("purchase", "down_payment", "loan_principal", "loan_balance"):
        for (month, _), amount in candidate.flows[heading].items():
            out.expense[month - 1] -= amount
    for month, amount in candidate.money.capitalised.items():
        out.expense[month - 1] -= amount
    for asset in candidate.money.assets:
        if asset.leased:
            continue
        row = written_off(asset, years, residual, months)
        loss = asset.amount - sum(row) - asset.proceeds
        for place, amount in enumerate(row):
            out.depreciation[place] += amount
            out.expense[place] += amount
        out.loss[asset.leaves - 1] += loss
        out.expense[asset.leaves - 1] += loss + asset.proceeds
    return out


@dataclass
class Accounted:
    """One new lease in the books, all its presses: months of the lease, 1 at position 0."""

    finance: bool
    at_signing: float
    right_of_use: float
    liability: list[float]
    interest: list[float]
    paid: list[float]  # off the liability
    expense: list[float]
    right_left: list[float]

    def by_month(self, first: int, columns: int) -> dict[str, list[float]]:
        """Give what changes in each operating month and what stands at its close; the lease is signed in `first`."""
        before = [0.0] * (first - 1)
        after = [0.0] * (columns - len(before) - len(self.interest))
        written = [a - b for a, b in zip([self.right_of_use, *self.right_left], self.right_left, strict=False)]
        rows = {"interest": self.interest, "paid": self.paid, "expense": self.expense, "written": written}
        rows |= {"liability": self.liability, "right_of_use": self.right_left}
        out = {name: before + row + after for name, row in rows.items()}
        stays = self.right_left[-1]  # of a press that is bought after its lease
        out["right_of_use"][len(before) + len(self.interest) :] = [stays] * len(after)
        for name, taken in (("taken", self.at_signing), ("right_taken", self.right_of_use)):
            out[name] = [taken if m == first else 0.0 for m in range(1, columns + 1)]
        return out


def lease_accounting(press: Press, terms: r.Tree, life: float | None, clock: Clock) -> Accounted:
    """Account for one lease from signing to the end of its term."""
    lease, rents = press.terms, leasing.rents_of(press, clock.calendar(1))
    i, kept = r.number(terms["rate"]) / 12, press.sums * (1 - r.number(lease.get("service_share")))
    months, bought = round(r.number(lease["months"])), str(lease.get("at_end", "return")) == "buy"
    price = press.sums * r.number(lease.get("buy_price")) if bought else 0.0
    dues = [(time, kept * amount) for time, amount in rents.dates]
    signed, later = sum(a for time, a in dues if time == 0), [due for due in dues if due[0] > 0]
    owed = sum(amount * (1 + i) ** -time for time, amount in later) + price * (1 + i) ** -months
    fee = press.sums * r.number(lease.get("document_fee"))
    right = owed + signed + fee
    cash = press.sums * r.number(lease["cash_price"]) if "cash_price" in lease else None
    tests = [bought, life is not None and months >= 0.75 * 12 * life, cash is not None and owed + signed >= 0.9 * cash]
    finance = str(terms["framework"]) != "ASC 842" or any(tests)
    out = Accounted(finance, owed, right, [], [], [], [], [])
    level = (sum(amount for _, amount in dues) + fee) / months
    life_months = 12 * life if bought and life is not None else months
    left = right
    for k in range(1, months + 1):
        opening = sum(amount for time, amount in later if rents.advance and time == k - 1)
        closing = sum(amount for time, amount in later if not rents.advance and time == k)
        interest = (owed - opening) * i
        paid = opening + closing + (price if k == months else 0.0)
        owed += interest - paid
        expense = interest + min(right / life_months, left) if finance else level
        left -= expense - interest
        out.liability.append(owed)
        out.interest.append(interest)
        out.paid.append(paid)
        out.expense.append(expense)
        out.right_left.append(left)
    return out


def fixed_in_minimum(plan: service.Plan, terms: r.Tree, clock: Clock, allowances: r.Tree) -> float:
    """Give the worth at signing of the part of a plan's minimum charge that pays for the press."""
    raw, of = plan.raw, service.Terms(plan, clock, allowances)
    i, length = r.number(terms["rate"]) / 12, round(r.number(raw["months"]))
    out = 0.0
    for start in range(0, length, of.period):
        end = min(start + of.period, length)
        counted = end - start if of.pro_rata else of.period
        out += r.amount(raw["minimum_charge"]) * counted * (1 + i) ** -end
    return out * r.number(raw["equipment_share"])


def present_value(flow: Flow, clock: Clock, year: int) -> float:
    """Discount what falls in a fiscal year."""
    return sum(amount * clock.factor(*when) for when, amount in flow.items() if clock.fiscal_year(when[0]) == year)


def ranged(tree: object, path: str = "") -> dict[str, tuple[float, float]]:
    """List figures with a low and a high end by their path in the file."""
    out: dict[str, tuple[float, float]] = {}
    if isinstance(tree, dict):
        if {"low", "high"} <= set(tree):
            return {path: (reading(tree["low"]), reading(tree["high"]))}
        for key, part in tree.items():
            out |= ranged(part, f"{path}.{key}".removeprefix("."))
    return out


def reading(raw: object) -> float:
    """Read a number or a percentage."""
    return float(raw[:-1]) / 100 if isinstance(raw, str) else float(str(raw))


def not_to_exceed(data: r.Tree, key: str) -> list[float]:
    """Give the cash of a candidate by fiscal year with every ranged figure at its dearer end."""
    taken: dict[str, float] = {}
    own = oracle.evaluate(data).candidates[key].present_value
    for path, ends in ranged(data).items():
        words = path.split(".")
        asked = path in ("work.colour", "work.black", "volume_scale") or words[-1] in ("jobs", "change_per_year")
        worth = [own if asked else _worth(data, key, path, end) for end in ends]
        name = path.removeprefix("candidates.")
        if asked or max(worth) > own:
            taken[name] = ends[1] if asked or worth[1] >= worth[0] else ends[0]
    result = oracle.evaluate(data, taken)
    it = result.candidates[key]
    row = [0.0] * max(month for month, _ in it.statement)
    for (month, _), amount in it.statement.items():
        row[month - 1] += amount
    return by_year(row, result.clock)


def _worth(data: r.Tree, key: str, path: str, end: float) -> float:
    return oracle.evaluate(data, {path.removeprefix("candidates."): end}).candidates[key].present_value

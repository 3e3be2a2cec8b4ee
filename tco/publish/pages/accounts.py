"""Tables for the budget and the accountant: parts of a fiscal year, the way to expense, lease accounting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tco.analyses.not_to_exceed import nothing_ranged
from tco.publish.numbers import NONE, listed
from tco.publish.parts import Cell, Fact, Kit, Row, Table, clipped
from tco.report import Candidate, Entry

BUDGET = (
    ("Capital", "capital"),
    ("Loan payments", "loan"),
    ("Operating", "operating"),
    ("Tax relief", "relief"),
    ("Paid in the year", "paid"),
)
# Label, key below the candidate, sign in the sum, and whether the row is a sum of those above.
BRIDGE = (
    ("Paid in the year", "fiscal.paid_by_year", 1, False),
    ("Less capital and principal", "books.capital_by_year", -1, False),
    ("Plus depreciation", "books.depreciation_by_year", 1, False),
    ("Plus loss on presses that leave", "books.loss_by_year", 1, False),
    ("Expense", "books.expense_by_year", 1, True),
)
LEASES = (
    ("Liability taken on", "taken", False),
    ("Interest", "interest", False),
    ("Rents that repay it", "paid", False),
    ("Liability at the close", "liability", True),
    ("Right of use taken on", "right_taken", False),
    ("Written off", "written", False),
    ("Right of use at the close", "right_of_use", True),
    ("Expense of leases", "expense", True),
)
BALANCES = frozenset({"liability", "right_of_use"})
CENT = 0.005


@dataclass(frozen=True)
class Accounted:
    """Lease accounting of one candidate: what is said at signing, press by press, and the schedule by fiscal year."""

    table: Table | None
    facts: tuple[Fact, ...]
    name: str


def budget(kit: Kit, one: Candidate, names: Mapping[int, str]) -> Table | None:
    """Parts of the budget down, fiscal years across; None when the model does not tell."""
    rows: list[Row] = []
    keys: list[str] = []
    for label, part in BUDGET:
        key = f"{one.id}.fiscal.{part}_by_year"
        if not kit.has(key):
            return None
        entry = kit.report.by_key[key]
        if part in ("operating", "paid") or _any(entry):
            rows.append(_row(kit, label, entry, names, css="total" if part == "paid" else ""))
            keys.append(key)
    ceiling = kit.report.ceilings.get(one.id)
    if ceiling is not None and not nothing_ranged(kit.report.ceilings):
        cells = [Cell(kit.numbers.whole(ceiling.years[year - 1])) for year in names]
        rows.append(Row("Not to exceed", (*cells, Cell(kit.numbers.whole(sum(ceiling.years)), css="strong"))))
    ends = [key for key, _ in ceiling.ends] if ceiling is not None else []
    worth = kit.report.by_key[f"{one.id}.fiscal.worth_by_year"]
    rows.append(_row(kit, "Paid, in today’s money", worth, names))
    return Table(
        f"t-budget-{one.place}", kit.name(one.id), _columns(kit, names), tuple(rows), "Part of the budget",
        _ends(kit, ends), kit.traced([*keys, worth.key, *ends]),
    )  # fmt: skip


def _ends(kit: Kit, keys: list[str]) -> str:
    """Which figures stand at their dearer end."""
    if not keys:
        return ""
    labels = dict.fromkeys(_label(kit, key) for key in keys)
    told = listed([clipped(label, 50) for label in labels])
    return f"Not to exceed: what is paid in the year, computed again with the dearer end of {told}."


def _label(kit: Kit, key: str) -> str:
    entry = kit.report.by_key[kit.report.home[key]]
    if key in entry.entry_keys:
        return f"{entry.label}: {entry.axis_labels[entry.entry_keys.index(key)]}"
    return entry.label


def bridge(kit: Kit, one: Candidate, names: Mapping[int, str]) -> Table | None:
    """From what is paid to what the books expense; None without books, or where nothing is bought."""
    if not (kit.has(f"{one.id}.books.expense_by_year") and kit.has(f"{one.id}.books.basis_1")):
        return None
    found = [(label, kit.report.by_key[f"{one.id}.{key}"], sign, is_sum) for label, key, sign, is_sum in BRIDGE]
    rows = [
        _row(kit, label, entry, names, sign=sign, css="total" if is_sum else "") for label, entry, sign, is_sum in found
    ]
    worth = kit.report.by_key[f"{one.id}.fiscal.worth_by_year"]
    rows.append(_row(kit, "Paid, in today’s money", worth, names))
    keys = [entry.key for _, entry, _, _ in found]
    title = f"{kit.name(one.id)}: from cash to expense"
    return Table(f"t-bridge-{one.place}", title, _columns(kit, names), tuple(rows), "Step", "",
                 kit.traced([*keys, worth.key]))  # fmt: skip


def lease_accounting(kit: Kit, one: Candidate, names: Mapping[int, str]) -> Accounted | None:
    """The schedule of a candidate's new leases; None when it has none, or nobody asked.

    `names` are those of all fiscal years of the model.
    """
    facts = tuple(_at_signing(kit, one))
    head = f"{one.id}.lease_accounting"
    if not kit.has(f"{head}.liability_by_year"):
        return Accounted(None, facts, kit.name(one.id)) if facts else None
    entries = [(label, part, kit.report.by_key[f"{head}.{part}_by_year"], strong) for label, part, strong in LEASES]
    last = [place for _, _, entry, _ in entries for place, row in enumerate(entry.values, 1) if abs(row[0]) >= CENT]
    shown = {year: name for year, name in names.items() if year <= max(last, default=1)}
    rows = tuple(
        _row(kit, label, entry, shown, css="total" if strong else "", summed=part not in BALANCES)
        for label, part, entry, strong in entries
    )
    keys = [entry.key for _, _, entry, _ in entries]
    title = f"Balance sheet and expense: {kit.name(one.id)}"
    table = Table(f"t-leases-{one.place}", title, _columns(kit, shown), rows, "Balance and movement",
                  "", kit.traced(keys))  # fmt: skip
    return Accounted(table, facts, kit.name(one.id))


def _at_signing(kit: Kit, one: Candidate) -> list[Fact]:
    """Liability, right of use and class of each lease, and what a minimum charge holds of the press."""
    facts, numbers = [], kit.numbers
    for press in one.presses:
        head = f"{press.key}.lease_accounting"
        if not kit.has(f"{head}.liability_at_signing"):
            continue
        liability, right = (kit.report.by_key[f"{head}.{key}_at_signing"] for key in ("liability", "right"))
        words = (
            f"liability {numbers.whole(_single(liability))} {numbers.currency}, right of use "
            f"{numbers.whole(_single(right))} {numbers.currency}{_class(kit, head)}"
        )
        name = press.name if len(one.presses) > 1 else "At signing"
        facts.append(Fact(name, words, kit.link(liability.key)))
    place = 1
    while kit.has(key := f"{one.id}.lease_accounting.minimum_liability_{place}"):
        amount = numbers.whole(_single(kit.report.by_key[key]))
        words = f"{amount} {numbers.currency} of it would pay for the press, a liability beside the leases"
        facts.append(Fact("Minimum charge of the plan", words, kit.link(key)))
        place += 1
    return facts


def _class(kit: Kit, head: str) -> str:
    if kit.has(f"{head}.class"):
        return f"; {kit.report.by_key[f'{head}.class'].words}"
    if kit.has(f"{head}.finance"):
        is_finance = _single(kit.report.by_key[f"{head}.finance"]) > 0
        return "; a finance lease by the tests" if is_finance else "; an operating lease by the tests"
    return ""


def framework(kit: Kit) -> str:
    """The accounting standard applied; empty when none is."""
    found = (kit.report.by_key.get(f"{press.key}.lease_accounting.framework")
             for one in kit.report.candidates for press in one.presses)  # fmt: skip
    return next((entry.words for entry in found if entry is not None), "")


def _single(entry: Entry) -> float:
    return entry.values[0][0]


def _any(entry: Entry) -> bool:
    return any(abs(row[0]) >= CENT for row in entry.values)


def _columns(kit: Kit, names: Mapping[int, str]) -> tuple[tuple[str, str], ...]:
    return (*((name, kit.numbers.currency) for name in names.values()), ("In all", kit.numbers.currency))


def _row(
    kit: Kit, label: str, entry: Entry, names: Mapping[int, str], *, sign: int = 1, css: str = "", summed: bool = True
) -> Row:
    """A column of the model as a row of fiscal years, with its sum where one means something."""
    years: Sequence[float] = [sign * row[0] for row in entry.values]
    cells = [Cell(kit.numbers.whole(years[year - 1])) for year in names]
    whole = Cell(kit.numbers.whole(sum(years)), kit.href(entry.key), "strong") if summed else Cell(NONE)
    return Row(label, (*cells, whole), css=css)

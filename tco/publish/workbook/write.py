"""The whole workbook: sheets in order, stored values beside every formula, the same bytes for the same study."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from tco.model.kinds import Array
from tco.model.lines import COMPARISON, SHARED
from tco.model.model import Model
from tco.publish.workbook import formulas
from tco.publish.workbook.about import ABOUT, CHANGES, write_about, write_changes
from tco.publish.workbook.breakeven import BREAK_EVEN, write_break_even
from tco.publish.workbook.checks import CHECKS, verdict, write_checks
from tco.publish.workbook.fiscal_years import FISCAL_YEARS, has_fiscal_years, write_fiscal_years
from tco.publish.workbook.inputs import write_inputs
from tco.publish.workbook.layout import ASSUMPTIONS, QUOTES, TABLES, WORK, Layout, Row, lay_out
from tco.publish.workbook.ledger import Source, write_ledger
from tco.publish.workbook.properties import pieces
from tco.publish.workbook.results import COMPARISON_SHEET, SUMMARY, write_comparison, write_summary
from tco.publish.workbook.scenario_text import SCENARIO_SHEET, text_hash, write_scenario_text
from tco.publish.workbook.sources import SOURCES, source_rows, write_sources
from tco.publish.workbook.stored import EVIDENCE, UNCERTAINTY, WARNINGS, marks_of, write_stored
from tco.publish.workbook.study import Study
from tco.publish.workbook.styles import Book, WorkbookError, clean

SCHEMA_VERSION: Final = 1
MOST_FORMULAS: Final = 500_000
STORED: Final = "From the study as exported; not live"


def write_workbook(model: Model, values: Mapping[str, Array], study: Study, path: Path) -> None:
    """Write the live workbook.

    Parameters
    ----------
    model : the finished model
    values : what `evaluate` found, all lines; the first draw is stored beside the formulas
    study : what is told beside the model
    path : file to write; an existing one is replaced

    Raises
    ------
    WorkbookError
        A value is not finite, or the workbook would be larger than a spreadsheet can bear.
    """
    import xlsxwriter

    layout = lay_out(model, {one.id: one.name for one in study.candidates})
    refuse_too_large(layout, study)
    source = Source(layout, values, study)
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
        "nan_inf_to_errors": False,
        "default_format_properties": {"font_name": "Arial", "font_size": 10},
    }
    workbook = xlsxwriter.Workbook(str(path), options)
    fill(Book(workbook), source)
    workbook.close()  # only now is anything written, so an error before leaves no file


def fill(book: Book, source: Source) -> None:
    """All sheets, in the order of their tabs; an audit lets it write into a book that only remembers."""
    rows = source_rows(source)
    _properties(book, source.layout, source.study)
    write_about(book, source, sheet_map(source.layout, source.study))
    write_summary(book, source, rows, verdict(source))
    write_comparison(book, source)
    write_inputs(book, source, rows)
    for ledger in source.layout.ledgers:
        write_ledger(book, ledger, source)
    if has_fiscal_years(source.layout):
        write_fiscal_years(book, source)
    write_stored(book, source, EVIDENCE)
    write_break_even(book, source)
    write_stored(book, source, UNCERTAINTY)
    write_stored(book, source, WARNINGS)
    write_checks(book, source)
    write_sources(book, source, rows)
    if source.study.scenario_text:
        write_scenario_text(book, source)
    write_changes(book, source)
    book.workbook.get_worksheet_by_name(SUMMARY).activate()


def refuse_too_large(layout: Layout, study: Study) -> None:
    """Raise `WorkbookError` for more formulas than a spreadsheet bears; it names the sheet that has most."""
    counts = {ledger.sheet: 0 for ledger in layout.ledgers}
    for ledger in layout.ledgers:
        rows = [part for section in ledger.sections for part in section.parts if isinstance(part, Row)]
        for part in rows:
            entries = len(part.line.shape.axis) if part.line.shape.axis is not None else 1
            counts[ledger.sheet] += entries * (layout.model.columns if part.line.shape.months else 1)
    if sum(counts.values()) > MOST_FORMULAS:
        sheet = max(counts, key=lambda name: counts[name])
        raise WorkbookError(
            f"{study.title}: the workbook would have {sum(counts.values()):,} formulas, {counts[sheet]:,} of them on "
            f"{sheet}; at most {MOST_FORMULAS:,} are written. Fewer job classes, presses or months bring it down"
        )


def sheet_map(layout: Layout, study: Study) -> list[tuple[str, str]]:
    """Sheets in order, with what they hold."""
    has = {QUOTES: layout.inputs[QUOTES], WORK: layout.tables[WORK], TABLES: layout.tables[TABLES]}
    sheets = [
        (ABOUT, "This page"),
        (SUMMARY, "The measures side by side, the lowest cost live, the verdict as exported, charts"),
        (COMPARISON_SHEET, "All measures side by side, costs by kind"),
        (ASSUMPTIONS, "Figures all candidates share, to be changed; choices, definitions"),
        (QUOTES, "The terms of the candidates side by side, to be changed"),
        (WORK, "Figures by job class and calendar month, to be changed"),
        (TABLES, "Bands, steps and published tables"),
    ]
    sheets = [(name, holds) for name, holds in sheets if has.get(name, True)]
    words = {SHARED: "Months, work and money over time, common to all", COMPARISON: "Candidates against each other"}
    sheets += [
        (ledger.sheet, words.get(ledger.scope, f"Ledger, month by month: {study.name_of(ledger.scope)}"))
        for ledger in layout.ledgers
    ]
    if has_fiscal_years(layout):
        sheets.append((FISCAL_YEARS, "Budget, books and leases of each candidate by fiscal year, live"))
    return [
        *sheets,
        (EVIDENCE, f"What each candidate rests on, by source, and its heaviest figures. {STORED}"),
        (BREAK_EVEN, "Where the cheapest changes with the volume: found by the engine as exported, and live"),
        (UNCERTAINTY, f"Each ranged figure at both ends, futures, what if. {STORED}"),
        (WARNINGS, f"What is unsaid or doubtful, money at stake, what to ask, what was assumed. {STORED}"),
        (CHECKS, "Differences that must be nothing, and the master check"),
        (SOURCES, "Every figure with source, status, date, range, and whether it was changed"),
        *([(SCENARIO_SHEET, "The scenario this workbook was made from, as written")] if study.scenario_text else []),
        (CHANGES, "A log to fill in"),
    ]


def model_hash(layout: Layout) -> str:
    """A hash of all formulas by key: it tells whether two workbooks calculate alike, whatever their figures."""
    digest = hashlib.sha256()
    for line in layout.model.lines:
        if line.value is None:
            for entry in range(len(line.shape.axis) if line.shape.axis is not None else 1):
                digest.update(f"{line.id}[{entry}]={formulas.formula(line, entry, layout)}\n".encode())
    return digest.hexdigest()


def _properties(book: Book, layout: Layout, study: Study) -> None:
    created = dt.datetime(study.date.year, study.date.month, study.date.day, tzinfo=dt.UTC)
    book.workbook.set_properties(
        {
            "title": clean(study.title)[:250],
            "author": clean(study.prepared_by)[:250],
            "comments": "Costs positive, receipts negative. Change only the yellow cells.",
            "created": created.replace(tzinfo=None),
        }
    )
    for name, text in (
        ("schema_version", str(SCHEMA_VERSION)),
        ("program_version", study.version),
        ("model_hash", model_hash(layout)),
        ("scenario_hash", study.fingerprint),
        ("scenario_file", study.scenario_file),
        ("scenario_text_hash", text_hash(study.scenario_text)),
        ("verdict", study.verdict),
    ):
        _property(book, name, clean(text))
    for name, text in marks_of(study):
        _property(book, name, text)
    book.workbook.set_size(2400, 1400)


def _property(book: Book, name: str, text: str) -> None:
    for one, piece in pieces(name, text):
        book.workbook.set_custom_property(one, piece, "text")

"""The tally as a workbook: numbers as numbers, a frozen head, the same bytes on any day."""

from __future__ import annotations

import datetime
import io
from decimal import Decimal
from typing import Any, Literal

from survey_app.assess.record import Assessment
from survey_app.paper.cell_text import safe_cell
from survey_app.paper.tally_cells import Sheet, sheets_of
from survey_app.site.site import Site

__all__ = ["tally_xlsx"]

_MADE = datetime.datetime(2000, 1, 1)
_PAPER = {"a4": 9, "letter": 1}


def tally_xlsx(site: Site, assessment: Assessment, paper: Literal["a4", "letter"] = "a4") -> bytes:
    """Return the tally as a workbook: the tally, by mount, by climb, by kind, by whom, the trace, what is assumed.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment.
    paper : {"a4", "letter"}
        Paper size, laid on its side, for who prints it.

    Returns
    -------
    bytes
        The workbook. Text never starts a formula, nothing is a formula, and no clock goes in.
    """
    import xlsxwriter

    out = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = xlsxwriter.Workbook(out, options)
    # a workbook must say when it was made; a fixed day keeps the same design the same file
    book.set_properties({"title": safe_cell(f"Tally, {assessment.site}")[:250], "created": _MADE})
    formats = {
        "head": book.add_format({"bold": True, "bottom": 2, "text_wrap": True, "valign": "top"}),
        "text": book.add_format({"text_wrap": True, "valign": "top", "bottom": 4}),
        "number": book.add_format({"valign": "top", "bottom": 4}),
        "order": book.add_format({"valign": "top", "bottom": 4, "bold": True}),
    }
    design = f"Revision {_foot(assessment.revision)}, checksum {assessment.checksum}"
    foot = f"&L{_foot(assessment.site)}&C{design}&R&A, &P / &N"
    for sheet in sheets_of(site, assessment):
        page = book.add_worksheet(sheet.name)
        page.set_landscape()
        page.set_paper(_PAPER[paper])
        page.set_footer(foot)
        page.fit_to_pages(1, 0)
        _fill(page, sheet, formats)
    book.close()
    return out.getvalue()


def _foot(text: str) -> str:
    """Words of a footer: its own marks begin with &, and it holds 255 letters in all."""
    return safe_cell(text)[:60].replace("&", "&&")


def _fill(page: Any, sheet: Sheet, formats: dict[str, Any]) -> None:
    page.freeze_panes(1, 0)
    page.repeat_rows(0)
    for column, (head, width) in enumerate(zip(sheet.heads, sheet.widths, strict=True)):
        page.set_column(column, column, width)
        page.write_string(0, column, head, formats["head"])
    for row, cells in enumerate(sheet.rows, start=1):
        for column, cell in enumerate(cells):
            if cell is None:
                page.write_blank(row, column, None, formats["text"])
            elif isinstance(cell, str):
                page.write_string(row, column, safe_cell(cell), formats["text"])
            else:
                kind = "order" if sheet.heads[column] == "order" else "number"
                page.write_number(row, column, float(cell) if isinstance(cell, Decimal) else cell, formats[kind])
    if sheet.rows:
        page.autofilter(0, 0, len(sheet.rows), len(sheet.heads) - 1)

"""The network on paper: things with their addresses, cells, routes, and what fails when one thing fails."""

from __future__ import annotations

from typing import Literal

from survey_app.assess.record import Assessment
from survey_app.paper.flag_notes import findings_of, note_of
from survey_app.paper.ledger import BROAD_MM, document, table_data
from survey_app.paper.network_cells import CELL_CODES, cell_sentences, cell_table
from survey_app.paper.network_failures import failure_sentences, failure_table
from survey_app.paper.network_routes import ROUTE_CODES, route_sentences, route_table
from survey_app.paper.network_things import THING_CODES, thing_sentences, thing_table
from survey_app.paper.press import press
from survey_app.paper.sources import Sources
from survey_app.paper.title import ledger_title
from survey_app.site.site import Site

__all__ = ["NETWORK_CODES", "network_pdf"]

NETWORK_CODES = THING_CODES | CELL_CODES | ROUTE_CODES
"""Findings whose notes stand on the network page."""


def network_pdf(site: Site, assessment: Assessment, paper: Literal["a4", "letter"] = "a4") -> bytes:
    """Return the network as a PDF.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment.
    paper : {"a4", "letter"}
        Paper size, laid on its side.

    Returns
    -------
    bytes
        The PDF; the same site gives the same bytes on any day.

    Raises
    ------
    InternalError
        The pages could not be set.
    """
    sources = Sources(site, assessment)
    found = findings_of(sources, NETWORK_CODES)
    title = ledger_title(sources, "Network")
    tables = (
        thing_table(sources), cell_table(sources), route_table(sources), failure_table(assessment.failures),
    )  # fmt: skip
    data = {
        "title": f"Network, {assessment.site}",
        "doc": document(
            title,
            paper=paper,
            broad=True,
            head="NETWORK",
            note="what has an address, what shares the air, which way video takes, what fails with what",
        ),
        "tables": [table_data(table, BROAD_MM) for table in tables if table is not None],
        "notes": [note_of(finding) for finding in found],
        "closing": [
            *thing_sentences(sources),
            *cell_sentences(sources),
            *route_sentences(sources),
            *failure_sentences(assessment.failures),
        ],
    }
    return press("network", data)

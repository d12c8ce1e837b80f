"""Sheets, schedule and tally: reads Site and Assessment, writes PDF."""

from survey_app.paper.bench import bench_documents
from survey_app.paper.cover import cover_document
from survey_app.paper.mounting import mounting_pdf
from survey_app.paper.mounting_build import mounting_views
from survey_app.paper.schedule import schedule_document
from survey_app.paper.table_sheet import table_pdf
from survey_app.paper.tally import tally_document

__all__ = [
    "bench_documents",
    "cover_document",
    "mounting_pdf",
    "mounting_views",
    "schedule_document",
    "table_pdf",
    "tally_document",
]

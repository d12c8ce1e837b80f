"""The document: frozen records, edits, file, migration, references check."""

from survey_app.site.site import Design, Site

__all__ = ["Design", "Site"]

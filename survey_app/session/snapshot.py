"""A document at one moment."""

from __future__ import annotations

from typing import NamedTuple

from survey_app.site.site import Site

__all__ = ["Snapshot"]


class Snapshot(NamedTuple):
    """A document at one moment, to be kept by another thread."""

    serial: int
    """Later moments have greater numbers."""
    site: Site
    label: str
    """Name of the step that led there."""
    is_unsaved: bool
    """Whether work would be lost without it."""

"""Asks a person where a PDF goes, and what it is called unless they say otherwise."""

from __future__ import annotations

import re
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from survey_app.site.site import Design

__all__ = ["ask_pdf_file", "pdf_name"]


def ask_pdf_file(parent: QWidget, suggested: str) -> Path | None:
    """Ask where to save a PDF; None = nowhere."""
    path, _ = QFileDialog.getSaveFileName(parent, "Save as PDF", suggested, "PDF (*.pdf)")
    return Path(path) if path else None


def pdf_name(design: Design, document: str, folder: Path | None) -> str:
    """Return the name that is suggested for a document of a site, in its folder where it has one."""
    stem = re.sub(r"[^A-Za-z0-9]+", "-", design.name).strip("-").lower() or "site"
    name = f"{stem}-{design.revision}-{document}.pdf"
    return str(folder / name) if folder is not None else name

"""The documents of a paper set: what they are called, what they are made by, where they go."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Literal, NamedTuple

from survey_app.cli.progress import shown_progress
from survey_app.errors import UsageError

if TYPE_CHECKING:
    from survey_app.assess.record import Assessment
    from survey_app.site.site import Site

__all__ = ["DOCUMENTS", "Document", "Paper", "targets", "write_document"]

Paper = Literal["a4", "letter"]
_Maker = Callable[["Site", "Assessment", Paper], bytes]


class Document(NamedTuple):
    """One document of the set."""

    name: str
    """Name of its file."""
    makers: Mapping[str, _Maker]
    """What makes its bytes, by file type."""

    @property
    def endings(self) -> tuple[str, ...]:
        """File types that it is written as."""
        return tuple(self.makers)


def _mounting(site: Site, assessment: Assessment, paper: Paper) -> bytes:
    from survey_app.paper.mounting import mounting_pdf
    from survey_app.paper.mounting_build import mounting_views

    with shown_progress("Mounting sheets") as progress:
        return mounting_pdf(mounting_views(site, assessment), paper, progress)


def _of_set(file: str) -> _Maker:
    """Return what makes a file of the paper set; the room of paper is opened only when it is wanted."""

    def make(site: Site, assessment: Assessment, paper: Paper) -> bytes:
        from survey_app.paper.paper_set import PAPER_FILES

        return PAPER_FILES[file](site, assessment, paper)

    return make


DOCUMENTS: Mapping[str, Document] = {
    document.name: document
    for document in (
        Document("cover", {"pdf": _of_set("cover.pdf")}),
        Document("mounting-sheets", {"pdf": _mounting}),
        Document("bench-sheets", {"pdf": _of_set("bench-sheets.pdf")}),
        Document("hop-schedule", {"pdf": _of_set("hop-schedule.pdf"), "csv": _of_set("hop-schedule.csv")}),
        Document("network", {"pdf": _of_set("network.pdf")}),
        Document("tally", {kind: _of_set(f"tally.{kind}") for kind in ("pdf", "xlsx", "csv")}),
    )
}
"""Every document by the name of its file, in the order in which a set is read."""


def targets(document: Document, output: Path | None, site: Site) -> list[Path]:
    """Return the files to write.

    Parameters
    ----------
    document : Document
        What is written.
    output : Path or None
        A file with one of the document's endings, a folder, or None = the current folder.
    site : Site
        Whose name and revision go into the names of files in a folder.

    Raises
    ------
    UsageError
        The file's ending is not one of the document's.
    """
    from survey_app.session.slug import slug

    folder = output if output is not None else Path()
    ending = folder.suffix.removeprefix(".").lower()
    if output is not None and ending and not output.is_dir():
        if ending not in document.endings:
            kinds = " or ".join(f".{kind}" for kind in document.endings)
            raise UsageError(
                f"the {document.name.replace('-', ' ')} cannot be written as .{ending}",
                where=str(output),
                remedy=f"name a folder or a file that ends in {kinds}",
            )
        return [output]
    revision = re.sub(r"[^A-Za-z0-9]+", "-", site.design.revision).strip("-") or "x"
    stem = f"{slug(site.design.name)}-{revision}-{document.name}"
    return [folder / f"{stem}.{kind}" for kind in document.endings]


def write_document(document: Document, site: Site, assessment: Assessment, file: Path, paper: Paper | None) -> None:
    """Write one document to one file, whose ending says as what.

    Raises
    ------
    OutputError
        It cannot be written; what stood there is untouched.
    """
    from survey_app.site.atomic import write_atomically

    ending = file.suffix.removeprefix(".").lower()
    data = document.makers[ending](site, assessment, paper or site.design.paper)
    write_atomically(file, data)

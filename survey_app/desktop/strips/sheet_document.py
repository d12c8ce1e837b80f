"""The documents of the paper set that are shown page by page, and what makes each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from survey_app.desktop.strips.worker import Progress
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.assess.record import Assessment

__all__ = ["DOCUMENTS", "SheetDocument"]


@dataclass(frozen=True)
class SheetDocument:
    """A document of the paper set.

    Attributes
    ----------
    name : str
        How the window calls it.
    file : str
        Name of its file in the set.
    title : str
        As people call it.
    """

    name: str
    file: str
    title: str

    def make(self, site: Site, assessment: Assessment, progress: Progress) -> bytes:
        """Return its PDF.

        Raises
        ------
        InternalError
            A page could not be set.
        """
        from survey_app.paper.paper_set import PAPER_FILES

        if self.name == "mounting":
            from survey_app.paper.mounting import mounting_pdf
            from survey_app.paper.mounting_build import mounting_views

            views = mounting_views(site, assessment)
            progress(0, len(views))
            return mounting_pdf(views, site.design.paper, progress)
        made = PAPER_FILES[self.file](site, assessment, site.design.paper)
        progress(1, 1)
        return made


DOCUMENTS = (
    SheetDocument("cover", "cover.pdf", "Cover"),
    SheetDocument("mounting", "mounting-sheets.pdf", "Mounting sheets"),
    SheetDocument("bench", "bench-sheets.pdf", "Bench sheets"),
    SheetDocument("schedule", "hop-schedule.pdf", "Hop schedule"),
    SheetDocument("network", "network.pdf", "Network"),
    SheetDocument("tally", "tally.pdf", "Tally"),
)
"""What can be shown page by page, in the order in which a set is read."""

"""The whole paper of a design: everything that installer, workshop, designer and estimator get, in one folder."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Literal

from survey_app.assess.record import Assessment
from survey_app.errors import OutputError
from survey_app.site.atomic import write_atomically
from survey_app.site.site import Site

__all__ = ["PAPER_FILES", "paper_files", "revision_folder", "write_paper_set"]

Paper = Literal["a4", "letter"]
Units = Literal["metric", "feet", "both"]
_Maker = Callable[[Site, Assessment, Paper], bytes]


def revision_folder(site_folder: Path, revision: str) -> Path:
    """Return the folder of a revision's paper inside a site's folder.

    Examples
    --------
    >>> revision_folder(Path("yard"), "B/2").as_posix()
    'yard/paper/B-2'
    """
    return site_folder / "paper" / (re.sub(r"[^A-Za-z0-9]+", "-", revision).strip("-") or "x")


def _cover(site: Site, assessment: Assessment, paper: Paper) -> bytes:
    from survey_app.paper.cover import cover_pdf

    return cover_pdf(site, assessment, paper)


def _mounting(site: Site, assessment: Assessment, paper: Paper) -> bytes:
    from survey_app.paper.mounting import mounting_pdf
    from survey_app.paper.mounting_build import mounting_views

    return mounting_pdf(mounting_views(site, assessment), paper)


def _bench(site: Site, assessment: Assessment, paper: Paper) -> bytes:
    from survey_app.paper.bench import bench_pdf

    return bench_pdf(site, assessment, paper)


def _schedule_pdf(site: Site, assessment: Assessment, paper: Paper) -> bytes:
    from survey_app.paper.schedule import schedule_pdf

    return schedule_pdf(site, assessment, paper)


def _schedule_csv(site: Site, assessment: Assessment, _paper: Paper) -> bytes:
    from survey_app.paper.cell_text import with_mark
    from survey_app.paper.schedule import schedule_csv

    return with_mark(schedule_csv(site, assessment))


def _network(site: Site, assessment: Assessment, paper: Paper) -> bytes:
    from survey_app.paper.network import network_pdf

    return network_pdf(site, assessment, paper)


def _tally_pdf(site: Site, assessment: Assessment, paper: Paper) -> bytes:
    from survey_app.paper.tally_pdf import tally_pdf

    return tally_pdf(site, assessment, paper)


def _tally_xlsx(site: Site, assessment: Assessment, paper: Paper) -> bytes:
    from survey_app.paper.tally_book import tally_xlsx

    return tally_xlsx(site, assessment, paper)


def _tally_csv(site: Site, assessment: Assessment, _paper: Paper) -> bytes:
    from survey_app.paper.cell_text import with_mark
    from survey_app.paper.tally_cells import tally_csv

    return with_mark(tally_csv(site, assessment))


PAPER_FILES: dict[str, _Maker] = {
    "cover.pdf": _cover,
    "mounting-sheets.pdf": _mounting,
    "bench-sheets.pdf": _bench,
    "hop-schedule.pdf": _schedule_pdf,
    "hop-schedule.csv": _schedule_csv,
    "network.pdf": _network,
    "tally.pdf": _tally_pdf,
    "tally.xlsx": _tally_xlsx,
    "tally.csv": _tally_csv,
}
"""Every file of a set by its name, in the order in which a set is read, and what makes its bytes."""


def paper_files(
    site: Site,
    assessment: Assessment,
    paper: Paper | None = None,
    units: Units | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> dict[str, bytes]:
    """Return the bytes of every file of a set.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment.
    paper : {"a4", "letter"} or None
        Paper size; None = the site's own.
    units : {"metric", "feet", "both"} or None
        Units that people read; None = the site's own.
    progress : callable or None
        Told how many files are made, of how many; what it raises ends the work.

    Raises
    ------
    InternalError
        A page could not be set.
    """
    if units is not None and units != site.design.units:
        from survey_app.site.edits import change_design

        site = change_design(site, units=units).after
    size = paper if paper is not None else site.design.paper
    files: dict[str, bytes] = {}
    for name, make in PAPER_FILES.items():
        if progress is not None:
            progress(len(files), len(PAPER_FILES))
        files[name] = make(site, assessment, size)
    return files


def write_paper_set(
    site: Site,
    assessment: Assessment,
    folder: Path,
    paper: Paper | None = None,
    units: Units | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> list[Path]:
    """Write the whole paper of a design into a folder of its own.

    All bytes are made before the first file is written, and every file appears whole. An issued revision is never
    overwritten: where the folder holds paper of another design, nothing is written; where it holds the very same
    bytes, nothing needs to be.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment.
    folder : Path
        The folder of this revision, as `revision_folder` names it. Missing folders are made.
    paper : {"a4", "letter"} or None
        Paper size; None = the site's own.
    units : {"metric", "feet", "both"} or None
        Units that people read; None = the site's own.
    progress : callable or None
        Told how many files are made, of how many; what it raises ends the work before anything is written.

    Returns
    -------
    list of Path
        The files of the set, in the order in which it is read.

    Raises
    ------
    OutputError
        A file cannot be written, or the folder holds another paper of this revision; what stood there is untouched.
    InternalError
        A page could not be set.
    """
    files = {folder / name: data for name, data in paper_files(site, assessment, paper, units, progress).items()}
    missing = [file for file in files if not _stands(file, files[file], assessment.revision)]
    for file in missing:
        write_atomically(file, files[file])
    return list(files)


def _stands(file: Path, data: bytes, revision: str) -> bool:
    """Whether the file is there with the same bytes; other bytes are an issue that must not be lost."""
    try:
        if not file.exists():
            return False
        same = file.read_bytes() == data
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise OutputError(f"cannot be read ({reason})", where=str(file), remedy="choose another folder") from error
    if not same:
        raise OutputError(
            f"paper of revision {revision} was issued here and differs",
            where=str(file),
            remedy="give the design a new revision, or name another folder",
        )
    return True

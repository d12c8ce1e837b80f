"""Opens what SITE means, assesses it, and says at the end whether the design stops."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from survey_app.cli.names import nearest
from survey_app.cli.streams import note
from survey_app.errors import UnknownNameError

if TYPE_CHECKING:
    from survey_app.assess.record import Assessment
    from survey_app.site.site import Site

__all__ = ["SiteArgument", "WithLater", "assessed", "check_there", "status_of"]

SiteArgument = Annotated[
    Path, typer.Argument(metavar="SITE", help="A site's folder, its site.json, or one of its alternatives/NAME.json.")
]

WithLater = Annotated[
    bool, typer.Option("--with-later", help="Count what has status later as if it were there. The site stays as it is.")
]


def assessed(path: Path, *, with_later: bool = False) -> tuple[Site, Assessment]:
    """Return a site and its assessment.

    Parameters
    ----------
    path : Path
        What SITE names.
    with_later : bool, default False
        Count things with status later as present; the site itself stays as it is.

    Raises
    ------
    UnknownNameError
        There is no such site; the nearest names are offered.
    InputError
        It cannot be read as a site.
    """
    from survey_app.assess.pipeline import assess
    from survey_app.ground.relief.opening import open_site
    from survey_app.spectrum.regions import load_regions
    from survey_app.spectrum.user_folder import user_regions_folder

    check_there(path)
    site = open_site(path)
    return site, assess(site, load_regions(user_regions_folder()), with_later=with_later)


def check_there(path: Path) -> None:
    """Refuse a site that does not exist.

    Raises
    ------
    UnknownNameError
        There is no such site; the nearest names are offered.
    """
    from survey_app.site.file import site_file

    if not site_file(path).exists():
        raise UnknownNameError("there is no such site", where=str(path), remedy=_offer(path))


def _offer(path: Path) -> str | None:
    """Offer sites that lie where the path points to, and the demo sites that travel with the program."""
    from survey_app.data import demo_sites_folder

    beside = path.parent
    try:
        names = {
            str(beside / entry.name)
            for entry in (beside.iterdir() if beside.is_dir() else ())
            if (entry / "site.json").is_file() or (entry.suffix == ".json" and beside.name == "alternatives")
        }
    except OSError:
        names = set()
    if path.name in {entry.name for entry in demo_sites_folder().iterdir()} and not names:
        return f"survey-app demo {path.name} makes it"
    return nearest(str(path), names) or "name a site's folder or its site.json"


def status_of(assessment: Assessment) -> int:
    """Return the exit status of a design, and say on standard error why it stops."""
    stops = [finding for finding in assessment.findings if finding.severity == "stop" and finding.accepted is None]
    if not stops:
        return 0
    numbers = ", ".join(f"{finding.number} ({finding.subject})" for finding in stops[:10])
    more = f" and {len(stops) - 10} more" if len(stops) > 10 else ""
    note(f"The design stops: {'finding' if len(stops) == 1 else 'findings'} {numbers}{more}.")
    return 1

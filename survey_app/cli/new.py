"""`new`: an empty site that can be drawn on and checked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from survey_app.cli.arguments import date_of
from survey_app.cli.folder import fresh_folder
from survey_app.cli.help import example
from survey_app.cli.streams import note, say
from survey_app.errors import UsageError

if TYPE_CHECKING:
    import datetime

    from survey_app.ground.parse import Position
    from survey_app.site.site import Site

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(
        "new",
        epilog=example('survey-app new "Tide mill" --at 43.55,-69.6 --region US --date 2026-12-01 -o tide-mill'),
    )(_new)


def _new(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of the site, as people call it.")],
    at: Annotated[
        str,
        typer.Option("--at", metavar="LAT,LON", help="Where the plan's origin lies, latitude first. [degrees]"),
    ],
    region: Annotated[
        str | None, typer.Option("--region", metavar="R", help="Region of the radio rules; the check stops without.")
    ] = None,
    date: Annotated[
        str | None, typer.Option("--date", metavar="D", help="Planned installation, YYYY-MM-DD. [default: today]")
    ] = None,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", metavar="FOLDER", help="New folder. [default: after the name]")
    ] = None,
) -> int:
    """Make an empty site.

    A folder with a site.json that the other commands read. The position is decimal degrees, or degrees, minutes and
    seconds, with a sign or a hemisphere letter. The date decides the declination, in degrees east of true north,
    and the state of the leaves.
    """
    from survey_app.ground.parse import parse_position, position_text
    from survey_app.session.slug import slug
    from survey_app.site.file import write_site
    from survey_app.spectrum.regions import load_regions
    from survey_app.spectrum.user_folder import user_regions_folder

    when, position = date_of(date), parse_position(at, where="--at")
    regions = load_regions(user_regions_folder())
    code = regions.find(region).region if region is not None else None
    site = _site(name, position, code, when)
    with fresh_folder(output if output is not None else Path(slug(name))) as folder:
        file = write_site(site, folder)
    say(str(file))
    note(f"The plan's origin lies at {position_text(position)}; installation is planned for {when.isoformat()}.")
    if code is None:
        note(f"No region is chosen: checks stop until design.region says one of {', '.join(regions.codes)}.")
    return 0


def _site(name: str, position: Position, region: str | None, date: datetime.date) -> Site:
    from pydantic import ValidationError

    from survey_app.site.new import new_site
    from survey_app.site.place import Anchor
    from survey_app.site.site import Design
    from survey_app.site.validation import faults_of

    anchor = Anchor(lat_deg=position.lat_deg, lon_deg=position.lon_deg)
    try:
        return new_site(name, as_of=date, anchor=anchor, region=region)
    except ValidationError as error:
        fault = faults_of(error, Design)[0]
        raise UsageError(fault.sentence, where=fault.place) from None

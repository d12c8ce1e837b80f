"""`aim`: two positions -> bearings, tilts, distances, loss."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from survey_app.cli.arguments import date_of
from survey_app.cli.help import example
from survey_app.cli.streams import note, say

if TYPE_CHECKING:
    import datetime

    from survey_app.assess.aim_line import AimEnd, AimLine
    from survey_app.ground.parse import Position

__all__ = ["register"]

_MHZ = 5800.0


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(
        "aim",
        epilog=example(
            "survey-app aim --from 43.55,-69.6,16 --to 43.551,-69.598,8",
            'survey-app aim --from "43 33 0 N, 69 36 0 W, 16 m" --to 43.551,-69.598,8 --mhz 5745 --date 2026-12-01',
        ),
    )(_aim)


def _aim(
    start: Annotated[
        str,
        typer.Option("--from", metavar="LAT,LON,HEIGHT", help="One antenna. [degrees, degrees, m over the sea]"),
    ],
    end: Annotated[str, typer.Option("--to", metavar="LAT,LON,HEIGHT", help="The other antenna.")],
    mhz: Annotated[float, typer.Option("--mhz", metavar="F", help="Frequency of the loss. [MHz]")] = _MHZ,
    date: Annotated[
        str | None, typer.Option("--date", metavar="D", help="Date of the declination, YYYY-MM-DD. [default: today]")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object with full-precision numbers.")] = False,
) -> int:
    """Show the line between two positions, without a site.

    Bearing, tilt, distance and free-space loss. Latitude comes first; decimal degrees, or degrees, minutes and
    seconds, with a sign or a hemisphere letter. Bearings are degrees clockwise from true and from magnetic north,
    tilt is degrees above the horizontal at either end, distances are metres, the loss is dB between isotropic
    antennas with nothing in the way.
    """
    from survey_app.assess.aim_line import aim_line
    from survey_app.ground.parse import parse_position

    when = date_of(date)
    first, second = parse_position(start, where="--from"), parse_position(end, where="--to")
    line = aim_line(first, second, frequency_mhz=mhz, date=when)
    if as_json:
        import json

        say(json.dumps(_record(first, second, line, mhz, when), indent=2, allow_nan=False))
    else:
        _show(first, second, line, mhz, when)
    for sentence in line.sentences:
        note(sentence)
    return 0


def _record(first: Position, second: Position, line: AimLine, mhz: float, date: datetime.date) -> dict[str, Any]:
    return {
        "from": _end_record(first, line.start),
        "to": _end_record(second, line.end),
        "distance_m": line.distance_m,
        "ground_distance_m": line.ground_distance_m,
        "declination_deg": line.start.declination_deg,
        "free_space_loss_db": line.free_space_loss_db,
        "frequency_mhz": mhz,
        "date": date.isoformat(),
        "sentences": list(line.sentences),
    }


def _end_record(position: Position, end: AimEnd) -> dict[str, float | None]:
    return {
        "lat_deg": position.lat_deg,
        "lon_deg": position.lon_deg,
        "height_m": position.height_m,
        "bearing_true_deg": end.bearing_true_deg,
        "bearing_magnetic_deg": end.bearing_magnetic_deg,
        "tilt_deg": end.tilt_deg,
        "declination_deg": end.declination_deg,
    }


def _show(first: Position, second: Position, line: AimLine, mhz: float, date: datetime.date) -> None:
    from survey_app.ground.parse import position_text

    say(f"from  {position_text(first)}")
    say(f"to    {position_text(second)}")
    say(f"date  {date.isoformat()}   frequency  {mhz:g} MHz")
    say()
    say(f"{'':4}  {'true':>7}  {'magnetic':>8}  {'declination':>11}  tilt")
    for name, end in (("from", line.start), ("to", line.end)):
        true, magnetic, declination = _bearings(end)
        say(f"{name:4}  {true:>7}  {magnetic:>8}  {declination:>11}  {_tilt(end.tilt_deg)}")
    say()
    say(f"distance         {line.distance_m:10.1f} m")
    say(f"along the ground {line.ground_distance_m:10.1f} m")
    say(f"free-space loss  {line.free_space_loss_db:10.1f} dB")


def _bearings(end: AimEnd) -> tuple[str, str, str]:
    """Return true, magnetic and declination so that the printed ones add up exactly."""
    declination = None if end.declination_deg is None else round(end.declination_deg, 1) + 0.0
    true = None if end.bearing_true_deg is None else round(end.bearing_true_deg, 1) % 360.0
    magnetic = None if true is None or declination is None else round(true - declination, 1) % 360.0
    sign = "" if declination is None else " E" if declination >= 0.0 else " W"
    return (
        "-" if true is None else f"{true:.1f}°",
        "-" if magnetic is None else f"{magnetic:.1f}°",
        "-" if declination is None else f"{abs(declination):.1f}°{sign}",
    )


def _tilt(tilt_deg: float) -> str:
    size = f"{abs(tilt_deg):.1f}"
    return "level" if size == "0.0" else f"{size}° {'up' if tilt_deg > 0.0 else 'down'}"

"""`reach`: how far a pair of units carries a rate."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from survey_app.cli.help import example
from survey_app.cli.streams import say
from survey_app.cli.table import table

if TYPE_CHECKING:
    from survey_app.assess.pair_reach import PairReach, Unit
    from survey_app.gear.catalogue import Catalogue

__all__ = ["register"]


class Use(StrEnum):
    """What the access point serves."""

    PTP = "ptp"
    MULTIPOINT = "multipoint"


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(
        "reach",
        epilog=example(
            "survey-app reach bowline-p18 --region US --mbps 20",
            "survey-app reach clove-s20 bowline-p16 --region EU --mbps 8 --as multipoint --margin 15",
        ),
    )(_reach)


def _reach(
    gear: Annotated[
        list[str],
        typer.Argument(metavar="GEAR [GEAR]", help="The access point's radio type, and the station's if it differs."),
    ],
    region: Annotated[str, typer.Option("--region", metavar="R", help="Region of the radio rules.")],
    mbps: Annotated[float, typer.Option("--mbps", metavar="N", help="Throughput wanted, one way. [Mbit/s]")],
    use: Annotated[
        Use, typer.Option("--as", help="One station, or several at the access point: the rule depends on it.")
    ] = Use.PTP,
    width: Annotated[int, typer.Option("--width", metavar="W", help="Channel width. [MHz]")] = 20,
    margin: Annotated[
        float | None, typer.Option("--margin", metavar="DB", help="Wanted margin. [dB] [default: 10 to 1 km, then 15]")
    ] = None,
    antenna: Annotated[
        list[str] | None,
        typer.Option("--antenna", metavar="ID", help="Antenna of a unit with connectors; twice where the ends differ."),
    ] = None,
    rise: Annotated[float, typer.Option("--rise", metavar="DB", help="Rise of the noise by neighbours. [dB]")] = 3.0,
    channel: Annotated[
        int | None,
        typer.Option("--channel", metavar="N", help="Channel number. [default: the one that carries farthest]"),
    ] = None,
    folder: Annotated[
        list[Path] | None, typer.Option("--folder", metavar="FOLDER", help="A folder with catalogue files of your own.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object with full-precision numbers.")] = False,
) -> int:
    """How far a pair of units carries a rate.

    Free space, both directions, the weaker one counts, at the most power that units and region allow. The throughput
    is the link rate times the efficiency that the access point's type states. Distances are metres and kilometres,
    rates Mbit/s, powers dBm (sum over chains), margins dB.
    """
    from survey_app.assess.pair_reach import pair_reach
    from survey_app.errors import UsageError
    from survey_app.gear.catalogue import load_catalogue
    from survey_app.gear.user_folder import user_gear_folders
    from survey_app.spectrum.regions import load_regions
    from survey_app.spectrum.user_folder import user_regions_folder

    if len(gear) > 2:
        raise UsageError(f"{len(gear)} types were named, a hop has two ends", remedy="name one type or two")
    catalogue = load_catalogue((*user_gear_folders(), *(folder or ())))
    units = _units(catalogue, gear if len(gear) == 2 else gear * 2, list(antenna or ()))
    found = pair_reach(
        *units,
        load_regions(user_regions_folder()).find(region),
        wanted_mbps=mbps,
        several_stations=use is Use.MULTIPOINT,
        width_mhz=width,
        margin_db=margin,
        rise_db=rise,
        channel=channel,
    )
    if as_json:
        import json

        say(json.dumps(_record(found, units), indent=2, allow_nan=False))
    else:
        _show(found, units, mbps, "10 dB to 1 km, 15 dB beyond" if margin is None else f"{margin:g} dB", rise)
    return 0


def _units(catalogue: Catalogue, gear: list[str], antennas: list[str]) -> tuple[Unit, Unit]:
    from survey_app.assess.pair_reach import Unit
    from survey_app.errors import UsageError
    from survey_app.site.gear_type import AntennaType, RadioType

    units = []
    for end, name in enumerate(gear):
        item = catalogue.find(name)
        if not isinstance(item, RadioType):
            raise UsageError(f"{item.name} is no radio ({item.kind})", remedy="see survey-app gear list --kind radio")
        pattern = item.pattern
        if pattern is None:
            if not antennas:
                raise UsageError(
                    f"{item.name} has connectors and no antenna of its own",
                    remedy="name one with --antenna; see survey-app gear list --kind antenna",
                )
            chosen = catalogue.find(antennas[min(end, len(antennas) - 1)])
            if not isinstance(chosen, AntennaType):
                raise UsageError(f"{chosen.name} is no antenna ({chosen.kind})", where="--antenna")
            pattern = chosen.pattern
        units.append(Unit(item, pattern))
    if antennas and all(unit.gear.pattern is not None for unit in units):
        raise UsageError("neither unit has connectors", where="--antenna", remedy="leave the antenna out")
    return units[0], units[1]


def _show(found: PairReach, units: tuple[Unit, Unit], mbps: float, margin: str, rise: float) -> None:
    names = dict.fromkeys(unit.gear.name for unit in units)
    pair = " and ".join(names) if len(names) > 1 else f"two {units[0].gear.name}"
    say(f"{pair}, {found.region}, channel {found.channel}")
    say(f"({found.centre_mhz:g} MHz, {found.width_mhz} MHz wide), margin {margin}, noise raised {rise:g} dB")
    say()
    if found.reach_m is None:
        most = max((rate.usable_mbps for rate in found.rates), default=0.0)
        say(f"{mbps:g} Mbit/s: not at any distance; the pair carries {most:.1f} Mbit/s at most")
    else:
        say(f"{mbps:g} Mbit/s: {_distance(found.reach_m)} (rate index {found.needed_mcs})")
    say()
    head = ("index", "link Mbit/s", "usable Mbit/s", "access point dBm", "station dBm", "reach", "set by")
    rows = [
        (
            str(rate.mcs),
            f"{rate.link_rate_mbps:.1f}",
            f"{rate.usable_mbps:.1f}",
            f"{rate.sent_dbm[0]:g}",
            f"{rate.sent_dbm[1]:g}",
            _distance(rate.reach_m),
            "both ends" if rate.weaker == "both" else rate.weaker.replace("_", " "),
        )
        for rate in found.rates
    ]
    for line in table([head, *rows], align=">>>>>><"):
        say(line)
    if found.figures:
        say()
        figures = [("three figures", "index", "here", "without limits")]
        figures += [(f.words, str(f.mcs), _distance(f.reach_m), _distance(f.without_limits_m)) for f in found.figures]
        for line in table(figures, align="<>>>"):
            say(line)
    say()
    for sentence in found.sentences:
        say(sentence)


def _distance(distance_m: float) -> str:
    return f"{distance_m:.0f} m" if distance_m < 999.5 else f"{distance_m / 1000:.2f} km"


def _record(found: PairReach, units: tuple[Unit, Unit]) -> dict[str, Any]:
    from dataclasses import asdict

    return {"gear": [unit.gear.id for unit in units], **asdict(found)}

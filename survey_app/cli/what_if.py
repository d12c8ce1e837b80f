"""`what-if`: what an event does to a design that nobody edits."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from survey_app.cli.help import example
from survey_app.cli.names import nearest
from survey_app.cli.opening import SiteArgument, WithLater, assessed
from survey_app.cli.streams import say
from survey_app.cli.table import table
from survey_app.errors import UnknownNameError, UsageError

if TYPE_CHECKING:
    from survey_app.assess.what_if import Event, NeighbourMore, WhatIf
    from survey_app.site.site import Site

__all__ = ["register"]

_WIDTH = 100
_EVENTS = "--radar, --lost, --rain, --grown, --neighbour or --fails"
_HEARD = "write MOUNT,CHANNEL,DBM,BUSY such as m-gate,157,-70,30"


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(
        "what-if",
        epilog=example(
            "survey-app what-if yard --fails A-S",
            "survey-app what-if yard --radar A-P --json",
            "survey-app what-if yard --rain 40",
        ),
    )(_what_if)


def _what_if(
    site: SiteArgument,
    radar: Annotated[
        str | None, typer.Option("--radar", metavar="RADIO", help="A radar is heard on this access point's channel.")
    ] = None,
    lost: Annotated[
        int | None, typer.Option("--lost", metavar="CHANNEL", help="Nobody on the site can use this channel any more.")
    ] = None,
    rain: Annotated[
        float | None, typer.Option("--rain", metavar="RATE", help="It rains on all hops at once. [mm/h]")
    ] = None,
    grown: Annotated[
        float | None,
        typer.Option("--grown", metavar="YEARS", help="Trees have grown so long, and are in leaf. [years]"),
    ] = None,
    neighbour: Annotated[
        str | None,
        typer.Option(
            "--neighbour",
            metavar="MOUNT,CHANNEL,DBM,BUSY[,WIDTH]",
            help="A neighbour is heard at a mount: channel, level in dBm, busy per cent, width in MHz.",
        ),
    ] = None,
    fails: Annotated[
        str | None,
        typer.Option("--fails", metavar="THING", help="A radio, hop, wire, device, supply or mount fails."),
    ] = None,
    with_later: WithLater = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object with full-precision numbers.")] = False,
) -> int:
    """What happens to a design when something happens?

    One event at a time; nothing is edited or written. Says which cameras go dark and for how long, which of them nobody
    records meanwhile, which take another way, and what is other than before: stops, the worst margin at the needed
    rate in dB, the fullest cell in per cent of its air, rates in Mbit/s, findings. The exit status does
    not judge the design; check does.
    """
    from survey_app.assess.what_if import ChannelLost, Fails, Grown, RadarHeard, Rain, what_if
    from survey_app.spectrum.regions import load_regions
    from survey_app.spectrum.user_folder import user_regions_folder

    asked: list[Event] = [
        *([RadarHeard(radar)] if radar is not None else []),
        *([ChannelLost(lost)] if lost is not None else []),
        *([Rain(rain)] if rain is not None else []),
        *([Grown(grown)] if grown is not None else []),
        *([_neighbour(neighbour)] if neighbour is not None else []),
        *([Fails(fails)] if fails is not None else []),
    ]
    if len(asked) != 1:
        said = "no event is named" if not asked else f"{len(asked)} events are named, and one is met at a time"
        raise UsageError(said, remedy=f"name one of {_EVENTS}")
    drawn, before = assessed(site, with_later=with_later)
    try:
        found = what_if(drawn, asked[0], load_regions(user_regions_folder()), before)
    except UnknownNameError as error:
        raise UnknownNameError(error.what, where=str(site), remedy=_offer(drawn, asked[0]) or error.remedy) from None
    if as_json:
        say(found.model_dump_json(indent=2))
    else:
        for line in _lines(found):
            say(line)
    return 0


def _neighbour(text: str) -> NeighbourMore:
    from survey_app.assess.what_if import NeighbourMore

    parts = [part.strip() for part in text.split(",")]
    try:
        mount, channel, *figures = parts
        level_dbm, busy_percent, *width_mhz = map(float, figures)
        return NeighbourMore(mount, int(channel), level_dbm, busy_percent, *width_mhz)
    except (ValueError, TypeError):
        raise UsageError(f"{text[:60]!r} names no neighbour", where="--neighbour", remedy=_HEARD) from None


def _offer(site: Site, event: Event) -> str | None:
    """Offer the nearest names of what the event wants."""
    from survey_app.assess.what_if import Fails, NeighbourMore, RadarHeard

    design = site.design
    if isinstance(event, RadarHeard):
        return nearest(event.access_point, [one.id for one in design.radios if one.role == "access_point"])
    if isinstance(event, NeighbourMore):
        return nearest(event.mount, [one.id for one in design.mounts])
    if isinstance(event, Fails):
        things = (design.radios, design.hops, design.wires, design.devices, design.supplies, design.mounts)
        return nearest(event.subject, [one.id for rows in things for one in rows])
    return None


def _lines(found: WhatIf) -> Iterator[str]:
    for sentence in found.sentences:
        yield from textwrap.wrap(sentence, _WIDTH, subsequent_indent="  ")
    for way in found.ways:
        yield from textwrap.wrap(f"{way.camera} comes home by {', '.join(way.after)}.", _WIDTH, subsequent_indent="  ")
    yield ""
    yield from table(_figures(found), align="<<>><")


def _figures(found: WhatIf) -> Iterator[tuple[str, ...]]:
    yield ("", "", "before", "then", "")
    yield ("all", "stops", str(found.stops_before), str(found.stops_after), "")
    margins = _number(found.worst_margin_before_db, 1), _number(found.worst_margin_after_db, 1)
    yield ("all", "worst margin", *margins, "dB")
    loads = (found.fullest_before_fraction, found.fullest_after_fraction)
    yield ("all", "fullest cell", *(_number(None if load is None else 100.0 * load, 0) for load in loads), "%")
    for row in found.figures:
        yield (row.id, row.quantity, _number(row.before, 1), _number(row.after, 1), row.unit)


def _number(value: float | None, places: int) -> str:
    return "-" if value is None else f"{value:.{places}f}"

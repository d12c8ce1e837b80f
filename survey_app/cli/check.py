"""`check`: findings and figures of a design."""

from __future__ import annotations

import shutil
import sys
import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from survey_app.cli.help import example
from survey_app.cli.opening import SiteArgument, WithLater, assessed, status_of
from survey_app.cli.streams import say
from survey_app.cli.table import table

if TYPE_CHECKING:
    from survey_app.assess.record import Assessment, Finding, HopRow

__all__ = ["register"]

_LEAST_WIDTH = 60


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(
        "check",
        epilog=example(
            "survey-app check yard",
            "survey-app check yard --json > yard-checked.json",
            "survey-app check yard --with-later",
        ),
    )(_check)


def _check(
    site: SiteArgument,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print the whole assessment as one JSON object with full-precision numbers.")
    ] = False,
    with_later: WithLater = False,
) -> int:
    """Check a design: findings, then figures and clearances per hop.

    Findings have the numbers that they have on paper; each says what is wrong, by how much and what cures it. Figures
    are metres, degrees from true north (from plan north without an anchor), dBm, dB, Mbit/s and per cent of the air.
    A clearance is the smallest of a hop, in metres and in parts of the first zone: in leaf; without leaves, grown, and
    with what moves in the way.
    The exit status is 1 where a stop stands that nobody has accepted.
    """
    _, assessment = assessed(site, with_later=with_later)
    if as_json:
        say(_with_time(assessment.model_dump_json(indent=2)))
    else:
        _show(assessment)
    return status_of(assessment)


def _with_time(record: str) -> str:
    """Put the moment of the run in front: the only part that is not the same for the same site."""
    import datetime

    now = datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")
    return '{\n  "generated": "' + now + '",' + record[1:]


def _show(assessment: Assessment) -> None:
    say(f"{assessment.site}, revision {assessment.revision}, checksum {assessment.checksum}")
    edition = "no rules" if assessment.rules_edition == "none" else assessment.rules_edition
    say(f"planned for {assessment.as_of.isoformat()}; {edition}")
    if assessment.with_later:
        say("counted with everything that is planned for later")
    say()
    for finding in assessment.findings:
        for line in _finding(finding):
            say(line)
    if assessment.findings:
        say()
    say(_counts(assessment))
    for words in assessment.stale_acceptances:
        say(f"An acceptance has lapsed: {words}.")
    if assessment.hops:
        say()
        for line in table(_figures(assessment), align="<<>>>>>>>"):
            say(line)
        say()
        for line in table(_clearances(assessment), align="<>>>><>>>"):
            say(line)
        for words in _held_against(assessment):
            for line in _hung("", words):
                say(line)


def _counts(assessment: Assessment) -> str:
    counts = ((word, assessment.count(word)) for word in ("stop", "warn", "note"))
    return ", ".join(f"{count} {word}{'' if count == 1 else 's'}" for word, count in counts)


def _finding(finding: Finding) -> Iterator[str]:
    """Yield number, flag word, subject and message, then the cures, hung under the message."""
    about = finding.subject if finding.second_subject is None else f"{finding.subject}, {finding.second_subject}"
    head = f"{finding.number:>3} {finding.severity:<4}  "
    yield from _hung(head, f"{about}: {finding.message} [{finding.source}]")
    space = " " * len(head)
    if finding.accepted is not None:
        taken = finding.accepted
        yield from _hung(space, f"accepted by {taken.by} on {taken.on.isoformat()}: {taken.reason}")
    for cure in finding.cures:
        yield from _hung(space, f"cure: {cure.text}")


def _hung(head: str, text: str) -> list[str]:
    """Wrap for a terminal; a file or a pipe gets each on one line, for filters to find."""
    if not (sys.stdout is not None and sys.stdout.isatty()):
        return [head + text]
    width = max(_LEAST_WIDTH, shutil.get_terminal_size().columns)
    return textwrap.wrap(text, width, initial_indent=head, subsequent_indent=" " * len(head)) or [head]


def _figures(assessment: Assessment) -> Iterator[tuple[str, ...]]:
    loads = {cell.id: cell.load_fraction for cell in assessment.cells}
    anchored = assessment.north.anchored
    yield (
        "hop",
        "access point, station",
        "m",
        "true" if anchored else "plan",
        "tilt",
        "read dBm",
        "margin dB",
        "Mbit/s of",
        "air %",
    )
    for hop in assessment.hops:
        yield _hop_figures(hop, loads.get(hop.cell), anchored=anchored)


def _hop_figures(hop: HopRow, load: float | None, *, anchored: bool) -> tuple[str, ...]:
    here, there = hop.ends.access_point, hop.ends.station
    up, down = hop.directions.to_access_point, hop.directions.to_station
    margins = [way.margin_at_needed_rate_db for way in (up, down) if way.margin_at_needed_rate_db is not None]
    demand = up.demand_mbps + down.demand_mbps
    alone = [way.throughput_alone_mbps for way in (up, down) if way.throughput_alone_mbps is not None]
    return (
        hop.id,
        f"{hop.access_point}, {hop.station}",
        f"{hop.distance_m:.0f}",
        _number(here.bearing_true_deg if anchored else here.bearing_plan_deg, 1),
        _number(here.tilt_deg, 1),
        f"{_number(here.expected_reading_dbm, 0)} / {_number(there.expected_reading_dbm, 0)}",
        _number(min(margins) if len(margins) == 2 else None, 1),
        f"{demand:.1f} of {_number(min(alone) if len(alone) == 2 else None, 0)}",
        _number(None if load is None else 100.0 * load, 0),
    )


def _clearances(assessment: Assessment) -> Iterator[tuple[str, ...]]:
    """Yield the smallest clearance of each hop: metres, part of the zone, where and by what, and what changes it."""
    yield ("hop", "cut m", "clear m", "of zone", "at m", "nearest", "bare", "grown", "moving")
    for hop in assessment.hops:
        side = f", {hop.clearance_side}" if hop.clearance_side in ("left", "right", "over") else ""
        yield (
            hop.id,
            "none" if hop.cut_at_m is None else _number(hop.cut_at_m, 1),
            _number(hop.clearance_m, 2),
            _number(hop.fresnel_clearance_ratio, 2),
            _number(hop.clearance_place_m, 1),
            "nothing near" if hop.clearance_obstacle is None else f"{hop.clearance_obstacle}{side}",
            _number(hop.clearance_ratio_bare, 2),
            _number(hop.clearance_ratio_grown, 2),
            _number(hop.clearance_ratio_moving, 2),
        )


def _held_against(assessment: Assessment) -> Iterator[str]:
    """Yield what the hops were held against, each sentence once with its hops where they differ."""
    hops: dict[str, list[str]] = {}
    for hop in assessment.hops:
        hops.setdefault(hop.checked_against, []).append(hop.id)
    for words, ids in hops.items():
        about = "All hops" if len(hops) == 1 else ", ".join(ids)
        yield f"{about}: held against {words}."


def _number(value: float | None, places: int) -> str:
    if value is None:
        return "-"
    text = f"{value:.{places}f}"
    return text[1:] if text.startswith("-") and float(text) == 0.0 else text

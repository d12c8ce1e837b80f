"""`propose`: a channel plan for a design, written as an alternative."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from survey_app.cli.help import example
from survey_app.cli.opening import SiteArgument, check_there, status_of
from survey_app.cli.progress import shown_progress
from survey_app.cli.streams import note, say
from survey_app.cli.table import table
from survey_app.errors import OutputError

if TYPE_CHECKING:
    from survey_app.propose.channels import ChannelPlan, Patience

__all__ = ["register"]

_NAME = "channels"
_WIDTH = 100


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command(
        "propose", epilog=example("survey-app propose yard", "survey-app propose yard --seconds 300 -o plan.json")
    )(_propose)


def _propose(
    site: SiteArgument,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o", "--output", metavar="FILE", help="New site file. [default: alternatives/channels.json of the site]"
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the plan as one JSON object.")] = False,
    seconds: Annotated[
        float, typer.Option("--seconds", metavar="S", min=1.0, max=86400.0, help="How long to search. [s]")
    ] = 60.0,
    changes: Annotated[
        int | None,
        typer.Option(
            "--changes", metavar="N", min=0, help="How many running cells may change. [default: no more than needed]"
        ),
    ] = None,
) -> int:
    """Propose channels and widths for all cells.

    The plan leaves the worst direction the greatest margin at the needed rate, in dB, with all interference counted; of
    plans that are worth the same there, to half a dB, it is the one that carries most, in Mbit/s. A worst margin is
    proven to a fifth of a dB, which no unit shows. Rules, gear, locks, scans and radar duty are kept. The site is left
    as it is: the plan is written beside it as an alternative. What could not be proven in the time is stated as a gap.
    The exit status is 1 where the proposed design has a stop.
    """
    from survey_app.assess.pipeline import assess
    from survey_app.ground.relief.opening import open_site
    from survey_app.propose.channels import propose_channels
    from survey_app.site.file import site_to_bytes, write_site_bytes
    from survey_app.spectrum.regions import load_regions
    from survey_app.spectrum.user_folder import user_regions_folder

    check_there(site)
    known, regions = open_site(site), load_regions(user_regions_folder())
    file = _fresh(output) if output is not None else _alternative(site)
    with shown_progress("Searching a channel plan") as told:
        found = propose_channels(known, regions, _patience(seconds, told), most_changes=changes)
    assessment = assess(found.edit.after, regions)
    if as_json:
        say(found.plan.model_dump_json(indent=2))
    else:
        for line in _lines(found.plan):
            say(line)
    if found.plan.changes or output is not None:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_site_bytes(site_to_bytes(found.edit.after), file)
        note(f"Written to {file}.")
    else:
        note("Nothing is written: the plan is the one that the site has.")
    return status_of(assessment)


def _patience(seconds: float, told: Callable[[int, int], None] | None) -> Patience:
    from survey_app.propose.channels import Patience

    steps = 0

    def step(_words: str) -> bool:
        nonlocal steps
        steps += 1
        if told is not None:
            told(steps, steps + 3)
        return True

    return Patience(seconds, step)


def _fresh(file: Path) -> Path:
    if file.exists():
        raise OutputError("it is there already and is not overwritten", where=str(file), remedy="choose another name")
    return file


def _alternative(site: Path) -> Path:
    """Return the first name that is free: channels, channels-2 and so on."""
    from survey_app.session.alternatives import alternative_file, alternatives
    from survey_app.site.file import site_folder

    folder = site_folder(site)
    taken = {one.name.casefold() for one in alternatives(folder)}
    number = 1
    name = _NAME
    while name in taken:
        number += 1
        name = f"{_NAME}-{number}"
    return alternative_file(folder, name)


def _lines(plan: ChannelPlan) -> Iterator[str]:
    yield from table(_rows(plan), align="<<<>>>")
    yield ""
    yield _worth(plan)
    yield _sure(plan)
    for number, differences in enumerate(plan.equal_plans, start=1):
        yield from textwrap.wrap(f"Worth the same ({number}): {'; '.join(differences)}.", _WIDTH)
    yield ""
    for cell in plan.cells:
        yield from textwrap.wrap(f"{cell.cell}: {cell.why}", _WIDTH, subsequent_indent="  ")


def _rows(plan: ChannelPlan) -> Iterator[tuple[str, ...]]:
    yield ("cell", "now", "proposed", "margin dB", "Mbit/s", "spare")
    for cell in plan.cells:
        now = "none" if cell.channel_before is None else f"{cell.channel_before} at {cell.width_before_mhz} MHz"
        yield (
            cell.cell,
            now,
            f"{cell.channel} at {cell.width_mhz} MHz" if cell.changed else "stays",
            f"{_number(cell.worst_margin_before_db)} -> {_number(cell.worst_margin_db)}",
            f"{_number(cell.capacity_before_mbps)} -> {cell.capacity_mbps:.1f}",
            "-" if cell.radar_spare is None else str(cell.radar_spare),
        )


def _worth(plan: ChannelPlan) -> str:
    return (
        f"Worst margin {_number(plan.worst_margin_before_db)} -> {_number(plan.worst_margin_db)} dB, "
        f"all cells together {_number(plan.capacity_before_mbps)} -> {plan.capacity_mbps:.1f} Mbit/s; "
        f"{plan.changes} of {len(plan.cells)} cells change, {plan.running_changes} of them running."
    )


def _sure(plan: ChannelPlan) -> str:
    if plan.margin_gap_db == 0.0 and plan.capacity_gap_percent < 0.01:
        return "Proven: no plan has a better worst margin, or carries more with it."
    if plan.margin_gap_db == 0.0:
        return (
            "Proven: no plan has a better worst margin. Not proven in the time: another might carry "
            f"{plan.capacity_gap_percent:.1f} % more with it."
        )
    return (
        f"Not proven in the time: another plan might have {plan.margin_gap_db:.1f} dB more in its worst direction, or "
        f"carry {plan.capacity_gap_percent:.1f} % more."
    )


def _number(value: float | None) -> str:
    return "-" if value is None else f"{value:.1f}"

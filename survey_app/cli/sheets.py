"""`sheets`, `bench`, `schedule`, `network` and `tally`: the paper of a design."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from survey_app.cli.documents import DOCUMENTS, targets, write_document
from survey_app.cli.help import example
from survey_app.cli.opening import SiteArgument, assessed, status_of
from survey_app.cli.streams import say

__all__ = ["register"]


class PaperSize(StrEnum):
    """Size of the paper."""

    A4 = "a4"
    LETTER = "letter"


_Output = Annotated[
    Path | None,
    typer.Option("-o", "--output", metavar="PATH", help="A file, or a folder. [default: the current folder]"),
]
_Paper = Annotated[PaperSize | None, typer.Option("--paper", help="Paper size. [default: the site's own]")]


def register(app: typer.Typer) -> None:
    """Add the commands."""
    app.command(
        "sheets", epilog=example("survey-app sheets yard -o yard-sheets.pdf", "survey-app sheets yard --paper a4")
    )(_sheets)
    app.command("bench", epilog=example("survey-app bench yard -o yard-bench.pdf"))(_bench)
    app.command("schedule", epilog=example("survey-app schedule yard -o yard-schedule.pdf"))(_schedule)
    app.command("network", epilog=example("survey-app network yard -o yard-network.pdf"))(_network)
    app.command("tally", epilog=example("survey-app tally yard -o tally.xlsx", "survey-app tally yard -o paper"))(
        _tally
    )


def _sheets(site: SiteArgument, output: _Output = None, paper: _Paper = None) -> int:
    """Write the mounting sheets: one page per radio.

    Grouped by climb, in the order of the work: the aim that the installer uses in the largest figures (degrees),
    tilt as the bracket is set (degrees), the level to expect (dBm), heights (metres, feet where the site says so).
    The file's name is printed; a sheet whose radio has a stop is marked and written all the same.
    """
    return _write("mounting-sheets", site, output, paper)


def _bench(site: SiteArgument, output: _Output = None, paper: _Paper = None) -> int:
    """Write the bench sheets: one page per radio.

    What to set before a radio leaves the workshop: channel, width (MHz), power (dBm), distance (metres), label,
    lines for what is typed back. Secrets are never printed: their lines are blank.
    """
    return _write("bench-sheets", site, output, paper)


def _schedule(site: SiteArgument, output: _Output = None, paper: _Paper = None) -> int:
    """Write the hop schedule: every hop with both ends.

    Bearings and tilts in degrees, distances in metres, levels in dBm, margins in dB, rates in Mbit/s.
    """
    return _write("hop-schedule", site, output, paper)


def _network(site: SiteArgument, output: _Output = None, paper: _Paper = None) -> int:
    """Write the network: what has an address, and how video comes home.

    Names, addresses and channels; cells with their load (per cent), delay (ms) and SINR (dB); the route of each
    camera with what is left (Mbit/s); which cameras go dark when one thing fails.
    """
    return _write("network", site, output, paper)


def _tally(site: SiteArgument, output: _Output = None, paper: _Paper = None) -> int:
    """Write the tally: everything to be counted.

    What to buy, have, reuse, remove or hire, as PDF, as a workbook and as CSV, all from one count: pieces, metres,
    hours. A file name's ending chooses one.
    """
    return _write("tally", site, output, paper)


def _write(name: str, path: Path, output: Path | None, paper: PaperSize | None) -> int:
    site, assessment = assessed(path)
    document = DOCUMENTS[name]
    for file in targets(document, output, site):
        write_document(document, site, assessment, file, paper.value if paper is not None else None)
        say(str(file))
    return status_of(assessment)

"""`demo`: a complete site of our own invention, with everything that its three people need."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Annotated

import typer

from survey_app.cli.documents import DOCUMENTS, write_document
from survey_app.cli.folder import fresh_folder
from survey_app.cli.help import example
from survey_app.cli.names import nearest
from survey_app.cli.opening import assessed, status_of
from survey_app.cli.streams import note, say
from survey_app.cli.table import table
from survey_app.errors import OutputError, UnknownNameError

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("demo", epilog=example("survey-app demo", "survey-app demo boatyard -o yard"))(_demo)


def _demo(
    name: Annotated[str | None, typer.Argument(metavar="NAME", help="Which one; without it they are listed.")] = None,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", metavar="FOLDER", help="New or empty folder. [default: NAME]")
    ] = None,
) -> int:
    """Copy a demo site out and write its whole paper set.

    The folder then holds site.json (metres, degrees, dBm, Mbit/s), its alternatives, and under paper/REVISION/ the
    cover, mounting sheets, bench sheets, hop schedule, network and tally. The exit status is 1 where the design
    has a stop.
    """
    from survey_app.session.demos import demos

    sites = {demo.name: demo.folder for demo in demos()}
    if name is None:
        for line in table([(demo.name, demo.sentence) for demo in demos()]):
            say(line)
        return 0
    if name not in sites:
        raise UnknownNameError(f"there is no demo site called '{name}'", remedy=nearest(name, sites))
    with fresh_folder(output if output is not None else Path(name)) as folder:
        _copy(sites[name], folder)
        site, assessment = assessed(folder)
        paper = folder / "paper" / (re.sub(r"[^A-Za-z0-9]+", "-", site.design.revision).strip("-") or "x")
        files = [paper / f"{document.name}.{ending}" for document in DOCUMENTS.values() for ending in document.endings]
        for file in files:
            write_document(DOCUMENTS[file.stem], site, assessment, file, None)
    say(str(folder / "site.json"))
    for file in files:
        say(str(file))
    note(f"Next: survey-app check {folder}")
    return status_of(assessment)


def _copy(source: Path, folder: Path) -> None:
    try:
        shutil.copytree(source, folder, dirs_exist_ok=True, copy_function=shutil.copyfile)
    except (OSError, shutil.Error) as error:
        raise OutputError(f"the site cannot be copied ({error})", where=str(folder)) from error

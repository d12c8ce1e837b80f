"""The list of commands: their names and order, and nothing else."""

from __future__ import annotations

from typing import Annotated

import typer

from survey_app.cli import aim, check, demo, explain, gear, new, reach, sheets
from survey_app.cli.help import example
from survey_app.cli.streams import note, say
from survey_app.errors import UsageError

__all__ = ["application"]


def application() -> typer.Typer:
    """Return the command line with all its commands."""
    app = typer.Typer(add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False)
    app.callback(
        invoke_without_command=True,
        epilog=example("survey-app demo boatyard -o yard", "survey-app check yard", "survey-app aim --help"),
    )(_top)
    for command in (demo, new, gear, check, sheets, aim, reach, explain):
        command.register(app)
    return app


def _top(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and leave.")] = False,
) -> int:
    """Site survey and topology design for camera video over short licence-exempt radio hops.

    SITE is a site's folder, its site.json, or one of its alternatives/NAME.json. Units are metres, degrees, dB, dBm,
    MHz and Mbit/s; the unit stands beside every number. Exit status: 0 fine, 1 the design has a stop finding, 2 wrong
    use, 3 unreadable input, 70 internal error, 73 cannot write, 130 interrupted.
    """
    if version:
        import survey_app

        say(f"survey-app {survey_app.__version__}")
        raise typer.Exit(0)
    if context.invoked_subcommand is None:
        note(context.get_help())
        raise UsageError("a command is needed", remedy="name one of those above")
    return 0

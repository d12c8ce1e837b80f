"""The list of commands: their names and order, and nothing else."""

from __future__ import annotations

from typing import Annotated

import typer

from survey_app.cli import (
    aim,
    bring_in,
    check,
    compare,
    demo,
    explain,
    gear,
    new,
    propose,
    reach,
    sheets,
    what_if,
    window,
)
from survey_app.cli.help import example
from survey_app.cli.streams import say

__all__ = ["application"]


def application() -> typer.Typer:
    """Return the command line with all its commands."""
    app = typer.Typer(add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False)
    app.callback(
        invoke_without_command=True,
        epilog=example("survey-app demo boatyard -o yard", "survey-app check yard", "survey-app open yard"),
    )(_top)
    for command in (window, demo, new, bring_in, gear, check, sheets, compare, what_if, propose, aim, reach, explain):
        command.register(app)
    return app


def _top(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and leave.")] = False,
) -> int:
    """Site survey and topology design for camera video over short licence-exempt radio hops.

    Without a command the window opens. SITE is a site's folder, its site.json, or one of its alternatives/NAME.json.
    Units are metres, degrees, dB, dBm, MHz and Mbit/s; the unit stands beside every number. Exit status: 0 fine, 1 the
    design has a stop finding, 2 wrong use, 3 unreadable input, 70 internal error, 73 cannot write, 130 interrupted.
    """
    if version:
        import survey_app

        say(f"survey-app {survey_app.__version__}")
        raise typer.Exit(0)
    if context.invoked_subcommand is None:
        return window.open_window(None)
    return 0

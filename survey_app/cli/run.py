"""Runs one command and turns whatever happens into one of the promised exit statuses."""

from __future__ import annotations

import os
import sys
import warnings
from collections.abc import Sequence
from typing import Any, NoReturn

from survey_app.cli.streams import finish, note, prepare
from survey_app.errors import SurveyError
from survey_app.physics.kernel_store import before_compiling

__all__ = ["INTERNAL", "INTERRUPTED", "STOPPED", "USAGE", "main", "run"]

STOPPED = 1
"""The design has a stop finding."""
USAGE = 2
INTERNAL = 70
INTERRUPTED = 130

_MOST_FAULTS_SHOWN = 20
_COMPILING = "Preparing the geometry for this computer, once: about 20 s."


def main() -> NoReturn:
    """Run the command line with the arguments of the process, and leave with its exit status."""
    if not sys.warnoptions:
        # what libraries warn their programmers of is nothing to the person at the keyboard
        warnings.simplefilter("ignore")
    status = run(sys.argv[1:])
    if status == INTERRUPTED:
        # a key that came while a library ran a text of code leaves the interpreter believing that nobody took it: it
        # would then end itself by the signal, not with the status; all is written and tidied up by now
        os._exit(status)
    raise SystemExit(status)


def run(arguments: Sequence[str]) -> int:
    """Run one command.

    Parameters
    ----------
    arguments : sequence of str
        Arguments without the program's name.

    Returns
    -------
    int
        Exit status: 0 fine, 1 the design has a stop finding, 2 wrong use, 3 unreadable input, 70 internal error, 73
        cannot write, 130 interrupted.
    """
    prepare()
    if sys.stderr is not None and sys.stderr.isatty():
        before_compiling(lambda: note(_COMPILING))
    try:
        status = _command(list(arguments))
        finish()
    except KeyboardInterrupt:
        note("survey-app: interrupted.")
        status = INTERRUPTED
    except SurveyError as error:
        status = _told(error, arguments)
    except Exception as error:  # the last door: nobody is shown a traceback
        status = _internal(error, arguments)
    try:
        finish()
    except SurveyError as error:
        status = max(status, error.exit_status)
    return status


def _command(arguments: list[str]) -> int:
    from survey_app.cli.commands import application

    try:
        result = application()(args=arguments, prog_name="survey-app", standalone_mode=False)
    except Exception as error:
        if _is_wrong_use(error):
            return _wrong_use(error)
        if type(error).__name__ == "Abort":  # the parser's word for a key that interrupts
            raise KeyboardInterrupt from error
        raise
    if result == INTERRUPTED:  # newer parsers turn the key into this status and say nothing
        raise KeyboardInterrupt
    return result if isinstance(result, int) else 0


def _is_wrong_use(error: Exception) -> bool:
    """Tell an error of the argument parser, which has moved between packages, by what it can do."""
    return not isinstance(error, SurveyError) and hasattr(error, "format_message") and hasattr(error, "exit_code")


def _wrong_use(error: Any) -> int:
    message = error.format_message().strip().rstrip(".")
    context = getattr(error, "ctx", None)
    command = context.command_path if context is not None else "survey-app"
    if not message.endswith("?"):
        message += f"; see {command} --help."
    note(f"{command}: {message}")
    return USAGE


def _told(error: SurveyError, arguments: Sequence[str]) -> int:
    if error.exit_status == INTERNAL:
        return _internal(error, arguments)
    note(f"survey-app: {error.sentence()}")
    further = getattr(error, "faults", ())[1:]
    for fault in further[:_MOST_FAULTS_SHOWN]:
        note(f"  {fault.place}: {fault.sentence}" if fault.place else f"  {fault.sentence}")
    if len(further) > _MOST_FAULTS_SHOWN:
        note(f"  and {len(further) - _MOST_FAULTS_SHOWN} more")
    return error.exit_status


def _internal(error: Exception, arguments: Sequence[str]) -> int:
    from survey_app.session.report import keep_report

    path = keep_report(error, arguments)
    what = (
        error.sentence().rstrip(".") if isinstance(error, SurveyError) else f"internal error ({type(error).__name__})"
    )
    note(f"survey-app: {what}; {f'a report lies in {path}' if path else 'no folder would take a report of it'}.")
    return INTERNAL

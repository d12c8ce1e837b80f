"""Results to standard output, everything else to standard error, and what may happen to either."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
from typing import TextIO

from survey_app.errors import OutputError

__all__ = ["finish", "note", "prepare", "say"]

# an errno that a closed reader may leave on systems without SIGPIPE
_CLOSED = (errno.EPIPE, errno.EINVAL) if os.name == "nt" else (errno.EPIPE,)


def prepare() -> None:
    """Make both streams hold any letter: files and pipes get UTF-8 on every machine, terminals what they can show."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is None:
            continue
        with contextlib.suppress(OSError, ValueError):
            if stream.isatty():
                reconfigure(errors="replace")
            else:
                reconfigure(encoding="utf-8", errors="backslashreplace", newline="\n")


def say(text: str = "") -> None:
    """Write a line of the result to standard output.

    Raises
    ------
    OutputError
        It cannot be written; a reader that has closed the pipe is no fault.
    """
    if sys.stdout is None:
        raise OutputError("standard output is closed", remedy="let it go to a terminal, a file or a pipe")
    try:
        sys.stdout.write(text + "\n")
    except OSError as error:
        _failed(error)


def note(text: str = "") -> None:
    """Write a line to standard error; where nobody listens there is nothing more to be done."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sys.stderr.write(text + "\n")
        sys.stderr.flush()


def finish() -> None:
    """Send out what still waits in standard output.

    Raises
    ------
    OutputError
        It cannot be written.
    """
    if sys.stdout is None:
        return
    try:
        sys.stdout.flush()
    except OSError as error:
        _failed(error)


def _failed(error: OSError) -> None:
    _leave_to_nobody(sys.stdout)
    if error.errno not in _CLOSED:
        reason = (error.strerror or str(error)).lower()
        raise OutputError(f"the result cannot be written ({reason})", where="standard output") from error


def _leave_to_nobody(stream: TextIO) -> None:
    """Let the rest run into nothing, so that neither a later line nor the interpreter's own end fails again."""
    with contextlib.suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)

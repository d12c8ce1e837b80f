"""`open` and the bare command: the window. Nothing of it is loaded before it is sure that it can be shown."""

from __future__ import annotations

import contextlib
import os
import socket
import sys
from pathlib import Path

import typer

from survey_app.cli.help import example
from survey_app.cli.opening import SiteArgument, check_there
from survey_app.errors import UsageError

__all__ = ["open_window", "register"]

_REMEDY = "the other commands work without one, such as survey-app check SITE"
_ANSWER_S = 1.0
_FIRST_PORT = 6000
_WITHOUT_A_SCREEN = ("offscreen", "minimal", "vnc", "linuxfb", "eglfs")


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("open", epilog=example("survey-app open yard", "survey-app open yard/alternatives/omni.json"))(_open)


def _open(site: SiteArgument) -> int:
    """Open a site in the window.

    The plan in metres, to draw on, with the figures that check and the sheets give: degrees, dBm, Mbit/s. Without a
    command the window opens with the sites that were open last.
    """
    check_there(site)
    return open_window(site)


def open_window(path: Path | None) -> int:
    """Show the window until it is closed.

    Parameters
    ----------
    path : Path or None
        The site to open; None = the start page.

    Returns
    -------
    int
        Exit status.

    Raises
    ------
    UsageError
        No window can be opened here.
    InputError
        The site cannot be read: no window opens.
    """
    reason = _no_screen()
    if reason:
        raise UsageError(f"the window cannot open here ({reason})", remedy=_REMEDY)
    try:
        from survey_app.desktop.shell.application import run_desktop

        return run_desktop(path)
    except ImportError as error:
        if (error.name or "").partition(".")[0] == "survey_app":
            raise  # a fault of the program, not of the place where it runs
        raise UsageError(f"the window cannot open here ({_first_line(error)})", remedy=_REMEDY) from error


def _first_line(error: ImportError) -> str:
    return str(error).strip().splitlines()[0].rstrip(".") if str(error).strip() else "the window library is missing"


def _no_screen() -> str:
    """Return why nothing can be shown; empty where it can.

    Asked before the window library is, which ends the whole process where it finds no screen.
    """
    if sys.platform in ("win32", "darwin"):
        return ""
    if os.environ.get("QT_QPA_PLATFORM", "").partition(":")[0] in _WITHOUT_A_SCREEN:
        return ""
    wayland, display = os.environ.get("WAYLAND_DISPLAY", ""), os.environ.get("DISPLAY", "")
    if not wayland and not display:
        return "there is no screen: DISPLAY and WAYLAND_DISPLAY are not set"
    if wayland and os.path.exists(os.path.join(os.environ.get("XDG_RUNTIME_DIR", ""), wayland)):  # noqa: PTH110, PTH118
        return ""
    if display and _answers(display):
        return ""
    return f"the screen {display or wayland} does not answer"


def _answers(display: str) -> bool:
    """Return whether somebody listens where a display says that it is."""
    host, _, rest = display.rpartition(":")
    number = rest.partition(".")[0]
    if not number.isdecimal():
        # a form that is not known here is left to those who know it
        return True
    if host in ("", "unix"):
        name = f"/tmp/.X11-unix/X{number}"
        return any(_listens(socket.AF_UNIX, address) for address in (name, f"\0{name}"))
    if host.startswith("/"):
        return True
    return _listens(socket.AF_INET, (host, _FIRST_PORT + int(number)))


def _listens(family: int, address: object) -> bool:
    with contextlib.suppress(OSError, OverflowError), socket.socket(family, socket.SOCK_STREAM) as line:
        line.settimeout(_ANSWER_S)
        line.connect(address)  # type: ignore[arg-type]
        return True
    return False

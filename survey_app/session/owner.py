"""Which process has a document open, and whether that process is still there."""

from __future__ import annotations

import contextlib
import functools
import os
import platform
import subprocess
import sys
from pathlib import Path
from typing import Any, NamedTuple

__all__ = ["Owner", "is_running", "start_of", "this_process"]

_UNKNOWN = ""
_GONE = ("Z", "X", "x")
_PS_SECONDS = 10


class Owner(NamedTuple):
    """A process, told apart from a later one that got its number."""

    pid: int
    started: str
    """When it was started, in the system's own words; empty where the system does not tell."""
    host: str
    """Name of the computer."""

    def plain(self) -> dict[str, Any]:
        """Return it as plain values."""
        return self._asdict()

    @classmethod
    def of(cls, tree: Any) -> Owner:
        """Read it from plain values.

        Raises
        ------
        ValueError
            They are not those of an owner.
        """
        if not isinstance(tree, dict) or set(tree) != set(cls._fields):
            raise ValueError("is no owner")
        pid, started, host = tree["pid"], tree["started"], tree["host"]
        if type(pid) is not int or pid <= 0 or not isinstance(started, str) or not isinstance(host, str):
            raise ValueError("is no owner")
        return cls(pid, started, host)


def this_process() -> Owner:
    """Return the process that runs this.

    Examples
    --------
    >>> is_running(this_process())
    True
    """
    return Owner(os.getpid(), _own_start(os.getpid()), platform.node())


@functools.cache
def _own_start(pid: int) -> str:
    return start_of(pid) or _UNKNOWN


def is_running(owner: Owner) -> bool:
    """Return whether a process of this computer is still there; one of another computer counts as there."""
    if owner.host != platform.node():
        return True
    started = start_of(owner.pid)
    if started is None:
        return False
    return _UNKNOWN in (started, owner.started) or started == owner.started


def start_of(pid: int) -> str | None:
    """Return when a process was started: None = there is none, empty = it is there but nobody tells since when.

    Examples
    --------
    >>> start_of(2**22 + 1) is None
    True
    """
    if sys.platform == "win32":
        return _start_on_windows(pid)
    if Path("/proc/self/stat").exists():
        return _start_by_files(pid)
    return _start_by_ps(pid)


def _start_by_files(pid: int) -> str | None:
    try:
        text = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8", errors="replace")
    except (FileNotFoundError, ProcessLookupError):
        return None
    except OSError:
        return _UNKNOWN
    # the name in brackets may itself hold blanks and brackets
    words = text.rpartition(")")[2].split()
    if len(words) < 20:
        return _UNKNOWN
    if words[0] in _GONE:
        return None
    return f"{_boot()} {words[19]}"


@functools.cache
def _boot() -> str:
    """Return what tells one run of the system from the next: the ticks of a process count from its start."""
    with contextlib.suppress(OSError):
        return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    return _UNKNOWN


def _start_by_ps(pid: int) -> str | None:
    try:
        done = subprocess.run(
            ["ps", "-o", "stat=,lstart=", "-p", str(pid)],
            capture_output=True,
            text=True,
            timeout=_PS_SECONDS,
            check=False,
            # the same words wherever and in whatever language the two processes were started
            env={**os.environ, "LC_ALL": "C", "TZ": "UTC"},
        )
    except (OSError, subprocess.SubprocessError):
        return _UNKNOWN if _has_signal(pid) else None
    state, _, started = done.stdout.strip().partition(" ")
    return None if not state or state.startswith(_GONE) else " ".join(started.split())


def _has_signal(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


if sys.platform == "win32":

    def _start_on_windows(pid: int) -> str | None:
        import ctypes
        from ctypes import wintypes

        query, still_active, denied = 0x1000, 259, 5
        kernel = ctypes.WinDLL("kernel32", use_last_error=True)
        kernel.OpenProcess.restype = wintypes.HANDLE
        handle = kernel.OpenProcess(query, False, pid)
        if not handle:
            return _UNKNOWN if ctypes.get_last_error() == denied else None
        handle = wintypes.HANDLE(handle)
        try:
            status = wintypes.DWORD()
            if kernel.GetExitCodeProcess(handle, ctypes.byref(status)) and status.value != still_active:
                return None
            made, ended, inside, outside = (wintypes.FILETIME() for _ in range(4))
            times = (ctypes.byref(one) for one in (made, ended, inside, outside))
            if not kernel.GetProcessTimes(handle, *times):
                return _UNKNOWN
            return str((made.dwHighDateTime << 32) | made.dwLowDateTime)
        finally:
            kernel.CloseHandle(handle)

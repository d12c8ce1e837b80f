"""Processes that open documents: dead ones, living ones, and one that is killed."""

from __future__ import annotations

import json
import os
import platform
import signal
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from survey_app.session.owner import Owner, start_of
from survey_app.session.state_folder import StateFolder
from survey_app.site import Site, edits
from survey_app.site.edits import Edit

ROOT = Path(__file__).resolve().parents[2]


def dead(number: int = 0) -> Owner:
    """Return a process that had this one's number once and is gone."""
    return Owner(os.getpid(), f"long ago {number}", platform.node())


def revised(site: Site, revision: str) -> Edit:
    """Return a small edit that is a step of its own."""
    return edits.set_revision(site, revision)._replace(merge_key="")


def kept(state: Path) -> list[Path]:
    """Return the files of unsaved work."""
    return list(StateFolder(state).recoveries())


def aside(state: Path) -> list[Path]:
    """Return what was moved aside."""
    return sorted(StateFolder(state).aside.glob("*.recovery"))


def reason(state: Path) -> str:
    """Return why the one thing that was moved aside was."""
    (file,) = aside(state)
    return file.with_suffix(".reason.txt").read_text(encoding="utf-8")


def header(file: Path) -> dict[str, Any]:
    """Return the header of unsaved work as plain values."""
    found: dict[str, Any] = json.loads(file.read_bytes().split(b"\n", 2)[1])
    return found


def rewrite(file: Path, changes: Mapping[str, Any], *, version: int = 1) -> None:
    """Change the header of unsaved work and make the whole hold together again."""
    from survey_app.session.recovery import sha256

    _, line, body = file.read_bytes().split(b"\n", 2)
    rest = json.dumps({**json.loads(line), **changes}).encode() + b"\n" + body
    file.write_bytes(f"survey-recovery {version} {sha256(rest)}\n".encode() + rest)


class Worker:
    """Another process that runs a few lines and then waits; it can be killed at any moment.

    Parameters
    ----------
    lines : str
        A program; the word `ready` on its output says that it has come to its end.
    """

    def __init__(self, lines: str, *arguments: object) -> None:
        program = f"{lines}\nprint('ready', flush=True)\nimport sys\nsys.stdin.read()\n"
        self._process = subprocess.Popen(
            [sys.executable, "-c", program, *map(str, arguments)],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )

    @property
    def owner(self) -> Owner:
        """The process as a hold names it."""
        return Owner(self._process.pid, start_of(self._process.pid) or "", platform.node())

    def wait_ready(self) -> None:
        """Wait until its lines have run."""
        assert self._process.stdout is not None
        line = self._process.stdout.readline()
        if line != b"ready\n":
            _, complaint = self._process.communicate(timeout=60)
            raise AssertionError(complaint.decode())

    def kill(self) -> None:
        """End it as a power cut does."""
        self._process.send_signal(signal.SIGKILL if os.name == "posix" else signal.SIGTERM)
        self._process.communicate(timeout=60)

    def __enter__(self) -> Worker:
        """Return it."""
        return self

    def __exit__(self, *_: object) -> None:
        """Leave no process behind."""
        if self._process.poll() is None:
            self.kill()

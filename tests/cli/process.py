"""Runs the command line as a process of its own, as a person does."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]


class Outcome(NamedTuple):
    """What a command left behind."""

    status: int
    out: str
    err: str


Cli = Callable[..., Outcome]
"""Runs one command within the test's own process."""


def environment(**changes: str) -> dict[str, str]:
    """Return this process's surroundings with the clone on the path and some changes."""
    return {**os.environ, "PYTHONPATH": str(ROOT), **changes}


def survey_app(
    *arguments: object, env: Mapping[str, str] | None = None, cwd: Path | None = None
) -> subprocess.CompletedProcess[bytes]:
    """Run one command to its end."""
    command = [sys.executable, "-m", "survey_app", *(str(argument) for argument in arguments)]
    return subprocess.run(
        command, env=dict(env or environment()), cwd=cwd, capture_output=True, timeout=120, check=False
    )

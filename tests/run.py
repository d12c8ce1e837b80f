"""The test command: makes its own environment, then runs every check; needs only Python with venv.

Order: import contracts, lint and format; the types, and beside them the machine code that all processes of the suite read
back; the suite but for the window, with Qt made unimportable; the window's part of the suite. Nothing runs twice. The last
lines are pytest's own summary.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
import venv
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv-tests"
# what is left out where Qt cannot be imported, and is all that runs where it can; the rest of the suite needs none
WINDOW = ("tests/desktop", "survey_app/desktop")
# what Qt asks of Debian for a window that nobody sees
_LIBRARIES = ("libegl1", "libgl1", "libxkbcommon0", "libdbus-1-3", "libfontconfig1", "libglib2.0-0")
# and for one on a virtual display
_DISPLAY = (
    "xvfb", "xauth", "libxcb-cursor0", "libxcb-icccm4", "libxcb-image0", "libxcb-keysyms1", "libxcb-randr0",
    "libxcb-render-util0", "libxcb-shape0", "libxcb-xinerama0", "libxcb-xkb1", "libxkbcommon-x11-0",
)  # fmt: skip

_PREPARE = "from survey_app.ground.first_use import prepare_geometry; prepare_geometry()"


def _python() -> str:
    return str(ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python"))


def _surroundings() -> dict[str, str]:
    # some hundred processes start here: what one of them translated the others may read
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return kept | {"QT_QPA_PLATFORM": "offscreen"}


def _judge(what: str, status: int) -> None:
    """Stop at a check that failed, with its own status."""
    if status:
        print(f"\n{what}: failed", flush=True)
        raise SystemExit(status)


def _run(what: str, *command: str) -> None:
    print(f"\n== {what}", flush=True)
    _judge(what, subprocess.run(command, cwd=ROOT, env=_surroundings(), check=False).returncode)


@contextmanager
def _beside(what: str, *command: str) -> Iterator[None]:
    """Run a check beside what the block does, and print what it said, whole, after that."""
    with tempfile.TemporaryFile("w+", encoding="utf-8", errors="replace") as said:
        running = subprocess.Popen(command, cwd=ROOT, env=_surroundings(), stdout=said, stderr=subprocess.STDOUT)
        try:
            yield
        except BaseException:
            running.kill()
            running.wait()
            raise
        status = running.wait()
        said.seek(0)
        print(f"\n== {what}\n{said.read()}", end="", flush=True)
    _judge(what, status)


def _install() -> None:
    if not Path(_python()).exists():
        print("== environment", flush=True)
        venv.create(ENVIRONMENT, with_pip=True, clear=ENVIRONMENT.exists())
    _run("packages", _python(), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-e", ".[test]")


def _qt_loads() -> bool:
    probe = [_python(), "-c", "import PySide6.QtWidgets, PySide6.QtTest"]
    return subprocess.run(probe, cwd=ROOT, capture_output=True, check=False).returncode == 0


def _libraries() -> None:
    """Install what Qt needs of the system where that can be done, or say what is missing and stop."""
    has_display = shutil.which("xvfb-run") is not None
    if _qt_loads() and has_display:
        return
    if hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get"):
        print("== system libraries for Qt", flush=True)
        quiet = {"env": os.environ | {"DEBIAN_FRONTEND": "noninteractive"}, "stdout": subprocess.DEVNULL}
        subprocess.run(["apt-get", "update", "-q"], check=False, **quiet)  # type: ignore[call-overload]
        wanted = (*_LIBRARIES, *_DISPLAY)
        subprocess.run(["apt-get", "install", "-y", "-q", *wanted], check=False, **quiet)  # type: ignore[call-overload]
    if not _qt_loads():
        raise SystemExit(
            f"Qt does not load: its system libraries are missing; on Debian or Ubuntu install {' '.join(_LIBRARIES)}."
        )


def _suite(python: str, *arguments: str) -> tuple[str, ...]:
    """Return the command for a part of the suite on two processes; the one that is done first takes of the other's."""
    return (python, "-m", "pytest", "-q", "-n", "2", "--dist", "worksteal", *arguments)


def main() -> None:
    """Run everything."""
    _install()
    _libraries()
    python = _python()
    tool = str(Path(python).parent / "lint-imports")
    _run("import contracts", tool, "--no-cache")
    _run("lint", python, "-m", "ruff", "check", ".")
    _run("format", python, "-m", "ruff", "format", "--check", ".")
    ignored = [f"--ignore={place}" for place in WINDOW]
    with _beside("types", python, "-m", "mypy"):
        _run("loops over rays, compiled once for all that follows", python, "-c", _PREPARE)
    _run(
        "suite without Qt, all but the window's part",
        *_suite(python, "-p", "tests.tools.no_qt", "-p", "no:pytest-qt", *ignored),
    )
    _run("suite of the window", *_suite(python, *WINDOW))


if __name__ == "__main__":
    main()

"""The test command: makes its own environment, then runs every check; needs only Python with venv.

Order: import contracts, lint, format, types, the suite whole, and once more with Qt made unimportable (all but
the desktop's tests). The last lines are pytest's own summary.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv-tests"
# what Qt asks of Debian for a window that nobody sees
_LIBRARIES = ("libegl1", "libgl1", "libxkbcommon0", "libdbus-1-3", "libfontconfig1", "libglib2.0-0")
# and for one on a virtual display
_DISPLAY = (
    "xvfb", "xauth", "libxcb-cursor0", "libxcb-icccm4", "libxcb-image0", "libxcb-keysyms1", "libxcb-randr0",
    "libxcb-render-util0", "libxcb-shape0", "libxcb-xinerama0", "libxcb-xkb1", "libxkbcommon-x11-0",
)  # fmt: skip


def _python() -> str:
    return str(ENVIRONMENT / ("Scripts/python.exe" if os.name == "nt" else "bin/python"))


def _run(what: str, *command: str) -> None:
    print(f"\n== {what}", flush=True)
    done = subprocess.run(command, cwd=ROOT, env=os.environ | {"QT_QPA_PLATFORM": "offscreen"}, check=False)
    if done.returncode:
        print(f"\n{what}: failed", flush=True)
        raise SystemExit(done.returncode)


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


def main() -> None:
    """Run everything."""
    _install()
    _libraries()
    python = _python()
    tool = str(Path(python).parent / "lint-imports")
    _run("import contracts", tool, "--no-cache")
    _run("lint", python, "-m", "ruff", "check", ".")
    _run("format", python, "-m", "ruff", "format", "--check", ".")
    _run("types", python, "-m", "mypy")
    without = [
        "-q",
        "-n",
        "2",
        "-p",
        "tests.tools.no_qt",
        "-p",
        "no:pytest-qt",
        "--ignore=tests/desktop",
        "--ignore=survey_app/desktop",
        "--ignore=tests/packaging",
    ]
    _run("suite, whole", python, "-m", "pytest", "-q", "-n", "2")
    _run("suite without Qt, all but the desktop's tests", python, "-m", "pytest", *without)


if __name__ == "__main__":
    main()

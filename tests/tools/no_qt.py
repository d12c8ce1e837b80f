"""Makes Qt unimportable, in the main process and in every worker: `-p tests.tools.no_qt`."""

from __future__ import annotations

import sys
from importlib.machinery import ModuleSpec


class NoQt:
    """A finder that refuses Qt before any other is asked."""

    def find_spec(self, name: str, path: object = None, target: object = None) -> ModuleSpec | None:
        """Refuse Qt and what brings it in."""
        if name.split(".")[0] in ("PySide6", "shiboken6", "pyqtgraph"):
            raise ImportError(f"{name} is not there in this run")
        return None


def pytest_configure() -> None:
    """Install it: only where this file is a plugin, not where it is merely looked at."""
    sys.meta_path.insert(0, NoQt())

"""Site survey and topology design for camera video over short licence-exempt radio hops.

For scripts: `open_site` reads a site, `assess` judges it, `edits` makes a changed one. Each is loaded when it is first
asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from survey_app.assess.pipeline import assess as assess
    from survey_app.ground.relief.opening import open_site as open_site
    from survey_app.site import edits as edits

__all__ = ["__version__", "assess", "edits", "open_site"]

__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    # late, so that a command which needs no site does not pay for the document
    if name == "open_site":
        return import_module("survey_app.ground.relief.opening").open_site
    if name == "edits":
        return import_module("survey_app.site.edits")
    if name == "assess":
        # the room is called like its function and can be called itself
        return import_module("survey_app.assess")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

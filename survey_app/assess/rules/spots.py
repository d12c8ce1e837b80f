"""Where a finding about a thing points, on whose sheet it stands, and how several things are said."""

from __future__ import annotations

from collections.abc import Sequence

from survey_app.assess.record import Place
from survey_app.assess.rules.view import View
from survey_app.assess.wires import mount_of, spot_of

__all__ = ["at_thing", "on_sheet_of", "several"]


def at_thing(view: View, thing_id: str) -> Place | None:
    """Return the spot of a thing on the plan, or None where it has none."""
    spot = spot_of(view.job, view.network.placed, thing_id)
    return Place(x_m=spot[0], y_m=spot[1]) if spot else None


def on_sheet_of(view: View, thing_id: str) -> str | None:
    """Return the radio on whose sheet a finding about a thing stands: itself, or the first of its mount."""
    if thing_id in view.job.radios:
        return thing_id
    mount = view.mounts.get(mount_of(view.job, thing_id) or thing_id)
    return mount.radios[0] if mount is not None and mount.radios else None


def several(words: Sequence[str]) -> str:
    """Return some of the words and how many more there are."""
    shown = ", ".join(words[:4])
    return shown if len(words) <= 4 else f"{shown} and {len(words) - 4} more"

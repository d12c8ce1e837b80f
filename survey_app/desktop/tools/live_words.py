"""Words of a hop while something moves: its bearing, distance and tilt, the level and the rate that it would have."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.tools.figures import length
from survey_app.paper import rounding
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.assess.live import LiveHop

__all__ = ["end_words", "hop_line", "hop_words", "level_words"]


def _bracketed(words: str, *, settled: bool) -> str:
    return words if settled or not words else f"({words})"


def hop_words(site: Site, hop: LiveHop, *, settled: bool = True) -> tuple[str, str]:
    """Return the words above a hop's line and below it, read from the access point.

    Parameters
    ----------
    site : Site
        Says in which units people read.
    hop : LiveHop
        Its numbers.
    settled : bool
        Whether level and rate are final; else they stand in brackets.
    """
    end = hop.access_point
    bearing_deg = end.bearing_true_deg if end.bearing_true_deg is not None else end.bearing_plan_deg
    above = length(site, hop.ground_distance_m)
    if bearing_deg is not None:
        above = f"{rounding.bearing(bearing_deg)} {above}"
    tilt = rounding.tilt(end.tilt_deg) if end.tilt_deg is not None else ""
    below = " ".join(part for part in (hop.id, tilt, _bracketed(level_words(hop), settled=settled)) if part)
    return above, below


def level_words(hop: LiveHop) -> str:
    """Return the level at the station and the lower of the two rates: `−51 dBm MCS 9`; empty where not known."""
    parts = []
    if hop.station.rx_level_dbm is not None:
        parts.append(f"{rounding.level(hop.station.rx_level_dbm)} dBm")
    steps = [row.mcs for row in (hop.to_station, hop.to_access_point) if row.mcs is not None]
    if steps:
        parts.append(f"MCS {min(steps)}")
    return " ".join(parts)


def hop_line(site: Site, hop: LiveHop, *, settled: bool = True) -> str:
    """Return a hop in one line: bearing, distance, tilt, level and rate."""
    above, below = hop_words(site, hop, settled=settled)
    return f"{above}, {below.removeprefix(hop.id).strip()}".rstrip(", ")


def end_words(hop: LiveHop, radio_id: str, *, settled: bool = True) -> str:
    """Return what a far end has of a beam that turns: `S1 loses 3.2 dB, −58 dBm`.

    Parameters
    ----------
    hop : LiveHop
        The hop.
    radio_id : str
        The radio that turns.
    settled : bool
        Whether the level is final.
    """
    turned, far = hop.access_point, hop.station
    if turned.radio != radio_id:
        turned, far = far, turned
    parts = []
    if turned.pointing_loss_db is not None:
        parts.append(f"{far.radio} loses {rounding.number(max(turned.pointing_loss_db, 0.0), 1)} dB")
    if far.rx_level_dbm is not None:
        parts.append(_bracketed(f"{rounding.level(far.rx_level_dbm)} dBm", settled=settled))
    return ", ".join(parts) or far.radio

"""What is set on a radio: channel, power, aim, where it hangs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.moving import put_back, titled
from survey_app.site.edits.sharing import find, find_all, rebuilt
from survey_app.site.edits.state import rows_of
from survey_app.site.edits.things import change
from survey_app.site.network import Camera
from survey_app.site.radio import AimByHand, Radio
from survey_app.site.record import Record
from survey_app.site.site import Site

__all__ = ["aim_by_hand", "aim_computed", "hang", "lock_channel", "set_channel", "set_channels", "set_power"]


def _radio(site: Site, radio_id: str) -> tuple[str, Radio]:
    found = find(site, radio_id)
    if not isinstance(found.thing, Radio):
        raise UsageError("it is not a radio", where=found.title, remedy="name a radio")
    return found.title, found.thing


def set_channel(site: Site, radio_id: str, channel: int | None, width_mhz: int | None = None) -> Edit:
    """Set the channel of an access point, and its width where one is given.

    Raises
    ------
    UsageError
        It is a station: that follows its access point.
    """
    title, radio = _radio(site, radio_id)
    if radio.role != "access_point":
        raise UsageError("a station follows the channel of its access point", where=title, remedy="set it there")
    fields: dict[str, Any] = {"channel": channel}
    if width_mhz is not None:
        fields["width_mhz"] = width_mhz
    label = f"Set channel of {title} to {channel}" if channel is not None else f"Clear channel of {title}"
    return change(site, radio_id, **fields)._replace(label=label)


def lock_channel(site: Site, radio_id: str, locked: bool = True) -> Edit:
    """Say whether a proposed channel plan leaves the channel of an access point as it is.

    Raises
    ------
    UsageError
        It is a station: that follows its access point.
    """
    title, radio = _radio(site, radio_id)
    if radio.role != "access_point":
        raise UsageError("a station follows the channel of its access point", where=title, remedy="lock it there")
    label = f"{'Lock' if locked else 'Unlock'} channel of {title}"
    return change(site, radio_id, channel_locked=locked)._replace(label=label)


def set_channels(
    site: Site, plan: Mapping[str, tuple[int, int]], spares: Mapping[str, int | None] | None = None
) -> Edit:
    """Set channel and width of several access points in one step.

    Parameters
    ----------
    site : Site
        The site.
    plan : mapping of str to (int, int)
        Channel and width by access point. [-, MHz]
    spares : mapping of str to int or None, or None
        Spare channel to be checked beforehand, by access point; those not named keep theirs.

    Raises
    ------
    UsageError
        One of them is a station, or refuses a value.
    """
    asked = find_all(site, plan)
    for found in asked:
        if not isinstance(found.thing, Radio) or found.thing.role != "access_point":
            raise UsageError("only an access point has a channel of its own", where=found.title)
    titles = {found.thing.id: found.title for found in asked}

    def put(row: Record) -> Record:
        assert isinstance(row, Radio)
        channel, width_mhz = plan[row.id]
        fields: dict[str, Any] = {"channel": channel, "width_mhz": width_mhz}
        if spares is not None and row.id in spares:
            fields["radar_spare"] = spares[row.id]
        return rebuilt(row, titles[row.id], **fields)

    after, touched = put_back(site, rows_of(asked), put)
    return finished(f"Set channels of {titled(asked) if asked else 'nothing'}", site, after, touched)


def set_power(
    site: Site, radio_id: str, ceiling_dbm: float | None, mode: Literal["automatic", "fixed"] | None = None
) -> Edit:
    """Set the most power that a radio may send (null = what unit and law allow), and how it is set in service."""
    title, _ = _radio(site, radio_id)
    fields: dict[str, Any] = {"power_ceiling_dbm": ceiling_dbm}
    if mode is not None:
        fields["power_mode"] = mode
    return change(site, radio_id, **fields)._replace(label=f"Set power of {title}")


def aim_by_hand(
    site: Site,
    radio_id: str,
    bearing_deg: float,
    tilt_deg: float | None = None,
    north: Literal["true", "plan"] = "true",
) -> Edit:
    """Fix the aim of a radio by hand; a tilt of null stays computed."""
    title, _ = _radio(site, radio_id)
    aim = AimByHand(bearing_deg=bearing_deg % 360.0, tilt_deg=tilt_deg, north=north)
    return change(site, radio_id, aim=aim)._replace(label=f"Aim {title} by hand")


def aim_computed(site: Site, radio_id: str) -> Edit:
    """Give the aim of a radio back to the computation."""
    title, _ = _radio(site, radio_id)
    return change(site, radio_id, aim=None)._replace(label=f"Aim {title} by computation", merge_key="")


def hang(site: Site, thing_id: str, mount_id: str) -> Edit:
    """Hang a radio or camera on another mount."""
    found = find(site, thing_id)
    if not isinstance(found.thing, (Radio, Camera)):
        raise UsageError("only a radio or a camera hangs on a mount", where=found.title)
    fields: dict[str, Any] = {"mount": mount_id}
    if isinstance(found.thing, Camera):
        fields["position"] = None
    label = f"Hang {found.title} on {mount_id}"
    return change(site, thing_id, **fields)._replace(label=label, merge_key="")

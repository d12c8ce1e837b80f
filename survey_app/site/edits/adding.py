"""Add one kind of thing each; `things.add` takes any."""

from __future__ import annotations

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.naming import fresh_id
from survey_app.site.edits.sharing import find
from survey_app.site.edits.things import add
from survey_app.site.mount import Climb, Mount
from survey_app.site.network import Camera, Device, HeadEnd, Supply, Wire, WireEnd
from survey_app.site.plan_picture import PlanPicture
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Landmark, Note, Photograph, Site
from survey_app.site.structure import Structure
from survey_app.site.surroundings import Opening, Room, ServedArea, Wall, Water, Zone

__all__ = [
    "add_camera",
    "add_climb",
    "add_device",
    "add_head_end",
    "add_hop",
    "add_landmark",
    "add_mount",
    "add_note",
    "add_opening",
    "add_photograph",
    "add_plan_picture",
    "add_radio",
    "add_room",
    "add_served_area",
    "add_structure",
    "add_supply",
    "add_wall",
    "add_water",
    "add_wire",
    "add_zone",
    "join",
    "wire",
]


def add_structure(site: Site, structure: Structure) -> Edit:
    """Add a building, pole, mast, tree stand, obstacle, overhead line or traffic area."""
    return add(site, structure)


def add_water(site: Site, water: Water) -> Edit:
    """Add a water or open surface."""
    return add(site, water)


def add_zone(site: Site, zone: Zone) -> Edit:
    """Add a zone: hazard, keep out, boundary."""
    return add(site, zone)


def add_room(site: Site, room: Room) -> Edit:
    """Add a room of a building."""
    return add(site, room)


def add_wall(site: Site, wall: Wall) -> Edit:
    """Add an inner wall of a building."""
    return add(site, wall)


def add_opening(site: Site, opening: Opening) -> Edit:
    """Add a door, gate or window of a wall."""
    return add(site, opening)


def add_served_area(site: Site, area: ServedArea) -> Edit:
    """Add an area in which a movable camera must be served."""
    return add(site, area)


def add_climb(site: Site, climb: Climb) -> Edit:
    """Add a way up that mounts may share."""
    return add(site, climb)


def add_mount(site: Site, mount: Mount) -> Edit:
    """Add a mount on a structure."""
    return add(site, mount)


def add_camera(site: Site, camera: Camera) -> Edit:
    """Add a camera."""
    return add(site, camera)


def add_radio(site: Site, radio: Radio) -> Edit:
    """Hang a radio on a mount."""
    return add(site, radio)


def add_hop(site: Site, hop: Hop) -> Edit:
    """Add a hop between an access point and a station; `join` finds an id for it."""
    return add(site, hop)


def add_device(site: Site, device: Device) -> Edit:
    """Add a powered box."""
    return add(site, device)


def add_wire(site: Site, wire: Wire) -> Edit:
    """Add a wire between two things; the function `wire` finds an id for it."""
    return add(site, wire)


def add_supply(site: Site, supply: Supply) -> Edit:
    """Add a source of power."""
    return add(site, supply)


def add_head_end(site: Site, head_end: HeadEnd) -> Edit:
    """Add a place where video has to arrive."""
    return add(site, head_end)


def add_landmark(site: Site, landmark: Landmark) -> Edit:
    """Add a landmark."""
    return add(site, landmark)


def add_note(site: Site, note: Note) -> Edit:
    """Put a survey note on the plan."""
    return add(site, note)


def add_photograph(site: Site, photograph: Photograph) -> Edit:
    """Add a photograph that lies under assets/."""
    return add(site, photograph)


def add_plan_picture(site: Site, picture: PlanPicture) -> Edit:
    """Lay a picture that lies under assets/ under the plan."""
    return add(site, picture)


def join(site: Site, access_point: str, station: str) -> Edit:
    """Join an access point and a station by a hop with the next free id."""
    roles = {"access_point": access_point, "station": station}
    for role, radio_id in roles.items():
        radio = find(site, radio_id)
        if not isinstance(radio.thing, Radio) or radio.thing.role != role:
            raise UsageError(f"it is not in the role {role.replace('_', ' ')}", where=radio.title)
    edit = add(site, Hop(id=fresh_id(site, "H"), access_point=access_point, station=station))
    return edit._replace(label=f"Join {access_point} and {station}")


def wire(site: Site, a: str, b: str, gear: str | None = None) -> Edit:
    """Wire two things together by copper with the next free id."""
    ends = [WireEnd(thing=find(site, one).thing.id) for one in (a, b)]
    edit = add(site, Wire(id=fresh_id(site, "W"), a=ends[0], b=ends[1], gear=gear))
    return edit._replace(label=f"Wire {a} to {b}")

"""Counts clamps, arms, anchors, tubes and poles."""

from __future__ import annotations

from survey_app.assess.clamp import choose_arm, needs_clamp, pipe_of
from survey_app.assess.counting import Article, Book, Counted, State, gear_article, state_of, sundry_article
from survey_app.assess.record import MountRow
from survey_app.site.gear_type import AntennaType, ArmType, PoleType, RadioType
from survey_app.site.mount import Mount
from survey_app.site.structure import Building, Mast, Pole

__all__ = ["ASSUMED", "anchors_for", "count_mounts", "new_uprights"]

_GROUP = "Mounts"
_HAD = frozenset({"existing", "hung", "accepted", "ordered"})
_ANCHOR_BY_WALL = {
    "brick": "anchor_brick",
    "stone": "anchor_brick",
    "concrete": "anchor_concrete",
    "insulated": "anchor_insulated",
    "sheet_metal": "anchor_sheet",
}
#: How words end that take a wall for granted.
ASSUMED = "brick assumed"

_FIXINGS_A_KIT = 2
_TUBE_FIXINGS = 4


def new_uprights(counted: Counted) -> dict[str, str]:
    """Return poles and masts that have to be bought, each with the first mount on it.

    They are planned, nobody owns them yet, and something new is to hang there.
    """
    found: dict[str, str] = {}
    for row in counted.mounts:
        structure = counted.job.structures.get(row.structure)
        planned = isinstance(structure, Pole | Mast) and structure.status == "planned" and not structure.owner
        if planned and _state_at(counted, row) == "buy":
            found.setdefault(row.structure, row.id)
    return found


def anchors_for(wall: str) -> tuple[str | None, str]:
    """Return the counting rule of the anchors for a wall, and words for it."""
    rule = _ANCHOR_BY_WALL.get(wall)
    if rule is not None:
        return rule, f"wall of {wall.replace('_', ' ')}"
    if wall == "timber":
        return None, "wall of timber: screws into the studs"
    return "anchor_brick", f"wall {wall}: {ASSUMED}"


def count_mounts(book: Book, counted: Counted) -> None:
    """Count what holds the units: by the measured pipe, by the wall, one a unit or one a mount."""
    freed = _freed_clamps(counted)
    for row in counted.mounts:
        mount = counted.job.mounts[row.id]
        if row.radios:
            _clamps(book, counted, row, freed.get(row.id, 0))
        if row.radios or row.cameras:
            _wall(book, counted, row, mount)
    _uprights(book, counted)


def _freed_clamps(counted: Counted) -> dict[str, int]:
    """Clamps that units taken down leave at their mounts."""
    found: dict[str, int] = {}
    for radio in counted.job.design.radios:
        if radio.status == "removed":
            found[radio.mount] = found.get(radio.mount, 0) + 1
    return found


def _types(counted: Counted, row: MountRow) -> list[RadioType | AntennaType]:
    radios = [counted.job.radios[key] for key in row.radios]
    found = [counted.job.antenna_type(radio) or counted.job.radio_type(radio) for radio in radios]
    return [kind for kind in found if kind is not None]


def _clamps(book: Book, counted: Counted, row: MountRow, freed: int) -> None:
    job, clamp = counted.job, counted.clamps.get(row.id)
    if not needs_clamp(_types(counted, row)):
        return
    mount = job.mounts[row.id]
    foot_m = row.elevation_m - row.height_above_ground_m
    pipe = pipe_of(mount, job.structures.get(row.structure), _arm(counted, mount), foot_m)
    size = f"{pipe.diameter_mm:g} mm {pipe.section}" if pipe is not None else "no pipe recorded"
    measured = "measured" if pipe is not None and pipe.measured else "as drawn"
    rule = f"pipe {size}, {measured}" if pipe is not None else size
    article = (
        gear_article(counted, clamp, _GROUP, "one a radio, by the pipe")
        if clamp is not None
        else Article(_GROUP, f"clamp for {size}: none of the site's gear fits", "one a radio, by the pipe")
    )
    for radio_id in row.radios:
        state = state_of(job.radios[radio_id])
        if state == "buy" and freed > 0:
            state, freed = "reuse", freed - 1
        book.add(article, state, radio_id, 1, rule, mount=row.id)


def _arm(counted: Counted, mount: Mount) -> ArmType | None:
    return choose_arm(mount, counted.job.gear.values())


def _state_at(counted: Counted, row: MountRow) -> State:
    """State of what a mount's units share: had where the mount is there, bought where it is new."""
    if counted.job.mounts[row.id].status in _HAD:
        return "have"
    job = counted.job
    units = [job.radios[key] for key in row.radios] + [job.cameras[key] for key in row.cameras]
    return "buy" if any(state_of(unit) == "buy" for unit in units) else "have"


def _wall(book: Book, counted: Counted, row: MountRow, mount: Mount) -> None:
    structure, arm = counted.job.structures.get(row.structure), _arm(counted, mount)
    if not isinstance(structure, Building) or not row.radios or not needs_clamp(_types(counted, row)):
        return
    state = _state_at(counted, row)
    if arm is not None:
        fixings = arm.fixings
        book.add(gear_article(counted, arm, _GROUP, "one a mount on a wall"), state, row.id, 1, "one a mount on a wall")
    elif mount.pipe is not None:
        fixings = _TUBE_FIXINGS
        words = f"tube {mount.pipe.diameter_mm:g} mm with its brackets"
        book.add(Article(_GROUP, words, "one a mount with its own tube"), state, row.id, 1, "tube as recorded")
    else:
        return
    if state != "buy" or mount.place.kind == "roof":
        return
    rule, words = anchors_for(structure.wall)
    kits = -(-fixings // _FIXINGS_A_KIT)
    how = "one kit for two fixings, by the wall"
    anchors = (
        sundry_article(counted, rule, rule.replace("_", " "), _GROUP, how)
        if rule is not None
        else Article(_GROUP, "screws for timber, two with washers", how, unit="set")
    )
    book.add(anchors, "buy", row.id, kits, f"{fixings} fixings, {words}")
    sealant = sundry_article(counted, "sealant", "sealant, cartridge", _GROUP, "one a mount on a wall")
    book.add(sealant, "buy", row.id, 1, "one a mount on a wall")


def _uprights(book: Book, counted: Counted) -> None:
    """Poles and masts that have to be bought."""
    poles = [item for item in counted.job.gear.values() if isinstance(item, PoleType)]
    for structure_id, mount_id in new_uprights(counted).items():
        structure = counted.job.structures[structure_id]
        assert isinstance(structure, Pole | Mast)
        size = (structure.height_m, structure.diameter_top_mm, structure.diameter_foot_mm)
        match = next(
            (item for item in poles if (item.height_m, item.diameter_top_mm, item.diameter_foot_mm) == size), None
        )
        words = f"{structure.kind} {size[0]:g} m, {size[2]:g} mm at the foot, {size[1]:g} mm at the top"
        how = "planned, no owner named"
        article = gear_article(counted, match, _GROUP, how) if match is not None else Article(_GROUP, words, how)
        book.add(article, "buy", structure_id, 1, how, mount=mount_id)

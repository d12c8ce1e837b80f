"""What the design takes for granted, counted and said."""

from __future__ import annotations

from collections import Counter

from survey_app.assess.counting_mounts import ASSUMED, anchors_for
from survey_app.assess.job import Job
from survey_app.assess.record import HopRow, MountRow
from survey_app.ground.relief.surface import LevelGround
from survey_app.site.structure import Building

__all__ = ["assumptions"]


def _times(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"


def _ground(job: Job) -> str:
    ground = job.placed.ground
    # where nothing is known its words are a sentence that says why
    return ground.words if isinstance(ground, LevelGround) else f"The ground is that of {ground.words}."


def assumptions(job: Job, mounts: tuple[MountRow, ...], hops: tuple[HopRow, ...]) -> tuple[str, ...]:
    """Return the assumptions of a design, a sentence each.

    Parameters
    ----------
    job : Job
        The indexed site.
    mounts, hops : tuple of MountRow, tuple of HopRow
        Rows of the assessment.
    """
    rows: list[str] = []
    in_use = {radio.mount for radio in job.radios.values()}
    how = Counter(mount.height_known.how for key, mount in job.mounts.items() if key in in_use)
    for word in ("guessed", "counted", "drawing"):
        if how[word]:
            source = "taken from a drawing" if word == "drawing" else word
            rows.append(f"{_times(how[word], 'mount height', 'mount heights')} {source}, not measured.")
    asked = Counter(row.permission for row in mounts if row.id in in_use)
    if asked["not_asked"] or asked["asked"]:
        count = asked["not_asked"] + asked["asked"]
        rows.append(f"{_times(count, 'owner has', 'owners have')} not yet agreed.")
    walls = [job.structures.get(job.mounts[key].structure) for key in sorted(in_use)]
    bare = sum(isinstance(wall, Building) and anchors_for(wall.wall)[1].endswith(ASSUMED) for wall in walls)
    if bare:
        rows.append(f"Anchors counted for brick at {_times(bare, 'mount', 'mounts')}: the wall is not noted.")
    if job.hops:
        flat = job.design.relief is None
        rows.append("The ground is assumed flat: the site has no relief." if flat else _ground(job))
    unseen = [hop for hop in hops if hop.sight_checked in ("not_tried", "not_seen")]
    if unseen:
        rows.append(f"{_times(len(unseen), 'hop was', 'hops were')} not seen from end to end.")
    if hops:
        rows.append("Levels count what is drawn in the way, and nothing that is not drawn.")
        defaults = job.defaults
        rows.append(
            f"Wanted margin {defaults.margin_near_db:g} dB to 1 km and {defaults.margin_far_db:g} dB beyond, "
            f"{defaults.interference_rise_db:g} dB kept for neighbours."
        )
    noted = [item.name for item in job.design.gear if item.kind == "radio" and not item.certified_regions]
    if noted:
        rows.append(f"Certificates not noted for: {', '.join(sorted(noted))}.")
    return tuple(rows)

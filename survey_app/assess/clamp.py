"""Which clamp and which arm hold the radios of a mount."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from survey_app.assess.job import Job
from survey_app.site.gear_type import AntennaType, ArmType, ClampType, GearType, RadioType
from survey_app.site.mount import Mount, Pipe
from survey_app.site.structure import Mast, Pole, Structure

__all__ = ["choose_arm", "choose_clamp", "clamp_of", "holds", "needs_clamp", "pipe_of", "step_limit_deg"]

_BAND_SECTIONS = frozenset({"tapered", "octagonal", "square"})
_STEPS_PER_BEAM = 4.0  # a step coarser than a quarter of the beam may cost 0.75 dB


def pipe_of(mount: Mount, structure: Structure | None, arm: ArmType | None = None, foot_m: float = 0.0) -> Pipe | None:
    """Return what the clamp goes round: the recorded pipe, a wall arm's tube, or the column at the mount's height.

    Parameters
    ----------
    mount : Mount
        The mount.
    structure : Structure or None
        What it is on; a pole's or mast's diameter is taken between its top and its foot.
    arm : ArmType or None
        The wall arm that carries the clamp.
    foot_m : float
        Foot of the structure over the site datum, for a height that is measured from there. [m]

    Returns
    -------
    Pipe or None
        None where nothing round is known to clamp to.
    """
    if mount.pipe is not None:
        return mount.pipe
    if arm is not None:
        return Pipe(diameter_mm=arm.tube_mm, section="round", measured=False)
    if not isinstance(structure, Pole | Mast):
        return None
    height_m = mount.height_m - (foot_m if mount.height_reference == "datum" else 0.0)
    if mount.height_reference in ("roof", "eaves"):
        height_m = structure.height_m + mount.height_m
    part = min(max(height_m / structure.height_m, 0.0), 1.0)
    diameter_mm = structure.diameter_foot_mm + part * (structure.diameter_top_mm - structure.diameter_foot_mm)
    return Pipe(diameter_mm=diameter_mm, section=structure.section, measured=False)


def choose_arm(mount: Mount, gear: Iterable[GearType]) -> ArmType | None:
    """Return the wall arm of a mount: the one that it names, or the shortest that reaches its stand-off.

    Only a mount on an edge without a pipe of its own needs one; the longest arm is taken where none reaches.
    """
    arms = sorted((item for item in gear if isinstance(item, ArmType)), key=lambda a: (a.reach_m, a.id))
    for named in (mount.arm, mount.bracket):
        for item in arms:
            if item.id == named:
                return item
    if mount.pipe is not None or mount.place.kind != "edge" or not arms:
        return None
    reaching = [item for item in arms if item.reach_m >= mount.place.stand_off_m - 1e-9]
    return reaching[0] if reaching else arms[-1]


def needs_clamp(types: Sequence[RadioType | AntennaType]) -> bool:
    """Return whether any of these units hangs on a pipe; indoor units with a foot of their own do not."""
    return any(not (isinstance(kind, RadioType) and kind.indoor and kind.body.pipe_max_mm is None) for kind in types)


def step_limit_deg(types: Sequence[RadioType | AntennaType]) -> float | None:
    """Return the coarsest tilt step that these units bear: a quarter of the narrowest beam upright. [degree]"""
    beams = [kind.pattern.elevation_beamwidth_deg for kind in types if kind.pattern is not None]
    return min(beams) / _STEPS_PER_BEAM if beams else None


def holds(clamp: ClampType, pipe: Pipe) -> bool:
    """Return whether a clamp grips a pipe: its diameter, and bands for what is not round."""
    low, high = clamp.body.pipe_min_mm, clamp.body.pipe_max_mm
    if pipe.section in _BAND_SECTIONS and not clamp.band:
        return False
    return (low is None or low <= pipe.diameter_mm) and (high is None or pipe.diameter_mm <= high)


def choose_clamp(
    mount: Mount,
    types: Sequence[RadioType | AntennaType],
    gear: Iterable[GearType],
    structure: Structure | None = None,
    tilts_deg: Sequence[float] = (),
    foot_m: float = 0.0,
) -> ClampType | None:
    """Choose the clamp for one mount by what it goes round, then by the tilts that it has to set.

    Parameters
    ----------
    mount : Mount
        The mount; a clamp that it names is taken whether it fits or not, for the checks to judge.
    types : sequence of RadioType or AntennaType
        What hangs there; the narrowest beam decides how fine the step has to be.
    gear : iterable of GearType
        Types to choose from.
    structure : Structure or None
        What the mount is on, for the diameter where no pipe was recorded.
    tilts_deg : sequence of float
        Bracket tilts to be set, negative down, where already known. [degree]
    foot_m : float
        Foot of the structure over the site datum. [m]

    Returns
    -------
    ClampType or None
        Of those that hold the pipe (tapered, octagonal and square columns: bands only) one that reaches the tilts and
        is fine enough, the lightest first; None where none holds the pipe or nothing needs a clamp.
    """
    items = tuple(gear)
    clamps = [item for item in items if isinstance(item, ClampType)]
    for item in clamps:
        if item.id == mount.bracket:
            return item
    pipe = pipe_of(mount, structure, choose_arm(mount, items), foot_m)
    if pipe is None or not needs_clamp(types):
        return None
    limit = step_limit_deg(types)

    def rank(clamp: ClampType) -> tuple[bool, bool, float, float, str]:
        short = any(not clamp.tilt_min_deg <= tilt <= clamp.tilt_max_deg for tilt in tilts_deg)
        coarse = limit is not None and clamp.tilt_step_deg > limit + 1e-9
        mass = clamp.body.mass_kg if clamp.body.mass_kg is not None else 1e9
        return short, coarse, clamp.tilt_step_deg if coarse else 0.0, mass, clamp.id

    return min((clamp for clamp in clamps if holds(clamp, pipe)), key=rank, default=None)


def clamp_of(job: Job, mount: Mount, radio_ids: Sequence[str], tilts_deg: Sequence[float] = ()) -> ClampType | None:
    """Choose the clamp of a mount of a site for the radios named; see `choose_clamp`."""
    types: list[RadioType | AntennaType] = []
    for radio_id in radio_ids:
        radio = job.radios[radio_id]
        found = job.antenna_type(radio) or job.radio_type(radio)
        if found is not None:
            types.append(found)
    foot_m = job.placed.feet_m.get(mount.structure, 0.0)
    return choose_clamp(mount, types, job.gear.values(), job.structures.get(mount.structure), tilts_deg, foot_m)

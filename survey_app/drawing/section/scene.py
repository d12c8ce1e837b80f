"""What a section shows of one hop: its profile, its ends, and the words beside them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from survey_app.assess.section import SectionProfile, section_profile
from survey_app.drawing.section.clearance import SectionClearance, clearance_of
from survey_app.drawing.section.lengths import FEET, METRES, Lengths
from survey_app.ground.place import Placed
from survey_app.site.site import Design

if TYPE_CHECKING:
    from survey_app.assess.record import Finding, HopEndRow, HopRow, RadioRow

__all__ = ["SectionEnd", "SectionScene", "section_scene"]

_POINTS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
_SEEN = ("seen", "seen_with_lamp")


@dataclass(frozen=True)
class SectionEnd:
    """One end of the hop.

    Attributes
    ----------
    label : str
        What the radio is called.
    height_words : str
        "15.0 over ground".
    elevation_m : float
        Antenna over the site datum. [m]
    structure : str
        Id of what it hangs on.
    is_access_point : bool
        Whether it is drawn as a hub.
    """

    label: str
    height_words: str
    elevation_m: float
    structure: str
    is_access_point: bool


@dataclass(frozen=True)
class SectionScene:
    """One hop from the side, the access point at the left.

    Attributes
    ----------
    title, subtitle : str
        "SECTION ALONG H1", "A1 to S1, looking north-east".
    profile : SectionProfile
        Ground, ray, zone, what is crossed.
    start, end : SectionEnd
        Access point and station.
    ray_words : str
        Along the ray.
    seen : bool
        Whether somebody has seen the far end from the near one; else the ray is drawn hollow.
    start_at, end_at : (x, y)
        Both ends on the plan. [m]
    grown_year : int
        The year for which grown trees are drawn.
    lengths : Lengths
        Unit of all words.
    clearance : SectionClearance or None
        Where something comes nearest to the ray; None = nothing does.
    cut_at_m : float or None
        Where the ray first enters something that stands there for good. [m]
    checked_against : str
        What the way was held against.
    free_fraction : float
        Part of the first zone that is to be free. [1]
    is_stale : bool
        Whether the numbers are of an earlier state of the site: they stand in brackets.
    """

    title: str
    subtitle: str
    profile: SectionProfile
    start: SectionEnd
    end: SectionEnd
    ray_words: str
    seen: bool
    start_at: tuple[float, float]
    end_at: tuple[float, float]
    grown_year: int
    lengths: Lengths
    clearance: SectionClearance | None
    cut_at_m: float | None
    checked_against: str
    free_fraction: float
    is_stale: bool = False

    def said(self, words: str) -> str:
        """Return words with numbers as they are shown: in brackets while they are not yet true."""
        return f"({words})" if self.is_stale else words

    def along(self, x_m: float, y_m: float) -> tuple[float, float]:
        """Return the distance from the access point of the place of the hop next to a point, and how far off it is.

        [m, m]
        """
        dx, dy = self.end_at[0] - self.start_at[0], self.end_at[1] - self.start_at[1]
        part = ((x_m - self.start_at[0]) * dx + (y_m - self.start_at[1]) * dy) / (dx * dx + dy * dy)
        part = min(max(part, 0.0), 1.0)
        away = math.hypot(x_m - self.start_at[0] - part * dx, y_m - self.start_at[1] - part * dy)
        return part * self.profile.length_m, away

    def spot_m(self, distance_m: float) -> tuple[float, float]:
        """Return the point of the plane under a distance from the access point. [m]"""
        part = distance_m / self.profile.length_m
        return (
            self.start_at[0] + part * (self.end_at[0] - self.start_at[0]),
            self.start_at[1] + part * (self.end_at[1] - self.start_at[1]),
        )


def section_scene(
    design: Design,
    placed: Placed,
    hop: HopRow,
    access_point: RadioRow,
    station: RadioRow,
    findings: tuple[Finding, ...] = (),
) -> SectionScene | None:
    """Return what a section of a hop shows, or None where its ends stand above each other.

    Parameters
    ----------
    design : Design
        Structures, waters, units.
    placed : Placed
        Where everything of it is.
    hop, access_point, station : HopRow, RadioRow, RadioRow
        The hop and its ends as assessed.
    findings : tuple of Finding
        Those about the hop.
    """
    profile = section_profile(design, placed, hop, access_point, station)
    if profile is None:
        return None
    lengths = FEET if design.units == "feet" else METRES
    mounts = {mount.id: mount.structure for mount in design.mounts}
    near = hop.ends.access_point
    return SectionScene(
        title=f"SECTION ALONG {hop.id}",
        subtitle=f"{access_point.label} to {station.label}{_looking(near)}",
        profile=profile,
        start=_end(access_point, mounts.get(access_point.mount, ""), lengths),
        end=_end(station, mounts.get(station.mount, ""), lengths),
        ray_words=_ray_words(hop, near, access_point.label, lengths),
        seen=hop.sight_checked in _SEEN,
        start_at=(access_point.x_m, access_point.y_m),
        end_at=(station.x_m, station.y_m),
        grown_year=design.as_of.year + round(design.defaults.growth_years),
        lengths=lengths,
        clearance=clearance_of(design, hop, findings, lengths),
        cut_at_m=hop.cut_at_m,
        checked_against=hop.checked_against,
        free_fraction=design.defaults.free_zone_fraction,
    )


def _end(row: RadioRow, structure: str, lengths: Lengths) -> SectionEnd:
    return SectionEnd(
        label=row.label,
        height_words=f"{lengths.figure(row.height_above_ground_m)} over ground",
        elevation_m=row.antenna_elevation_m,
        structure=structure,
        is_access_point=row.role == "access_point",
    )


def _looking(near: HopEndRow) -> str:
    """Say which way the reader looks: square to the hop, the access point at the left."""
    bearing = near.bearing_true_deg
    north = ""
    if bearing is None:
        bearing, north = near.bearing_plan_deg, " on the plan"
    if bearing is None or math.isnan(bearing):
        return ""
    return f", looking {_POINTS[round((bearing - 90.0) / 45.0) % 8]}{north}"


def _ray_words(hop: HopRow, near: HopEndRow, label: str, lengths: Lengths) -> str:
    words = f"{hop.id} {lengths.words(hop.distance_m)}"
    if near.tilt_deg is not None:
        tilt = METRES.figure(abs(near.tilt_deg))
        side = "level" if tilt == "0.0" else f"{tilt}° {'up' if near.tilt_deg > 0 else 'down'}"
        words += f" {side} from {label}"
    return words

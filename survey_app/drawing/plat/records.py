"""Radios, hops and what a radio covers as a plan knows them: record, place and row of the assessment together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from survey_app.drawing.shapes import Point
from survey_app.site.radio import Hop, Radio

if TYPE_CHECKING:
    from survey_app.assess.record import HopRow, RadioRow

__all__ = ["Fan", "HopMark", "RadioMark"]


@dataclass(frozen=True, slots=True)
class RadioMark:
    """A radio and where it truly is."""

    id: str
    label: str
    at: Point
    foot: Point
    """Axis of the pole it hangs on, or its own place. [m]"""
    structure: str
    record: Radio
    row: RadioRow | None
    side_deg: float | None
    """Plan bearing of the side it hangs on. [deg]"""
    bearing_deg: float | None
    """Plan bearing of its beam; None for one that sees all round. [deg]"""


@dataclass(frozen=True, slots=True)
class HopMark:
    """A hop with its two radios."""

    id: str
    record: Hop
    row: HopRow | None
    access_point: RadioMark
    station: RadioMark


@dataclass(frozen=True, slots=True)
class Fan:
    """What a radio covers on the plan.

    Attributes
    ----------
    centre : (x, y)
        The radio. [m]
    reach_m : float
        Where the wanted rate ends. [m]
    left_deg, right_deg : float
        Plan bearings of the beam's −3 dB points; a whole circle apart for an all-round antenna. [deg]
    axis_deg : float or None
        Plan bearing of the beam's axis; None all round. [deg]
    arcs_m : tuple of float
        Where the other rates end. [m]
    near_in_m : float or None
        Where the beam comes down to the ground: nearer it passes over. [m]
    """

    radio: RadioMark
    row: RadioRow
    centre: Point
    reach_m: float
    left_deg: float
    right_deg: float
    axis_deg: float | None
    arcs_m: tuple[float, ...]
    near_in_m: float | None

    @property
    def sweep_deg(self) -> float:
        """Angle between its edges. [deg]"""
        return self.right_deg - self.left_deg

    @property
    def is_ring(self) -> bool:
        """Whether it goes all round."""
        return self.axis_deg is None

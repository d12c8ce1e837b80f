"""Radios and hops as a plan knows them: record, place and row of the assessment together."""

from __future__ import annotations

from dataclasses import dataclass

from survey_app.assess.record import HopRow, RadioRow
from survey_app.drawing.shapes import Point
from survey_app.site.radio import Hop, Radio

__all__ = ["HopMark", "RadioMark"]


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

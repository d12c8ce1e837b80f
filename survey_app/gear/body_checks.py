"""Is the outside of a type possible: weather, mass, pipe, tilt."""

from __future__ import annotations

import re
from collections.abc import Iterator

from survey_app.gear.fault import GearFault
from survey_app.site.gear_part import Body
from survey_app.site.gear_type import ClampType, PoleType, ProtectorType

__all__ = ["body_faults", "clamp_faults", "pole_faults", "protector_faults"]

_INGRESS = re.compile(r"IP[0-6X][0-9X](?: and IP[0-6X][0-9X])?")
_HIGHEST_SUPPLY_V = 57.0  # of standard feeding [IEEE8023]


def body_faults(gear: str, body: Body) -> Iterator[GearFault]:
    """Give the faults of one body; `gear` is the id of the type."""
    if body.ingress and not _INGRESS.fullmatch(body.ingress):
        yield GearFault(
            gear,
            "ingress-unknown",
            "body.ingress",
            f"'{body.ingress}' is no mark such as IP66, or 'IP66 and IP67' where both were tested.",
            None,
            None,
            "",
            "IEC60529",
        )
    for low, high, code, unit in (
        ("temp_min_c", "temp_max_c", "temperature-order", "°C"),
        ("pipe_min_mm", "pipe_max_mm", "pipe-order", "mm"),
    ):
        least, most = getattr(body, low), getattr(body, high)
        if (least is None) != (most is None):
            missing = low if least is None else high
            yield GearFault(
                gear,
                code,
                f"body.{missing}",
                "one end of the range is given, the other is not.",
                None,
                None,
                unit,
            )
        elif least is not None and least >= most:
            yield GearFault(gear, code, f"body.{low}", "the lower end must lie under the upper.", least, most, unit)


def clamp_faults(clamp: ClampType) -> Iterator[GearFault]:
    """Give the faults of one bracket type."""
    if clamp.body.pipe_min_mm is None:
        yield GearFault(
            clamp.id,
            "pipe-missing",
            "body.pipe_min_mm",
            "a clamp must say which pipes it takes.",
        )
    for field in ("tilt_min_deg", "tilt_max_deg"):
        steps = abs(getattr(clamp, field)) / clamp.tilt_step_deg
        if abs(steps - round(steps)) > 1e-9:
            yield GearFault(
                clamp.id,
                "tilt-step",
                field,
                f"the end of the tilt is no whole number of steps of {clamp.tilt_step_deg:g}°.",
                getattr(clamp, field),
                clamp.tilt_step_deg,
                "degree",
            )


def pole_faults(pole: PoleType) -> Iterator[GearFault]:
    """Give the faults of one pole type."""
    if pole.diameter_top_mm > pole.diameter_foot_mm:
        yield GearFault(
            pole.id,
            "taper",
            "diameter_top_mm",
            "a pole is not thicker at its top than at its foot.",
            pole.diameter_top_mm,
            pole.diameter_foot_mm,
            "mm",
        )
    if pole.wall_mm is not None and pole.wall_mm >= pole.diameter_top_mm / 2.0:
        yield GearFault(
            pole.id,
            "wall-thickness",
            "wall_mm",
            "the wall is thicker than the radius.",
            pole.wall_mm,
            pole.diameter_top_mm / 2.0,
            "mm",
        )


def protector_faults(protector: ProtectorType) -> Iterator[GearFault]:
    """Give the faults of one surge protector type."""
    if protector.passes_supply and protector.clamp_v <= _HIGHEST_SUPPLY_V * 1.1:
        yield GearFault(
            protector.id,
            "clamps-the-supply",
            "clamp_v",
            f"it would conduct near a supply of {_HIGHEST_SUPPLY_V:g} V, which it is meant to pass.",
            protector.clamp_v,
            _HIGHEST_SUPPLY_V * 1.1,
            "V",
        )

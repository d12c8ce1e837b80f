"""Each hop's ends: distances, bearings and elevations, from the geodesic where the site is anchored."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.ground.bearings import reduce_bearing
from survey_app.ground.geodesic import inverse, plan_line
from survey_app.ground.place import Placed
from survey_app.ground.plane import plan_bearing
from survey_app.physics import geometry
from survey_app.physics.arrays import FloatArray

__all__ = ["HopGeometry", "hop_geometry"]


@dataclass(frozen=True)
class HopGeometry:
    """Lengths and directions of hops, shape (n,) each; suffix `_a` at the access point, `_s` at the station.

    Attributes
    ----------
    ground_distance_m, distance_m : ndarray of float
        Along the ground and from antenna to antenna. [m]
    bearing_a_deg, bearing_s_deg : ndarray of float
        Bearing to the other end from true north, or from plan north on a site without an anchor; NaN where the two
        antennas stand above each other. [deg]
    plan_a_deg, plan_s_deg : ndarray of float
        The same from plan north. [deg]
    elevation_a_deg, elevation_s_deg : ndarray of float
        Elevation to the other end at k = 4/3. [deg]
    """

    ground_distance_m: FloatArray
    distance_m: FloatArray
    bearing_a_deg: FloatArray
    bearing_s_deg: FloatArray
    plan_a_deg: FloatArray
    plan_s_deg: FloatArray
    elevation_a_deg: FloatArray
    elevation_s_deg: FloatArray


def hop_geometry(radios: RadioArrays, hops: HopArrays, placed: Placed, datum_elevation_m: float) -> HopGeometry:
    """Return the geometry of all hops.

    Parameters
    ----------
    radios, hops : RadioArrays, HopArrays
        The site as arrays.
    placed : Placed
        Where things are; without an anchor everything counts from plan north.
    datum_elevation_m : float
        Height of the site datum over the sea; stretches distances. [m]
    """
    a, s = hops.access_point, hops.station
    plan = plan_line(radios.x_m[a], radios.y_m[a], radios.x_m[s], radios.y_m[s])
    line = plan
    if placed.plane is not None:
        line = inverse(radios.lat_deg[a], radios.lon_deg[a], radios.lat_deg[s], radios.lon_deg[s])
    height_a, height_s = radios.elevation_m[a] + datum_elevation_m, radios.elevation_m[s] + datum_elevation_m
    straight_above = np.sign(height_s - height_a) * 90.0
    on_ground = line.ground_distance_m > 0.0
    elevation_a = np.where(
        on_ground, geometry.elevation_deg(height_a, height_s, line.ground_distance_m), straight_above
    )
    elevation_s = np.where(
        on_ground, geometry.elevation_deg(height_s, height_a, line.ground_distance_m), -straight_above
    )
    plan_a, plan_s = plan.bearing_at_1_deg, plan.bearing_at_2_deg
    if placed.plane is not None:
        ends = np.concatenate([a, s])
        bearings = np.concatenate([line.bearing_at_1_deg, line.bearing_at_2_deg])
        turned = reduce_bearing(plan_bearing(placed.plane, radios.x_m[ends], radios.y_m[ends], bearings))
        plan_a, plan_s = turned[: len(a)], turned[len(a) :]
    return HopGeometry(
        ground_distance_m=line.ground_distance_m,
        distance_m=geometry.slant_distance_m(line.ground_distance_m, height_a, height_s),
        bearing_a_deg=line.bearing_at_1_deg,
        bearing_s_deg=line.bearing_at_2_deg,
        plan_a_deg=plan_a,
        plan_s_deg=plan_s,
        elevation_a_deg=elevation_a,
        elevation_s_deg=elevation_s,
    )

"""What reaches a far end at any point, from the pattern in both planes at the true angle there."""

from __future__ import annotations

import numpy as np

from survey_app.assess.coverage.pair import Pair
from survey_app.assess.gain import OMNI, gain_toward_dbi
from survey_app.ground.plane import true_bearing
from survey_app.physics.arrays import FloatArray
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.geometry import elevation_deg, slant_distance_m

__all__ = ["path_gain_db", "spare_db"]


def path_gain_db(pair: Pair, points_m: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return all gains less all losses between the two units, the far end at points and aimed at the radio.

    Parameters
    ----------
    pair : Pair
        Radio and far end.
    points_m : ndarray of float, shape (..., 3)
        x, y, height over the site datum; NaN = not known. [m]

    Returns
    -------
    gain_db : ndarray of float, shape (...)
        Free space; negative. NaN where a height is not known, and right above or below the radio. [dB]
    distance_m : ndarray of float, shape (...)
        From antenna to antenna. [m]
    """
    radios, eye = pair.radios, pair.eye_m
    east, north = points_m[..., 0] - eye[0], points_m[..., 1] - eye[1]
    on_plan = np.hypot(east, north)
    plane = pair.found.placed.plane
    turned = 0.0 if plane is None else float(true_bearing(plane, eye[0], eye[1], 0.0))
    bearing = np.degrees(np.arctan2(east, north)) + turned
    datum = pair.job.design.plane.datum_elevation_m
    own, far = np.full_like(on_plan, eye[2] + datum), points_m[..., 2] + datum
    up, down = elevation_deg(own, far, on_plan), elevation_deg(far, own, on_plan)
    rows = np.full(on_plan.shape, pair.radio, dtype=np.intp)
    gain = gain_toward_dbi(
        radios, rows, bearing, up, np.full_like(bearing, pair.aim_deg), np.full_like(bearing, pair.bracket_deg)
    )
    # the far end looks at the radio; one that looks all round hangs plumb
    plumb = radios.kind[pair.other] == OMNI
    bracket = np.zeros_like(down) if plumb else down + radios.electrical_downtilt_deg[pair.other]
    back = bearing + 180.0
    gain = gain + gain_toward_dbi(radios, np.full_like(rows, pair.other), back, down, back, bracket)
    distance = slant_distance_m(on_plan, own, far)
    lost = free_space_loss_db(distance, pair.centre_mhz) + pair.gas_db_per_km * distance / 1000.0
    return gain - lost - pair.fixed_loss_db, distance


def spare_db(pair: Pair, gain_db: FloatArray, wanted_db: FloatArray, mcs: int) -> FloatArray:
    """Return by how much more than the wanted margin a rate has, at full power in the worse direction. [dB]

    Parameters
    ----------
    pair : Pair
        Radio and far end.
    gain_db, wanted_db : ndarray of float, shape (...)
        Path gain and wanted margin. [dB]
    mcs : int
        Rate index.
    """
    return np.asarray(gain_db + pair.power_over_sensitivity_db[mcs] - wanted_db, np.float64)

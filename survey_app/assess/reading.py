"""What a unit should show while it is aimed, and how far off is still right."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from survey_app.assess.gather import pattern_of
from survey_app.assess.job import Job
from survey_app.assess.nulls import number
from survey_app.assess.record import ReadingWindow
from survey_app.physics import window
from survey_app.physics.arrays import FloatArray
from survey_app.site.radio import Radio

__all__ = ["Causes", "reading_windows", "shown_level_dbm", "spread_causes"]


Causes = tuple[tuple[str, float], ...]


def spread_causes(job: Job, here: Radio, there: Radio) -> Causes:
    """Return what can turn a reading at one radio, by name, one standard deviation each. [dB]"""
    defaults = job.defaults
    receiver, sender = job.radio_type(here), job.radio_type(there)
    causes = {"aiming": defaults.pointing_sigma_db, "reflections": defaults.multipath_sigma_db}
    if sender is not None:
        causes["power"] = float(window.uniform_sigma_db(sender.power_tolerance_db))
    for name, radio in (("gain here", here), ("gain there", there)):
        pattern = pattern_of(job, radio)
        if pattern is not None:
            causes[name] = float(window.uniform_sigma_db(pattern.gain_tolerance_db))
    if receiver is not None:
        causes["display"] = float(window.uniform_sigma_db(receiver.reading_tolerance_db))
        causes["display step"] = float(window.step_sigma_db(receiver.reading_step_db))
    return tuple(sorted(causes.items()))


def reading_windows(causes: Sequence[Causes], level_dbm: FloatArray) -> tuple[ReadingWindow | None, ...]:
    """Return the windows of readings, None where a level is unknown.

    Parameters
    ----------
    causes : sequence of tuple, length n
        What can turn each reading, from `spread_causes`; added by variance.
    level_dbm : ndarray of float, shape (n,)
        Expected levels, combined over chains. [dBm]
    """
    sums = {row: float(window.combined_sigma_db(dict(row))) for row in set(causes)}
    sigma = np.array([sums[row] for row in causes], dtype=float)
    found = window.acceptance_window(level_dbm, sigma)
    columns = zip(
        causes,
        np.isfinite(found.expected_dbm).tolist(),
        found.expected_dbm.tolist(),
        found.sigma_db.tolist(),
        found.good_low_dbm.tolist(),
        found.good_high_dbm.tolist(),
        found.low_dbm.tolist(),
        strict=True,
    )
    return tuple(
        ReadingWindow(
            expected_dbm=expected,
            sigma_db=spread,
            good_low_dbm=low_good,
            good_high_dbm=high_good,
            low_dbm=low,
            causes=row,
        )
        if known
        else None
        for row, known, expected, spread, low_good, high_good, low in columns
    )


def shown_level_dbm(job: Job, radio: Radio, level_dbm: float) -> float | None:
    """Return what the radio's own display should show: combined or per chain, to its step. [dBm]"""
    found = job.radio_type(radio)
    if found is None:
        return None
    return number(window.expected_reading_dbm(level_dbm, found.reading_stated_as, found.chains, found.reading_step_db))

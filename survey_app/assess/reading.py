"""What a unit should show while it is aimed, and how far off is still right."""

from __future__ import annotations

import numpy as np

from survey_app.assess.gather import pattern_of
from survey_app.assess.job import Job
from survey_app.assess.nulls import number
from survey_app.assess.record import ReadingWindow
from survey_app.physics import window
from survey_app.site.radio import Radio

__all__ = ["level_window", "shown_level_dbm"]


def _causes(job: Job, here: Radio, there: Radio) -> dict[str, float]:
    """Return what can turn a reading, by name, one standard deviation each. [dB]"""
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
    return causes


def level_window(job: Job, here: Radio, there: Radio, level_dbm: float) -> ReadingWindow | None:
    """Return the window of a reading at one radio, or None where the level is unknown.

    Parameters
    ----------
    job : Job
        The indexed site.
    here, there : Radio
        The radio that reads and the one that sends.
    level_dbm : float
        Expected level, combined over chains. [dBm]
    """
    if not np.isfinite(level_dbm):
        return None
    causes = _causes(job, here, there)
    found = window.acceptance_window(level_dbm, window.combined_sigma_db(causes))
    return ReadingWindow(
        expected_dbm=float(found.expected_dbm),
        sigma_db=float(found.sigma_db),
        good_low_dbm=float(found.good_low_dbm),
        good_high_dbm=float(found.good_high_dbm),
        low_dbm=float(found.low_dbm),
        causes=tuple(sorted(causes.items())),
    )


def shown_level_dbm(job: Job, radio: Radio, level_dbm: float) -> float | None:
    """Return what the radio's own display should show: combined or per chain, to its step. [dBm]"""
    found = job.radio_type(radio)
    if found is None:
        return None
    return number(window.expected_reading_dbm(level_dbm, found.reading_stated_as, found.chains, found.reading_step_db))

"""What the receiver's filter and the sender's mask hold back of a signal on another channel."""

from __future__ import annotations

import numpy as np

from survey_app.assess.job import Job
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.spectrum.channels import overlap_fraction

__all__ = ["rejection_db", "rejection_steps_db"]

_WIDTHS_NEXT, _WIDTHS_ALTERNATE = 1.75, 2.75  # halfway between the offsets that gear sheets state


def rejection_steps_db(job: Job) -> FloatArray:
    """Return what each radio rejects of the adjacent channel, the next, and three widths off or more.

    Parameters
    ----------
    job : Job
        The indexed site.

    Returns
    -------
    ndarray of float, shape (radios, 3)
        Rejection; NaN for a radio without known gear. [dB]
    """
    types = [job.radio_type(radio) for radio in job.radios.values()]
    rows = [kind.acir_db if kind is not None else (np.nan,) * 3 for kind in types]
    return np.array(rows, dtype=float).reshape(-1, 3)


def rejection_db(
    from_mhz: FloatArray,
    from_width_mhz: FloatArray,
    into_mhz: FloatArray,
    into_width_mhz: FloatArray,
    steps_db: FloatArray,
) -> FloatArray:
    """Return how much weaker a signal is inside a channel than it arrives at the receiver.

    Parameters
    ----------
    from_mhz, from_width_mhz : ndarray of float, shape (...)
        Centre and width of the channel that sends. [MHz]
    into_mhz, into_width_mhz : ndarray of float, broadcast with the others
        Centre and width of the channel that hears. [MHz]
    steps_db : ndarray of float, shape (..., 3)
        What the receiver rejects: adjacent, next, three widths off or more, see `rejection_steps_db`. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Rejection, >= 0; NaN where a channel is not known. [dB]

    Notes
    -----
    Where channels overlap, what is lost because only part of the power falls inside, [PRACTICE]_; the distance of
    others is counted in mean widths of the two. A figure of a data sheet holds halfway to the next offset that it is
    stated for.
    """
    share = overlap_fraction(from_mhz, from_width_mhz, into_mhz, into_width_mhz)
    off = np.abs(from_mhz - into_mhz) / ((from_width_mhz + into_width_mhz) / 2.0)
    step: list[BoolArray] = [off < _WIDTHS_NEXT, off < _WIDTHS_ALTERNATE, off >= _WIDTHS_ALTERNATE]
    apart = np.select(step, [np.broadcast_to(steps_db[..., k], off.shape) for k in range(3)], default=np.nan)
    with np.errstate(divide="ignore"):
        inside = -10.0 * np.log10(share)
    return np.where(share > 0.0, inside, apart)

"""Pointing and polarisation: what an aim that is off, or a turned or different polarisation, costs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.decibels import from_db, to_db

__all__ = [
    "POLARISATION_CHAINS_DEG",
    "pointing_loss_db",
    "polarisation_mismatch_db",
    "polarisation_streams",
    "rotation_loss_db",
]

POLARISATION_CHAINS_DEG: Final[dict[str, tuple[float | None, ...]]] = {
    "v": (90.0,),
    "h": (0.0,),
    "slant": (45.0,),
    "circular": (None,),
    "v+h": (90.0, 0.0),
    "v+v": (90.0, 90.0),
    "slant+slant": (45.0, 135.0),
}
"""Kinds of polarisation and the tilt of each chain from the horizontal in degrees; None turns round with the wave.

One name is one chain, two names are two chains. "slant+slant" is the usual antenna with two connectors, one chain at
+45 and one at -45 degrees.
"""


def pointing_loss_db(offset_deg: ArrayLike, beamwidth_deg: ArrayLike) -> FloatArray:
    r"""Loss of an aim that is a little off, in one plane.

    Parameters
    ----------
    offset_deg : array_like of float, shape (...)
        Angle between the aim and the far end; the sign does not matter. [deg]
    beamwidth_deg : array_like of float, broadcast with `offset_deg`
        Full 3 dB beamwidth in that plane, > 0. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss, 0 to 12; NaN where an input is NaN, the beamwidth not positive, or the offset wider than the beamwidth:
        beyond that the shape of the pattern decides (`survey_app.physics.patterns`). [dB]

    Notes
    -----
    .. math:: L = 12 \left( \frac{\delta}{\theta_3} \right)^2

    The main-lobe term of [F1336]_, F.1336-5 (2019), recommends 2.1 and 3.1, and of [TR36942]_, section 4.2.1.

    Examples
    --------
    >>> round(float(pointing_loss_db(4.7, 9.4)), 3)
    3.0
    """
    offset_deg, beamwidth_deg = float_array(offset_deg), float_array(beamwidth_deg)
    usable = (beamwidth_deg > 0.0) & np.isfinite(beamwidth_deg)
    beamwidths = np.abs(offset_deg) / nan_unless(usable, beamwidth_deg)
    return 12.0 * np.square(nan_unless(beamwidths <= 1.0, beamwidths))


def rotation_loss_db(rotation_deg: ArrayLike, cross_polar_discrimination_db: ArrayLike = np.inf) -> FloatArray:
    r"""Loss of one linear polarisation turned against another.

    Parameters
    ----------
    rotation_deg : array_like of float, shape (...)
        Angle between the two polarisations; any turn is fine. [deg]
    cross_polar_discrimination_db : array_like of float, broadcast with `rotation_deg`, default infinity
        How far below the wanted polarisation the antennas receive the crossed one, >= 0; infinity is ideal, real pairs
        reach 15 to 30 dB. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss, >= 0; infinite for ideal antennas exactly crossed; NaN where an input is NaN or the discrimination
        negative. [dB]

    Notes
    -----
    .. math:: L = -10 \log_{10} ( \cos^2 \psi + 10^{-X / 10} \sin^2 \psi )

    which for ideal antennas is -20 log cos psi. Projection of one linear polarisation on the other, [IEEE145]_, IEEE
    Std 145-2013, "polarization match"; the 15 to 30 dB are common practice, [PRACTICE]_.

    Examples
    --------
    >>> round(float(rotation_loss_db(45)), 2)
    3.01
    >>> round(float(rotation_loss_db(90, 22)), 2)
    22.0
    """
    return 0.0 - to_db(_coupling(float_array(rotation_deg), float_array(cross_polar_discrimination_db)))


def polarisation_mismatch_db(
    kind_from: str | Sequence[str], kind_to: str | Sequence[str], cross_polar_discrimination_db: ArrayLike = np.inf
) -> FloatArray:
    r"""Loss that the polarisations of two ends cause in the level combined over the receiving chains.

    Parameters
    ----------
    kind_from, kind_to : str or sequence of str, shape (...)
        Polarisation of the sending and of the receiving end, names of `POLARISATION_CHAINS_DEG`.
    cross_polar_discrimination_db : array_like of float, broadcast with the kinds, default infinity
        Discrimination of the pair, >= 0; the lower of the two antennas' is the careful choice. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss, >= 0; infinite for crossed ideal antennas; NaN where the discrimination is NaN or negative. [dB]

    Raises
    ------
    UnknownNameError
        A kind that is not known.

    Notes
    -----
    .. math:: L = -10 \log_{10} \min \left( 1, \frac{1}{N_t} \sum_t \sum_r c_{tr} \right)

    where c is the coupling of one sending with one receiving chain (`rotation_loss_db`). The sending end divides its
    total power equally over its chains; the receiving end adds the powers of its chains. With ideal antennas in line
    of sight:

    =========== =========== ====== =====================================================================
    from        to          loss   why
    =========== =========== ====== =====================================================================
    v           v           0      alike
    slant       v or h      3.01   one chain against one chain at 45 degrees
    circular    v or h      3.01   half of a circular wave lies in any one direction
    v+h         v or h      3.01   half of the power is sent in the polarisation that the far end lacks
    v or h      v+h         0      one receiving chain takes everything, the other nothing
    v or h      slant+slant 0      each receiving chain takes half, together everything
    slant+slant v or h      3.01   each sending chain couples by half into the only receiving chain
    v+h         slant+slant 0      two crossed chains are a complete pair however they are turned
    v+v         v+h         0      the vertical chain takes everything; one stream only
    v           h           inf    crossed; with real antennas the discrimination
    =========== =========== ====== =====================================================================

    The loss is not the same in both directions where one end has a chain that the other cannot hear. Two like chains at
    the receiving end collect twice the power; that is not counted as a gain. Circular antennas are taken to turn the
    same way. People reckon with about 3 dB for a slant end against vertical and horizontal: that holds for one chain;
    between two crossed chains at either end every chain shows the level that it would show between like ends, and a
    radio that separates its streams loses nothing. Projection as in `rotation_loss_db`; the handling of chains is a
    decision of this program, [PRACTICE]_.

    Examples
    --------
    >>> losses_db = polarisation_mismatch_db(["v+h", "slant", "v+h"], ["slant+slant", "v", "v+h"])
    >>> [round(float(loss_db), 2) for loss_db in losses_db]
    [0.0, 3.01, 0.0]
    """
    discrimination_db = float_array(cross_polar_discrimination_db)
    kinds_from, kinds_to, discrimination_db = np.broadcast_arrays(_named(kind_from), _named(kind_to), discrimination_db)
    coupling = np.full(discrimination_db.shape, np.nan)
    for sending, chains_from in POLARISATION_CHAINS_DEG.items():
        for receiving, chains_to in POLARISATION_CHAINS_DEG.items():
            here = (kinds_from == sending) & (kinds_to == receiving)
            if here.any():
                coupling[here] = _combined_coupling(chains_from, chains_to, discrimination_db[here])
    return 0.0 - to_db(np.minimum(coupling, 1.0))


def polarisation_streams(kind_from: str, kind_to: str) -> int:
    """Number of separate streams that the polarisations of two ends can carry in line of sight.

    Parameters
    ----------
    kind_from, kind_to : str
        Polarisation of the two ends, names of `POLARISATION_CHAINS_DEG`.

    Returns
    -------
    int
        2 where both ends have two crossed chains, 0 where ideal antennas are crossed and nothing arrives, 1 otherwise.
        Reflections (indoors, along streets) can carry a second stream where this says 1.

    Raises
    ------
    UnknownNameError
        A kind that is not known.

    Notes
    -----
    Rank of the matrix of the couplings between the chains. Linear algebra, no source needed.

    Examples
    --------
    >>> polarisation_streams("v+h", "slant+slant"), polarisation_streams("v+h", "v+v")
    (2, 1)
    """
    fields_from, fields_to = (
        np.array([_field(chain_deg) for chain_deg in POLARISATION_CHAINS_DEG[str(_named(kind))]])
        for kind in (kind_from, kind_to)
    )
    return int(np.linalg.matrix_rank(fields_from.conj() @ fields_to.T, tol=1e-9))


def _field(chain_deg: float | None) -> tuple[complex, complex]:
    """Return the horizontal and the vertical part of a chain's field, of length one."""
    if chain_deg is None:
        return complex(math.sqrt(0.5)), complex(0.0, -math.sqrt(0.5))
    return complex(math.cos(math.radians(chain_deg))), complex(math.sin(math.radians(chain_deg)))


def _named(kind: str | Sequence[str]) -> np.ndarray[tuple[int, ...], np.dtype[np.str_]]:
    """Return the kinds as an array of names, all known."""
    kinds = np.asarray(kind, dtype=np.str_)
    for name in np.unique(kinds):
        if name not in POLARISATION_CHAINS_DEG:
            raise UnknownNameError(
                f"the polarisation '{name}' is not known", remedy=f"write one of {', '.join(POLARISATION_CHAINS_DEG)}"
            )
    return kinds


def _combined_coupling(
    chains_from: tuple[float | None, ...], chains_to: tuple[float | None, ...], discrimination_db: FloatArray
) -> FloatArray:
    """Return the share of the sent power that all receiving chains take together."""
    total = np.zeros_like(discrimination_db)
    for from_deg in chains_from:
        for to_deg in chains_to:
            if from_deg is None and to_deg is None:
                rotation_deg = 0.0
            elif from_deg is None or to_deg is None:
                rotation_deg = 45.0  # a circular wave couples by half into any linear antenna, as one at 45 deg does
            else:
                rotation_deg = to_deg - from_deg
            total = total + _coupling(float_array(rotation_deg), discrimination_db)
    return total / len(chains_from)


def _coupling(rotation_deg: FloatArray, cross_polar_discrimination_db: FloatArray) -> FloatArray:
    """Return the share of the power that passes from one linear polarisation to another."""
    folded_deg = np.abs(np.remainder(nan_unless(np.isfinite(rotation_deg), rotation_deg) + 90.0, 180.0) - 90.0)
    # The sine of the rest makes a right angle exactly nothing.
    along = np.square(np.sin(np.deg2rad(90.0 - folded_deg)))
    across = np.square(np.sin(np.deg2rad(folded_deg)))
    discrimination_db = nan_unless(cross_polar_discrimination_db >= 0.0, cross_polar_discrimination_db)
    return np.minimum(along + from_db(-discrimination_db) * across, 1.0)

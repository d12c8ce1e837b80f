"""Other people's radios, as scans at the mounts heard them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from survey_app.assess.interference.rejection import rejection_db
from survey_app.assess.job import Job
from survey_app.physics.arrays import FloatArray
from survey_app.physics.decibels import dbm_to_mw
from survey_app.site.evidence import Scan
from survey_app.spectrum.channels import middle_mhz

__all__ = ["RUNNING", "Neighbour", "neighbours_at", "neighbours_mw"]

RUNNING = frozenset({"existing", "hung", "accepted"})
"""States of what is on the air already."""


class Neighbour(NamedTuple):
    """What was heard on one channel."""

    centre_mhz: float
    width_mhz: float
    level_dbm: float


def neighbours_at(job: Job) -> dict[str, tuple[Neighbour, ...]]:
    """Return what the newest scan at each mount heard, by mount.

    Parameters
    ----------
    job : Job
        The indexed site. A scan does not say who sends: where a cell of this site runs already, what was heard on its
        very channel is taken for that cell.
    """
    running = {
        (radio.channel, float(radio.width_mhz or job.defaults.width_mhz))
        for radio in job.radios.values()
        if radio.role == "access_point" and radio.status in RUNNING
    }
    newest: dict[str, Scan] = {}
    for scan in job.site.evidence.scans:
        held = newest.get(scan.mount)
        if held is None or scan.at >= held.at:
            newest[scan.mount] = scan
    return {
        mount: tuple(
            Neighbour(middle_mhz(row.channel), row.width_mhz, row.level_dbm)
            for row in scan.rows
            if (row.channel, row.width_mhz) not in running
        )
        for mount, scan in newest.items()
    }


def neighbours_mw(
    job: Job,
    known: Mapping[str, Sequence[Neighbour]],
    centre_mhz: FloatArray,
    width_mhz: FloatArray,
    steps_db: FloatArray,
) -> FloatArray:
    """Return what neighbours bring into the channel of each radio.

    Parameters
    ----------
    job : Job
        The indexed site.
    known : mapping of str to sequence of Neighbour
        What was heard, by mount, see `neighbours_at`; the level holds for whatever antenna hangs there.
    centre_mhz, width_mhz : ndarray of float, shape (radios,)
        Channel of each radio. [MHz]
    steps_db : ndarray of float, shape (radios, 3)
        What each rejects, see `rejection_steps_db`. [dB]

    Returns
    -------
    ndarray of float, shape (radios,)
        All of them together; 0 where nobody scanned, or no channel is chosen. [mW]
    """
    total = np.zeros(len(centre_mhz))
    for n, radio in enumerate(job.radios.values()):
        rows = known.get(radio.mount, ())
        if not rows or np.isnan(centre_mhz[n]):
            continue
        centre, width, level = (np.array(column, dtype=float) for column in zip(*rows, strict=True))
        held = rejection_db(centre, width, centre_mhz[n], width_mhz[n], steps_db[n])
        total[n] = float(np.nansum(dbm_to_mw(level - held)))
    return total

"""How well a hop is known, as one word computed from evidence; nobody types it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from survey_app.assess.job import Job
from survey_app.assess.mount_rows import height_sigma_m
from survey_app.assess.record import Maturity
from survey_app.site.evidence import Sight
from survey_app.site.mount import Mount
from survey_app.site.radio import Hop

__all__ = ["LADDER", "maturities", "maturity_of_site"]

LADDER: tuple[Maturity, ...] = ("desk", "walked", "measured", "lamp-proven", "bench-proven", "accepted")
"""The words from the least known on; each but the last asks for all before it."""

_MEASURED_SIGMA_M = 0.5  # counted storeys or rungs just count as measured; common practice
_SEEN = frozenset({"seen", "seen_with_lamp"})
_AGREED = frozenset({"granted", "not_needed"})


def maturities(job: Job, sights: Mapping[str, Sight]) -> dict[str, Maturity]:
    """Return how well each hop is known.

    Parameters
    ----------
    job : Job
        The indexed site.
    sights : mapping of str to Sight
        The newest sight along each hop.

    Returns
    -------
    dict of str to Maturity
        By hop: `walked` once somebody was there, `measured` once both heights are, `lamp-proven` once the far end was
        seen and both owners agree, `bench-proven` once both radios passed on the bench, `accepted` by its newest
        acceptance, else `desk`. [PRACTICE]_.
    """
    evidence = job.site.evidence
    walked = {note.subject for note in evidence.walk_notes}
    benched = {row.radio: row.passed for row in sorted(evidence.bench, key=lambda row: row.at)}
    accepted = {row.subject: row.accepted for row in sorted(evidence.acceptance, key=lambda row: row.at)}

    def word(hop: Hop) -> Maturity:
        if accepted.get(hop.id, False):
            return "accepted"
        mounts = [job.mounts[job.radios[key].mount] for key in (hop.access_point, hop.station)]
        looked = sights[hop.id].result if hop.id in sights else "not_tried"
        rungs = (
            looked != "not_tried" or bool(walked & {hop.id, *(mount.id for mount in mounts)}),
            all(_measured(job, mount) for mount in mounts),
            looked in _SEEN and all(mount.permission.state in _AGREED for mount in mounts),
            all(benched.get(key, False) for key in (hop.access_point, hop.station)),
        )
        return LADDER[next((n for n, held in enumerate(rungs) if not held), len(rungs))]

    return {hop.id: word(hop) for hop in job.hops.values()}


def _measured(job: Job, mount: Mount) -> bool:
    return mount.height_known.how != "guessed" and height_sigma_m(mount.height_known, job.defaults) <= _MEASURED_SIGMA_M


def maturity_of_site(words: Iterable[Maturity]) -> Maturity | None:
    """Return the word of a whole site: that of its least known hop; None without a hop.

    Examples
    --------
    >>> maturity_of_site(["measured", "walked"])
    'walked'
    """
    return min(words, key=LADDER.index, default=None)

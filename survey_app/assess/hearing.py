"""Who hears whom, worked out when somebody asks: levels between all radios of a site, and for whom each waits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from survey_app.assess.air import hears
from survey_app.assess.interference import interference_of
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.numbers import numbers
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.noise import noise_floor_dbm
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions, load_regions

__all__ = ["Hearing", "who_hears"]


@dataclass(frozen=True, eq=False)
class Hearing:
    """Levels between all radios of a site; in matrices the row hears and the column sends.

    Attributes
    ----------
    radios : tuple of str
        In the order of rows and columns.
    cells : tuple of str or None
        Access point of each one's cell; None for one that is in none.
    level_dbm : ndarray of float, shape (radios, radios)
        What falls into the channel of the one that hears; NaN where it is not known and for itself. [dBm]
    noise_dbm : ndarray of float, shape (radios,)
        Noise of each one's receiver in its channel. [dBm]
    waits : ndarray of bool, shape (radios, radios)
        Whether the one that hears holds its frames back while the other sends: above the carrier-sense level.
    """

    radios: tuple[str, ...]
    cells: tuple[str | None, ...]
    level_dbm: FloatArray
    noise_dbm: FloatArray
    waits: BoolArray

    @cached_property
    def rows(self) -> dict[str, int]:
        """Row of each radio."""
        return {key: n for n, key in enumerate(self.radios)}

    @property
    def over_noise_db(self) -> FloatArray:
        """How far each one stands over the noise of another, shape (radios, radios). [dB]"""
        over: FloatArray = self.level_dbm - self.noise_dbm[:, None]
        return over

    def is_other(self, hearer: int, sender: int) -> bool:
        """Whether two radios are of different cells, so that the one is no more than noise to the other."""
        cells = self.cells[hearer], self.cells[sender]
        return hearer != sender and None not in cells and cells[0] != cells[1]

    def waited_for(self, radio: str) -> tuple[tuple[str, float], ...]:
        """Return the radios of other cells for which one waits, with their levels, the loudest first. [dBm]"""
        n = self.rows.get(radio)
        if n is None:
            return ()
        found = [
            (self.radios[k], float(self.level_dbm[n, k]))
            for k in range(len(self.radios))
            if self.is_other(n, k) and self.waits[n, k]
        ]
        return tuple(sorted(found, key=lambda row: (-row[1], row[0])))


def who_hears(
    site: Site, regions: Regions | None = None, progress: Callable[[int, int], None] | None = None
) -> Hearing:
    """Return who hears whom on a site.

    Parameters
    ----------
    site : Site
        The document.
    regions : Regions or None
        Radio rules; None reads those that travel with the program.
    progress : callable or None
        Told how many of two steps are done; what it raises ends the work.
    """
    told = progress if progress is not None else _untold
    job, work = Job(site), Fresh()
    work.start()
    told(0, 2)
    found = numbers(job, regions if regions is not None else load_regions(), work)
    told(1, 2)
    between = interference_of(job, found, work)
    names = tuple(job.cells)
    return Hearing(
        radios=found.radios.ids,
        cells=tuple(names[n] if n >= 0 else None for n in between.cell.tolist()),
        level_dbm=between.in_channel_dbm,
        noise_dbm=noise_floor_dbm(found.radios.width_mhz, found.radios.noise_figure_db),
        waits=hears(found.radios, between),
    )


def _untold(_done: int, _of: int) -> None:
    """Nobody wants to know."""

"""The rows of the single failures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from survey_app.assess.demand import CameraRate, camera_rates
from survey_app.assess.failures.loads import Capacity, Filled
from survey_app.assess.failures.losses import Loss, losses
from survey_app.assess.feeding import Forest
from survey_app.assess.graph import Graph, Reached
from survey_app.assess.job import Job
from survey_app.assess.nulls import number
from survey_app.assess.record import FailureRow

__all__ = ["MANY_CAMERAS", "Failing", "failure_rows"]

#: From so many cameras on, that go dark together and do not record by themselves, a failure is worth a warning.
MANY_CAMERAS = 8


@dataclass(frozen=True)
class Failing:
    """What single failures are worked out from.

    Parameters
    ----------
    job : Job
        The indexed site.
    graph : Graph
        Things, legs and ways home.
    forest : Forest
        What feeds what.
    capacity : Capacity
        What cells and wires carry, and could.
    rates : mapping of str to CameraRate
        What each camera sends.
    """

    job: Job
    graph: Graph
    forest: Forest
    capacity: Capacity
    rates: Mapping[str, CameraRate]

    def row(self, loss: Loss) -> FailureRow | None:
        """Return what one failure does, or None where no camera feels it."""
        instead = self.graph.without(loss.things, loss.legs)
        felt = sorted(key for key in instead if key in self.job.cameras)
        if not felt:
            return None
        dark = tuple(key for key in felt if instead[key] is None)
        moved = tuple(key for key in felt if instead[key] is not None)
        filled = self._filled(moved, dark, instead, loss) if moved else ()
        hours = {key: 0.0 if key in loss.things else self.job.cameras[key].edge_recording_hours for key in dark}
        unrecorded = tuple(key for key in dark if not hours[key])
        slower = self._slower(filled, instead)
        return FailureRow(
            subject=loss.subject,
            kind=loss.kind,
            dark=dark,
            without_power=tuple(key for key in dark if key in loss.things),
            unrecorded=unrecorded,
            moved=moved,
            slower=slower,
            recorded_hours=min(hours.values(), default=None),
            fullest=filled[0].id if filled else None,
            load_fraction=number(filled[0].load_fraction) if filled else None,
            severity=_severity(len(unrecorded), len(slower)),
        )

    def _filled(
        self, moved: tuple[str, ...], dark: tuple[str, ...], instead: Mapping[str, Reached | None], loss: Loss
    ) -> tuple[Filled, ...]:
        changed = []
        for camera_id in (*moved, *dark):
            old = tuple(self.graph.way_home(camera_id))
            new = tuple(self.graph.way_home(camera_id, instead))
            changed.append((self.rates[camera_id], old, new))
        return self.capacity.filled(changed, loss.legs)

    def _slower(self, filled: tuple[Filled, ...], instead: Mapping[str, Reached | None]) -> tuple[str, ...]:
        """Cameras that still come home, over something that is now fuller than the site allows."""
        allowed = self.job.defaults.load_warn_fraction
        full = {row.id for row in filled if row.load_fraction > allowed}
        if not full:
            return ()
        legs = {hop for cell in full for hop in self.capacity.cell_hops.get(cell, ())} | full
        return tuple(
            camera_id
            for camera_id in sorted(self.job.cameras)
            if any(edge.id in legs for edge, _, _ in self.graph.way_home(camera_id, instead))
        )


def _severity(unrecorded: int, slower: int) -> Literal["warn", "note"] | None:
    if unrecorded >= MANY_CAMERAS:
        return "warn"
    return "note" if unrecorded or slower else None


def _rows(failing: Failing) -> Iterator[FailureRow]:
    for loss in losses(failing.job, failing.forest):
        row = failing.row(loss)
        if row is not None:
            yield row


def failure_rows(job: Job, graph: Graph, forest: Forest, capacity: Capacity) -> tuple[FailureRow, ...]:
    """Return what every single failure does, the gravest first.

    Parameters
    ----------
    job : Job
        The indexed site.
    graph, forest : Graph, Forest
        Ways home, and what feeds what.
    capacity : Capacity
        What cells and wires carry, and could.

    Returns
    -------
    tuple of FailureRow
        By cameras that nobody records, then by dark cameras, by slower ones, by id. Infinite loads are null.
    """
    rows = _rows(Failing(job, graph, forest, capacity, camera_rates(job)))
    return tuple(sorted(rows, key=lambda r: (-len(r.unrecorded), -len(r.dark), -len(r.slower), r.subject)))

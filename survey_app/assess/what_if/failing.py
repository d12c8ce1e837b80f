"""One thing fails: what works no longer with it, which way the video takes then, what its legs carry."""

from __future__ import annotations

from collections.abc import Mapping

from survey_app.assess.demand import camera_rates
from survey_app.assess.failures import Loss, losses
from survey_app.assess.feeding import build_forest
from survey_app.assess.graph import Graph, Reached, build_graph
from survey_app.assess.job import Job
from survey_app.assess.record import Assessment, FailureRow
from survey_app.assess.routes import LegLoad, leg_loads
from survey_app.assess.what_if.answer import Changed, OtherWay
from survey_app.errors import UnknownNameError
from survey_app.site.site import Site

__all__ = ["Failed"]


class Failed:
    """A site of which one thing works no longer.

    Parameters
    ----------
    site : Site
        The document; it is not changed.
    subject : str
        What fails.
    before : Assessment
        The assessment of the site as it stands.

    Raises
    ------
    UnknownNameError
        Nothing of this name can fail: it is no radio, hop, wire, device, supply or mount that carries something.
    """

    def __init__(self, site: Site, subject: str, before: Assessment) -> None:
        self._job = Job(site, before.with_later)
        loss = next((one for one in losses(self._job, build_forest(self._job)) if one.subject == subject), None)
        if loss is None:
            raise UnknownNameError(f"nothing called '{subject}' can fail: it is not there, or carries nothing")
        self.loss: Loss = loss
        self.row: FailureRow | None = next((row for row in before.failures if row.subject == subject), None)
        """What the record says of it; None where no camera feels it."""
        self._graph: Graph = build_graph(self._job)
        self._instead: Mapping[str, Reached | None] = self._graph.without(loss.things, loss.legs)

    @property
    def silent(self) -> tuple[str, ...]:
        """Things, hops and wires that work no longer: also those that lead to nothing any more."""
        things, legs = set(self.loss.things), set(self.loss.legs)
        legs |= {hop.id for hop in self._job.hops.values() if {hop.access_point, hop.station} & things}
        legs |= {wire.id for wire in self._job.wires.values() if {wire.a.thing, wire.b.thing} & things}
        return tuple(sorted(things | legs))

    def ways(self) -> tuple[OtherWay, ...]:
        """Return the ways of the cameras that come home otherwise, by camera."""
        found = []
        for camera in sorted(self._job.cameras):
            if self._instead.get(camera) is not None:
                was = tuple(edge.id for edge, _, _ in self._graph.way_home(camera))
                will = tuple(edge.id for edge, _, _ in self._graph.way_home(camera, self._instead))
                found.append(OtherWay(camera=camera, before=was, after=will))
        return tuple(found)

    def figures(self) -> tuple[Changed, ...]:
        """Return what legs carry without the failure and with it, by id; those that carry nothing then are left out."""
        was, will = leg_loads(self._job, self._graph), self._loads()
        return tuple(
            Changed(id=key, quantity="carries", before=before, after=after, unit="Mbit/s")
            for key in sorted(will)
            if abs((after := will[key].peak_mbps) - (before := was[key].peak_mbps if key in was else 0.0)) > 1e-6
        )

    def _loads(self) -> dict[str, LegLoad]:
        rates, part = camera_rates(self._job), self._job.defaults.return_fraction
        loads: dict[str, LegLoad] = {}
        for camera in sorted(self._job.cameras):
            for edge, _, toward in self._graph.way_home(camera, self._instead):
                loads.setdefault(edge.id, LegLoad()).add(edge, toward, rates[camera], part)
        return loads

"""What the sites of the deployments have in common: power fixed so that the rate on the air is known beforehand."""

from __future__ import annotations

from survey_app.assess.record import Assessment, CellRow, RouteRow
from tests.assess.rule_case import assessed
from tests.plot import Plot

__all__ = ["assessed_at", "cell", "codes", "route"]

#: Two streams, 20 MHz, guard interval 0.8 us, 64-QAM 5/6: 52 carriers x 6 bits x 5/6 x 2 streams / 4 us.
MCS_7_MBPS = 130.0


def assessed_at(plot: Plot, highest_mcs: int = 7) -> Assessment:
    """Assess a site whose radios all send at full power, held to one rate unless they have a limit of their own."""
    for row in list(plot.rows["radios"]):
        own = highest_mcs if row.highest_mcs is None else row.highest_mcs
        plot.set("radios", row.id, power_mode="fixed", highest_mcs=own)
    return assessed(plot.site())


def cell(found: Assessment, access_point: str) -> CellRow:
    """Return the row of a cell."""
    return next(row for row in found.cells if row.id == access_point)


def route(found: Assessment, camera: str) -> RouteRow:
    """Return the route of a camera."""
    return next(row for row in found.routes if row.camera == camera)


def codes(found: Assessment, *severities: str) -> set[str]:
    """Return the codes of the findings of these severities."""
    return {row.code for row in found.findings if row.severity in severities}

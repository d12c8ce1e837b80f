"""What stands round the radios of a site, as their rays meet it."""

from __future__ import annotations

from dataclasses import dataclass

from survey_app.assess.job import Job
from survey_app.ground.relief.surface import Surface
from survey_app.ground.solids import SolidKind, Solids
from survey_app.ground.standing import Season, standing

__all__ = ["STANDING_KINDS", "WhatStands", "what_stands"]

STANDING_KINDS = tuple(kind for kind in SolidKind if kind not in (SolidKind.TRAFFIC, SolidKind.WIRE))
"""What always stands; what only passes does not hide a place for good."""


@dataclass(frozen=True)
class WhatStands:
    """Solids and ground of a site, made once for all its radios.

    Attributes
    ----------
    solids : Solids
        In leaf, as on the day of the survey.
    ground : Surface
        The relief.
    """

    solids: Solids
    ground: Surface


def what_stands(job: Job) -> WhatStands:
    """Return what stands on a site.

    Parameters
    ----------
    job : Job
        The indexed site.
    """
    found = standing(job.design.structures, job.placed, Season("in_leaf"), with_later=job.with_later)
    return WhatStands(found.solids, job.placed.ground)

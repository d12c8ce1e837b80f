"""What if: an event met by a site as it stands. Nothing is edited; a changed copy is assessed and held against it."""

from survey_app.assess.what_if.answer import Changed, OtherWay, WhatIf
from survey_app.assess.what_if.events import (
    ChannelLost,
    Event,
    Fails,
    Grown,
    NeighbourMore,
    RadarHeard,
    Rain,
)
from survey_app.assess.what_if.meeting import what_if
from survey_app.assess.what_if.spared import Spared, spared_by

__all__ = [
    "Changed",
    "ChannelLost",
    "Event",
    "Fails",
    "Grown",
    "NeighbourMore",
    "OtherWay",
    "RadarHeard",
    "Rain",
    "Spared",
    "WhatIf",
    "spared_by",
    "what_if",
]

"""What all radios do to each other: levels between every two, what falls into a channel, what is left of the SNR."""

from survey_app.assess.interference.coupling import Coupling, coupling_of
from survey_app.assess.interference.heard import Heard, heard
from survey_app.assess.interference.outside import Neighbour, neighbours_at, neighbours_mw
from survey_app.assess.interference.rejection import rejection_db, rejection_steps_db
from survey_app.assess.interference.stage import (
    Interference,
    Left,
    cells_of,
    coupled,
    heard_pairs,
    held_back_db,
    interference_of,
)

__all__ = [
    "Coupling",
    "Heard",
    "Interference",
    "Left",
    "Neighbour",
    "cells_of",
    "coupled",
    "coupling_of",
    "heard",
    "heard_pairs",
    "held_back_db",
    "interference_of",
    "neighbours_at",
    "neighbours_mw",
    "rejection_db",
    "rejection_steps_db",
]

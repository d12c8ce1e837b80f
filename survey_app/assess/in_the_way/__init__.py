"""What stands in the way of every hop: clearances of all solids and of the ground, and what they cost."""

from survey_app.assess.in_the_way.foot_to_foot import FootToFoot
from survey_app.assess.in_the_way.obstructions import obstructions
from survey_app.assess.in_the_way.stand import PASSING, Stand, of_solids, pairs_near
from survey_app.assess.in_the_way.surroundings import Surroundings, ground_at_ends, surroundings_of, things_near

__all__ = [
    "PASSING",
    "FootToFoot",
    "Stand",
    "Surroundings",
    "ground_at_ends",
    "obstructions",
    "of_solids",
    "pairs_near",
    "surroundings_of",
    "things_near",
]

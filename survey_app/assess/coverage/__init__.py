"""What a radio covers: what it sees, where its pattern reaches, and which rate its budget carries there."""

from survey_app.assess.coverage.area import Coverage, RateArea, best_of, coverage, share_percent
from survey_app.assess.coverage.around import WhatStands, what_stands
from survey_app.assess.coverage.pair import FarEnd, far_end_of
from survey_app.assess.coverage.places import EdgeSight, FreeRun, PoleSight, places_that_see
from survey_app.assess.coverage.served import ServedMount
from survey_app.assess.coverage.shadow import radio_shadows
from survey_app.assess.coverage.together import BestOfMount, MovingArea, RateShare, Together, covered_together

__all__ = [
    "BestOfMount",
    "Coverage",
    "EdgeSight",
    "FarEnd",
    "FreeRun",
    "MovingArea",
    "PoleSight",
    "RateArea",
    "RateShare",
    "ServedMount",
    "Together",
    "WhatStands",
    "best_of",
    "coverage",
    "covered_together",
    "far_end_of",
    "places_that_see",
    "radio_shadows",
    "share_percent",
    "what_stands",
]

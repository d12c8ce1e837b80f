"""How high must it be: the least move of an end that clears a hop, up or along its edge."""

from survey_app.assess.raising.hops import how_high, raisings
from survey_app.assess.raising.raising import Raising, raising_cures

__all__ = ["Raising", "how_high", "raising_cures", "raisings"]

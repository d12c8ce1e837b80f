"""How high must it be: the least move of an end that clears a hop, up or along its edge."""

from survey_app.assess.raising.hops import how_high
from survey_app.assess.raising.offers import Offer, offers
from survey_app.assess.raising.raising import Raising

__all__ = ["Offer", "Raising", "how_high", "offers"]

"""What is likely of a hop whose heights and places are known so well and no better."""

from survey_app.assess.chances.hops import HopChance, Level, chances
from survey_app.assess.chances.level import level_in_hand

__all__ = ["HopChance", "Level", "chances", "level_in_hand"]

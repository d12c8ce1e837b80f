"""The air in detail: turns of each direction, pictures in the queue, and who else takes the same air."""

from survey_app.assess.air.others import Others, hearing_limits_dbm, hears, others_of
from survey_app.assess.air.stage import FineAir, fine_air
from survey_app.assess.air.turns import Turns

__all__ = ["FineAir", "Others", "Turns", "fine_air", "hearing_limits_dbm", "hears", "others_of"]

"""What a straight ray meets among the solids of a site, for many rays at once."""

from survey_app.ground.ray.index import RayIndex, ray_index
from survey_app.ground.ray.line import usable
from survey_app.ground.ray.packed import GRAZE_M
from survey_app.ground.ray.sight import blocked

__all__ = ["GRAZE_M", "RayIndex", "blocked", "ray_index", "usable"]

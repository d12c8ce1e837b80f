"""What a straight ray meets among the solids of a site, for many rays at once.

`ray_index` lays the solids out once; `blocked` says yes or no, `crossings` what a ray passes over and where it runs
inside, `near` what stands close beside it.
"""

from survey_app.ground.ray.crossings import Crossings, Family, crossings
from survey_app.ground.ray.fan import hide_behind
from survey_app.ground.ray.index import RayIndex, ray_index
from survey_app.ground.ray.line import usable
from survey_app.ground.ray.near import Near, near
from survey_app.ground.ray.packed import GRAZE_M
from survey_app.ground.ray.sight import blocked

__all__ = [
    "GRAZE_M",
    "Crossings",
    "Family",
    "Near",
    "RayIndex",
    "blocked",
    "crossings",
    "hide_behind",
    "near",
    "ray_index",
    "usable",
]

"""Ground that nobody measured."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from survey_app.ground.relief.profiles import Profiles, level_profiles
from survey_app.ground.relief.surface import LevelGround
from survey_app.physics.arrays import FloatArray

__all__ = ["FootToFoot"]


@dataclass(frozen=True)
class FootToFoot(LevelGround):
    """Ground that nobody measured: straight from the foot of one end to that of the other.

    Attributes
    ----------
    feet_m : mapping of (x, y) to float
        Ground under every end. [m]
    """

    feet_m: Mapping[tuple[float, float], float] = field(default_factory=dict)

    @classmethod
    def of(cls, feet_m: Mapping[tuple[float, float], float]) -> FootToFoot:
        """Return the ground between such feet."""
        return cls(math.nan, "straight between the feet", feet_m)

    def profiles(self, start_m: FloatArray, end_m: FloatArray) -> Profiles:
        """Return the ground under lines."""
        ends = zip(map(tuple, start_m.tolist()), map(tuple, end_m.tolist()), strict=True)
        heights = np.array([(self.feet_m[a], self.feet_m[b]) for a, b in ends], np.float64).reshape(-1)
        found = level_profiles(len(start_m), 0.0)
        return Profiles(found.first, found.part, heights, np.where(np.isfinite(heights), 0.0, np.nan))

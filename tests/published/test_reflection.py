"""Reflection and multipath against the outside: worked values, other published formulas, an independent library.

Sources: P530 (P.530-17), P2040 (P.2040-3), MEISSNER (2004). Marks as in test_propagation.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from survey_app.physics.layers import Layer, stack_loss_db  # noqa: F401
from survey_app.physics.multipath import (
    detailed_occurrence_percent,
    multipath_exceeded_percent,
    quick_occurrence_percent,
)
from survey_app.physics.reflection import reflected_ray, reflection_coefficient
from survey_app.physics.surface import surface_permittivity, water_permittivity

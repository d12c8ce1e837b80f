from __future__ import annotations

import math

import pytest

from survey_app.errors import UnknownNameError
from survey_app.physics import power_classes


@pytest.mark.parametrize(
    ("load_w", "number"), [(0, 1), (3.84, 1), (3.85, 2), (6.5, 3), (12.95, 3), (12.96, 4), (51, 6), (71.3, 8)]
)
def test_lowest_class_that_grants_a_load(load_w: float, number: int) -> None:
    row = power_classes.class_for_load(load_w)
    assert row is not None
    assert row.number == number


@pytest.mark.parametrize("load_w", [71.4, -1, math.nan])
def test_no_class_grants_what_lies_beyond(load_w: float) -> None:
    assert power_classes.class_for_load(load_w) is None


@pytest.mark.parametrize(
    ("function", "number"),
    [
        (power_classes.power_class, 9),
        (power_classes.power_class, -1),
        (power_classes.power_type, 0),
        (power_classes.power_type, 5),
    ],
)
def test_unknown_number_is_refused(function: object, number: int) -> None:
    with pytest.raises(UnknownNameError, match="unknown power"):
        function(number)  # type: ignore[operator]


def test_numbers_stand_at_their_places() -> None:
    assert [row.number for row in power_classes.POWER_CLASSES] == list(range(9))
    assert [row.number for row in power_classes.POWER_TYPES] == [1, 2, 3, 4]


def test_cable_never_gives_power() -> None:
    for row in power_classes.POWER_CLASSES:
        assert row.device_w < row.source_w
    for kind in power_classes.POWER_TYPES:
        assert kind.device_min_v < kind.source_min_v <= kind.source_max_v == kind.device_max_v

from __future__ import annotations

import itertools
from typing import get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics.pointing import (
    POLARISATION_CHAINS_DEG,
    pointing_loss_db,
    polarisation_mismatch_db,
    polarisation_streams,
    rotation_loss_db,
)
from survey_app.site.gear_part import Polarisation

KINDS = tuple(POLARISATION_CHAINS_DEG)


def test_pointing_loss_at_the_edge_of_the_beam_is_three_decibels() -> None:
    assert float(pointing_loss_db(13.5, 27.0)) == 3.0


def test_pointing_loss_beyond_one_beamwidth_is_nan() -> None:
    assert np.isnan(pointing_loss_db([27.1, -27.1], 27.0)).all()
    assert float(pointing_loss_db(-27.0, 27.0)) == 12.0


@pytest.mark.parametrize("values", [(np.nan, 9.0), (1.0, np.nan), (1.0, 0.0), (1.0, -9.0)])
def test_pointing_loss_outside_its_range_is_nan(values: tuple[float, float]) -> None:
    assert np.isnan(pointing_loss_db(*values))


def test_rotation_loss_exactly_crossed_is_infinite() -> None:
    assert float(rotation_loss_db(90.0)) == np.inf
    assert float(rotation_loss_db(-270.0)) == np.inf


@given(st.floats(-720.0, 720.0), st.floats(0.0, 60.0))
def test_rotation_loss_lies_between_nothing_and_the_discrimination(
    rotation_deg: float, discrimination_db: float
) -> None:
    got = float(rotation_loss_db(rotation_deg, discrimination_db))
    assert -1e-12 <= got <= discrimination_db + 1e-9


@given(st.floats(-360.0, 360.0))
def test_rotation_loss_is_the_same_in_both_senses_and_half_a_turn_on(rotation_deg: float) -> None:
    here = float(rotation_loss_db(rotation_deg, 30.0))
    assert float(rotation_loss_db(-rotation_deg, 30.0)) == pytest.approx(here, abs=1e-9)
    assert float(rotation_loss_db(rotation_deg + 180.0, 30.0)) == pytest.approx(here, abs=1e-9)


@pytest.mark.parametrize("values", [(np.nan, 20.0), (30.0, np.nan), (30.0, -1.0), (np.inf, 20.0)])
def test_rotation_loss_outside_its_range_is_nan(values: tuple[float, float]) -> None:
    assert np.isnan(rotation_loss_db(*values))


@pytest.mark.parametrize("kind", KINDS)
def test_polarisation_mismatch_of_like_ends_is_nothing(kind: str) -> None:
    assert float(polarisation_mismatch_db(kind, kind)) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(("kind_from", "kind_to"), list(itertools.product(KINDS, KINDS)))
def test_polarisation_mismatch_stays_between_nothing_and_the_discrimination(kind_from: str, kind_to: str) -> None:
    assert -1e-12 <= float(polarisation_mismatch_db(kind_from, kind_to, 25.0)) <= 25.0 + 1e-9


@pytest.mark.parametrize(
    ("kind_from", "kind_to", "expected_db"),
    [
        ("v", "v+h", 0.0),
        ("v+h", "v", 3.0103),
        ("v", "slant", 3.0103),
        ("slant", "h", 3.0103),
        ("v", "slant+slant", 0.0),
        ("slant+slant", "v", 3.0103),
        ("v+h", "slant+slant", 0.0),
        ("slant+slant", "v+h", 0.0),
        ("slant", "slant+slant", 0.0),
        ("v+v", "v+h", 0.0),
        ("v+h", "v+v", 0.0),
        ("v+v", "slant+slant", 0.0),
        ("v+v", "v", 0.0),
        ("circular", "v", 3.0103),
        ("h", "circular", 3.0103),
        ("circular", "v+h", 0.0),
        ("v", "h", np.inf),
        ("v+v", "h", np.inf),
    ],
)
def test_polarisation_mismatch_of_ideal_ends_is_as_decided(kind_from: str, kind_to: str, expected_db: float) -> None:
    assert float(polarisation_mismatch_db(kind_from, kind_to)) == pytest.approx(expected_db, abs=1e-4)


def test_polarisation_mismatch_takes_rows_of_kinds() -> None:
    got = polarisation_mismatch_db(np.array(["v", "h"])[:, np.newaxis], ["v", "h", "v+h"], 20.0)
    np.testing.assert_allclose(got, [[0.0, 20.0, 0.0], [20.0, 0.0, 0.0]], atol=1e-9)


def test_polarisation_mismatch_with_an_unknown_discrimination_is_nan() -> None:
    assert np.isnan(polarisation_mismatch_db("v", "v", [np.nan, -1.0])).all()


def test_polarisation_mismatch_of_a_kind_that_is_not_known_names_those_that_are() -> None:
    with pytest.raises(UnknownNameError, match="'elliptic' is not known; write one of v, h"):
        polarisation_mismatch_db("v", "elliptic")


@pytest.mark.parametrize(
    ("kind_from", "kind_to", "streams"),
    [
        ("v+h", "v+h", 2),
        ("v+h", "slant+slant", 2),
        ("slant+slant", "slant+slant", 2),
        ("v+h", "v+v", 1),
        ("v+v", "v+v", 1),
        ("v", "v+h", 1),
        ("circular", "v+h", 1),
        ("v", "h", 0),
    ],
)
def test_polarisation_streams_in_line_of_sight(kind_from: str, kind_to: str, streams: int) -> None:
    assert polarisation_streams(kind_from, kind_to) == streams
    assert polarisation_streams(kind_to, kind_from) == streams


def test_polarisation_streams_of_a_kind_that_is_not_known_raises() -> None:
    with pytest.raises(UnknownNameError):
        polarisation_streams("v", "x")


def test_kinds_of_polarisation_are_those_of_the_gear_records() -> None:
    assert set(POLARISATION_CHAINS_DEG) == set(get_args(Polarisation))

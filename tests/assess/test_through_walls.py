"""From the plan of a hall to the level behind its wall: geometry and physics hand over to each other."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from survey_app.ground.indoors import Met, indoor_crossings, standing
from survey_app.ground.partitions import partitions
from survey_app.ground.place import place
from survey_app.physics.construction import construction, inner_wall
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.indoor_path import BY_WALLS, IndoorLoss, indoor_path_loss_db, served_fraction
from survey_app.physics.wall_loss import rays_loss_db
from survey_app.site.file import read_site

ACCESS_POINT = (0.2, 0.0, 4.0)
FREQUENCY_MHZ = 5_180.0


def _hall(end_m: np.ndarray, doors: str) -> IndoorLoss:
    site = read_site(Path(__file__).resolve().parents[2] / "demo_sites" / "mill")
    feet_m = {one.id: float(one.base_m or 0.0) for one in site.design.structures if one.kind == "building"}
    inside = partitions(site.design, place(site).outlines, feet_m)
    start_m = np.tile(ACCESS_POINT, (len(end_m), 1))
    found = indoor_crossings(inside, start_m, end_m)
    found = found.taken(standing(inside, found, doors))  # type: ignore[arg-type]
    walls = {wall.id: inner_wall(wall.material, wall.thickness_mm) for wall in site.design.walls}
    made = [*(walls[wall_id] for wall_id in inside.wall_ids), construction("door-unknown")]
    which = np.where(found.met == Met.WALL, found.thing, len(made) - 1)
    losses = rays_loss_db(len(end_m), found.ray, which, found.incidence_deg, made, FREQUENCY_MHZ, 40.0)
    return indoor_path_loss_db(np.linalg.norm(end_m - start_m, axis=1), FREQUENCY_MHZ, losses, "industrial")


def test_level_behind_the_brick_wall_of_the_hall_is_that_of_the_hand_reckoning() -> None:
    # common practice: 23 dBm radiated, 5 dBi at the cart, 24 m, brick of 6.4 dB: -53 dBm
    found = _hall(np.array([[24.2, 0.0, 4.0]]), "closed")
    assert 23.0 + 5.0 - float(found.likely_db[0]) == pytest.approx(-53.0, abs=1.0)
    assert found.route.tolist() == [BY_WALLS]
    assert found.low_db[0] < found.likely_db[0] < found.high_db[0]


def test_in_the_same_room_it_is_free_space() -> None:
    found = _hall(np.array([[10.2, 0.0, 4.0]]), "closed")
    assert float(found.likely_db[0]) == float(free_space_loss_db(10.0, FREQUENCY_MHZ))


def test_an_open_door_serves_more_of_the_store_than_a_shut_one() -> None:
    x, y = np.meshgrid(np.arange(14.5, 58.0), np.arange(-17.5, 18.0))
    spots = np.column_stack([x.ravel(), y.ravel(), np.full(x.size, 1.5)])
    share = {}
    for doors in ("open", "closed"):
        found = _hall(spots, doors)
        share[doors] = float(served_fraction(28.0 - found.likely_db + 62.0, found.sigma_db).mean())
    assert 0.5 < share["closed"] < share["open"] < 1.0

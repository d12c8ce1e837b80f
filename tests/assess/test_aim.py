"""The common aim: against brute force, against the mean of bearings, and how it answers a station that moves."""

from __future__ import annotations

import numpy as np
import pytest

from survey_app.assess.aim import Fan, common_aims
from survey_app.assess.gain import gain_toward_dbi
from survey_app.assess.gather import RadioArrays, gather_radios
from survey_app.assess.job import Job
from survey_app.data import demo_sites_folder
from survey_app.ground.place import place
from survey_app.site import edits
from survey_app.site.file import read_site
from survey_app.site.site import Site
from tests.laws import checked


def _boatyard() -> Site:
    return read_site(demo_sites_folder() / "boatyard")


def _aim_of(site: Site, radio: str) -> float:
    bearing = {row.id: row for row in checked(site).radios}[radio].bearing_true_deg
    assert bearing is not None
    return bearing


@pytest.fixture(scope="module")
def radios() -> RadioArrays:
    site = _boatyard()
    return gather_radios(Job(site), place(site))


def _smallest_db(radios: RadioArrays, fan: Fan, bearing: np.ndarray, tilt: np.ndarray) -> np.ndarray:
    shape = (*np.broadcast_shapes(bearing.shape, tilt.shape), len(fan.bearing_deg))
    bracket = tilt + radios.electrical_downtilt_deg[fan.radio]
    gain = gain_toward_dbi(
        radios,
        np.full(shape, fan.radio, dtype=np.intp),
        np.broadcast_to(fan.bearing_deg, shape),
        np.broadcast_to(fan.elevation_deg, shape),
        np.broadcast_to(bearing[..., None], shape),
        np.broadcast_to(bracket[..., None], shape),
    )
    return (fan.margin_without_gain_db + gain).min(axis=-1)


def _fans(radios: RadioArrays, count: int) -> list[Fan]:
    rnd = np.random.default_rng(20261201)
    rows = [radios.row["A-P"], radios.row["A-S"]]
    made = []
    for _ in range(count):
        row = rows[int(rnd.integers(2))]
        beam, k = float(radios.azimuth_beamwidth_deg[row]), int(rnd.integers(2, 6))
        bearing = np.remainder(rnd.uniform(0.0, 360.0) + rnd.uniform(-0.5, 0.5, k) * beam, 360.0)
        made.append(Fan(row, bearing, rnd.uniform(-6.0, 1.0, k), rnd.uniform(5.0, 25.0, k)))
    return made


def test_aim_is_as_good_as_brute_force_over_hundredths_of_a_degree(radios: RadioArrays) -> None:
    """70 random fans: a coarse grid finds the region, then every hundredth of a degree in both planes is tried."""
    fans = _fans(radios, 70)
    bearing, tilt = common_aims(radios, fans)
    for fan, at, upward in zip(fans, bearing, tilt, strict=True):
        ours = float(_smallest_db(radios, fan, np.array([at]), np.array([upward]))[0])
        beam = float(radios.azimuth_beamwidth_deg[fan.radio])
        centre = float(fan.bearing_deg[0])
        across = centre + np.arange(-1.1 * beam, 1.1 * beam, beam / 60.0)
        upright = np.arange(-13.0, 3.0, 0.25)
        coarse = _smallest_db(radios, fan, across[:, None], upright[None, :])
        i, j = np.unravel_index(int(np.argmax(coarse)), coarse.shape)
        fine_across = across[i] + np.arange(-beam / 60.0, beam / 60.0, 0.01)
        fine_upright = upright[j] + np.arange(-0.26, 0.26, 0.01)
        best = float(_smallest_db(radios, fan, fine_across[:, None], fine_upright[None, :]).max())
        assert ours >= best - 0.001


def test_fan_is_answered_alike_alone_and_among_others(radios: RadioArrays) -> None:
    fans = _fans(radios, 16)
    together = common_aims(radios, fans)
    for n, fan in enumerate(fans):
        alone = common_aims(radios, [fan])
        assert (alone[0][0], alone[1][0]) == (together[0][n], together[1][n])


def test_boatyard_panel_looks_between_its_stations_but_not_at_their_mean() -> None:
    """Hand value 123.3; the mean of the two bearings, 125.05, would starve the farther station."""
    aim = _aim_of(_boatyard(), "A-S")
    assert aim == pytest.approx(123.3, abs=0.1)
    assert abs(aim - 125.05) > 1.0


def test_aim_does_not_depend_on_the_order_of_hops() -> None:
    site = Site(design=_boatyard().design)
    turned = edits.rename(site, "S-A", "S-Z").after
    assert [row.id for row in checked(turned).radios if row.id == "A-S"]
    assert _aim_of(turned, "A-S") == pytest.approx(_aim_of(site, "A-S"), abs=0.002)


def test_station_that_comes_nearer_lets_the_beam_go_to_the_other() -> None:
    # without the shed that stands in B's zone, whose loss would change with the place
    site = edits.remove(_boatyard(), "paint-shed", cascade=True).after
    column = next(mount.structure for mount in site.design.mounts if mount.id == _mount(site, "ST-B"))
    nearer = edits.move_by(site, column, dx_m=-4.0, dy_m=2.2).after
    to_a = {row.id: row for row in checked(site).hops}["S-A"].ends.access_point.bearing_true_deg
    assert to_a is not None
    assert abs(_aim_of(nearer, "A-S") - to_a) < abs(_aim_of(site, "A-S") - to_a)


def _mount(site: Site, radio: str) -> str:
    return next(row.mount for row in site.design.radios if row.id == radio)

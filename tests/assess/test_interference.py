"""Levels between all radios: the same as pair by pair, symmetric where they must be, less behind a building."""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Callable

import numpy as np
import pytest

from survey_app.assess.gain import OMNI, interfering_gain_dbi
from survey_app.assess.interference import Interference, coupling, coupling_of, heard, interference_of
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh, Memo
from survey_app.assess.numbers import Numbers, numbers
from survey_app.assess.pipeline import assess
from survey_app.data import demo_sites_folder
from survey_app.physics.geometry import antenna_angles_deg, elevation_deg
from survey_app.site.edits import add, move_by, remove, set_channel, set_defaults, set_power
from survey_app.site.edits.edit import Edit
from survey_app.site.file import read_site
from survey_app.site.site import Site
from survey_app.site.structure import Building
from survey_app.spectrum.regions import load_regions
from tests.benchmarks.big_site import big_site
from tests.plot import one_hop


@functools.cache
def farm() -> Site:
    return read_site(demo_sites_folder() / "college" / "alternatives" / "sectors.json")


@functools.cache
def known(site: Site) -> tuple[Job, Numbers, Interference]:
    job = Job(site)
    found = numbers(job, load_regions())
    return job, found, interference_of(job, found, Fresh())


def test_level_between_two_radios_is_the_budget_of_a_hop_between_them() -> None:
    _, found, between = known(one_hop().site())
    a, s = found.radios.row["A"], found.radios.row["S"]
    # a hop's own level, but for the share of the air and the length on the ellipsoid
    assert between.levels_dbm[s, a] == pytest.approx(found.down.rx_level_dbm[0], abs=0.05)
    assert between.levels_dbm[a, s] == pytest.approx(found.up.rx_level_dbm[0], abs=0.05)


def test_matrix_is_what_pair_by_pair_arithmetic_gives() -> None:
    _, found, between = known(farm())
    radios, aims = found.radios, found.aims
    plan = {row.id: row.bearing_plan_deg for row in assess(farm(), load_regions()).radios}
    checked = 0
    for hears, one in enumerate(radios.ids):
        for sends, other in enumerate(radios.ids):
            if hears == sends or between.coupling.apart_m[hears, sends] < 30.0:
                continue
            gains = 0.0
            for here, there, name in ((hears, sends, one), (sends, hears, other)):
                east = radios.x_m[there] - radios.x_m[here]
                north = radios.y_m[there] - radios.y_m[here]
                ground = math.hypot(east, north)
                bearing = math.degrees(math.atan2(east, north))
                up = elevation_deg(radios.elevation_m[here], radios.elevation_m[there], ground)
                aim = bearing if radios.kind[here] == OMNI else plan[name] or 0.0
                seen = antenna_angles_deg([bearing], [float(up)], [aim], [np.nan_to_num(aims.bracket_deg[here])])
                gains += float(interfering_gain_dbi(radios, np.array([here]), *seen)[0])
            apart = float(between.coupling.apart_m[hears, sends])
            loss = 20.0 * math.log10(4.0 * math.pi * apart * radios.centre_mhz[sends] * 1e6 / 299792458.0)
            feeders = radios.feeder_loss_db[hears] + radios.feeder_loss_db[sends]
            free = found.powers.service_dbm[sends] + gains - loss - feeders
            # what stands in the way, and unlike polarisation, only ever take
            assert between.levels_dbm[hears, sends] <= free + 1e-6
            checked += abs(between.levels_dbm[hears, sends] - free) < 1e-6
    assert checked > 100


def test_levels_of_a_large_site_are_those_of_the_formulas_of_a_small_one(monkeypatch: pytest.MonkeyPatch) -> None:
    job = Job(big_site(3, 70))
    found = numbers(job, load_regions())
    compiled = coupling_of(job, found.radios, found.aims, found.placed.plane)
    assert len(coupling._panels(found.radios, np.zeros(213, dtype=bool))) == 210
    monkeypatch.setattr(coupling, "_WORTH_COMPILING", np.inf)
    assert not len(coupling._panels(found.radios, np.zeros(213, dtype=bool)))
    plain = coupling_of(job, found.radios, found.aims, found.placed.plane)
    assert np.allclose(compiled.gain_db, plain.gain_db, rtol=0.0, atol=1e-9, equal_nan=True)
    assert np.isnan(compiled.gain_db).sum() == len(found.radios.ids)
    assert np.array_equal(compiled.apart_m, plain.apart_m, equal_nan=True)


def test_small_sites_have_nothing_compiled(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("a small site waits for the compiler")

    job, found, between = known(farm())
    monkeypatch.setattr(coupling, "lobe_field_dbi", refuse)
    again = coupling_of(job, found.radios, found.aims, found.placed.plane)
    assert np.array_equal(again.apart_m, between.coupling.apart_m, equal_nan=True)


def test_path_gain_is_the_same_both_ways() -> None:
    gain = known(farm())[2].coupling.gain_db
    assert np.allclose(gain, gain.T, atol=1e-9, equal_nan=True)


def test_building_between_two_cells_takes_from_what_they_hear() -> None:
    from tests.assess.test_rules_radio import second_cell_on_the_channel

    plot = second_cell_on_the_channel()
    free = known(plot.site())[2]
    from survey_app.site.place import PlanePoint

    corners = ((180.0, -60.0), (200.0, -60.0), (200.0, 80.0), (180.0, 80.0))
    outline = tuple(PlanePoint(x_m=x, y_m=y) for x, y in corners)
    plot.add("structures", Building(kind="building", id="hall", eaves_height_m=25.0, outline=outline))
    _, found, behind = known(plot.site())
    rows = found.radios.row
    assert behind.levels_dbm[rows["A"], rows["T"]] < free.levels_dbm[rows["A"], rows["T"]] - 15.0
    # the hop beside it keeps what it has
    assert behind.levels_dbm[rows["A"], rows["S"]] == pytest.approx(free.levels_dbm[rows["A"], rows["S"]])


def test_of_each_other_cell_the_loudest_radio_counts_and_cells_add_up() -> None:
    level = np.full((5, 5), -np.inf)
    level[0] = [np.nan, -60.0, -80.0, -83.0, -80.0]
    found = heard(level, np.array([0, 0, 1, 1, 2]))
    assert found.total_mw[0] == pytest.approx(2e-8)
    assert found.worst[0] == 2
    assert found.worst[2] == -1


def test_without_a_cell_nobody_hears_more() -> None:
    before = assess(farm(), load_regions())
    after = assess(remove(farm(), "A-R", cascade=True).after, load_regions())
    old = {hop.id: hop for hop in before.hops}
    for hop in after.hops:
        for way in ("to_access_point", "to_station"):
            now, then = getattr(hop.directions, way).sinr_db, getattr(old[hop.id].directions, way).sinr_db
            if now is not None and then is not None:
                assert now >= then - 1e-9
            assert (now is None) == (getattr(hop.directions, way).snr_db is None)


def test_record_names_the_radio_that_is_heard_best() -> None:
    hop = next(one for one in assess(farm(), load_regions()).hops if one.id == "R-farm")
    way = hop.directions.to_access_point
    assert way.worst_interferer == "ST-arena"
    assert way.snr_db is not None
    assert way.sinr_db is not None
    assert way.margin_at_needed_rate_db is not None
    lost = way.snr_db - way.sinr_db
    assert lost > 1.0
    assert way.margin_with_interference_db == pytest.approx(way.margin_at_needed_rate_db - lost)


def hall() -> Building:
    from survey_app.site.place import PlanePoint

    corners = ((180.0, -60.0), (200.0, -60.0), (200.0, 80.0), (180.0, 80.0))
    outline = tuple(PlanePoint(x_m=x, y_m=y) for x, y in corners)
    return Building(kind="building", id="hall", eaves_height_m=25.0, outline=outline)


def test_what_is_kept_between_edits_gives_what_a_cold_assessment_gives() -> None:
    """Channels, places, powers, what stands between, who is there: bit for bit."""
    from tests.assess.test_rules_radio import second_cell_on_the_channel

    site, memo = second_cell_on_the_channel().site(), Memo()
    far = {radio.id: radio for radio in site.design.radios}["B"]
    steps: list[Callable[[Site], Edit] | None] = [
        None,
        lambda s: add(s, hall()),
        lambda s: move_by(s, "hall", dx_m=0.0, dy_m=100.0),
        lambda s: move_by(s, "hall", dx_m=0.0, dy_m=-100.0),
        lambda s: set_channel(s, "B", 165),
        lambda s: set_channel(s, "B", far.channel or 0),
        lambda s: set_power(s, "B", 3.0, "fixed"),
        lambda s: remove(s, "hall"),
        lambda s: set_defaults(s, interference_rise_db=4.0),
    ]
    heard_dbm = []
    for step in steps:
        site = step(site).after if step is not None else site
        warm, cold = assess(site, load_regions(), memo=memo), assess(site, load_regions())
        assert warm.model_dump_json() == cold.model_dump_json()
        ways = [way for hop in cold.hops for way in (hop.directions.to_access_point, hop.directions.to_station)]
        heard_dbm.append(tuple((way.interference_dbm, way.sinr_db) for way in ways))
    # a step that changes nothing that is heard would prove nothing
    assert all(one != other for one, other in itertools.pairwise(heard_dbm))

"""Automatic power in service answers what other cells bring; sites where nobody hears another stay as they are."""

from __future__ import annotations

import functools
import math

import pytest

from survey_app.assess.at_rest import AtRest, at_rest
from survey_app.assess.explain import Explainer
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh, Memo
from survey_app.assess.numbers import numbers
from survey_app.assess.pipeline import assess
from survey_app.data import demo_sites_folder
from survey_app.site.edits import set_channel
from survey_app.site.edits.sharing import rebuilt, with_fields
from survey_app.site.file import read_site
from survey_app.site.site import Site
from tests.assess.rule_case import regions
from tests.plot import Plot

NOISE_DBM = -174.0 + 10.0 * math.log10(20e6)


@functools.cache
def mill() -> Site:
    """Two units on one column, a foot apart on channels 100 and 104."""
    return read_site(demo_sites_folder() / "mill")


def rest_of(site: Site) -> AtRest:
    job = Job(site)
    return at_rest(job, numbers(job, regions()), Fresh())


def two_hops_beside(apart: float = 40.0, ahead: float = 100.0, margin_db: float = 33.0, channel: int = 149) -> Plot:
    """Draw two hops of 100 m on channel 149 and another, so near that they hear each other as well as not."""
    plot = Plot()
    plot.defaults["target_level_dbm"] = -90.0
    plot.office()
    plot.head_end()
    plot.landmark("tower", 900.0, 700.0)
    for n, (x, y, on) in enumerate(((20.0, 6.0, 149), (20.0 + ahead, 6.0 + apart, channel))):
        for key, at in ((f"A{n}", x), (f"S{n}", x + 100.0)):
            plot.pole(f"column-{key}", at, y)
            plot.mount(f"m-{key}", f"column-{key}", 5.5)
        plot.access_point(f"A{n}", f"m-A{n}", "bowline-p16", on)
        plot.station(f"S{n}", f"m-S{n}", "bowline-p16", f"A{n}")
        plot.set("hops", f"H-S{n}", wanted_margin_db=margin_db)
    return plot


def test_unit_beside_another_cell_raises_its_far_end_as_far_as_the_leak_asks() -> None:
    """Worked from levels, without the settling: what is heard over noise, planned rise and other cells has the margin."""
    rest = rest_of(mill())
    found, radios = rest.numbers, list(rest.numbers.radios.ids)
    powers = dict(zip(radios, found.powers.service_dbm.tolist(), strict=True))
    assert (powers["A-C1"], rest.answered_db[radios.index("A-C1")]) == (14.0, 11.0)
    inside, cell = rest.between.in_channel_dbm, rest.between.cell
    for hop in ("C1", "C2"):
        n = found.hops.row[hop]
        for hears, sends, level in (
            (found.hops.access_point[n], found.hops.station[n], found.up.rx_level_dbm[n]),
            (found.hops.station[n], found.hops.access_point[n], found.down.rx_level_dbm[n]),
        ):
            quiet = NOISE_DBM + found.radios.noise_figure_db[hears] + 3.0
            others = [
                max(
                    float(inside[hears, k])
                    for k in range(len(radios))
                    if cell[k] == one and not math.isnan(inside[hears, k])
                )
                for one in sorted(set(cell.tolist()) - {int(cell[hears]), -1})
                if any(cell[k] == one and not math.isnan(inside[hears, k]) for k in range(len(radios)))
            ]
            floor = 10.0 * math.log10(sum(10.0 ** (dbm / 10.0) for dbm in (quiet, *others)))
            # MCS 4 of these units: -80 dBm against noise of -95 dBm, and 10 dB of margin
            asked = max(floor + 15.0 + 10.0, -55.0)
            sent = found.powers.service_dbm[sends]
            short = asked - (level + sent - min(sent, 24.0))
            if sent < found.powers.full_dbm[sends]:
                assert -1.0 < short < 0.1, (hop, sends)
            else:
                assert short < 3.0
    assert rest.restless == ()


def test_law_and_setting_stay_the_ceiling() -> None:
    rest = rest_of(mill())
    sent, most = rest.numbers.powers.service_dbm, rest.numbers.powers.full_dbm
    known = ~(sent != sent)
    assert (sent[known] <= most[known]).all()
    assert sent[list(rest.numbers.radios.ids).index("A-C1")] == most[list(rest.numbers.radios.ids).index("A-C1")]


def test_where_other_cells_are_far_enough_nothing_is_worked_out_again() -> None:
    site = set_channel(mill(), "A-C2", 116).after
    rest = rest_of(site)
    assert rest.numbers is rest.quiet
    assert not rest.answered_db.any()


def test_fixed_power_answers_nobody() -> None:
    design = mill().design
    radios = tuple(rebuilt(row, row.id, power_mode="fixed") for row in design.radios)
    rest = rest_of(with_fields(mill(), design=with_fields(design, radios=radios)))
    assert rest.numbers is rest.quiet


def test_record_says_what_power_answers_and_explains_it() -> None:
    found = assess(mill(), regions())
    row = found.radio("A-C1")
    assert (row.tx_power_auto_dbm, row.tx_power_answer_db) == (14.0, 11.0)
    (reason,) = Explainer(mill(), found).ask("A-C1", "tx_power_answer_db")
    assert reason.value == 11.0
    assert reason.source == "YATES95"
    names = {part.name for part in reason.inputs}
    assert any("tx_power_full_dbm" in name for name in names)


def test_memo_keeps_nothing_of_a_louder_neighbour() -> None:
    memo, loud = Memo(), mill()
    calm = set_channel(loud, "A-C2", 116).after
    for site in (loud, calm, loud, calm):
        assert assess(site, regions(), memo=memo) == assess(site, regions())


def test_two_cells_at_the_edge_of_hearing_go_round_and_the_channel_ends_it() -> None:
    rest = rest_of(two_hops_beside().site())
    assert set(rest.restless) == {"A0", "S0", "A1", "S1"}
    assert rest_of(two_hops_beside(channel=165).site()).restless == ()


@pytest.mark.parametrize("ahead", [800.0, 2000.0])
def test_farther_away_they_rest(ahead: float) -> None:
    rest = rest_of(two_hops_beside(ahead=ahead).site())
    assert rest.restless == ()


def test_what_rests_one_after_another_is_at_rest_for_all() -> None:
    """Both give way at one moment for ever; asked in turn, the first is loud and the second gives way."""
    import numpy as np

    from survey_app.assess.settling import one_after_another, settled

    def shy(power_dbm: np.ndarray) -> np.ndarray:
        return np.array([5.0, 20.0 - power_dbm[2], 20.0 - power_dbm[1]])

    names, start = ("calm", "left", "right"), np.zeros(3)
    assert settled(names, shy, start).cycle == ("left", "right")
    rest = settled(names, one_after_another(shy, (1, 2)), start)
    assert rest.cycle == ()
    assert rest.power_dbm.tolist() == [5.0, 20.0, 0.0]
    assert shy(rest.power_dbm).tolist() == rest.power_dbm.tolist()

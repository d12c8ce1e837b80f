"""What is kept between assessments: the answers never differ, and only what an edit touches is made anew."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pytest

from survey_app.assess.memo import Fresh, Memo
from survey_app.assess.pipeline import assess
from survey_app.assess.record import Place
from survey_app.assess.same import alike, same
from survey_app.ground.geodesic import direct, inverse, plan_line
from survey_app.ground.plane import Plane, plan_bearing, to_geographic, to_plane, true_bearing
from survey_app.site.edits import move_by, set_channel, set_defaults
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions, load_regions
from tests.assess.test_awkward_sites import later_station
from tests.benchmarks.big_site import big_site
from tests.tools.warm_and_cold import hold_alike, start_sites, walk


@pytest.fixture(scope="module")
def regions() -> Regions:
    return load_regions()


# --- when two inputs cannot be told apart ---


def test_inputs_are_told_apart_by_identity_type_and_every_bit() -> None:
    place = Place(x_m=1.0, y_m=2.0)
    twin = Place(x_m=1.0, y_m=2.0)
    assert same(place, place)
    assert not same(place, twin), "records count by identity: an equal one may hold other parts"
    assert alike(place, twin)
    assert not alike(Place(x_m=0.0, y_m=2.0), Place(x_m=-0.0, y_m=2.0))
    for one, other in ((1, 1.0), (True, 1), (0.0, -0.0), ("1", 1), ((1,), [1]), (None, False), (1.0, np.float64(1.0))):
        assert not same(one, other), (one, other)
    assert same(np.array([np.nan, 0.0]), np.array([np.nan, 0.0]))
    assert not same(np.array([0.0]), np.array([-0.0]))
    assert same({"a": (1, place)}, {"a": (1, place)})
    assert not same({"a": 1, "b": 2}, {"b": 2, "a": 1}), "order counts: sums and lists follow it"


# --- what is read behind glass ---


@dataclass(frozen=True)
class _Stage:
    """A small stage with one of every kind of thing that work reads."""

    limit: float
    names: dict[str, int]
    rows: tuple[str, ...]
    levels: Any

    @property
    def twice(self) -> float:
        return 2.0 * self.limit

    @cached_property
    def by_row(self) -> dict[str, int]:
        return {row: n for n, row in enumerate(self.rows)}

    def name_of(self, key: str) -> int | None:
        return self.names.get(key)


_Stage.__module__ = "survey_app.assess.stage_of_a_test"  # only what belongs to the room is looked into
_FIRST = {"limit": 1.0, "names": {"a": 1, "b": 2}, "rows": ("x", "y"), "levels": np.array([1.0, 2.0, 3.0])}

_WORK = {
    "a field": (lambda s: s.limit, {"limit": 1.5}, {"rows": ("y",)}),
    "a property": (lambda s: s.twice, {"limit": 1.5}, {"names": {}}),
    "a look-up": (lambda s: s.names["a"], {"names": {"a": 5, "b": 2}}, {"names": {"a": 1, "b": 7, "c": 8}}),
    "an absence": (lambda s: s.names.get("z", 0), {"names": {"z": 3}}, {"names": {"y": 3}}),
    "a method": (lambda s: s.name_of("b"), {"names": {"b": 9}}, {"names": {"a": 4, "b": 2}}),
    "whether it is there": (lambda s: "a" in s.names, {"names": {}}, {"names": {"a": 1}}),
    "all of a mapping": (lambda s: sum(s.names.values()), {"names": {"a": 1, "b": 2, "c": 0}}, {"limit": 4.0}),
    "an item": (lambda s: s.rows[0], {"rows": ("z", "y")}, {"rows": ("x", "z", "w")}),
    "all items": (lambda s: list(s.rows), {"rows": ("x",)}, {"levels": np.zeros(3)}),
    "a cached property": (lambda s: s.by_row["y"], {"rows": ("y", "x")}, {"rows": ("w", "y", "x")}),
    "an element": (lambda s: float(s.levels[1]), {"levels": np.array([1.0, 9.0])}, {"levels": np.array([7.0, 2.0])}),
    "picked rows": (
        lambda s: s.levels[[0, 2]].sum(),
        {"levels": np.array([1.0, 2.0, 9.0])},
        {"levels": np.array([1.0, 8.0, 3.0, 4.0])},
    ),
    "a sum": (lambda s: float(np.sum(s.levels)), {"levels": np.array([1.0, 2.0])}, {"limit": 2.0}),
    "arithmetic": (lambda s: (s.levels + 1.0).tolist(), {"levels": np.array([-1.0])}, {"rows": ()}),
}


@pytest.mark.parametrize("what", _WORK)
def test_work_is_done_again_only_when_what_it_read_has_changed(what: str) -> None:
    work, touched, untouched = _WORK[what]
    memo = Memo()

    def ask(**changes: Any) -> tuple[Any, int]:
        memo.start()
        stage = _Stage(**{**_FIRST, **changes})
        (answer,) = memo.watched("stage", stage, ["one"], [()], work)
        assert answer == work(stage), "the glass changes no answer"
        return answer, memo.computed["stage"]

    first, made = ask()
    assert made == 1
    assert ask() == (first, 0)
    assert ask(**untouched) == (first, 0)
    changed, made = ask(**touched)
    assert made == 1
    assert changed != first or what == "all of a mapping"


def test_what_is_handed_in_counts_too() -> None:
    memo = Memo()
    for given, made in (((1,), 1), ((1,), 0), ((1.0,), 1)):
        memo.start()
        memo.watched("stage", _Stage(**_FIRST), ["one"], [given], lambda stage, n: stage.limit + n)
        assert memo.computed["stage"] == made


def test_thing_that_left_is_forgotten() -> None:
    memo = Memo()
    for names, made in ((["a", "b"], 2), (["b"], 0), (["a", "b"], 1)):
        memo.start()
        answers = memo.each("stage", names, names, lambda stale, names=names: [names[n] * 2 for n in stale])
        assert answers == [name * 2 for name in names]
        assert memo.computed["stage"] == made


def test_memo_and_fresh_work_give_one_answer() -> None:
    for worker in (Fresh(), Memo()):
        assert worker.each("s", [1, 2], [1, 2], lambda stale: [n * n for n in stale]) == [0, 1]
        assert worker.watched("s", _Stage(**_FIRST), ["a"], [(2,)], lambda s, n: s.limit * n) == [2.0]
        assert worker.settle("s", ["a"], ["row"]) == ["row"]


# --- an assessment with a memo ---


def _made(memo: Memo, stages: Iterable[str]) -> dict[str, int]:
    return {stage: memo.computed.get(stage, 0) for stage in stages}


def test_moved_pole_of_a_large_site_makes_its_own_hops_and_cells_anew(regions: Regions) -> None:
    site, memo = big_site(4, 9), Memo()
    assess(site, regions, memo=memo)
    assert _made(memo, ("hops", "radios")) == {"hops": 36, "radios": 40}
    # no other cell hears this one: a sector that turns tells all that hear it another level
    moved = move_by(site, "pole-s1-3", dx_m=4.0, dy_m=-3.0).after
    found = assess(moved, regions, memo=memo)
    # its cell has one hop more to aim at: the sector turns, and those of its far ends that lose by it are judged anew
    assert memo.computed["aims"] == 1
    assert 1 <= memo.computed["hops"] <= 9
    assert 2 <= memo.computed["radios"] <= 10
    assert memo.kept["hops"] >= 27
    assert _made(memo, ("wires", "supplies", "tally", "beams")) == {"wires": 0, "supplies": 0, "tally": 0, "beams": 0}
    assert memo.computed["rule cell_full"] <= 1
    hold_alike(found, assess(moved, regions))
    again = assess(moved, regions, memo=memo)
    assert _made(memo, ("hops", "radios", "aims", "findings", "cameras")) == dict.fromkeys(
        ("hops", "radios", "aims", "findings", "cameras"), 0
    )
    assert all(one is other for one, other in zip(again.hops, found.hops, strict=True))


def test_default_of_the_site_reaches_everything_that_reads_it(regions: Regions) -> None:
    site, memo = big_site(2, 3), Memo()
    assess(site, regions, memo=memo)
    stricter = set_defaults(site, interference_rise_db=5.0).after
    hold_alike(assess(stricter, regions, memo=memo), assess(stricter, regions))
    assert memo.computed["hops"] == 6


def test_findings_are_numbered_anew_where_one_comes_in_front(regions: Regions) -> None:
    site, memo = big_site(2, 3), Memo()
    before = assess(site, regions, memo=memo)
    barred = set_channel(site, "radio-a0", 14).after
    after = assess(barred, regions, memo=memo)
    assert {row.id for row in before.findings} != {row.id for row in after.findings}
    assert [row.number for row in after.findings] == list(range(1, len(after.findings) + 1))
    hold_alike(after, assess(barred, regions))


def test_memo_of_another_site_does_no_harm(regions: Regions) -> None:
    memo = Memo()
    for site in (big_site(2, 3), big_site(1, 4, seed=3), big_site(2, 3)):
        hold_alike(assess(site, regions, memo=memo), assess(site, regions))


# the alternatives are their demo site but for a few things
WALKED = {name: start for name, start in start_sites().items() if "alternatives" not in name}


@pytest.mark.parametrize(("name", "start"), WALKED.items(), ids=list(WALKED))
def test_random_edits_give_what_an_assessment_from_nothing_gives(name: str, start: Any, regions: Regions) -> None:
    """The whole walk of 10,000 edits, over the alternatives too: `python -m tests.tools.warm_and_cold`."""
    site: Site = start()
    every = 2 if name == "60 radios" else 3
    assert walk(site, seed=len(name), edits=2 * every, every=every, regions=regions) == 2


# --- elementwise: what stands beside an element does not matter ---


def test_places_and_bearings_are_alike_alone_and_among_others() -> None:
    rnd = np.random.default_rng(5)
    plane = Plane(43.55, -69.6, rotation_deg=17.0)
    x, y = rnd.uniform(-3000.0, 3000.0, 257), rnd.uniform(-3000.0, 3000.0, 257)
    lat, lon = to_geographic(plane, x, y)
    bearing = rnd.uniform(0.0, 360.0, 257)
    work = {
        "to_geographic": lambda i: to_geographic(plane, x[i], y[i]),
        "to_plane": lambda i: to_plane(plane, lat[i], lon[i]),
        "inverse": lambda i: inverse(lat[i], lon[i], lat[0], lon[0]),
        "direct": lambda i: direct(lat[i], lon[i], bearing[i], 10.0),
        "plan_line": lambda i: plan_line(x[i], y[i], x[0], y[0]),
        "plan_bearing": lambda i: (plan_bearing(plane, x[i], y[i], bearing[i]),),
        "true_bearing": lambda i: (true_bearing(plane, x[i], y[i], bearing[i]),),
    }
    for name, run in work.items():
        whole = [np.asarray(part) for part in _columns(run(slice(None)))]
        for n in (0, 1, 7, 128, 255, 256):
            for column, alone in zip(whole, _columns(run(slice(n, n + 1))), strict=True):
                assert column[n].tobytes() == np.asarray(alone)[0].tobytes(), (name, n)


def _columns(found: Any) -> list[Any]:
    values = (
        list(found.__dict__.values()) if hasattr(found, "__dict__") and not isinstance(found, tuple) else list(found)
    )
    return [value for value in values if isinstance(value, np.ndarray)]


def test_counting_what_comes_later_and_not_counting_it_share_a_memo(regions: Regions) -> None:
    site, memo = later_station().site(), Memo()
    for with_later in (False, True, False):
        warm = assess(site, regions, with_later=with_later, memo=memo)
        assert warm == assess(site, regions, with_later=with_later)

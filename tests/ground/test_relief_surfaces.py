"""Heights at points, under outlines and along lines, against interpolation by another route."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, contains_xy

from survey_app.errors import UsageError
from survey_app.ground.relief.profiles import least_clearance
from survey_app.ground.relief.surface import LevelGround
from survey_app.ground.relief.triangles import triangulated
from tests.ground.relief_samples import other_route, rough, spots, turned

SURFACES = {
    "upright": turned(rough(40, 60), at=(0.0, 40.0)),
    "turned": turned(rough(40, 60), turn_deg=27.0, step_m=2.5, at=(-20.0, 60.0)),
    "far": turned(rough(40, 60), turn_deg=-110.0, step_m=1.5, at=(5e5, 6e6)),
    "spots": spots(80),
    "far spots": spots(80, at=(5e5, 6e6)),
}
CENTRES = {"far": (499957.0, 5999968.0), "far spots": (500050.0, 6000050.0)}
EXACT_M = {"far": 1e-6, "far spots": 1e-6}
"""A micrometre where positions have seven digits before the point."""


def _lines(name: str, count: int) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(5)
    middle = np.array(CENTRES.get(name, (40.0, 30.0)))
    return middle + rng.uniform(-50.0, 50.0, (count, 2)), middle + rng.uniform(-50.0, 50.0, (count, 2))


@pytest.mark.parametrize("name", SURFACES)
def test_heights_at_random_points_are_those_of_another_interpolation(name: str) -> None:
    points = np.concatenate(_lines(name, 2000))
    found, expected = SURFACES[name].heights_m(*points.T), other_route(SURFACES[name], points)
    assert np.isfinite(expected).sum() > 500
    assert (np.isnan(found) == np.isnan(expected)).mean() > 0.9995, "only on the very edge the two may differ"
    both = np.isfinite(found) & np.isfinite(expected)
    assert np.abs(found - expected)[both].max() < EXACT_M.get(name, 1e-9)


@pytest.mark.parametrize("name", SURFACES)
def test_profiles_are_the_surface_at_every_place_of_the_line(name: str) -> None:
    start, end = _lines(name, 120)
    profiles = SURFACES[name].profiles(start, end)
    part = np.linspace(0.0, 1.0, 401)
    seen = 0
    for line in range(len(start)):
        dense = start[line] + part[:, None] * (end[line] - start[line])
        found, expected = profiles.at(line, part), other_route(SURFACES[name], dense)
        known = np.isfinite(expected)
        seen += int(known.sum())
        assert (np.isnan(found) != np.isnan(expected)).sum() <= 2, "the two may differ at the edge only"
        both = known & np.isfinite(found)
        assert np.abs(found - expected)[both].max(initial=0.0) < EXACT_M.get(name, 1e-9)
        along = profiles.of(line)[0]
        assert along[0] == 0.0
        assert along[-1] == 1.0
        assert (np.diff(along) >= 0.0).all()
    assert seen > 5000


@pytest.mark.parametrize("name", SURFACES)
def test_line_from_its_other_end_gives_the_same_bits_in_reverse(name: str) -> None:
    start, end = _lines(name, 200)
    there, back = SURFACES[name].profiles(start, end), SURFACES[name].profiles(end, start)
    for line in range(len(start)):
        (part, height, bow), (part_2, height_2, bow_2) = there.of(line), back.of(line)
        assert np.array_equal(height, height_2[::-1], equal_nan=True)
        assert np.array_equal(bow[:-1], bow_2[:-1][::-1], equal_nan=True)
        assert np.allclose(part, 1.0 - part_2[::-1], rtol=0, atol=1e-15)


@pytest.mark.parametrize("name", SURFACES)
def test_answer_for_a_line_does_not_depend_on_the_others(name: str) -> None:
    start, end = _lines(name, 20)
    together = SURFACES[name].profiles(start, end)
    for line in range(len(start)):
        alone = SURFACES[name].profiles(start[line : line + 1], end[line : line + 1])
        for one, other in zip(alone.of(0), together.of(line), strict=True):
            assert np.array_equal(one, other, equal_nan=True)


def test_saddle_is_met_at_its_very_crest() -> None:
    # h = x y / 100 on a cell of 10 m: along y = 10 - x it is x (10 - x) / 100, highest with 0.25 m in the middle
    ground = turned([[0.0, 1.0], [0.0, 0.0]], step_m=10.0, at=(0.0, 10.0))
    profiles = ground.profiles(np.array([[0.0, 10.0]]), np.array([[10.0, 0.0]]))
    assert profiles.height_m.tolist() == [0.0, 0.0]
    assert profiles.bow_m[0] == pytest.approx(0.25, abs=1e-15)
    clearance_m, part = least_clearance(profiles, np.array([0.3]), np.array([0.3]))
    assert clearance_m[0] == pytest.approx(0.05, abs=1e-15)
    assert part[0] == pytest.approx(0.5, abs=1e-15)
    # a ray that rises 0.2 m: h - z = x (10 - x) / 100 - 0.02 x, highest at x = 4 with 0.16 m
    clearance_m, part = least_clearance(profiles, np.array([0.2]), np.array([0.4]))
    assert clearance_m[0] == pytest.approx(0.2 - 0.16, abs=1e-12)
    assert part[0] == pytest.approx(0.4, abs=1e-12)


def test_plane_has_no_bows_and_its_own_height_everywhere() -> None:
    x, y = np.meshgrid(np.arange(30.0), -np.arange(20.0))
    ground = turned(3.0 + 0.1 * x - 0.2 * y)
    profiles = ground.profiles(np.array([[2.3, -1.1]]), np.array([[27.7, -18.2]]))
    where = np.array([2.3, -1.1]) + profiles.part[:, None] * np.array([25.4, -17.1])
    assert np.abs(profiles.bow_m).max() < 1e-12
    assert np.allclose(profiles.height_m, 3.0 + 0.1 * where[:, 0] - 0.2 * where[:, 1], rtol=0, atol=1e-12)
    assert len(profiles.part) == 2 + 25 + 17, "one point for every column and row that it crosses"


def test_ridge_narrower_than_any_step_of_sampling_is_not_missed() -> None:
    rows = np.zeros((11, 1001))
    rows[:, 500] = 7.0
    ground = turned(rows, step_m=0.01)
    profiles = ground.profiles(np.array([[0.0, -0.03]]), np.array([[10.0, -0.08]]))
    clearance_m, part = least_clearance(profiles, np.array([5.0]), np.array([5.0]))
    assert clearance_m[0] == pytest.approx(-2.0, abs=1e-12)
    assert part[0] == pytest.approx(0.5, abs=1e-12)


@pytest.mark.parametrize("name", ["turned", "spots"])
def test_least_clearance_is_what_dense_sampling_comes_near_to(name: str) -> None:
    start, end = _lines(name, 60)
    rng = np.random.default_rng(8)
    high, low, bulge = rng.uniform(5.0, 15.0, 60), rng.uniform(5.0, 15.0, 60), rng.uniform(0.0, 2.0, 60)
    profiles = SURFACES[name].profiles(start, end)
    clearance_m, where = least_clearance(profiles, high, low, bulge)
    part = np.linspace(0.0, 1.0, 20001)
    known = 0
    for line in range(60):
        ground = profiles.at(line, part)
        if np.isnan(ground).any():
            assert np.isnan(clearance_m[line])
            continue
        known += 1
        rest = (1 - part) * high[line] + part * low[line] - ground - 4 * bulge[line] * part * (1 - part)
        assert rest.min() - 1e-2 <= clearance_m[line] <= rest.min() + 1e-12
        assert abs(np.interp(where[line], part, rest) - clearance_m[line]) < 1e-2
    assert known >= 3


OUTLINES = [
    np.array([[10.0, 10.0], [35.0, 12.0], [30.0, 34.0], [20.0, 18.0]]),
    np.array([[31.2, 20.1], [31.4, 20.1], [31.4, 20.3], [31.2, 20.3]]),
    np.array([[12.0, 12.0], [40.0, 30.0], [12.0, 30.0], [40.0, 12.0]]),
]
"""A hollow corner; smaller than a cell; crossing itself."""


@pytest.mark.parametrize("name", ["upright", "turned", "spots"])
@pytest.mark.parametrize("outline", OUTLINES, ids=["hollow", "small", "crossed"])
def test_extremes_under_an_outline_bound_dense_sampling_and_are_reached(name: str, outline: np.ndarray) -> None:
    low_m, high_m = SURFACES[name].extremes_m([outline])[0]
    box = [np.linspace(*pair, 400) for pair in zip(outline.min(axis=0), outline.max(axis=0), strict=True)]
    x, y = (one.ravel() for one in np.meshgrid(*box))
    wholes = [outline]
    if outline is OUTLINES[2]:
        wholes = [np.array([[26.0, 21.0], *outline[[1, 2]]]), np.array([[26.0, 21.0], *outline[[3, 0]]])]
    inside = np.any([contains_xy(Polygon(one), x, y) for one in wholes], axis=0)
    heights = SURFACES[name].heights_m(x[inside], y[inside])
    assert low_m <= heights.min() + 1e-12
    assert high_m >= heights.max() - 1e-12
    assert heights.min() - low_m < 0.4
    assert high_m - heights.max() < 0.4


def test_gap_in_the_grid_is_unknown_and_nothing_beside_it() -> None:
    rows = rough(12, 12)
    rows[5, 5] = np.nan
    ground = turned(rows)
    assert np.isnan(ground.heights_m(5.5, -5.5))
    assert ground.heights_m(5.0, -4.0) == rows[4, 5], "a point of the grid is known although its cell has a gap"
    profiles = ground.profiles(np.array([[1.0, -5.3], [1.0, -2.3]]), np.array([[10.0, -5.3], [10.0, -2.3]]))
    unknown = profiles.at(0, np.linspace(0.0, 1.0, 91))
    assert np.isnan(unknown).sum() == pytest.approx(20, abs=2), "two cells of nine metres"
    assert np.isfinite(profiles.at(1, np.linspace(0.0, 1.0, 91))).all()
    clearance_m, _ = least_clearance(profiles, np.array([50.0, 50.0]), np.array([50.0, 50.0]))
    assert np.isnan(clearance_m[0])
    assert np.isfinite(clearance_m[1])
    assert np.isnan(ground.extremes_m([np.array([[4.0, -4.0], [7.0, -4.0], [7.0, -7.0], [4.0, -7.0]])])).all()


def test_line_along_a_row_beside_a_gap_is_known() -> None:
    rows = rough(6, 6)
    rows[3, 2] = np.nan
    profiles = turned(rows).profiles(np.array([[0.0, -2.0]]), np.array([[5.0, -2.0]]))
    assert profiles.height_m.tolist() == rows[2].tolist()
    assert profiles.bow_m.tolist() == [0.0] * 6


@pytest.mark.parametrize("name", ["upright", "spots"])
def test_outside_is_unknown_and_no_guess(name: str) -> None:
    surface = SURFACES[name]
    assert np.isnan(surface.heights_m([-500.0, np.nan], [0.0, 1.0])).all()
    far = surface.profiles(np.array([[-500.0, 0.0], [np.nan, 0.0]]), np.array([[-400.0, 50.0], [1.0, 1.0]]))
    assert np.isnan(far.height_m[:2]).all()
    assert np.isnan(far.bow_m[0])
    assert np.isnan(far.height_m[far.first[1]])
    reaching_in = surface.profiles(np.array([[-500.0, 20.0]]), np.array([[30.0, 20.0]]))
    assert np.isnan(reaching_in.height_m[0])
    assert np.isfinite(reaching_in.height_m[-1])


@pytest.mark.parametrize("name", ["upright", "spots"])
def test_upright_and_endless_lines_are_no_trouble(name: str) -> None:
    point = np.array([[20.0, 20.0]])
    profiles = SURFACES[name].profiles(point, point)
    assert profiles.part.tolist() == [0.0, 1.0]
    assert profiles.height_m[0] == profiles.height_m[1] == SURFACES[name].heights_m(20.0, 20.0)
    none = SURFACES[name].profiles(np.empty((0, 2)), np.empty((0, 2)))
    assert len(none) == 0
    assert SURFACES[name].extremes_m([]).shape == (0, 2)


def test_line_through_spot_heights_and_along_an_edge() -> None:
    points = np.array([[0.0, 0.0], [10.0, 0.0], [20.0, 0.0], [10.0, 10.0], [10.0, -10.0]])
    ground = triangulated(points, np.array([0.0, 5.0, 2.0, 1.0, 1.0]), "", 0.1)
    along = ground.profiles(points[[0]], points[[2]])
    assert along.part.tolist() == [0.0, 0.5, 1.0]
    assert along.height_m.tolist() == pytest.approx([0.0, 5.0, 2.0], abs=1e-12)
    on_the_border = ground.profiles(np.array([[0.0, 0.0]]), np.array([[10.0, 10.0]]))
    assert on_the_border.height_m.tolist() == pytest.approx([0.0, 1.0], abs=1e-12)


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([[0.0, 0.0], [1.0, 1.0]], "2 spot heights make no surface"),
        ([[0.0, 0.0], [1.0, 1.0], [2.0, 2.0], [7.0, 7.0]], "all spot heights lie on one line"),
        ([[5e5, 6e6], [5e5 + 1, 6e6 + 1], [5e5 + 2, 6e6 + 2]], "all spot heights lie on one line"),
        ([[0.0, 0.0], [9.0, 1.0], [2.0, 8.0], [9.0, 1.0]], "spot heights 2 and 4 stand at one place (9.000, 1.000)"),
        ([[0.0, 0.0], [9.0, 1.0], [2.0, np.nan]], "a spot height has no place on the plan"),
    ],
)
def test_spot_heights_that_make_no_surface_are_refused_in_one_sentence(points: list[list[float]], words: str) -> None:
    with pytest.raises(UsageError) as refused:
        triangulated(np.array(points), np.zeros(len(points)), "", 0.1)
    assert words in refused.value.sentence()
    assert refused.value.remedy


def test_level_ground_is_level_and_unknown_ground_unknown() -> None:
    start, end = np.zeros((3, 2)), np.ones((3, 2))
    assert (
        least_clearance(LevelGround(2.0, "").profiles(start, end), np.full(3, 5.0), np.full(3, 4.0))[0].tolist()
        == [2.0] * 3
    )
    unknown = LevelGround(np.nan, "")
    assert np.isnan(least_clearance(unknown.profiles(start, end), np.full(3, 5.0), np.full(3, 4.0))[0]).all()
    assert np.isnan(unknown.extremes_m([np.zeros((3, 2))])).all()


CELLS = st.integers(2, 6)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_profile_of_any_lattice_and_line_agrees_with_heights_at_its_points(data: st.DataObject) -> None:
    rows, columns = data.draw(CELLS), data.draw(CELLS)
    # whole and half steps: lines along rows, through points and along borders come up all the time
    heights = data.draw(st.lists(st.integers(-4, 4), min_size=rows * columns, max_size=rows * columns))
    place = st.integers(-3, 14).map(lambda n: n / 2.0)
    ends = np.array(data.draw(st.tuples(place, place, place, place)))
    ground = turned(np.array(heights, dtype=float).reshape(rows, columns), at=(0.0, rows - 1.0))
    profiles = ground.profiles(ends[None, :2], ends[None, 2:])
    part = np.linspace(0.0, 1.0, 33)
    dense = ends[:2] + part[:, None] * (ends[2:] - ends[:2])
    found, expected = profiles.at(0, part), ground.heights_m(*dense.T)
    off = np.isnan(found) != np.isnan(expected)
    # on the border itself rounding decides on which side a place lies
    border = np.abs(dense - np.clip(dense, 0.0, [columns - 1.0, rows - 1.0])).max(axis=1) < 1e-9
    assert not (off & ~border).any()
    both = np.isfinite(found) & np.isfinite(expected)
    assert np.abs(found - expected)[both].max(initial=0.0) < 1e-9


@settings(max_examples=60, deadline=None)
@given(st.floats(-30.0, 30.0), st.floats(-5.0, 5.0), st.integers(0, 10_000))
def test_raising_the_ground_lowers_the_clearance_by_as_much(lift_m: float, slope_m: float, seed: int) -> None:
    rows = rough(8, 8, seed)
    start, end = np.array([[0.3, -0.2]]), np.array([[6.8, -6.9]])
    before, _ = least_clearance(turned(rows).profiles(start, end), np.array([40.0]), np.array([40.0 + slope_m]))
    after, _ = least_clearance(turned(rows + lift_m).profiles(start, end), np.array([40.0]), np.array([40.0 + slope_m]))
    assert after[0] == pytest.approx(before[0] - lift_m, abs=1e-9)

"""What many rays cross, held against a geometry library, exact fractions and a fine walk along the ray."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from survey_app.ground.ray import GRAZE_M, Family, crossings, ray_index
from tests.bodies import sight_lines, solids, town

LEVEL_10 = [(0.0, 0.0, 10.0)]
DOWN = -np.inf
SQUARE = np.array([(40.0, -10.0), (60.0, -10.0), (60.0, 10.0), (40.0, 10.0)])

numbers = st.floats(-200, 200).map(lambda value: round(value, 3))
heights = st.floats(0, 30).map(lambda value: round(value, 3))
points = st.tuples(numbers, numbers, heights)
radii = st.lists(st.floats(4, 60), min_size=3, max_size=12)


def _star(centre, lengths, turn):
    angle = turn + 2 * np.pi * np.arange(len(lengths)) / len(lengths)
    return np.asarray(centre) + np.asarray(lengths)[:, None] * np.column_stack((np.sin(angle), np.cos(angle)))


stars = st.builds(_star, st.tuples(numbers, numbers), radii, st.floats(0, 6))


@st.composite
def courts(draw):
    """A star with a smaller one within as its hole, if it has room."""
    outline = draw(stars)
    hole = outline.mean(axis=0) + 0.3 * (outline - outline.mean(axis=0))
    return (
        [outline, hole]
        if draw(st.booleans()) and shapely.Polygon(outline).contains(shapely.Polygon(hole))
        else [outline]
    )


def _found(bodies, start, end):
    return crossings(ray_index(bodies), [start], [end])


def _spans(found):
    return list(zip(found.body.tolist(), found.enter.tolist(), found.leave.tolist(), strict=True))


@given(points, points, st.lists(courts(), min_size=1, max_size=4))
@settings(max_examples=150, deadline=None)
def test_spans_are_those_of_the_geometry_library(start, end, outlines):
    length = float(np.hypot(end[0] - start[0], end[1] - start[1]))
    assume(length > 0.01)
    found = _found(solids([(rings, LEVEL_10, DOWN) for rings in outlines]), start, end)
    line = shapely.LineString([start[:2], end[:2]])
    for n, rings in enumerate(outlines):
        area = shapely.Polygon(rings[0], rings[1:])
        away = shapely.distance(shapely.points(np.concatenate(rings)), line).min()
        assume(away > 1e-5)
        parts = [part for part in shapely.get_parts(line.intersection(area)) if part.length > 0.0]
        at = [shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(part)[[0, -1]])) for part in parts]
        ends = sorted(tuple(sorted(one.tolist())) for one in at)
        mine = [(a * length, b * length) for body, a, b in _spans(found) if body == n]
        assert np.ravel(mine) == pytest.approx(np.ravel([one for one in ends if one[1] - one[0] > GRAZE_M]), abs=1e-7)


@given(points, points, st.lists(courts(), min_size=1, max_size=4), st.tuples(*[st.floats(-0.5, 0.5)] * 2))
@settings(max_examples=150, deadline=None)
def test_reversed_ray_gives_the_same_bits_mirrored(start, end, outlines, slope):
    bodies = solids(
        [(rings, [(*slope, 9.0), (-slope[0], 0.1, 12.0)], 1.0) for rings in outlines],
        uprights=[(10.0, 20.0, 0.0, 25.0, 3.0, 1.0)],
        wires=[(-200.0, 3.0, 8.0, 200.0, -7.0, 9.0)],
    )
    there, back = _found(bodies, start, end), _found(bodies, end, start)
    rows = {(f, b, 1 - v, 1 - e, ol, oe, low, 1 - t, 1 - i, -s) for f, b, e, v, oe, ol, low, i, t, s in _rows(back)}
    assert rows == set(_rows(there))


def _rows(found):
    numbers = (found.enter, found.leave, found.over_enter_m, found.over_leave_m, found.over_least_m)
    inside = (np.nan_to_num(found.inside_from, nan=0.5), np.nan_to_num(found.inside_to, nan=0.5))
    columns = (found.family, found.body, *numbers, *inside, found.side)
    return list(zip(*(column.tolist() for column in columns), strict=True))


planes = st.lists(st.tuples(st.floats(-1, 1), st.floats(-1, 1), st.floats(2, 25)), min_size=1, max_size=4)


@given(points, points, planes, st.sampled_from([DOWN, 3.0]))
@settings(max_examples=200, deadline=None)
def test_slanting_tops_are_cut_as_exact_half_spaces_are(start, end, tops, underside):
    """Each wall, plane and the underside cuts the ray; all in fractions of whole numbers."""
    outline = np.array([(-50.0, -30.0), (40.0, -45.0), (60.0, 50.0), (-20.0, 40.0)])
    found = _found(solids([([outline], tops, underside)]), start, end)
    s, d = [Fraction(v) for v in start], [Fraction(b) - Fraction(a) for a, b in zip(start, end, strict=True)]
    corners = [(Fraction(x), Fraction(y)) for x, y in outline.tolist()]
    walls = []
    for (ax, ay), (bx, by) in zip(corners, corners[1:] + corners[:1], strict=True):
        ex, ey = bx - ax, by - ay
        walls.append((ey * (s[0] - ax) - ex * (s[1] - ay), ey * d[0] - ex * d[1]))
    x0, y0 = corners[0]
    over = []
    for a, b, c in [tuple(map(Fraction, top)) for top in tops]:
        over.append((s[2] - c - a * (s[0] - x0) - b * (s[1] - y0), d[2] - a * d[0] - b * d[1]))
    under = [] if underside == DOWN else [(Fraction(underside) - s[2], -d[2])]
    plan = _cut(walls)
    length = float(np.linalg.norm(np.subtract(end, start)))
    if plan is None or (plan[1] - plan[0]) * length < 1e-5:
        assert len(found) <= 1
        return
    assert (found.enter[0], found.leave[0]) == pytest.approx(tuple(map(float, plan)), abs=1e-12)

    def height(part):
        return max(at + part * growth for at, growth in over)

    meets = [(q - p) / (g - h) for p, g in over for q, h in over if g != h]
    least = min(height(part) for part in [*plan, *(m for m in meets if plan[0] < m < plan[1])])
    expected = [float(height(plan[0])), float(height(plan[1])), float(least)]
    got = [found.over_enter_m[0], found.over_leave_m[0], found.over_least_m[0]]
    assert got == pytest.approx(expected, abs=1e-9)
    within = _cut(walls + over + under)
    if within is not None and (within[1] - within[0]) * length > 1e-4:
        assert (found.inside_from[0], found.inside_to[0]) == pytest.approx(tuple(map(float, within)), abs=1e-9)
    elif within is None:
        assert np.isnan(found.inside_from[0])


def _cut(half_spaces):
    """Return between which parts all of `at + part * growth < 0` hold."""
    low, high = Fraction(0), Fraction(1)
    for at, growth in half_spaces:
        if growth > 0:
            high = min(high, -at / growth)
        elif growth < 0:
            low = max(low, -at / growth)
        elif at >= 0:
            return None
    return (low, high) if low < high else None


@given(points, points, st.tuples(*[st.floats(0.05, 30)] * 2), st.floats(-5, 10), st.floats(1, 30))
@settings(max_examples=200, deadline=None)
def test_tapered_upright_holds_the_ray_between_entry_and_exit_only(start, end, wide, foot, tall):
    start, end = np.array(start), np.array(end)
    assume(np.linalg.norm(end - start) > 0.1)
    found = _found(solids(uprights=[(5.0, -3.0, foot, foot + tall, *wide)]), start, end)
    part = np.linspace(0.0, 1.0, 2001)
    at = start + part[:, None] * (end - start)
    up = (at[:, 2] - foot) / tall
    radius = wide[0] + (wide[1] - wide[0]) * up
    margin = np.minimum(radius - np.hypot(at[:, 0] - 5.0, at[:, 1] + 3.0), np.minimum(up, 1.0 - up) * tall)
    within = np.zeros(len(part), bool)
    for a, b in zip(found.inside_from, found.inside_to, strict=True):
        within |= (part >= a) & (part <= b)
    assert not within[margin < -1e-6].any()
    if (margin > 1e-4).sum() > 2:
        assert within[margin > 1e-4].all()


def test_wire_is_crossed_at_its_place_with_the_height_over_it():
    bodies = solids(wires=[(30.0, -10.0, 5.0, 30.0, 30.0, 9.0), (70.0, 1.0, 5.0, 70.0, 9.0, 5.0)])
    found = _found(bodies, (0.0, 0.0, 10.0), (100.0, 0.0, 20.0))
    assert found.family.tolist() == [Family.WIRE]
    assert (found.enter[0], found.leave[0], found.over_enter_m[0]) == pytest.approx((0.3, 0.3, 13.0 - 6.0))


def test_rows_come_along_the_ray_and_know_their_thing():
    row = [([SQUARE + np.array((shift, 0.0))], LEVEL_10, DOWN) for shift in (200.0, 0.0, 100.0)]
    found = _found(solids(row, uprights=[(130.0, 0.5, 0.0, 20.0, 1.0, 1.0)]), (0.0, 0.0, 5.0), (400.0, 0.0, 5.0))
    assert found.thing.tolist() == [1, 3, 2, 0]
    assert found.start.tolist() == [0, 4]
    back = _found(solids(row, uprights=[(130.0, 0.5, 0.0, 20.0, 1.0, 1.0)]), (400.0, 0.0, 5.0), (0.0, 0.0, 5.0))
    assert back.thing.tolist() == [0, 2, 3, 1]


def test_courtyard_parts_the_span_and_self_crossing_outline_counts_odd():
    court = np.array([(45.0, -5.0), (55.0, -5.0), (55.0, 5.0), (45.0, 5.0)])
    found = _found(solids([([SQUARE, court], LEVEL_10, DOWN)]), (0.0, 1.0, 5.0), (100.0, 1.0, 5.0))
    assert np.ravel(_spans(found)) == pytest.approx([0, 0.40, 0.45, 0, 0.55, 0.60])
    bow = np.array([(40.0, -10.0), (60.0, 10.0), (60.0, -10.0), (40.0, 10.0)])
    found = _found(solids([([bow], LEVEL_10, DOWN)]), (50.0, -20.0, 5.0), (50.1, 20.0, 5.0))
    assert len(found) == 0 or (found.leave - found.enter).max() * 40.0 < 0.2


def test_ray_along_a_wall_only_touches_on_the_side_that_it_says():
    bodies = solids([([SQUARE], LEVEL_10, DOWN)])
    over, under = (
        _found(bodies, (0.0, 10.0, 5.0), (100.0, 10.0, 5.0)),
        _found(bodies, (0.0, -10.0, 5.0), (100.0, -10.0, 5.0)),
    )
    assert over.side.tolist() == [-1]
    assert under.side.tolist() == [1]
    assert _found(bodies, (100.0, 10.0, 5.0), (0.0, 10.0, 5.0)).side.tolist() == [1]
    assert (over.enter[0], over.leave[0]) == pytest.approx((0.4, 0.6))


def test_ray_through_a_corner_and_duplicate_points_is_one_span():
    diamond = np.array([(40.0, 0.0), (40.0, 0.0), (50.0, 10.0), (60.0, 0.0), (60.0, 0.0), (50.0, -10.0)])
    found = _found(solids([([diamond], LEVEL_10, DOWN)]), (0.0, 0.0, 5.0), (100.0, 0.0, 5.0))
    assert found.side.tolist() == [0]
    assert (found.enter[0], found.leave[0]) == pytest.approx((0.4, 0.6), abs=1e-7)


def test_upright_ray_is_over_all_of_a_footprint_or_none_and_a_point_over_nothing():
    bodies = solids([([SQUARE], LEVEL_10, DOWN)], uprights=[(0.0, 0.0, 0.0, 8.0, 1.0, 0.2)])
    found = _found(bodies, (50.0, 0.0, 2.0), (50.0, 0.0, 18.0))
    assert (found.enter[0], found.leave[0], found.inside_from[0], found.inside_to[0]) == (0.0, 1.0, 0.0, 0.5)
    found = _found(bodies, (0.6, 0.0, 2.0), (0.6, 0.0, 18.0))
    # where the taper has come down to 0.6 m: half way up
    assert found.family.tolist() == [Family.UPRIGHT]
    assert found.inside_to[0] == pytest.approx((4.0 - 2.0) / 16.0)
    assert len(_found(bodies, (40.0, 0.0, 2.0), (40.0, 0.0, 18.0))) == 0
    assert len(_found(bodies, (50.0, 0.0, 2.0), (50.0, 0.0, 2.0))) == 0


def test_ray_that_is_not_known_has_no_rows_and_is_said():
    bodies = solids([([SQUARE], LEVEL_10, DOWN)])
    start = np.array([(0.0, 0.0, 5.0), (np.nan, 0.0, 5.0), (0.0, 0.0, 5.0), (0.0, 0.0, 5.0)])
    end = np.array([(100.0, 0.0, 5.0), (100.0, 0.0, 5.0), (100.0, np.inf, 5.0), (100.0, 0.0, np.nan)])
    found = crossings(ray_index(bodies), start, end)
    assert found.usable.tolist() == [True, False, False, False]
    assert found.ray.tolist() == [0]
    with pytest.raises(ValueError, match="one shape"):
        crossings(ray_index(bodies), start, end[:2])


def test_nothing_stands_in_an_empty_site():
    assert len(_found(solids(), (0.0, 0.0, 5.0), (100.0, 0.0, 5.0))) == 0


def test_outline_of_ten_thousand_corners_is_crossed_as_the_geometry_library_has_it():
    turn = np.linspace(0.0, 2.0 * np.pi, 10_000, endpoint=False)
    rough = (300.0 + 20.0 * np.sin(401.0 * turn))[:, None] * np.column_stack((np.cos(turn), np.sin(turn)))
    area = shapely.Polygon(rough)
    start, end = sight_lines(20, 0.0, 5.0, 800.0, seed=5)
    middle = np.array((400.0, 400.0, 0.0))
    start, end = start - middle, end - middle
    found = crossings(ray_index(solids([([rough], LEVEL_10, DOWN)])), start, end)
    length = np.hypot(*(end - start)[:, :2].T)
    inside = np.bincount(found.ray, (found.leave - found.enter), len(start)) * length
    expected = shapely.length(shapely.intersection(shapely.linestrings(np.stack((start, end), axis=1)[:, :, :2]), area))
    assert inside == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize(
    ("turn", "shift"), [(0.7, (0.0, 0.0)), (0.0, (500_000.0, -500_000.0)), (2.4, (-3_000.0, 8_000.0))]
)
def test_turned_and_moved_site_has_the_same_crossings(turn, shift):
    rings, tops = town(60, 300.0, seed=3)
    start, end = sight_lines(25, 2.0, 25.0, 300.0)

    def moved(at):
        c, s = np.cos(turn), np.sin(turn)
        plan = at[:, :2] @ np.array([(c, s), (-s, c)]) + shift
        return np.column_stack((plan, at[:, 2:]))

    here = crossings(
        ray_index(solids([([r], [(0.0, 0.0, t)], DOWN) for r, t in zip(rings, tops, strict=True)])), start, end
    )
    away = solids([([moved(r)], [(0.0, 0.0, t)], DOWN) for r, t in zip(rings, tops, strict=True)])
    there = crossings(ray_index(away), moved(start), moved(end))
    assert here.body.tolist() == there.body.tolist()
    for one, other in ((here.enter, there.enter), (here.leave, there.leave), (here.over_least_m, there.over_least_m)):
        assert other == pytest.approx(one, abs=1e-7)
    assert (np.isnan(here.inside_from) == np.isnan(there.inside_from)).all()

"""A plan that goes on from the one before an edit is, shape for shape, the one that is made from nothing."""

from __future__ import annotations

import random
from functools import lru_cache

import numpy as np
import pytest

from survey_app.assess.memo import Memo
from survey_app.assess.pipeline import assess
from survey_app.drawing.labels import Placer
from survey_app.drawing.plat.plat import Plat, plat
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.shapes import Strokes
from survey_app.errors import SurveyError
from survey_app.ground.place import place
from survey_app.site.edits import duplicate, move_by, remove, set_height, set_status
from survey_app.site.site import Site
from survey_app.spectrum.regions import load_regions
from tests.benchmarks.big_site import drawn_site
from tests.drawing.plat_sites import demo_scene, view_of

_MOVES = ("structures", "mounts", "landmarks", "notes", "waters")


@lru_cache(maxsize=1)
def town() -> PlatScene:
    site = drawn_site(12, 40)
    return PlatScene(site, place(site), assess(site, load_regions()))


def scene_of(name: str) -> PlatScene:
    return town() if name == "town" else demo_scene(name)


def edited(site: Site, rnd: random.Random) -> Site:
    """Return the site after one edit that was accepted, the same site where it was refused."""
    design = site.design
    movable = [row.id for name in _MOVES for row in getattr(design, name) if not row.locked]
    one = rnd.choice(movable)
    radio = rnd.choice(design.radios).id
    try:
        kind = rnd.randrange(8)
        if kind < 4:
            return move_by(site, one, dx_m=rnd.uniform(-9.0, 9.0), dy_m=rnd.uniform(-9.0, 9.0)).after
        if kind == 4:
            return remove(site, one, cascade=True).after
        if kind == 5:
            return duplicate(site, [one], 7.0, -4.0).after
        if kind == 6:
            return set_status(site, radio, status=rnd.choice(("existing", "hung", "planned"))).after
        return set_height(site, rnd.choice(design.mounts).id, rnd.uniform(3.0, 9.0)).after
    except SurveyError:
        return site


def same(a: object, b: object) -> bool:
    if isinstance(a, Strokes) and isinstance(b, Strokes):
        alike = a.role is b.role and a.filled == b.filled
        return alike and np.array_equal(a.points, b.points) and np.array_equal(a.joined, b.joined)
    return type(a) is type(b) and a == b


def assert_same(one: Plat, two: Plat) -> None:
    assert len(one.shapes) == len(two.shapes)
    assert [(a, b) for a, b in zip(one.shapes, two.shapes, strict=True) if not same(a, b)] == []
    assert one.words_boxes == two.words_boxes
    assert one.flags == two.flags


@pytest.mark.parametrize(("name", "px_per_m"), [("boatyard", 1.3), ("college", 1.0), ("mill", 2.6), ("town", 0.9)])
def test_plan_after_random_edits_is_that_of_a_fresh_scene(name, px_per_m):
    rnd = random.Random(name)
    first = scene_of(name)
    site, assessment, scene = first.site, first.assessment, first
    memo, rules, view = Memo(), load_regions(), view_of(first, px_per_m)
    plat(scene, view, Wish())
    for step in range(8):
        site = edited(site, rnd)
        fresh = step % 4 == 2
        if fresh:
            assessment = assess(site, rules, memo=memo)
        radios = [radio.id for radio in site.design.radios]
        stale = frozenset(() if fresh or not radios else rnd.sample(radios, 1))
        chosen = (rnd.choice(radios),) if radios and step % 2 else ()
        wish = Wish(selection=chosen, lifted=frozenset(chosen if step == 3 else ()))
        placed = place(site)
        scene = PlatScene(site, placed, assessment, scene, stale=stale)
        assert_same(plat(scene, view, wish), plat(PlatScene(site, placed, assessment, stale=stale), view, wish))


def test_words_that_nothing_changed_are_not_looked_for_again():
    first = town()
    view = view_of(first, 0.9)
    # flags of a site without a survey crowd so that one pushes the next
    wish = Wish(frozenset(("flags",)))
    plat(first, view, wish)
    known = first.store.placer_of(view)
    assert known is not None
    assert known.found > 40
    site = move_by(first.site, "pole-A10", dx_m=2.0, dy_m=0.0).after
    after = PlatScene(site, place(site), first.assessment, first)
    plat(after, view, wish)
    again = after.store.placer_of(view)
    assert again is not None
    assert 0 < again.found < known.found / 2


def test_placer_of_another_view_is_not_taken():
    first = town()
    view = view_of(first, 0.9)
    plat(first, view, Wish())
    x0, y0, x1, y1 = view.window_m
    assert (
        first.store.placer_of(PlatView((x0 + 1.0, y0, x1 + 1.0, y1), view.px_per_m, view.px_per_mm, view.tier)) is None
    )
    assert Placer(10.0, 10.0, first.store.placer_of(view)).found == 0

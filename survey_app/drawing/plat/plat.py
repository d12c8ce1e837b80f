"""The plan of a site in one view."""

from __future__ import annotations

from dataclasses import dataclass, replace

from survey_app.drawing.plat.cameras import draw_cameras, shown_cameras
from survey_app.drawing.plat.ground import draw_areas, shown_areas
from survey_app.drawing.plat.heard import draw_heard
from survey_app.drawing.plat.hops import HopLines, shown_hops
from survey_app.drawing.plat.labelling import Flagged, Labelling, WordsBox
from survey_app.drawing.plat.layout import Layout
from survey_app.drawing.plat.lines import Stack
from survey_app.drawing.plat.marks import Mark, box_places, draw_marks, draw_wires, marks
from survey_app.drawing.plat.relief import draw_relief, name_relief
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.plat.wedges import draw_wedges
from survey_app.drawing.shapes import Shape

__all__ = ["Plat", "plat", "plat_lines", "things_shapes"]


@dataclass(frozen=True, slots=True)
class Plat:
    """A drawn plan.

    Attributes
    ----------
    shapes : tuple of Shape
        Low to high, labels and flags included.
    words_boxes : tuple of WordsBox
        Where words stand and whose they are.
    flags : tuple of Flagged
        Where the flags of findings stand. [m]
    """

    shapes: tuple[Shape, ...]
    words_boxes: tuple[WordsBox, ...]
    flags: tuple[Flagged, ...]


def plat(scene: PlatScene, view: PlatView, wish: Wish) -> Plat:
    """Draw everything that meets a window, with its words and flags."""
    return _drawn(scene, view, scene.lifting(wish), None)


def plat_lines(scene: PlatScene, view: PlatView, wish: Wish) -> tuple[Shape, ...]:
    """Draw everything that meets a window but words and flags: what a zoom in progress needs."""
    stack = Stack(view.window_m, view.mm_per_m)
    _lines(stack, scene, view, scene.lifting(wish), None)
    return stack.done()


def things_shapes(scene: PlatScene, view: PlatView, wish: Wish, ids: frozenset[str]) -> tuple[Shape, ...]:
    """Draw only some things with all that hangs on them, hops and words included, whatever was lifted.

    Flags are left out: what moves has no findings until it rests.
    """
    only = scene.hanging(ids)
    bare = replace(wish, hidden=wish.hidden | {"flags"}, lifted=frozenset(), kept_free=(), every_shadow=False)
    return _drawn(scene.part(only), view, bare, only).shapes


def _lines(
    stack: Stack, scene: PlatScene, view: PlatView, wish: Wish, ids: frozenset[str] | None
) -> tuple[Layout, HopLines, list[Mark]]:
    layout = scene.layout(view.mm_per_m, view.tier)
    draw_relief(stack, scene, view, wish, ids)
    draw_areas(stack, scene, view, wish, shown_areas(scene, view, wish, ids))
    draw_wedges(stack, scene, layout, view, wish, ids)
    hops = shown_hops(scene, layout, view, wish, ids)
    hops.draw(stack, view, wish.silent)
    if ids is None:
        draw_heard(stack, layout, wish, view.mm_per_m)
    drawn = marks(scene, layout, view, wish, ids)
    boxes = box_places(scene, drawn)
    draw_wires(stack, scene, layout, view, wish, boxes, ids)
    draw_cameras(stack, scene, layout, view, wish, ids)
    draw_marks(stack, scene, layout, view, drawn)
    return layout, hops, drawn


def _drawn(scene: PlatScene, view: PlatView, wish: Wish, ids: frozenset[str] | None) -> Plat:
    stack = Stack(view.window_m, view.mm_per_m)
    layout, hops, drawn = _lines(stack, scene, view, wish, ids)
    # a part of a site is drawn for itself: its words would be no help to those of the whole
    whole = ids is None
    labels = Labelling(stack, scene, layout, view, wish, scene.store.placer_of(view) if whole else None)
    labels.take(drawn, hops, shown_cameras(layout, view, wish, ids), shown_areas(scene, view, wish, ids))
    labels.place(ids)
    if whole:
        name_relief(labels)
        scene.store.keep_placer(view, labels.placer)
    return Plat(stack.done(), tuple(labels.boxes), tuple(labels.flags))

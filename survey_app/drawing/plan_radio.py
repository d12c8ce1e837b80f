"""The radio part of a plan: hops, limits of the beam, the aim and the turn to it."""

from __future__ import annotations

import math

from survey_app.drawing.labels import Box, Placed
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.plan_scene import PlanEnd, PlanHop
from survey_app.drawing.plan_view import PlanView
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Point, Symbol
from survey_app.drawing.symbols import access_point, arrow_head, relay, station

__all__ = ["draw_radio"]

_AIM_WORDS_MM = 2.5
_SMALL_ID_MM = 2.5


def draw_radio(view: PlanView) -> None:
    """Draw hops, limits, aim, sight to the landmark and the radios themselves."""
    _take_symbols(view)
    _hops(view)
    _limits(view)
    _aim_and_sight(view)
    _ends(view)


def _take_symbols(view: PlanView) -> None:
    for end in (view.scene.radio, *(hop.far for hop in view.scene.hops)):
        view.placer.take(Box(*view.mm(end.at), 2.4, 2.4))


def _edges(view: PlanView, hop: PlanHop) -> tuple[Point, Point]:
    """Return a hop's line between the edges of the symbols. [mm]"""
    a, b = view.mm(view.scene.radio.at), view.mm(hop.far.at)
    length = math.hypot(b[0] - a[0], b[1] - a[1])
    if length < 6.0:
        return a, b
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    return (a[0] + 2.4 * ux, a[1] + 2.4 * uy), (b[0] - 2.4 * ux, b[1] - 2.4 * uy)


def _hops(view: PlanView) -> None:
    alone = len(view.scene.hops) == 1 and view.scene.aim_deg is not None
    for hop in view.scene.hops:
        a, b = _edges(view, hop)
        view.placer.take_line(a, b, 0.4)
        if alone and hop.cut_at is None:
            continue
        if hop.cut_at is not None:
            _cut_hop(view, a, b, hop.cut_at)
        elif hop.checked:
            view.low.append(view.line(Role.HOP_THIN, a, b))
        else:
            length = math.hypot(b[0] - a[0], b[1] - a[1]) or 1.0
            nx, ny = -(b[1] - a[1]) / length * 0.45, (b[0] - a[0]) / length * 0.45
            for s in (1.0, -1.0):
                view.low.append(
                    view.line(Role.HOP_UNCHECKED, (a[0] + s * nx, a[1] + s * ny), (b[0] + s * nx, b[1] + s * ny))
                )


def _cut_hop(view: PlanView, a: Point, b: Point, cut_at: float) -> None:
    length = math.hypot(b[0] - a[0], b[1] - a[1])
    if length < 10.0:
        view.low.append(view.line(Role.HOP_BEHIND_CUT, a, b))
        return
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    at = min(max(cut_at * length, 4.0), length - 4.0)
    first, second = at - 1.6, at + 1.6
    view.low.append(view.line(Role.HOP_THIN, a, (a[0] + ux * first, a[1] + uy * first)))
    view.low.append(view.line(Role.HOP_BEHIND_CUT, (a[0] + ux * second, a[1] + uy * second), b))
    for reach in (first, second):
        x, y = a[0] + ux * reach, a[1] + uy * reach
        view.low.append(view.line(Role.HOP_THIN, (x - uy * 1.3, y + ux * 1.3), (x + uy * 1.3, y - ux * 1.3)))


def _limits(view: PlanView) -> None:
    scene = view.scene
    if scene.limit_deg is None or scene.aim_deg is None:
        return
    start = view.mm(scene.radio.at)
    for side in (-scene.limit_deg, scene.limit_deg):
        edge = view.to_edge(scene.aim_deg + side, start)
        view.low.append(view.line(Role.LIMIT, start, edge))
        view.placer.avoid_line(start, edge)


def _aim_and_sight(view: PlanView) -> None:
    scene = view.scene
    if scene.aim_deg is None:
        return
    start = view.mm(scene.radio.at)
    ux, uy = math.sin(math.radians(scene.aim_deg)), math.cos(math.radians(scene.aim_deg))
    reach = _aim_reach(view, start)
    tip = (start[0] + ux * reach, start[1] + uy * reach)
    foot = (start[0] + ux * 2.4, start[1] + uy * 2.4)
    if reach > 8.0:
        neck = (tip[0] - ux * 4.0, tip[1] - uy * 4.0)
        view.high.append(view.line(Role.AIM, foot, neck))
        head = arrow_head((0.0, 0.0), scene.aim_deg, 5.2, 1.7)
        view.high.append(Symbol("aim", view.m(*tip), (head,)))
        view.placer.take_line(foot, tip, 1.2)
    _landmark(view, start, reach)
    placed = view.placer.along_line(foot, tip, scene.aim_words, _AIM_WORDS_MM, 1.9)
    view.words(placed, scene.aim_words, _AIM_WORDS_MM, bold=True)


def _aim_reach(view: PlanView, start: Point) -> float:
    scene = view.scene
    if len(scene.hops) == 1:
        end = view.mm(scene.hops[0].far.at)
        return max(math.hypot(end[0] - start[0], end[1] - start[1]) - 2.8, 0.0)
    edge = view.to_edge(scene.aim_deg or 0.0, start)
    return min(math.hypot(edge[0] - start[0], edge[1] - start[1]) - 4.0, 44.0)


def _landmark(view: PlanView, start: Point, reach: float) -> None:
    scene = view.scene
    mark = scene.landmark
    if mark is None or scene.aim_deg is None:
        return
    edge = view.to_edge(mark.bearing_deg, start)
    room = math.hypot(edge[0] - start[0], edge[1] - start[1])
    ux, uy = math.sin(math.radians(mark.bearing_deg)), math.cos(math.radians(mark.bearing_deg))
    if room < 3.5:
        return
    neck = (start[0] + ux * (room - 1.0), start[1] + uy * (room - 1.0))
    view.high.append(view.line(Role.SIGHT, (start[0] + ux * 2.4, start[1] + uy * 2.4), neck))
    view.high.append(Symbol("to landmark", view.m(*edge), (arrow_head((0.0, 0.0), mark.bearing_deg, 3.6, 1.1),)))
    view.placer.avoid_line(start, edge)
    radius = min(26.0, max(10.0, reach * 0.45))
    if radius * math.radians(abs(mark.turn_deg)) < 4.0:
        return
    centre = scene.radio.at
    view.high.append(Arc(Role.TURN, centre, radius / view.scale, mark.bearing_deg, mark.turn_deg))
    lead = 2.2 / radius * 57.3 * (1 if mark.turn_deg >= 0 else -1)
    heading = scene.aim_deg + (90.0 if mark.turn_deg >= 0 else -90.0) - lead / 2
    px, py = math.sin(math.radians(scene.aim_deg)), math.cos(math.radians(scene.aim_deg))
    tip = (start[0] + px * radius, start[1] + py * radius)
    view.high.append(Symbol("turn", view.m(*tip), (arrow_head((0.0, 0.0), heading, 2.6, 0.9),)))
    _turn_words(view, start, radius)


def _turn_words(view: PlanView, start: Point, radius: float) -> None:
    """The turn's figure at its arc: inside the angle where there is room, else outside the arc."""
    mark = view.scene.landmark
    if mark is None:
        return
    half_width, half_height = letters_width_mm(mark.turn_words, _AIM_WORDS_MM) / 2.0, _AIM_WORDS_MM / 2.0
    for share, out in (
        (0.5, -5.5),
        (0.5, 5.5),
        (0.3, 5.5),
        (0.7, 5.5),
        (0.3, -5.5),
        (0.7, -5.5),
        (0.5, 9.0),
        (-0.25, 3.0),
    ):
        bearing = math.radians(mark.bearing_deg + share * mark.turn_deg)
        x, y = start[0] + (radius + out) * math.sin(bearing), start[1] + (radius + out) * math.cos(bearing)
        box = Box(x, y, half_width + 0.4, half_height + 0.4)
        if view.placer.free(box):
            view.placer.take(box)
            view.words(Placed(x, y, 0.0), mark.turn_words, _AIM_WORDS_MM, bold=True)
            return


def _ends(view: PlanView) -> None:
    scene = view.scene
    for end in (*(hop.far for hop in scene.hops), scene.radio):
        view.high.append(_symbol(end))
    _id(view, scene.radio, 3.5)
    for hop in scene.hops:
        _id(view, hop.far, 3.5 if len(scene.hops) == 1 else 2.5)


def _id(view: PlanView, end: PlanEnd, height: float) -> None:
    for size in (height, _SMALL_ID_MM):
        for distance in (3.2, 5.5, 8.0):
            placed = view.placer.at_point(view.mm(end.at), end.label, size, distance)
            if placed is not None:
                view.words(placed, end.label, size, bold=True)
                return


def _symbol(end: PlanEnd) -> Symbol:
    if end.role == "access_point":
        return access_point(end.at, end.label)
    if end.role == "relay":
        return relay(end.at, end.bearing_deg or 0.0, end.label)
    return station(end.at, end.bearing_deg or 0.0, end.label)

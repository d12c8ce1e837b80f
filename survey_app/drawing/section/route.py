"""The way of a camera's video to its head end, leg by leg, on a strip."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from survey_app.drawing.letters import cut_line, letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.section.frame import HEAD, NAME, NOTE
from survey_app.drawing.section.lengths import FEET, METRES, Lengths
from survey_app.drawing.shapes import Disc, Drawing, Path, Point, Shape, Symbol, Words
from survey_app.site.site import Design
from survey_app.site.thing import Thing

if TYPE_CHECKING:
    from survey_app.assess.record import HopRow, Leg, RadioRow, RouteRow, WireRow

__all__ = ["RouteLeg", "RouteScene", "route_drawing", "route_scene"]

_LEFT_MM = 4.0
_MBPS = "Mbit/s"


@dataclass(frozen=True)
class RouteLeg:
    """One leg: where it leads, how long it is, what it carries and what it could.

    `load_mbps` is what all cameras over it send in this direction, `carries_mbps` what it can; None = not known.
    """

    kind: Literal["hop", "wire"]
    id: str
    to: str
    length_words: str
    load_mbps: float | None
    carries_mbps: float | None
    is_narrowest: bool


@dataclass(frozen=True)
class RouteScene:
    """The route of one camera."""

    camera: str
    head_end: str
    legs: tuple[RouteLeg, ...]
    demand_mbps: float
    latency_ms: float | None
    is_stale: bool = False

    @property
    def sentence(self) -> str:
        """The route in one line of words."""
        if not self.legs:
            return f"{self.camera} has no way to a head end yet; it sends {self.demand_mbps:.1f} {_MBPS}"
        legs = ", ".join(leg.id for leg in self.legs)
        narrow = next((leg for leg in self.legs if leg.is_narrowest), None)
        words = (
            f"{self.camera} to {self.head_end or 'no head end'} over {legs}; it sends {self.demand_mbps:.1f} {_MBPS}"
        )
        if narrow is not None and narrow.carries_mbps is not None:
            words += f"; narrowest {narrow.id}, {narrow.carries_mbps:.0f} {_MBPS}"
        if self.latency_ms is not None:
            words += f"; {self.latency_ms:.1f} ms"
        return words


def route_scene(
    design: Design,
    things: Mapping[str, Thing],
    route: RouteRow,
    hops: Mapping[str, HopRow],
    radios: Mapping[str, RadioRow],
    wires: Mapping[str, WireRow],
) -> RouteScene:
    """Return what a strip shows of a route.

    Parameters
    ----------
    design : Design
        For its unit of length.
    things : mapping of str to Thing
        Every thing by id, for names.
    route : RouteRow
        The route as assessed.
    hops, radios, wires : mapping
        Assessed rows by id.
    """
    lengths = FEET if design.units == "feet" else METRES

    def name(thing_id: str) -> str:
        if thing_id in radios:
            return radios[thing_id].label
        return things[thing_id].title if thing_id in things else thing_id

    legs = tuple(_leg(leg, route, hops, wires, name, lengths) for leg in route.legs)
    return RouteScene(name(route.camera), name(route.head_end or ""), legs, route.demand_mbps, route.latency_ms)


def _leg(
    leg: Leg,
    route: RouteRow,
    hops: Mapping[str, HopRow],
    wires: Mapping[str, WireRow],
    name: Callable[[str], str],
    lengths: Lengths,
) -> RouteLeg:
    length_m: float | None = None
    load: float | None = None
    to = ""
    if leg.kind == "hop" and leg.id in hops:
        hop = hops[leg.id]
        up = leg.direction == "to_access_point"
        length_m, to = hop.distance_m, hop.access_point if up else hop.station
        load = (hop.directions.to_access_point if up else hop.directions.to_station).demand_mbps
    elif leg.id in wires:
        wire = wires[leg.id]
        length_m, to = wire.route_m, wire.b if leg.direction == "a_to_b" else wire.a
    return RouteLeg(
        kind=leg.kind,
        id=leg.id,
        to=name(to),
        length_words="" if length_m is None else lengths.words(length_m),
        load_mbps=load,
        carries_mbps=leg.carries_mbps,
        is_narrowest=leg.id == route.bottleneck_leg,
    )


def route_drawing(scene: RouteScene, width_mm: float, height_mm: float) -> Drawing:
    """Draw a route from the camera at the left to the head end at the right.

    Parameters
    ----------
    scene : RouteScene
        What is shown.
    width_mm, height_mm : float
        Size of the strip. [mm]
    """
    shapes = _head(scene, width_mm, height_mm)
    if not scene.legs:
        words = Words(Role.WORDS, (_LEFT_MM, height_mm / 2.0), f"{scene.sentence}.", NAME)
        return Drawing((*shapes, words), (0.0, 0.0, width_mm, height_mm), 1.0)
    left, right = 18.0, width_mm - 18.0
    y = height_mm * 0.5
    step = (right - left) / len(scene.legs)
    for n, leg in enumerate(scene.legs):
        shapes += _drawn_leg(leg, left + n * step, left + (n + 1) * step, y)
    names = (scene.camera, *(leg.to for leg in scene.legs[:-1]), scene.head_end or scene.legs[-1].to)
    for n, title in enumerate(names):
        shapes += _named(title, (left + n * step, y), step, n, len(scene.legs))
    return Drawing(tuple(shapes), (0.0, 0.0, width_mm, height_mm), 1.0)


def _named(title: str, at: Point, step: float, n: int, last: int) -> list[Shape]:
    """A node with its name below, on two rows in turn, so that long names find room."""
    ends = n in (0, last)
    below = at[1] - (13.0 if n % 2 else 9.6)
    role = Role.WORDS_CAMERA if n == 0 else Role.WORDS
    text = cut_line(title, NAME, 34.0 if ends else 2.0 * step - 3.0)
    return [
        Path(Role.THIN, (at, (at[0], below + 2.2))),
        _node(at, is_first=n == 0, is_last=n == last),
        Words(role, (at[0], below), text, NAME, bold=ends, align="middle"),
    ]


def _head(scene: RouteScene, width_mm: float, height_mm: float) -> list[Shape]:
    title = f"ROUTE OF {scene.camera.upper()}"
    y = height_mm - 4.4
    x = _LEFT_MM + letters_width_mm(title, HEAD) * 1.1 + 4.0
    sentence = f"({scene.sentence})" if scene.is_stale else scene.sentence
    role = Role.WORDS_SOFT if scene.is_stale else Role.WORDS
    words = cut_line(sentence, NAME, width_mm - x - 4.0)
    return [
        Words(Role.WORDS_SOFT, (_LEFT_MM, y), title, HEAD),
        Words(role, (x, y), words, NAME, italic=scene.is_stale),
    ]


def _drawn_leg(leg: RouteLeg, x0: float, x1: float, y: float) -> list[Shape]:
    """One leg: id and length above, what it carries below; the narrowest between two bars."""
    is_hop = leg.kind == "hop"
    ink = Role.WORDS_RADIO if is_hop else Role.WORDS
    room, middle = x1 - x0 - 2.0, (x0 + x1) / 2.0
    shapes: list[Shape] = [Path(Role.HOP if is_hop else Role.WIRE, ((x0 + 2.6, y), (x1 - 2.6, y)))]
    if leg.is_narrowest:
        shapes += [Path(Role.FINE, ((middle + dx, y - 1.6), (middle + dx, y + 1.6))) for dx in (-1.0, 1.0)]
    for n, (words, bold) in enumerate(((leg.length_words, False), (leg.id, leg.is_narrowest))):
        text = cut_line(words, NAME, room)
        shapes.append(Words(ink, (middle, y + 3.4 + 3.4 * n), text, NAME, bold=bold, align="middle"))
    for n, words in enumerate(_below(leg)):
        short = words if letters_width_mm(words, NOTE) <= room else words.removesuffix(f" {_MBPS}")
        text = cut_line(short, NOTE, room)
        bold = leg.is_narrowest
        shapes.append(Words(Role.WORDS, (middle, y - 3.6 - 3.2 * n), text, NOTE, bold=bold, align="middle"))
    return shapes


def _below(leg: RouteLeg) -> tuple[str, ...]:
    """Say what all cameras send over a leg, of what it carries."""
    load = "" if leg.load_mbps is None else f"{leg.load_mbps:.1f} of "
    carries = "not known" if leg.carries_mbps is None else f"{load}{leg.carries_mbps:.0f} {_MBPS}"
    return (carries, "narrowest") if leg.is_narrowest else (carries,)


def _node(at: Point, *, is_first: bool, is_last: bool) -> Symbol:
    if is_first:
        body = ((-2.2, -1.0), (0.6, -1.0), (0.6, 1.0), (-2.2, 1.0))
        lens = Path(Role.CAMERA_SOLID, ((0.6, 0.0), (2.0, 1.2), (2.0, -1.2)), closed=True)
        return Symbol("camera", at, (Path(Role.CAMERA, body, closed=True), lens))
    if is_last:
        box = ((-2.3, -2.3), (2.3, -2.3), (2.3, 2.3), (-2.3, 2.3))
        half = Path(Role.SOLID, ((-1.3, -1.3), (1.3, 1.3), (-1.3, 1.3)), closed=True)
        return Symbol("head end", at, (Path(Role.HEAD_END, box, closed=True), half))
    return Symbol("node", at, (Disc(Role.SOLID, (0.0, 0.0), 0.8),))

"""What stands on a site, as solids: buildings with roofs and parapets, poles, trees, obstacles, traffic, wires."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.outline import clean_outline, pushed_outward, rim
from survey_app.ground.place import Placed
from survey_app.ground.plane import Plane
from survey_app.ground.ring import ring_on_plane
from survey_app.ground.roof import flat_top, roof_planes
from survey_app.ground.solids import PLANES, Prisms, SolidKind, Solids, Uprights, Wires
from survey_app.site.structure import Building, Mast, Obstacle, OverheadLine, Pole, Structure, TrafficArea, TreeStand

__all__ = ["PARAPET_WIDTH_M", "OutlineFault", "PieceMemo", "Season", "Standing", "standing"]

PARAPET_WIDTH_M = 0.3
"""A parapet is taken as a wall of this width along the inside of the outline."""
_OUTER_CIRCLE = {
    "round": 1.0,
    "tapered": 1.0,
    "octagonal": 1.0 / math.cos(math.pi / 8.0),
    "square": math.sqrt(2.0),
    "lattice": math.sqrt(2.0),
}


@dataclass(frozen=True)
class Season:
    """When the trees are looked at.

    Attributes
    ----------
    leaf : {"in_leaf", "bare"}
        Whether trees that lose their leaves have them.
    years : float
        How many years on from the survey, >= 0; trees grow.
    """

    leaf: Literal["in_leaf", "bare"] = "in_leaf"
    years: float = 0.0


@dataclass(frozen=True)
class OutlineFault:
    """Something about a structure that could not be taken as it was drawn.

    Attributes
    ----------
    thing : str
        Id of the structure.
    sentence : str
        What is wrong and how it was taken.
    left_out : bool
        It stands in no ray.
    """

    thing: str
    sentence: str
    left_out: bool


class _Prism(NamedTuple):
    rings: tuple[FloatArray, ...]
    underside_m: float
    planes: FloatArray
    highest_m: float
    kind: SolidKind


class _Upright(NamedTuple):
    x_m: float
    y_m: float
    foot_m: float
    top_m: float
    radius_foot_m: float
    radius_top_m: float


@dataclass(frozen=True)
class _Piece:
    """What one structure gives."""

    prisms: tuple[_Prism, ...] = ()
    uprights: tuple[_Upright, ...] = ()
    wires: FloatArray | None = None
    faults: tuple[OutlineFault, ...] = ()
    unknown: bool = False


class _Ground(NamedTuple):
    """What a piece follows from besides its record."""

    plane: Plane | None
    foot_m: float
    season: Season


@dataclass
class PieceMemo:
    """Pieces of structures, kept by the record itself so that an edit of one rebuilds one."""

    pieces: dict[str, tuple[Structure, _Ground, _Piece]] = field(default_factory=dict)


@dataclass(frozen=True)
class Standing:
    """Everything of a site that stands, and what could not be told.

    Attributes
    ----------
    solids : Solids
        Ids in the order of the structures.
    faults : tuple of OutlineFault
        Outlines and roofs that could not be taken as drawn.
    unknown : tuple of str
        Overhead lines whose height nobody noted: no ray can be judged against them.
    bare : tuple of str
        Trees that stand without leaves in this season.
    """

    solids: Solids
    faults: tuple[OutlineFault, ...]
    unknown: tuple[str, ...]
    bare: tuple[str, ...]


def standing(
    structures: Sequence[Structure],
    placed: Placed,
    season: Season | None = None,
    *,
    with_later: bool = False,
    memo: PieceMemo | None = None,
) -> Standing:
    """Return what stands on a site, as solids.

    Parameters
    ----------
    structures : sequence of Structure
        Those that are `removed` are left out, and those that come `later` unless asked for.
    placed : Placed
        Where things are.
    season : Season, optional
        In leaf and this year where not given.
    with_later : bool
        Count what comes later as there.
    memo : PieceMemo, optional
        Pieces of an earlier call to be used again.

    Returns
    -------
    Standing

    Notes
    -----
    A building goes down into the ground and ends under its roof, see `roof_planes`; a parapet is a wall along the
    inside of a flat roof's edges. Poles and masts have the circle round their section; one that is square, octagonal or
    of lattice is taken as given across its flats. A tree stand begins at its crowns' lower edge; it grows up and
    outward. An obstacle with a swing reaches out by it. A traffic area is as high as what passes. A wire is straight
    and level over its foot from point to point of its run.
    """
    season = season or Season()
    memo = memo if memo is not None else PieceMemo()
    gone = {"removed"} if with_later else {"removed", "later"}
    there = [structure for structure in structures if structure.status not in gone]
    pieces = [_piece_of(structure, placed, season, memo) for structure in there]
    for thing in memo.pieces.keys() - {structure.id for structure in there}:
        del memo.pieces[thing]
    seen = [(s.id, p) for s, p in zip(there, pieces, strict=True) if p.prisms or p.uprights or p.wires is not None]
    bare = (s.id for s in there if isinstance(s, TreeStand) and s.leaf == "deciduous" and season.leaf == "bare")
    return Standing(
        solids=_joined(tuple(thing for thing, _ in seen), [piece for _, piece in seen]),
        faults=tuple(fault for piece in pieces for fault in piece.faults),
        unknown=tuple(s.id for s, p in zip(there, pieces, strict=True) if p.unknown),
        bare=tuple(bare),
    )


def _piece_of(structure: Structure, placed: Placed, season: Season, memo: PieceMemo) -> _Piece:
    ground = _ground_of(structure, placed, season)
    kept = memo.pieces.get(structure.id)
    if kept is not None and kept[0] is structure and kept[1] == ground:
        return kept[2]
    piece = _built(structure, placed, ground)
    memo.pieces[structure.id] = structure, ground, piece
    return piece


def _ground_of(structure: Structure, placed: Placed, season: Season) -> _Ground:
    # only trees follow the season
    when = season if isinstance(structure, TreeStand) else Season()
    return _Ground(placed.plane, placed.feet_m[structure.id], when)


def _built(structure: Structure, placed: Placed, ground: _Ground) -> _Piece:
    if isinstance(structure, OverheadLine):
        return _line(structure, placed.outlines[structure.id], ground.foot_m)
    if not math.isfinite(ground.foot_m):
        return _refused(structure, "The relief does not say how high it stands.")
    if isinstance(structure, Pole | Mast):
        return _upright(structure, placed, ground.foot_m)
    holes = [ring_on_plane(placed.plane, hole) for hole in structure.holes] if isinstance(structure, Building) else []
    rings, sentences = clean_outline(placed.outlines[structure.id], holes)
    if not rings:
        return _refused(structure, *sentences)
    if isinstance(structure, Building):
        prisms, more = _building(structure, rings, ground.foot_m)
    else:
        prisms, more = _block(structure, rings, ground)
    faults = tuple(OutlineFault(structure.id, sentence, not prisms) for sentence in [*sentences, *more])
    return _Piece(prisms=prisms, faults=faults)


def _refused(structure: Structure, *sentences: str) -> _Piece:
    return _Piece(faults=tuple(OutlineFault(structure.id, sentence, True) for sentence in sentences))


def _building(building: Building, rings: list[FloatArray], foot_m: float) -> tuple[tuple[_Prism, ...], list[str]]:
    planes, sentence = roof_planes(rings[0], building.roof, foot_m, building.eaves_height_m)
    eaves_m = foot_m + building.eaves_height_m
    sloped = int(np.isfinite(planes[:, 2]).sum()) > 1 or bool(planes[0, :2].any())
    highest_m = foot_m + (building.roof.ridge_height_m or 0.0) if sloped else eaves_m
    prisms = [_Prism(tuple(rings), -math.inf, planes, highest_m, SolidKind.BUILDING)]
    if building.roof.kind == "flat" and building.roof.parapet_height_m > 0.0:
        top_m = eaves_m + building.roof.parapet_height_m
        strip = tuple(rim(rings, PARAPET_WIDTH_M))
        # it goes down into the building: there is no way under a parapet
        prisms.append(_Prism(strip, -math.inf, flat_top(top_m), top_m, SolidKind.PARAPET))
    return tuple(prisms), [sentence] if sentence else []


def _block(
    structure: TreeStand | Obstacle | TrafficArea, rings: list[FloatArray], ground: _Ground
) -> tuple[tuple[_Prism, ...], list[str]]:
    underside_m = -math.inf
    if isinstance(structure, TreeStand):
        years = max(0.0, ground.season.years)
        top_m = structure.crown_top_m + years * structure.growth_m_per_year
        if structure.crown_base_m >= top_m:
            return (), ["The lower edge of its crowns is not below their top."]
        underside_m = ground.foot_m + structure.crown_base_m
        rings = pushed_outward(rings, years * structure.crown_growth_m_per_year)
        kind = SolidKind.TREES
    elif isinstance(structure, Obstacle):
        top_m, kind = structure.height_m, SolidKind.OBSTACLE
        rings = pushed_outward(rings, structure.swing_radius_m or 0.0)
    else:
        top_m, kind = structure.envelope_height_m, SolidKind.TRAFFIC
    top_m += ground.foot_m
    return (_Prism(tuple(rings), underside_m, flat_top(top_m), top_m, kind),), []


def _upright(structure: Pole | Mast, placed: Placed, foot_m: float) -> _Piece:
    at = placed.points[structure.id]
    if not (math.isfinite(at.x_m) and math.isfinite(at.y_m)):
        return _refused(structure, "Its place is in degrees, and the site has no anchor.")
    half_m = 0.0005 * _OUTER_CIRCLE[structure.section]
    radii_m = structure.diameter_foot_mm * half_m, structure.diameter_top_mm * half_m
    return _Piece(uprights=(_Upright(at.x_m, at.y_m, foot_m, foot_m + structure.height_m, *radii_m),))


def _line(line: OverheadLine, route: FloatArray, foot_m: float) -> _Piece:
    if line.height_m is None:
        return _Piece(unknown=True)
    if not np.isfinite(route).all():
        return _refused(line, "Its run has points in degrees, and the site has no anchor.")
    if not math.isfinite(foot_m):
        return _refused(line, "The relief does not say how high it stands.")
    points = np.column_stack((route, np.full(len(route), foot_m + line.height_m)))
    pieces = np.hstack((points[:-1], points[1:]))
    pieces = pieces[(pieces[:, :3] != pieces[:, 3:]).any(axis=1)]
    if not len(pieces):
        return _refused(line, "Its run has no length.")
    return _Piece(wires=pieces)


def _joined(ids: tuple[str, ...], pieces: Sequence[_Piece]) -> Solids:
    """Return the solids of pieces, in their order."""
    prisms = [(n, prism) for n, piece in enumerate(pieces) for prism in piece.prisms]
    uprights = [(n, one) for n, piece in enumerate(pieces) for one in piece.uprights]
    wires = [(n, piece.wires) for n, piece in enumerate(pieces) if piece.wires is not None]
    runs = np.concatenate([run for _, run in wires]) if wires else np.empty((0, 6))
    table = np.array([one for _, one in uprights], np.float64).reshape(-1, 6)
    return Solids(
        ids=ids,
        prisms=_prisms(prisms),
        uprights=Uprights(
            centre_m=table[:, :2].copy(),
            foot_m=table[:, 2].copy(),
            top_m=table[:, 3].copy(),
            radius_foot_m=table[:, 4].copy(),
            radius_top_m=table[:, 5].copy(),
            thing=np.array([n for n, _ in uprights], np.int64),
        ),
        wires=Wires(
            runs[:, :3].copy(),
            runs[:, 3:].copy(),
            np.repeat(np.array([n for n, _ in wires], np.int64), _counts(run for _, run in wires)),
        ),
    )


def _prisms(prisms: Sequence[tuple[int, _Prism]]) -> Prisms:
    rings = [ring for _, prism in prisms for ring in prism.rings]
    planes = np.array([prism.planes for _, prism in prisms], np.float64).reshape(-1, PLANES, 3)
    return Prisms(
        corners_m=np.concatenate(rings) if rings else np.empty((0, 2)),
        ring_start=np.concatenate(([0], np.cumsum(_counts(rings)))).astype(np.int64),
        first_ring=np.concatenate(([0], np.cumsum(_counts(prism.rings for _, prism in prisms)))).astype(np.int64),
        underside_m=np.array([prism.underside_m for _, prism in prisms], np.float64),
        planes=planes,
        highest_m=np.array([prism.highest_m for _, prism in prisms], np.float64),
        thing=np.array([n for n, _ in prisms], np.int64),
        kind=np.array([prism.kind for _, prism in prisms], np.int64),
    )


def _counts(things: Iterable[Sequence[object] | FloatArray]) -> list[int]:
    return [len(thing) for thing in things]

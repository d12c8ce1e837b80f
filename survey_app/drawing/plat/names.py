"""What a plan writes at its things, in the order in which room is given away."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from survey_app.drawing.hatch import BAND_MM
from survey_app.drawing.letters import wrapped
from survey_app.drawing.plat.areas import Area, distance_to_line, holds, middle_of
from survey_app.drawing.plat.ground import is_dot
from survey_app.drawing.plat.heard import place_heard_words
from survey_app.drawing.plat.hop_words import place_hop_words
from survey_app.drawing.plat.labelling import Labelling, Line, Run, block_size, plain_run
from survey_app.drawing.plat.landmarks import name_far_landmarks
from survey_app.drawing.plat.layout import CameraSpot
from survey_app.drawing.plat.load_words import place_wire_loads
from survey_app.drawing.plat.radio_words import RadioWords
from survey_app.drawing.plat.wedge_words import place_wedge_words
from survey_app.drawing.plat.wording import height_words, length_words, number_words, part_words, short_name
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point
from survey_app.drawing.status import stands

__all__ = ["place_names"]

_SELECTED_MM, _ID_MM, _NAME_MM, _NOTE_MM, _SMALL_MM, _WATER_MM = 2.85, 2.66, 2.28, 2.09, 1.995, 3.8
_GRIPS_MM = 2.0


def place_names(labels: Labelling, ids: frozenset[str] | None, far: dict[str, Point], radios: RadioWords) -> None:
    """Place all words but those of flags; the ids of radios have their room already."""
    selection = frozenset(labels.wish.selection)
    for only_selected in (True, False):
        place_hop_words(labels, selection, only_selected=only_selected)
        if only_selected:
            place_heard_words(labels)
        else:
            place_wire_loads(labels)
        if not only_selected:
            radios.place_rest()
        _areas(labels, selection, only_selected=only_selected)
        _marks(labels, selection, ("structures", "head_ends"), only_selected=only_selected)
        _cameras(labels, selection, only_selected=only_selected)
        _marks(labels, selection, ("landmarks", "mounts", "supplies", "devices"), only_selected=only_selected)
    name_far_landmarks(labels, far)
    place_wedge_words(labels, ids)
    _notes(labels, selection)


def _beside(
    labels: Labelling,
    subject: tuple[str, str],
    at: Point,
    variants: Sequence[Sequence[Line]],
    off_mm: float,
    *,
    farther: bool,
) -> bool:
    """Place a block beside a point; what is selected keeps all its words, if need be farther off."""
    if not farther:
        return labels.beside(subject, at, variants, off_mm)
    return any(
        labels.beside(subject, at, [lines], off_mm + more_mm) for lines in variants for more_mm in (0.0, 2.5, 5.0, 8.0)
    )


def _areas(labels: Labelling, selection: frozenset[str], *, only_selected: bool) -> None:
    carriers = {spot.mark.structure for spot in labels.layout.radios.values()}
    tier = labels.view.tier
    for area in labels.areas:
        chosen = area.id in selection
        if chosen is not only_selected or (is_dot(area, labels.view, labels.wish) and not chosen):
            continue
        if not chosen and (tier >= 4 or (tier >= 3 and area.id not in carriers)):
            continue
        if area.kind in ("boundary", "wall", "opening") and not chosen:
            continue
        variants = list(_area_lines(labels, area, chosen))
        if variants:
            _area_label(labels, area, variants)


def _area_lines(labels: Labelling, area: Area, chosen: bool) -> Iterator[Sequence[Line]]:
    tier = labels.view.tier
    name = area.name
    if area.kind == "water":
        if name:
            yield ((Run(name, _WATER_MM, Role.WORDS_WATER, italic=True),),)
            yield ((Run(name, _NAME_MM, Role.WORDS_WATER, italic=True),),)
        return
    if area.kind == "served_area":
        yield from _served_lines(labels, area, chosen)
        return
    role = Role.WORDS_TREES if area.kind == "tree_stand" else Role.WORDS
    if area.kind in ("zone", "room", "boundary", "wall", "opening"):
        if name and (tier < 2 or chosen):
            yield ((Run(name, _NOTE_MM, Role.WORDS_SOFT),),)
        return
    head = Run(name.upper(), _SELECTED_MM if chosen else _NAME_MM, role, bold=True)
    height = None
    if area.height_m is not None and (tier < 2 or chosen or area.kind == "building"):
        height = Run(height_words(area.height_m, feet=labels.wish.feet), _NAME_MM, role, level=True)
    if name and height is not None:
        yield ((head,), (height,))
        if area.kind != "building":
            yield ((head, height),)
    if name:
        yield ((head,),)
    elif height is not None:
        yield ((height,),)


def _served_lines(labels: Labelling, area: Area, chosen: bool) -> Iterator[Sequence[Line]]:
    """What part of an area is served: with doors shut first, for that is what counts at night."""
    head = Run(area.name or area.id, _NAME_MM, Role.WORDS_CAMERA, bold=True)
    row = labels.scene.area_rows.get(area.id)
    if row is not None and row.served_fraction is not None and (labels.view.tier < 2 or chosen):
        stale = not labels.scene.stale.isdisjoint((row.station or "", *row.access_points))
        rate = f"{number_words(row.needed_rate_mbps or 0.0, 0)} Mbit/s"
        parts = (row.served_fraction, row.served_open_fraction, row.served_full_fraction)
        shut, opened, full = (part_words(part) for part in parts if part is not None)
        first = plain_run(f"{shut} at {rate}, doors shut", _NOTE_MM, stale=stale, role=Role.WORDS_CAMERA)
        second = plain_run(f"{opened} open, {full} racks full", _NOTE_MM, stale=stale, role=Role.WORDS_CAMERA)
        yield ((head,), (first,), (second,))
        yield ((head,), (first,))
    yield ((head,),)


def _area_label(labels: Labelling, area: Area, variants: list[Sequence[Line]]) -> None:
    subject = (area.id, area.collection)
    window = labels.view.window_m
    if area.extent_m > 1.5 * max(window[2] - window[0], window[3] - window[1]):
        # so large that its middle is hardly ever seen: where it lies in the view
        middles = [p for p in _spread_places(labels) if holds(area, *labels.m(*p))]
    elif area.kind == "served_area":
        # racks and the station stand in it as well: anywhere inside will do
        (x0, y0), (x1, y1) = labels.mm(area.bounds[:2]), labels.mm(area.bounds[2:])
        parts = [(fx, fy) for fx in (0.5, 0.75, 0.25) for fy in (0.5, 0.4, 0.6, 0.2, 0.8)]
        middles = [(x0 + fx * (x1 - x0), y0 + fy * (y1 - y0)) for fx, fy in parts]
    elif area.closed:
        middles = [labels.mm(_middle(labels, area))]
    else:
        k = len(area.ring) // 2
        labels.beside(subject, (float(area.ring[k, 0]), float(area.ring[k, 1])), variants)
        return
    within_only = area.kind in ("water", "room", "zone", "tree_stand", "served_area")
    for lines in variants:
        half_width, half_height = block_size(lines)
        places = [p for x, y in middles for p in ((x, y), (x, y + half_height), (x, y - half_height))]
        fitting = [p for p in places if _clears(labels, area, p, half_width, half_height)]
        if fitting and labels.at_places(subject, fitting, [lines]):
            return
    if not within_only:
        for lines in variants:
            if labels.at_places(subject, _outside_places(labels, area, lines), [lines]):
                return


def _middle(labels: Labelling, area: Area) -> Point:
    middle: Point = labels.scene.store.piece(0.0, "middle", area, lambda: middle_of(area.ring))
    return middle


def _spread_places(labels: Labelling) -> list[Point]:
    return [
        (labels.width_mm * fx, labels.height_mm * fy)
        for fy in (0.5, 0.3, 0.7, 0.15, 0.85)
        for fx in (0.5, 0.3, 0.7, 0.15, 0.85)
    ]


def _clears(labels: Labelling, area: Area, place: Point, half_width: float, half_height: float) -> bool:
    """Whether letters lie inside an outline and clear of the band along it."""
    band = BAND_MM + 0.3 if area.kind == "building" and (area.height_m or 0.0) >= 4.0 else 0.8
    if min(half_width, half_height) * 2.0 > area.extent_m * labels.scale:
        return False
    half_width, half_height = half_width + band, half_height + band
    for dx, dy in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        if not holds(area, *labels.m(place[0] + dx * half_width, place[1] + dy * half_height)):
            return False
    if len(area.ring) > 4:
        at = labels.m(*place)
        if distance_to_line(area.ring, True, *at)[0] * labels.scale < min(half_width, half_height):
            return False
    return True


def _outside_places(labels: Labelling, area: Area, lines: Sequence[Line]) -> list[Point]:
    half_width, half_height = block_size(lines)
    low, high = labels.mm((area.bounds[0], area.bounds[1])), labels.mm((area.bounds[2], area.bounds[3]))
    if area.swing_m is not None:
        ring = area.ring
        low = labels.mm((float(ring[:, 0].min()), float(ring[:, 1].min())))
        high = labels.mm((float(ring[:, 0].max()), float(ring[:, 1].max())))
    x, y = (low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0
    off = 1.6
    return [
        (x, high[1] + off + half_height),
        (x, low[1] - off - half_height),
        (high[0] + off + half_width, y),
        (low[0] - off - half_width, y),
        (high[0] + off + half_width, high[1] + off),
        (low[0] - off - half_width, high[1] + off),
        (high[0] + off + half_width, low[1] - off),
        (low[0] - off - half_width, low[1] - off),
    ]


_LAST_TIER = {"structures": 2, "head_ends": 3, "landmarks": 4, "mounts": 1, "supplies": 1, "devices": 0}


def _marks(labels: Labelling, selection: frozenset[str], collections: Sequence[str], *, only_selected: bool) -> None:
    tier = labels.view.tier
    carriers = {spot.mark.structure for spot in labels.layout.radios.values()}
    for collection in collections:
        for mark in labels.marks:
            if mark.collection != collection or (mark.id in selection) is not only_selected:
                continue
            chosen = mark.id in selection
            if not (chosen or labels.wish.word(mark.id)) and (
                tier > _LAST_TIER[collection] or (collection == "structures" and mark.id in carriers)
            ):
                continue
            variants = list(_mark_lines(labels, mark.id, collection, chosen))
            if (word := labels.wish.word(mark.id)) and collection in ("devices", "supplies", "head_ends"):
                head = variants[0][0][0]
                variants = [((replace(head, struck=True), Run(word, _NAME_MM, bold=True)),)]
            if variants:
                off_mm = max(3.0, mark.half_mm + 0.8) + (_GRIPS_MM if chosen else 0.0)
                _beside(labels, (mark.id, collection), mark.symbol.at, variants, off_mm, farther=chosen)


def _mark_lines(labels: Labelling, thing_id: str, collection: str, chosen: bool) -> Iterator[Sequence[Line]]:
    _, thing = labels.scene.things[thing_id]
    size = _SELECTED_MM if chosen else _NAME_MM
    if collection == "structures":
        height = Run(height_words(getattr(thing, "height_m", 0.0), feet=labels.wish.feet), _NAME_MM, level=True)
        if thing.name or chosen:
            head = Run(thing.title.upper(), size, bold=True)
            if labels.view.tier < 2 or chosen:
                yield ((head,), (height,))
            yield ((head,),)
        return
    if collection == "head_ends":
        yield ((Run(short_name(thing), _ID_MM, bold=True, underlined=stands(thing.status)),),)
    elif collection == "landmarks":
        yield ((Run(thing.title.upper(), size, bold=True),),)
    else:
        yield ((Run(short_name(thing), size, bold=chosen),),)


def _cameras(labels: Labelling, selection: frozenset[str], *, only_selected: bool) -> None:
    for spot in labels.cameras:
        chosen, word = spot.id in selection, labels.wish.word(spot.id)
        # what feels an event is named before others find room
        if (chosen or bool(word)) is not only_selected or (labels.view.tier >= 2 and not (chosen or word)):
            continue
        name = _camera_name(labels, spot)
        variants: list[Sequence[Line]] = []
        if word:
            said = Run(word, _NAME_MM, bold=True)
            variants += [((name, said),), ((name,), (said,))]
        row = labels.scene.camera_rows.get(spot.id)
        if chosen and not word and row is not None and spot.record.target is not None and row.px_per_m is not None:
            width = length_words(spot.record.target.width_m, feet=labels.wish.feet)
            stale = spot.id in labels.scene.stale
            words = f"{width} wide, {number_words(row.px_per_m, 0)} px/m"
            variants.append(((name,), (plain_run(words, _NAME_MM, stale=stale),)))
        off_mm = 3.0 + _GRIPS_MM if chosen else 2.4
        _beside(labels, (spot.id, "cameras"), spot.at, [*variants, ((name,),)], off_mm, farther=chosen or bool(word))


def _camera_name(labels: Labelling, spot: CameraSpot) -> Run:
    struck = labels.wish.felt is not None and spot.id in labels.wish.felt.struck
    there = stands(spot.record.status)
    return Run(short_name(spot.record), _ID_MM, Role.WORDS_CAMERA, bold=True, underlined=there, struck=struck)


def _notes(labels: Labelling, selection: frozenset[str]) -> None:
    for mark in labels.marks:
        if mark.collection != "notes" or (labels.view.tier >= 2 and mark.id not in selection):
            continue
        _, note = labels.scene.things[mark.id]
        head = Run(short_name(note), _NAME_MM, bold=True, italic=True)
        lines = wrapped(getattr(note, "words", ""), _NOTE_MM, 44.0)
        rest = tuple((Run(line, _NOTE_MM, Role.WORDS_SOFT, italic=True),) for line in lines)
        first = [((head,), *rest)] if len(rest) <= 4 or mark.id in selection else []
        labels.beside((mark.id, "notes"), mark.symbol.at, [*first, ((head,),)], 2.0)

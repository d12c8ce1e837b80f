"""Counts cable by the run, plugs and what a run needs on its way."""

from __future__ import annotations

import math

from survey_app.assess.counting import Article, Book, Counted, gear_article, state_of, sundry_article
from survey_app.assess.record import WireRow
from survey_app.assess.wires import cable_type, is_patch_lead
from survey_app.site.network import Wire
from survey_app.site.structure import Building

__all__ = ["count_cable", "drums_for", "whole_metres"]

_GROUP = "Cable and plugs"
_FIXING_EVERY_M = 0.4
_WORDS = {"copper": "outdoor data cable, solid copper", "fibre": "fibre cable", "dc": "two-wire supply cable"}


def whole_metres(counted: Counted, row: WireRow) -> int:
    """Return the installed length of a run, rounded up to whole metres; 0 where it is not known. [m]"""
    if row.order_m is None:
        return 0
    installed = row.order_m / (1.0 + counted.job.defaults.cable_waste_percent / 100.0)
    return math.ceil(round(installed, 6))


def drums_for(runs_m: list[float], drum_m: float) -> int:
    """Return how many drums the runs need, none of them jointed: longest first, each on the first drum with room.

    Examples
    --------
    >>> drums_for([160.0, 160.0, 100.0], 305.0)
    2
    """
    left: list[float] = []
    drums = 0
    for run in sorted(runs_m, reverse=True):
        if run > drum_m:
            # longer than a drum: cut from its own length, ordered in whole drums
            drums += math.ceil(run / drum_m)
            continue
        for number, rest in enumerate(left):
            if run <= rest:
                left[number] = rest - run
                break
        else:
            left.append(drum_m - run)
    return drums + len(left)


def count_cable(book: Book, counted: Counted) -> None:
    """Count every run that is drawn, but for those of an existing network."""
    for row in counted.wires:
        wire = counted.job.wires[row.id]
        if wire.medium == "existing":
            continue
        if is_patch_lead(wire):
            article = sundry_article(counted, "patch_lead", "patch lead", _GROUP, "one a lead indoors")
            book.add(article, state_of(wire), row.id, 1, "one a lead indoors")
            continue
        _run(book, counted, wire, row)
        if state_of(wire) == "buy":
            _small_parts(book, counted, wire, row)
    _tape(book, counted)


def _run(book: Book, counted: Counted, wire: Wire, row: WireRow) -> None:
    kind, metres = cable_type(counted.job, wire), whole_metres(counted, row)
    how = f"each run rounded up to a metre; + {counted.job.defaults.cable_waste_percent:g} %"
    if kind is not None:
        article = gear_article(counted, kind, _GROUP, f"{how}, whole drums", unit="m")
    else:
        article = Article(_GROUP, _WORDS[wire.medium], f"{how}; no type chosen", unit="m")
    ends = "drip loop and service length" if wire.outdoors else "no allowance indoors"
    route = f"{row.route_m:.1f} m of run" if row.route_m is not None else "length not known"
    book.add(article, state_of(wire), row.id, metres, f"{route}, {wire.drops_m:g} m up and down, {ends}")


def _small_parts(book: Book, counted: Counted, wire: Wire, row: WireRow) -> None:
    job, metres = counted.job, whole_metres(counted, row)
    if wire.medium == "copper":
        spare = job.defaults.spare_plug_percent
        plug = sundry_article(counted, "plug", "plug, shielded", _GROUP, f"two a run; + {spare:g} %")
        book.add(plug, "buy", wire.id, 2, "two a run")
        boot = sundry_article(counted, "boot", "boot for a plug", _GROUP, "two a run")
        book.add(boot, "buy", wire.id, 2, "two a run")
    if not wire.outdoors:
        return
    gland = sundry_article(counted, "gland", "cable gland", _GROUP, "two a run outdoors")
    book.add(gland, "buy", wire.id, 2, "two a run outdoors")
    clip = sundry_article(counted, "drip_clip", "drip loop clip", _GROUP, "one a run outdoors")
    book.add(clip, "buy", wire.id, 1, "one a run outdoors")
    count = math.ceil(metres / _FIXING_EVERY_M)
    rule = f"one every {_FIXING_EVERY_M:g} m of {metres} m"
    if _on_building(counted, wire):
        wall = sundry_article(counted, "cable_clip", "wall clip for cable", _GROUP, f"one every {_FIXING_EVERY_M:g} m")
        book.add(wall, "buy", wire.id, count, rule)
    else:
        tie = sundry_article(counted, "tie", "cable tie, UV-proof", _GROUP, f"one every {_FIXING_EVERY_M:g} m")
        book.add(tie, "buy", wire.id, count, rule)


def _on_building(counted: Counted, wire: Wire) -> bool:
    mount = counted.job.mounts.get(counted.mount_for(wire.id) or "")
    return mount is None or isinstance(counted.job.structures.get(mount.structure), Building)


def _tape(book: Book, counted: Counted) -> None:
    """One roll a climb on which something new is put up outdoors."""
    job = counted.job
    tape = sundry_article(counted, "tape", "tape, self-sealing", _GROUP, "one a climb")
    for climb in counted.climbs:
        units = [job.radios[key] for key in climb.radios] + [job.cameras[key] for key in climb.cameras]
        outdoors = any(job.mounts[key].environment == "outdoors" for key in climb.mounts)
        if outdoors and any(state_of(unit) == "buy" for unit in units):
            book.add(tape, "buy", climb.id, 1, "one a climb", mount=climb.mounts[0])

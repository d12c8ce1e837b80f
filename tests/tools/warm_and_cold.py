"""Assess a site after random edits, with everything kept from before and with nothing kept, and compare to the last bit.

`python -m tests.tools.warm_and_cold [EDITS] [SEED]` walks all demo sites and a larger one; the suite walks a few steps.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from survey_app.assess.memo import Memo
from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.errors import SurveyError
from survey_app.site.collection import COLLECTIONS
from survey_app.site.edits import aim_by_hand, move_by, remove, set_height
from survey_app.site.edits.sharing import rebuilt, with_fields, with_rows
from survey_app.site.file import read_site
from survey_app.site.record import Record
from survey_app.site.references import check_references
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions, load_regions
from tests.benchmarks.big_site import big_site
from tests.designs import good_design

DEMO_SITES = Path(__file__).resolve().parents[2] / "demo_sites"
_WIDE = 12  # earlier values of the site that an undo may go back to


def start_sites() -> dict[str, Callable[[], Site]]:
    """Return the sites that are walked, by name."""
    demos = sorted((*DEMO_SITES.glob("*/site.json"), *DEMO_SITES.glob("*/alternatives/*.json")))
    found: dict[str, Callable[[], Site]] = {
        str(path.relative_to(DEMO_SITES)): lambda path=path: read_site(path) for path in demos
    }
    found["60 radios"] = lambda: big_site(6, 9)
    found["drawn"] = lambda: good_design(11).plot.site()
    return found


def walk(site: Site, seed: int, edits: int, every: int, regions: Regions) -> int:
    """Walk through random edits with one memo; compare after every so many. Return how many were compared."""
    rnd, memo = random.Random(seed), Memo()
    values = [site]
    compared = 0
    for number in range(1, edits + 1):
        site = _edited(values, rnd)
        values = [*values[-_WIDE:], site]
        warm = _answer(site, regions, memo)
        if number % every == 0:
            cold = _answer(site, regions, None)
            hold_alike(warm, cold)
            compared += 1
    return compared


def hold_alike(warm: Assessment | str, cold: Assessment | str) -> None:
    """Raise where two assessments differ, naming the first row that does."""
    if isinstance(warm, str) or isinstance(cold, str):
        assert warm == cold
        return
    for name in type(cold).model_fields:
        one, other = getattr(warm, name), getattr(cold, name)
        if isinstance(one, tuple):
            assert len(one) == len(other), name
            for row, right in zip(one, other, strict=True):
                assert repr(row) == repr(right), f"{name}\nkept {row!r}\nanew {right!r}"
        assert repr(one) == repr(other), f"{name}\nkept {one!r}\nanew {other!r}"


def _answer(site: Site, regions: Regions, memo: Memo | None) -> Assessment | str:
    try:
        return assess(site, regions, memo=memo)
    except (SurveyError, ValueError, ArithmeticError, LookupError) as error:
        return f"{type(error).__name__}: {error}"


def _edited(values: list[Site], rnd: random.Random) -> Site:
    """Return a site after one edit that its own checks let pass."""
    while True:
        edit = rnd.choices(
            (_figure, _moved, _turned, _gone, _undone, _default, _evidence), (10, 5, 2, 1, 2, 1, 1), k=1
        )[0]
        try:
            site = edit(values, rnd)
        except SurveyError:
            continue
        if site is not values[-1] and not check_references(site):
            return site


def _figure(values: list[Site], rnd: random.Random) -> Site:
    """One field of one thing."""
    site = values[-1]
    filled = [row.name for row in COLLECTIONS if getattr(site.design, row.name)]
    name = rnd.choice([*filled, "gear", "radios", "mounts", "hops", "structures"])
    rows = getattr(site.design, name)
    if not rows:
        return site
    number = rnd.randrange(len(rows))
    return with_rows(site, "design", name, put={number: _changed(rows[number], rows, rnd)})


def _changed(row: Record, others: tuple[Record, ...], rnd: random.Random) -> Record:
    fields = [name for name in type(row).model_fields if name not in ("id", "kind")]
    field = rnd.choice(fields)
    return rebuilt(row, "walk", **{field: _another(getattr(row, field), field, row, others, rnd)})


def _another(value: Any, field: str, row: Record, others: tuple[Record, ...], rnd: random.Random) -> Any:
    if rnd.random() < 0.4 or value is None or isinstance(value, str):
        # what another thing of its kind has there
        return rnd.choice([getattr(other, field) for other in others if type(other) is type(row)])
    if isinstance(value, bool):
        return not value
    if isinstance(value, float):
        return rnd.choice((value * rnd.uniform(0.7, 1.4), value + rnd.uniform(-3.0, 3.0), -value, 0.0, -0.0))
    if isinstance(value, int):
        return value + rnd.choice((-1, 1, 4))
    if isinstance(value, Record):
        return _changed(value, (value,), rnd)
    if isinstance(value, tuple) and value:
        number = rnd.randrange(len(value))
        part = value[number]
        new = _changed(part, (part,), rnd) if isinstance(part, Record) else part
        return rnd.choice(((*value[:number], new, *value[number + 1 :]), value[:number] + value[number + 1 :]))
    return value


def _moved(values: list[Site], rnd: random.Random) -> Site:
    site = values[-1]
    things = [*site.design.structures, *site.design.mounts, *site.design.cameras, *site.design.landmarks]
    thing = rnd.choice(things)
    return move_by(site, thing.id, dx_m=rnd.uniform(-20.0, 20.0), dy_m=rnd.uniform(-20.0, 20.0)).after


def _turned(values: list[Site], rnd: random.Random) -> Site:
    site = values[-1]
    if rnd.random() < 0.5:
        return set_height(site, rnd.choice(site.design.mounts).id, rnd.uniform(1.0, 15.0)).after
    radio = rnd.choice(site.design.radios)
    return aim_by_hand(site, radio.id, bearing_deg=rnd.uniform(0.0, 359.0), tilt_deg=rnd.uniform(-5.0, 5.0)).after


def _gone(values: list[Site], rnd: random.Random) -> Site:
    site = values[-1]
    things = [*site.design.radios, *site.design.hops, *site.design.wires, *site.design.cameras, *site.design.landmarks]
    return remove(site, rnd.choice(things).id, cascade=True).after


def _undone(values: list[Site], rnd: random.Random) -> Site:
    """Back to an earlier value: its records are the very ones that were kept once."""
    return rnd.choice(values)


def _default(values: list[Site], rnd: random.Random) -> Site:
    site = values[-1]
    defaults = _changed(site.design.defaults, (site.design.defaults,), rnd)
    return with_fields(site, design=with_fields(site.design, defaults=defaults))


def _evidence(values: list[Site], rnd: random.Random) -> Site:
    """A row of evidence again, or changed: it judges hops and heights."""
    site = values[-1]
    names = [name for name in type(site.evidence).model_fields if getattr(site.evidence, name)]
    if not names:
        return site
    name = rnd.choice(names)
    rows = getattr(site.evidence, name)
    return with_rows(site, "evidence", name, put={rnd.randrange(len(rows)): _changed(rnd.choice(rows), rows, rnd)})


def main(edits: int = 10_000, seed: int = 1) -> int:
    """Walk all sites, `edits` steps together."""
    regions, starts = load_regions(), start_sites()
    each = -(-edits // len(starts))
    for number, (name, start) in enumerate(starts.items()):
        began = time.perf_counter()
        compared = walk(start(), seed + number, each, 1, regions)
        print(f"{name}: {compared} edits, kept and anew alike, {time.perf_counter() - began:.0f} s", flush=True)
    return 0


if __name__ == "__main__":
    raise SystemExit(main(*map(int, sys.argv[1:3])))

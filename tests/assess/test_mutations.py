"""A demo site with figures changed to awkward ones gives a sentence or a sound assessment, and nothing else.

Each demo is changed in two ways: one field of one record at a time, drawn by a seed over all kinds of fields alike; and
one kind of record as a whole, all its figures at their least, at their most, all its optional fields empty.
"""

from __future__ import annotations

import json
import math
import random
from collections.abc import Iterator
from typing import Any

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.data import demo_sites_folder
from survey_app.errors import InputError
from survey_app.site.file import read_site, site_from_bytes, site_to_bytes
from survey_app.site.record import Record
from survey_app.site.shape import FieldShape, fields_of
from tests.laws import assert_laws

# how many changes of one field, and of one kind of record as a whole; more of them: `python -m tests.tools.awkward_figures`
DEMOS = {"boatyard": (8, 3), "college": (12, 4), "mill": (36, 9)}

Place = tuple[type[Record], dict[str, Any]]
NUMBERS = (
    0,
    -0.0,
    1,
    -1,
    0.1,
    1e-9,
    5e-324,
    1e-300,
    1e308,
    -1e308,
    90,
    -90,
    180,
    -180,
    359.999999999,
    360,
    1e6,
    10**30,
)
WORDS = ("", " ", "x" * 300, "#$\\{}[]\"'`*_@<>&", "مرحبا ‮abc‬", "😀👩‍👩‍👧", "=1+1", "a\nb", "\0", "\ufeff", "../../x")
DAYS = ("1900-01-01", "2035-06-01", "9999-12-31", "0001-01-01", "2024-12-31", "2029-12-31", "2030-01-01", "soon")


def records_in(record: Record, node: dict[str, Any]) -> Iterator[Place]:
    """Yield every record of a site with its place in the tree of the file."""
    yield type(record), node
    for name in type(record).model_fields:
        value = getattr(record, name)
        parts = enumerate(value) if isinstance(value, tuple) else ((None, value),)
        for number, part in parts:
            if isinstance(part, Record):
                yield from records_in(part, node[name] if number is None else node[name][number])


def places_of(demo: str) -> tuple[dict[str, Any], dict[type[Record], list[dict[str, Any]]]]:
    """Return the tree of a demo site with every field written out, and its records by kind."""
    site = read_site(demo_sites_folder() / demo)
    tree: dict[str, Any] = json.loads(site.model_dump_json())
    found: dict[type[Record], list[dict[str, Any]]] = {}
    for record, node in records_in(site, tree):
        found.setdefault(record, []).append(node)
    return tree, found


def awkward(field: FieldShape, old: Any, ids: list[str], rng: random.Random) -> Any:
    """Return a value that a field does not expect, or only just."""
    some: list[Any] = [None]
    if isinstance(old, list):
        some += [[], old[::-1], old + old[:1], old[:1]]
    if field.holds in ("number", "whole number"):
        for bound in [value for value in field.bounds.values() if isinstance(value, (int, float))]:
            some += [bound, math.nextafter(bound, math.inf), math.nextafter(bound, -math.inf)]
        some += [*rng.sample(NUMBERS, 3), "1", True]
    elif field.holds == "choice":
        some += field.choices
    elif field.holds == "true or false":
        some += [True, False, 1]
    elif field.holds == "text":
        some += rng.sample(ids, 3) if old in ids else rng.sample(WORDS, 3)
    elif field.holds.startswith("date"):
        some += rng.sample(DAYS, 3)
    else:
        some += [{}]
    return rng.choice(some)


def at_edge(field: FieldShape, edge: str, old: Any) -> Any:
    """Return a field's least or greatest value, or nothing at all where it may be empty; else what it was."""
    if edge == "empty":
        return None if field.nullable and not field.lists else old
    if field.lists or field.holds not in ("number", "whole number"):
        return old
    if edge == "least":
        return field.bounds.get("ge", old)
    return field.bounds.get("le", math.nextafter(field.bounds["lt"], 0.0) if "lt" in field.bounds else old)


def held(tree: dict[str, Any]) -> bool:
    """Read and assess a tree; return whether it was a site (a refusal is one line)."""
    try:
        site = site_from_bytes(json.dumps(tree).encode(), "site.json")
    except InputError as error:
        site, lines = None, str(error).splitlines()
    if site is None:
        assert len(lines) == 1
        return False
    assessment = assess(site)
    assert_laws(site, assessment)
    assert Assessment.model_validate_json(assessment.model_dump_json()) == assessment
    assert site_to_bytes(site_from_bytes(site_to_bytes(site), "site.json")) == site_to_bytes(site)
    return True


@pytest.mark.parametrize("demo", DEMOS)
def test_one_figure_when_it_is_awkward_gives_a_sentence_or_a_sound_assessment(demo: str) -> None:
    count = DEMOS[demo][0]
    assert change_figures(demo, count, f"{demo} one") > count / 5, "too few could be read for this to say anything"


def change_figures(demo: str, count: int, seed: str) -> int:
    """Change one figure of a demo at a time, so often, and hold what comes; return how many of the sites could be read."""
    rng = random.Random(seed)
    tree, found = places_of(demo)
    ids = sorted({node["id"] for nodes in found.values() for node in nodes if isinstance(node.get("id"), str)})
    kinds = sorted(found, key=lambda kind: kind.__name__)
    read = 0
    for _ in range(count):
        kind = rng.choice(kinds)
        node, field = rng.choice(found[kind]), rng.choice(list(fields_of(kind).values()))
        old = node[field.name]
        node[field.name] = awkward(field, old, ids, rng)
        told = f"{demo}: {kind.__name__}.{field.name} = {str(node[field.name])[:60]!r}"
        try:
            read += held(tree)
        except Exception as error:
            raise AssertionError(told) from error
        finally:
            node[field.name] = old
    return read


@pytest.mark.parametrize("demo", DEMOS)
def test_whole_kind_when_all_its_figures_are_extreme_gives_a_sentence_or_a_sound_assessment(demo: str) -> None:
    change_kinds(demo, DEMOS[demo][1], f"{demo} whole")


def change_kinds(demo: str, count: int, seed: str) -> None:
    """Put so many kinds of record of a demo at an end of their ranges, one at a time, and hold what comes."""
    rng = random.Random(seed)
    tree, found = places_of(demo)
    kinds = sorted(found, key=lambda kind: kind.__name__)
    cases = [(kind, edge) for kind in kinds for edge in ("least", "most", "empty")]
    for kind, edge in rng.sample(cases, min(count, len(cases))):
        before = [dict(node) for node in found[kind]]
        for node in found[kind]:
            node.update({name: at_edge(field, edge, node[name]) for name, field in fields_of(kind).items()})
        try:
            held(tree)
        except Exception as error:
            raise AssertionError(f"{demo}: {kind.__name__} at its {edge}") from error
        finally:
            for node, old in zip(found[kind], before, strict=True):
                node.update(old)

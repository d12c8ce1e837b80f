"""Every number of an assessment can be explained, and what the explanation names is what the number depends on."""

from __future__ import annotations

import datetime
import json
import random
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from types import UnionType
from typing import Any, Union, get_args, get_origin

import pytest
from pydantic import BaseModel

from survey_app.assess.explain import Explainer, Reason, documents, explain
from survey_app.assess.kin import Subject
from survey_app.assess.lineage import LINEAGE, SLOTS, paths_of
from survey_app.assess.lineage import Path as LineagePath
from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.errors import UnknownNameError
from survey_app.site import read_site
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions, load_regions

DEMO_SITES = Path(__file__).resolve().parents[2] / "demo_sites"
FILES = tuple(
    str(path.relative_to(DEMO_SITES))
    for path in sorted((*DEMO_SITES.glob("*/site.json"), *DEMO_SITES.glob("*/alternatives/*.json")))
)


@lru_cache(maxsize=1)
def regions() -> Regions:
    return load_regions()


@lru_cache(maxsize=20)
def demo(file: str) -> tuple[Site, Assessment]:
    site = read_site(DEMO_SITES / file)
    return site, assess(site, regions())


class Walked(Explainer):
    """Notes which ways of which rules lead anywhere."""

    def __init__(self, *arguments: Any) -> None:
        super().__init__(*arguments)
        self.trodden: set[tuple[str, str]] = set()

    def _follow(self, subject: Subject, path: LineagePath) -> Iterator[Reason]:
        for reason in super()._follow(subject, path):
            self.trodden.add((type(subject.row).__name__, path.text))
            yield reason


@lru_cache(maxsize=20)
def explainer(file: str) -> Walked:
    return Walked(*demo(file), regions())


def every_number(known: Explainer) -> Iterator[tuple[Subject, str]]:
    for top in known.kin.tops.values():
        yield from known.numbers(top)


def _row_types(kind: Any, found: dict[type[BaseModel], None]) -> dict[type[BaseModel], None]:
    """Collect every record type inside an annotation, and inside its own fields."""
    if isinstance(kind, type) and issubclass(kind, BaseModel) and kind not in found:
        found[kind] = None
        for field in kind.model_fields.values():
            _row_types(field.annotation, found)
    for part in get_args(kind):
        _row_types(part, found)
    return found


def _numeric(kind: Any) -> bool:
    """Tell whether an annotation holds numbers, alone, in a tuple or beside None."""
    if kind in (int, float):
        return True
    if get_origin(kind) in (tuple, Union, UnionType):
        return any(_numeric(part) for part in get_args(kind))
    return False


def test_every_numeric_field_of_every_row_has_a_rule() -> None:
    rows = _row_types(Assessment, {})
    missing = [
        f"{row.__name__}.{name}"
        for row in rows
        for name, field in row.model_fields.items()
        # the argument of an edit is no number of the design
        if _numeric(field.annotation) and row.__name__ != "CureArgument" and name not in LINEAGE.get(row, {})
    ]
    assert missing == []


def test_no_rule_is_left_over() -> None:
    left = [
        f"{row.__name__}.{name}" for row, rules in LINEAGE.items() for name in rules if name not in row.model_fields
    ]
    left += [
        f"{row.__name__} in {slot}: {n}"
        for (row, slot), rules in SLOTS.items()
        for n in rules
        if n not in row.model_fields
    ]
    assert left == []


def test_every_rule_cites_a_listed_document_or_none() -> None:
    keys = {rule.source for rules in (*LINEAGE.values(), *SLOTS.values()) for rule in rules.values()}
    assert {key for key in keys if key and not key.startswith("{")} <= set(documents())
    assert all(rule.says.endswith(".") for rules in LINEAGE.values() for rule in rules.values())


@pytest.mark.parametrize("file", FILES)
def test_every_number_of_every_demo_site_is_answered(file: str) -> None:
    known = explainer(file)
    asked = 0
    for subject, field in every_number(known):
        reason = known.reason(subject, field)
        asked += 1
        assert reason.value == getattr(subject.row, field)
        assert reason.says, reason.name
        if reason.source:
            assert reason.document, (reason.name, reason.source)
    assert asked > 1000


@pytest.mark.parametrize("file", FILES)
def test_numbers_lead_down_to_site_gear_and_rules(file: str) -> None:
    """Every level, margin, limit and aim of a radio or hop ends in leaves, not in the air."""
    known = explainer(file)
    for subject, field in every_number(known):
        if subject.kind in ("radio", "hop") and getattr(subject.row, field) is not None and field != "compass_step_deg":
            assert {leaf.origin for leaf in leaves(known.reason(subject, field))} & {"site", "gear"}, (
                subject.name,
                field,
            )


def leaves(reason: Reason, seen: set[str] | None = None) -> Iterator[Reason]:
    """Yield what a reason comes from in the end, each once."""
    seen = set() if seen is None else seen
    if reason.name in seen:
        return
    seen.add(reason.name)
    if reason.origin != "computed":
        yield reason
    for part in reason.inputs:
        yield from leaves(part, seen)


# what no demo site has
UNTRODDEN = {
    ("AreaRow", "hop.directions.to_access_point.needed_rate_mbps"),  # an area that names no rate
    ("CameraRow", "view_width_m"),  # a camera whose angle of view is left open
    ("RadioRow", "site:radios[{id}].channel"),  # a radio without a cell
    ("SupplyRow", "gear:{feeder_radio.gear}.pass_output"),  # a camera fed by a radio's second port
    ("SupplyRow", "gear:{feeding_radios.gear}.pass_output"),
    ("WireRow", "site:supplies[{a}].position"),  # a wire that begins at a supply
    ("WireRow", "site:supplies[{b}].position"),
}


def test_no_way_of_any_rule_leads_nowhere() -> None:
    trodden: set[tuple[str, str]] = set()
    unanchored = _unanchored()
    for known in (*map(explainer, FILES), Walked(unanchored, assess(unanchored, regions()), regions())):
        for subject, field in every_number(known):
            known.reason(subject, field)
        trodden |= known.trodden
    declared = {
        (row.__name__, path.text)
        for row, rules in LINEAGE.items()
        for rule in rules.values()
        for text in rule.inputs
        for path in paths_of(text)
    }
    assert declared - trodden >= UNTRODDEN, "take out what is trodden now"
    left = sorted(declared - trodden - UNTRODDEN)
    assert not left, left


def _unanchored() -> Site:
    """Return the first demo site without its anchor."""
    tree = json.loads(read_site(DEMO_SITES / "boatyard").model_dump_json())
    tree["design"]["plane"]["anchor"] = None
    return Site.model_validate_json(json.dumps(tree))


# --- what is named is what it depends on ---

# A change of the network itself (what is joined to what, who carries a supply, which edge a mount is on) changes
# what there is to explain; a tally line's trace stands in its own parts.
_STRUCTURE = frozenset({"analogue", "edge", "feeder_count"})


def _numbers_of(tree: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], float]]:
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from _numbers_of(value, (*path, key))
    elif isinstance(tree, list):
        for number, value in enumerate(tree):
            yield from _numbers_of(value, (*path, number))
    elif isinstance(tree, int | float) and not isinstance(tree, bool):
        yield path, tree


def _place(tree: dict[str, Any], path: tuple[str | int, ...]) -> str:
    words = "design"
    for step in path:
        words += f"[{step}]" if isinstance(step, int) else f".{step}"
        if len(path) > 1 and path[0] == "gear" and words == f"design.gear[{path[1]}]":
            words += f" ({tree['gear'][path[1]]['id']})"
    return words


def _changed(tree: dict[str, Any], path: tuple[str | int, ...], value: float) -> Explainer | None:
    """Return what explains the site with one number changed, or None where no change of it is allowed."""
    holder: Any = tree
    for step in path[:-1]:
        holder = holder[step]
    for other in (
        (value * 1.13 + 0.37, value * 0.87 - 0.2, value * 0.9) if isinstance(value, float) else (value + 1, value - 1)
    ):
        holder[path[-1]] = other
        try:
            site = Site.model_validate_json(json.dumps({"design": tree}))
            assessment = assess(site, regions())
        except (ValueError, LookupError, ArithmeticError):
            continue
        finally:
            holder[path[-1]] = value
        return Explainer(site, assessment, regions())
    return None


def _values(known: Explainer) -> dict[tuple[str, str, str, str], Any]:
    return {
        (subject.kind, subject.id, subject.slot, field): getattr(subject.row, field)
        for subject, field in every_number(known)
        if subject.kind not in ("tally", "finding")
    }


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(_alike(a, b) for a, b in zip(one, other, strict=True))
    if isinstance(one, int | float) and isinstance(other, int | float):
        return abs(one - other) <= 1e-7 * max(1.0, abs(one), abs(other))
    return bool(one == other)


@pytest.mark.slow
@pytest.mark.parametrize(("file", "seed", "count"), [("boatyard/site.json", 1, 9), ("mill/site.json", 2, 15)])
def test_whatever_changes_a_number_is_among_its_leaves(file: str, seed: int, count: int) -> None:
    """Change figures of the site one by one: every number that moves names the figure that moved it."""
    known = explainer(file)
    tree = json.loads(known.design.model_dump_json())
    before = _values(known)
    named = {
        (subject.kind, subject.id, subject.slot, field): {leaf.name for leaf in leaves(known.reason(subject, field))}
        for subject, field in every_number(known)
    }
    figures = [row for row in _numbers_of(tree) if row[0][0] != "accepted" and not _STRUCTURE & set(map(str, row[0]))]
    random.Random(seed).shuffle(figures)
    # one of each field: what two rows of one kind hold alike is explained alike
    fields = {tuple(step for step in path if isinstance(step, str)): (path, value) for path, value in figures}
    defaults = [row for name, row in fields.items() if name[0] == "defaults"]
    rest = [row for name, row in fields.items() if name[0] != "defaults"]
    gaps = []
    for path, value in defaults[: count // 3] + rest[:count]:
        changed = _changed(tree, path, value)
        if changed is None:
            continue
        after = _values(changed)
        place = _place(tree, path)
        for key, old in before.items():
            if key in after and not _alike(old, after[key]):
                hit = any(place == name or place.startswith((f"{name}.", f"{name}[")) for name in named[key])
                gaps += [] if hit else [(place, key)]
    assert gaps == []


# --- asking ---


def test_level_is_the_sum_of_what_is_named() -> None:
    known = explainer("boatyard/site.json")
    for hop in known.kin.assessment.hops:
        for side in ("access_point", "station"):
            (reason,) = known.ask(f"hop:{hop.id}", f"ends.{side}.rx_level_dbm")
            named = {part.name.rpartition(", ")[2]: 0.0 for part in reason.inputs}
            for part in reason.inputs:
                named[part.name.rpartition(", ")[2]] += part.value
            total = named.pop("tx_power_auto_dbm") + named.pop("gain_toward_far_end_dbi") - sum(named.values())
            assert total == pytest.approx(reason.value, abs=1e-9)


def test_unknown_subject_and_quantity_offer_the_nearest() -> None:
    site, assessment = demo("boatyard/site.json")
    with pytest.raises(UnknownNameError, match="A-S"):
        explain(site, assessment, "A-SS")
    with pytest.raises(UnknownNameError, match="tilt_deg"):
        explain(site, assessment, "A-S", "tlit_deg")


def test_one_id_of_several_rows_is_told_apart_by_its_kind() -> None:
    known = explainer("boatyard/site.json")
    kinds = {reason.name.partition(" ")[0] for reason in known.ask("A-S")}
    assert kinds == {"radio", "cell", "supply"}
    assert {reason.name.partition(" ")[0] for reason in known.ask("cell:A-S")} == {"cell"}


def test_law_is_cited_with_paragraph_and_edition() -> None:
    (reason,) = explainer("boatyard/site.json").ask("A-S", "conducted_limit_dbm")
    assert reason.source == "CFR15407"
    assert "15.407(a)(3)" in reason.section
    assert "2024-02-06" in reason.section


def test_null_carries_the_sentence_of_the_record() -> None:
    (reason,) = explainer("boatyard/site.json").ask("G", "cut_at_m")
    assert reason.value is None
    assert reason.missing


def test_rules_that_go_round_in_a_circle_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    from survey_app.assess.lineage import hops
    from survey_app.assess.lineage.rule import rule

    changed = {**hops.HOP, "distance_m": rule("Round.", "free_space_loss_db")}
    monkeypatch.setattr("survey_app.assess.explain.rule_of", lambda *asked: changed.get(asked[1]))
    with pytest.raises(ValueError, match="circle"):
        Explainer(*demo("boatyard/site.json")).ask("hop:G", "distance_m")


def test_path_that_is_not_one_is_refused() -> None:
    for text in ("sight:x", "gear:x", "A.b", "a..B", "site:Mounts"):
        with pytest.raises(ValueError, match=r"path|step"):
            list(paths_of(text))


def test_day_of_the_assessment_does_not_matter() -> None:
    """The same site is explained alike tomorrow: nothing reads the clock."""
    site = read_site(DEMO_SITES / "boatyard")
    assert site.design.as_of == datetime.date(2026, 12, 1)
    one, other = (Explainer(site, assess(site)).ask("A-S", "declination_deg") for _ in range(2))
    assert one == other
